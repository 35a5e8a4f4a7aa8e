// Package query is the one set of SQL queries of the store. It reads and adds facts inside a transaction that an
// engine (such as store/sqlite) opened, and keeps to SQL that SQLite and PostgreSQL both understand:
//
//   - parameters are $1, $2, ... numbered in order of first appearance
//   - no engine's own functions, casts or operators
//   - JSON is text that only Go reads
//   - only one query is open at a time
//
// Tables of facts are only ever added to: no statement changes or removes a fact. The tables car and counter are not
// facts. A test reads the statements of this package and holds them to these rules.
//
// Text is compared by code point. A PostgreSQL database needs the C collation for that.
package query
