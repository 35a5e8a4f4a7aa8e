// Package sqlite is the embedded store: one file in write-ahead mode, one writer and several readers that don't wait
// for each other.
//
// What Update acknowledged survives a killed process and a plug that is pulled, as far as the disk keeps what it
// says it wrote. The file must be on a local disk: the write-ahead log does not work on a network share. Copy it with
// Backup only; a copy of the file alone misses what is still in the log.
package sqlite
