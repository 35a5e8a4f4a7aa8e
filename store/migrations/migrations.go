// Package migrations holds the schema of the database as numbered SQL files. The same files run on every engine, so
// they keep to what the engines share. A file that was released is never changed; a change is a new file.
package migrations

import "embed"

// FS has the migration files, in the form that goose reads.
//
//go:embed *.sql
var FS embed.FS
