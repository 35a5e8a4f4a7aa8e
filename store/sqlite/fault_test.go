package sqlite

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"witnessmark/shop"
)

// bigFacts is a transaction that needs many new pages.
func bigFacts(name string) []shop.Fact {
	note := strings.Repeat("a long note ", 2000)
	facts := []shop.Fact{
		{Car: &shop.CarVersion{ID: "v" + name, CarID: "c" + name, Plate: name, Description: note}},
		{Round: &shop.RoundFact{ID: "r" + name, CarID: "c" + name, On: "2026-03-21"}},
	}
	for i := range 4 {
		facts = append(facts, shop.Fact{Reading: &shop.ReadingFact{ID: fmt.Sprint("m", name, i), RoundID: "r" + name, CarID: "c" + name, Note: note}})
	}
	return facts
}

// state is all that is in the database.
func state(t *testing.T, s *Store) string {
	t.Helper()
	var all []string
	for _, name := range []string{"car_version", "round", "reading", "car", "counter"} {
		all = append(all, table(t, s.readers, name)...)
	}
	return strings.Join(all, "\n")
}

// TestDiskFull lets the disk run full at the first page, the second and so on, until there is room for everything. The
// caller is one that goes on after an error, which must not leave half of it behind either.
func TestDiskFull(t *testing.T) {
	for _, stubborn := range []bool{false, true} {
		t.Run(fmt.Sprintf("stubborn=%v", stubborn), func(t *testing.T) {
			s := fresh(t)
			put := func(name string) error { return putAll(t.Context(), s, bigFacts(name), stubborn) }
			if err := put("first"); err != nil {
				t.Fatal(err)
			}
			before := state(t, s)
			failures := 0
			for room := 0; ; room++ {
				limitPages(t, s, room)
				err := put("second")
				if err == nil {
					break
				}
				failures++
				if !strings.Contains(err.Error(), "nothing was saved, the disk is full") {
					t.Fatalf("with room for %d pages: %v", room, err)
				}
				if state(t, s) != before {
					t.Fatalf("with room for %d pages something was left behind", room)
				}
			}
			if failures < 10 {
				t.Errorf("only %d failures", failures)
			}
			limitPages(t, s, 10_000)
			if err := put("third"); err != nil {
				t.Fatal(err)
			}
			if err := s.Verify(t.Context()); err != nil {
				t.Error(err)
			}
			if n := len(table(t, s.readers, "reading")); n != 12 {
				t.Errorf("%d readings", n)
			}
		})
	}
}

func putAll(ctx context.Context, s *Store, facts []shop.Fact, stubborn bool) error {
	return s.Update(ctx, func(w shop.Writer) error {
		for _, f := range facts {
			if _, err := w.Put(ctx, f); err != nil && !stubborn {
				return err
			}
		}
		return nil
	})
}

// limitPages lets the database grow by so many pages.
func limitPages(t *testing.T, s *Store, room int) {
	t.Helper()
	var pages, limit int
	if err := s.writer.QueryRow("PRAGMA page_count").Scan(&pages); err != nil {
		t.Fatal(err)
	}
	if err := s.writer.QueryRow(fmt.Sprintf("PRAGMA max_page_count = %d", pages+room)).Scan(&limit); err != nil {
		t.Fatal(err)
	}
	if limit != pages+room {
		t.Fatalf("the limit is %d pages, not %d", limit, pages+room)
	}
}
