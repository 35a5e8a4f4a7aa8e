package storetest

import (
	"context"
	"errors"
	"fmt"
	"testing"

	"github.com/google/go-cmp/cmp"

	"witnessmark/shop"
)

// tester is what *testing.T and *rapid.T have in common here.
type tester interface {
	Helper()
	Fatalf(format string, args ...any)
}

// put stores facts in one transaction and fails when one of them is not new.
func put(t tester, s shop.Store, facts ...shop.Fact) {
	t.Helper()
	err := s.Update(context.Background(), func(w shop.Writer) error {
		for i, f := range facts {
			created, err := w.Put(context.Background(), f)
			if err != nil {
				return fmt.Errorf("fact %d: %w", i, err)
			}
			if !created {
				return fmt.Errorf("fact %d was there already", i)
			}
		}
		return nil
	})
	if err != nil {
		t.Fatalf("put: %v", err)
	}
}

// tryPut stores one fact in its own transaction.
func tryPut(s shop.Store, f shop.Fact) (created bool, err error) {
	err = s.Update(context.Background(), func(w shop.Writer) (err error) {
		created, err = w.Put(context.Background(), f)
		return err
	})
	return created, err
}

// ask reads one answer in a transaction of its own.
func ask[T any](t tester, s shop.Store, f func(shop.Reader) (T, error)) T {
	t.Helper()
	v, err := tryAsk(s, f)
	if err != nil {
		t.Fatalf("ask: %v", err)
	}
	return v
}

func tryAsk[T any](s shop.Store, f func(shop.Reader) (T, error)) (v T, err error) {
	err = s.View(context.Background(), func(r shop.Reader) (err error) {
		v, err = f(r)
		return err
	})
	return v, err
}

// list reads the list of cars.
func list(t tester, s shop.Store, f shop.CarFilter) ([]shop.CarRow, int) {
	t.Helper()
	var n int
	rows := ask(t, s, func(r shop.Reader) (rows []shop.CarRow, err error) {
		rows, n, err = r.Cars(context.Background(), f)
		return rows, err
	})
	return rows, n
}

// export reads all facts.
func export(t tester, s shop.Store) []shop.Fact {
	t.Helper()
	return ask(t, s, func(r shop.Reader) (facts []shop.Fact, err error) {
		err = r.Each(context.Background(), func(f shop.Fact) error {
			facts = append(facts, f)
			return nil
		})
		return facts, err
	})
}

// want compares what came back with what was expected; the order of arrival is left out.
func want(t tester, what string, got, expected any) {
	t.Helper()
	if d := cmp.Diff(expected, got, leaveOutSeq); d != "" {
		t.Fatalf("%s differs (-want +got):\n%s", what, d)
	}
}

var leaveOutSeq = cmp.FilterPath(func(p cmp.Path) bool {
	return p.Last().String() == ".Seq"
}, cmp.Ignore())

// wantError checks that an error is of a kind.
func wantError(t tester, what string, err, kind error) {
	t.Helper()
	if !errors.Is(err, kind) {
		t.Fatalf("%s gives %v, not %v", what, err, kind)
	}
}

// wantInvalid checks that an error names a bad field.
func wantInvalid(t *testing.T, what string, err error, field string) {
	t.Helper()
	var bad shop.Invalid
	if !errors.As(err, &bad) {
		t.Fatalf("%s gives %v", what, err)
	}
	if bad[0].Field != field {
		t.Fatalf("%s blames %q, not %q", what, bad[0].Field, field)
	}
}
