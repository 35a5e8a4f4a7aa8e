package storetest

import (
	"context"
	"testing"
	"time"

	"witnessmark/shop"
)

const long = time.Hour

// queueOf gives the queue of a store; every engine has one.
func queueOf(t *testing.T, s shop.Store) shop.Queue {
	t.Helper()
	q, ok := s.(shop.Queue)
	if !ok {
		t.Fatalf("%T hands out no tasks", s)
	}
	return q
}

// enqueue puts tasks on the queue, and gives the transaction up when stop is set.
func enqueue(s shop.Store, stop error, tasks ...shop.Task) error {
	return s.Update(context.Background(), func(w shop.Writer) error {
		for _, task := range tasks {
			if err := w.Enqueue(context.Background(), task); err != nil {
				return err
			}
		}
		return stop
	})
}

// take gives what the task that is handed out is about, or "none".
func take(t *testing.T, q shop.Queue, kind string, lease time.Duration) (*shop.Task, string) {
	t.Helper()
	task, err := q.Take(context.Background(), kind, lease)
	if err != nil {
		t.Fatalf("take: %v", err)
	}
	if task == nil {
		return nil, "none"
	}
	if task.Kind != kind || task.ID == "" {
		t.Fatalf("asked for %s, got %+v", kind, task)
	}
	return task, task.Ref
}

// testQueue: tasks are there when their transaction was committed, are handed out by kind and once within a lease, and stay until they
// are finished.
func testQueue(t *testing.T, open func(*testing.T) shop.Store) {
	ctx, s := context.Background(), open(t)
	q := queueOf(t, s)
	got := func(kind string, lease time.Duration, expected string) *shop.Task {
		t.Helper()
		task, ref := take(t, q, kind, lease)
		if ref != expected {
			t.Fatalf("%s is handed out, expected %s", ref, expected)
		}
		return task
	}
	must := func(err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	got("mail", long, "none")
	wantError(t, "given up", enqueue(s, errStop, shop.Task{Kind: "mail", Ref: "lost"}), errStop)
	got("mail", long, "none")
	must(enqueue(s, nil, shop.Task{Kind: "mail", Ref: "m1"}, shop.Task{Kind: "other", Ref: "o1"}, shop.Task{Kind: "mail", Ref: "later", Delay: long}))
	m1 := got("mail", long, "m1")
	got("mail", long, "none") // leased, and the other one waits
	must(q.Later(ctx, m1, 0))
	m1 = got("mail", long, "m1")
	must(q.Later(ctx, m1, long))
	got("mail", long, "none")
	must(q.Later(ctx, m1, 0))
	must(q.Finish(ctx, got("mail", long, "m1")))
	must(q.Finish(ctx, m1)) // finished already: nothing happens
	got("mail", long, "none")
	must(q.Finish(ctx, got("other", long, "o1")))
	got("other", long, "none")
}

// testQueueLease: a task that nobody finished is handed out again after its lease, as often as it takes.
func testQueueLease(t *testing.T, open func(*testing.T) shop.Store) {
	s := open(t)
	q := queueOf(t, s)
	if err := enqueue(s, nil, shop.Task{Kind: "mail", Ref: "m1"}); err != nil {
		t.Fatal(err)
	}
	const times = 5
	taken := 0
	for range 2000 { // as long as it takes: how fast the clock of the engine goes is not what is tested
		if _, ref := take(t, q, "mail", time.Millisecond); ref == "m1" {
			if taken++; taken == times {
				return
			}
		}
		time.Sleep(time.Millisecond)
	}
	t.Errorf("handed out %d times, expected %d", taken, times)
}

// testQueueOrder: the oldest comes first, and what a record and its task say arrives together.
func testQueueOrder(t *testing.T, open func(*testing.T) shop.Store) {
	ctx, s := context.Background(), open(t)
	q := queueOf(t, s)
	for _, id := range []string{"c", "a", "b"} {
		err := s.Update(ctx, func(w shop.Writer) error {
			if _, err := w.Put(ctx, record(id, shop.KindFeed, "", "", "", shop.Feed{TokenHash: id})); err != nil {
				return err
			}
			return w.Enqueue(ctx, shop.Task{Kind: "feed", Ref: id})
		})
		if err != nil {
			t.Fatal(err)
		}
		time.Sleep(2 * time.Millisecond) // the library keeps the moment to the millisecond
	}
	var order []string
	for {
		task, ref := take(t, q, "feed", long)
		if task == nil {
			break
		}
		order = append(order, ref)
		if _, err := tryAsk(s, func(r shop.Reader) (shop.Record, error) { return r.Record(ctx, ref) }); err != nil {
			t.Errorf("a task without its record: %v", err)
		}
	}
	want(t, "the order", order, []string{"c", "a", "b"})
}
