//go:build !unix

package sqlite

// syncDir does nothing: a directory can't be synced here, and the file system keeps names by itself.
func syncDir(string) error { return nil }
