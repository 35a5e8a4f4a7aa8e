package shop

import (
	"context"
	"time"
)

// Sender is the worker that sends mails, for tests that move the clock themselves.
type Sender struct{ w *worker }

// NewSender makes a worker.
func (s *Shop) NewSender(m Mailing, p Postman, q Queue, say func(string, error)) *Sender {
	return &Sender{&worker{s, m, p, q, say, map[string]string{}, map[string]bool{}}}
}

// Start queues what waits, as Remind does first; Next does one task.
func (x *Sender) Start(ctx context.Context) error { return x.w.shop.requeue(ctx) }
func (x *Sender) Next(ctx context.Context) bool   { return x.w.next(ctx) }

// Deliver takes one mail a step further.
func (s *Shop) Deliver(ctx context.Context, m Mailing, p Postman, mailID string) (time.Duration, error) {
	return s.deliver(ctx, m, p, mailID)
}

// DuePass works out the whole due list.
func (s *Shop) DuePass(ctx context.Context) error {
	_, err := s.duePass(ctx, -1)
	return err
}
