package shop_test

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"testing"
	"time"

	"witnessmark/catalogue"
	"witnessmark/shop"
)

var mailing = shop.Mailing{From: "bench@workshop.example", PublicURL: "https://check.example"}

// simQueue is a queue whose clock is the bench's, so that a day goes by at once.
type simQueue struct {
	now   func() time.Time
	tasks []simTask
	n     int
	fault func(string) error
}

type simTask struct {
	shop.Task
	at time.Time
}

func (q *simQueue) add(t shop.Task) {
	q.n++
	t.ID = fmt.Sprint("task-", q.n)
	q.tasks = append(q.tasks, simTask{t, q.now().Add(t.Delay)})
}

func (q *simQueue) Take(_ context.Context, kind string, lease time.Duration) (*shop.Task, error) {
	if err := q.fault("take"); err != nil {
		return nil, err
	}
	for i := range q.tasks {
		if t := &q.tasks[i]; t.Kind == kind && !q.now().Before(t.at) {
			t.at = q.now().Add(lease)
			out := t.Task
			return &out, nil
		}
	}
	return nil, nil
}

func (q *simQueue) Later(_ context.Context, t *shop.Task, delay time.Duration) error {
	if err := q.fault("later"); err != nil {
		return err
	}
	for i := range q.tasks {
		if q.tasks[i].ID == t.ID {
			q.tasks[i].at = q.now().Add(delay)
		}
	}
	return nil
}

func (q *simQueue) Finish(_ context.Context, t *shop.Task) error {
	if err := q.fault("finish"); err != nil {
		return err
	}
	q.tasks = slices.DeleteFunc(q.tasks, func(x simTask) bool { return x.ID == t.ID })
	return nil
}

// simStore puts the tasks of committed transactions on a simulated queue, and can fail before and after each operation that writes.
type simStore struct {
	shop.Store
	q     *simQueue
	fault func(string) error
}

type simWriter struct {
	shop.Writer
	s     *simStore
	tasks []shop.Task
}

func (w *simWriter) Put(ctx context.Context, f shop.Fact) (bool, error) {
	if err := w.s.fault("put"); err != nil {
		return false, err
	}
	return w.Writer.Put(ctx, f)
}

func (w *simWriter) Enqueue(_ context.Context, t shop.Task) error {
	if err := w.s.fault("enqueue"); err != nil {
		return err
	}
	w.tasks = append(w.tasks, t)
	return nil
}

func (s *simStore) View(ctx context.Context, f func(shop.Reader) error) error {
	if err := s.fault("view"); err != nil {
		return err
	}
	return s.Store.View(ctx, f)
}

func (s *simStore) Update(ctx context.Context, f func(shop.Writer) error) error {
	if err := s.fault("begin"); err != nil {
		return err
	}
	var w simWriter
	if err := s.Store.Update(ctx, func(real shop.Writer) error {
		w = simWriter{Writer: real, s: s}
		return f(&w)
	}); err != nil {
		return err
	}
	for _, t := range w.tasks {
		s.q.add(t)
	}
	return s.fault("committed") // it is stored, but nobody is told
}

// post is a bench whose reminders run on a simulated clock.
type remindBench struct {
	*bench
	q     *simQueue
	store *simStore
	carID string
	// at counts operations; the one of number fail, and all after it, fail. 0 never does.
	at, fail int
}

var errKilled = errors.New("killed")

// newRemindBench has one car with an owner who agreed to mails, and a seasonal check due in two weeks.
func newRemindBench(t testing.TB) *remindBench {
	b := newBench(t)
	r := &remindBench{bench: b}
	fault := func(string) error {
		r.at++
		if r.fail > 0 && r.at >= r.fail {
			return errKilled
		}
		return nil
	}
	r.q = &simQueue{now: func() time.Time { return b.now }, fault: fault}
	r.store = &simStore{Store: b.bench0(), q: r.q, fault: fault}
	r.carID = b.car(t, func(in *shop.CarInput) { in.OwnerEmail = "alma@brook.example" }).CarID
	b.round(t, r.carID)
	b.now = b.now.AddDate(0, 0, 170)
	r.restart(t)
	if err := r.GiveConsent(ctx, b.id(), r.carID, "told us at the counter", "ab"); err != nil {
		t.Fatal(err)
	}
	return r
}

func (b *bench) bench0() shop.Store { return b.store }

// restart is a new process on the same store.
func (r *remindBench) restart(t testing.TB) {
	t.Helper()
	cat, err := catalogue.Default()
	if err != nil {
		t.Fatal(err)
	}
	r.at, r.fail = 0, 0
	r.Shop = shop.New(shop.Config{Store: r.store, Catalogue: cat, Now: func() time.Time { return r.now }, NewID: r.id, Name: "Bench"})
}

// run lets the worker go on for a time, a minute at a time.
func (r *remindBench) run(t testing.TB, p shop.Postman, span time.Duration) {
	t.Helper()
	w := r.NewSender(mailing, p, r.q, func(what string, err error) { t.Logf("%s: %v", what, err) })
	if err := w.Start(ctx); err != nil {
		t.Fatal(err)
	}
	for end := r.now.Add(span); r.now.Before(end); r.now = r.now.Add(time.Minute) {
		for range 100 {
			if !w.Next(ctx) {
				break
			}
		}
	}
}

// outbox gives the one mail that there is.
func (r *remindBench) outbox(t testing.TB) shop.OutboxMail {
	t.Helper()
	all, err := r.Outbox(ctx, 0)
	if err != nil || len(all) != 1 {
		t.Fatalf("%d mails, %v", len(all), err)
	}
	return all[0]
}

// counting is a postman that counts what the server took.
type counting struct {
	taken  []shop.Letter
	err    error // before the server is asked
	after  error // after the server was asked
	mine   func(string) error
	before func()
}

func (c *counting) Post(_ context.Context, l shop.Letter, ready func() error) error {
	if c.err != nil {
		return c.err
	}
	if c.before != nil {
		c.before()
	}
	if err := ready(); err != nil {
		return err
	}
	if c.after != nil {
		return c.after
	}
	if c.mine != nil {
		if err := c.mine("handed"); err != nil {
			return err // killed before the server had it
		}
	}
	c.taken = append(c.taken, l)
	if c.mine != nil {
		if err := c.mine("taken"); err != nil {
			return err // killed after the server had it
		}
	}
	return nil
}
