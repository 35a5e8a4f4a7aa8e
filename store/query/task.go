package query

import (
	"context"
	"encoding/json"

	"maragu.dev/goqite"

	"witnessmark/shop"
)

// NewQueue makes the library's queue of one kind of task. It needs the engine's own database handle and dialect; the Writer needs
// neither, as it brings its transaction.
type NewQueue func(kind string) *goqite.Queue

// TaskBody is what stands in the queue for a task.
func TaskBody(t shop.Task) ([]byte, error) { return json.Marshal(taskBody{t.Ref}) }

type taskBody struct {
	Ref string `json:"ref"`
}

// ReadTask reads what TaskBody wrote.
func ReadTask(kind string, m *goqite.Message) (*shop.Task, error) {
	var b taskBody
	if err := json.Unmarshal(m.Body, &b); err != nil {
		return nil, err
	}
	return &shop.Task{ID: string(m.ID), Kind: kind, Ref: b.Ref}, nil
}

// Enqueue puts a task on the queue in this transaction.
func (w *Writer) Enqueue(ctx context.Context, t shop.Task) error {
	if w.broken != nil {
		return w.broken
	}
	body, err := TaskBody(t)
	if err != nil {
		return err
	}
	if err := w.queue(t.Kind).SendTx(ctx, w.tx, goqite.Message{Body: body, Delay: max(t.Delay, 0)}); err != nil {
		return w.fail(err)
	}
	return nil
}
