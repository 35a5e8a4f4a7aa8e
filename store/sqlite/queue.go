package sqlite

import (
	"context"
	"database/sql"
	"fmt"
	"math"
	"time"

	"maragu.dev/goqite"

	"witnessmark/shop"
)

// queueSchema is the table that the queue's library asks for on this engine. It is the library's, not ours: what stands in it can be
// made again from the facts, so it is not migrated and not exported.
const queueSchema = `
CREATE TABLE IF NOT EXISTS goqite (
  id       TEXT PRIMARY KEY DEFAULT ('m_' || lower(hex(randomblob(16)))),
  created  TEXT NOT NULL DEFAULT (strftime('%Y-%m-%dT%H:%M:%fZ')),
  updated  TEXT NOT NULL DEFAULT (strftime('%Y-%m-%dT%H:%M:%fZ')),
  queue    TEXT NOT NULL,
  body     BLOB NOT NULL,
  timeout  TEXT NOT NULL DEFAULT (strftime('%Y-%m-%dT%H:%M:%fZ')),
  received INTEGER NOT NULL DEFAULT 0,
  priority INTEGER NOT NULL DEFAULT 0
) STRICT;
CREATE INDEX IF NOT EXISTS goqite_queue_priority_created_idx ON goqite (queue, priority DESC, created);`

func makeQueue(ctx context.Context, db *sql.DB) error {
	if _, err := db.ExecContext(ctx, queueSchema); err != nil {
		return fmt.Errorf("make the queue of tasks: %w", err)
	}
	return nil
}

var _ shop.Queue = (*Store)(nil)

// queue makes the library's queue of one kind. A task is handed out until it is finished, however often that is.
func (s *Store) queue(kind string) *goqite.Queue {
	return s.leased(kind, time.Minute)
}

func (s *Store) leased(kind string, lease time.Duration) *goqite.Queue {
	return goqite.New(goqite.NewOpts{DB: s.writer, Name: kind, MaxReceive: math.MaxInt32, Timeout: lease, SQLFlavor: goqite.SQLFlavorSQLite})
}

// Take hands out the oldest task of a kind that is ready, nil when none is.
func (s *Store) Take(ctx context.Context, kind string, lease time.Duration) (*shop.Task, error) {
	m, err := s.leased(kind, lease).Receive(ctx)
	if err != nil || m == nil {
		return nil, explain(err)
	}
	return &shop.Task{ID: string(m.ID), Kind: kind, Ref: string(m.Body)}, nil
}

// Later puts a task back, to be handed out after the delay.
func (s *Store) Later(ctx context.Context, t *shop.Task, delay time.Duration) error {
	return explain(s.queue(t.Kind).Extend(ctx, goqite.ID(t.ID), max(delay, 0)))
}

// Finish takes a task off the queue.
func (s *Store) Finish(ctx context.Context, t *shop.Task) error {
	return explain(s.queue(t.Kind).Delete(ctx, goqite.ID(t.ID)))
}
