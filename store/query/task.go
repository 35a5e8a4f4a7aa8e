package query

import (
	"context"

	"maragu.dev/goqite"

	"witnessmark/shop"
)

// NewQueue makes the library's queue of one kind of task. It needs the engine's own database handle and dialect; the Writer needs
// neither, as it brings its transaction. What stands in a queue for a task is what the task is about, as it is.
type NewQueue func(kind string) *goqite.Queue

// Enqueue puts a task on the queue in this transaction.
func (w *Writer) Enqueue(ctx context.Context, t shop.Task) error {
	if w.broken != nil {
		return w.broken
	}
	if err := w.queue(t.Kind).SendTx(ctx, w.tx, goqite.Message{Body: []byte(t.Ref), Delay: max(t.Delay, 0)}); err != nil {
		return w.fail(err)
	}
	return nil
}
