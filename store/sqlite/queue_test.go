package sqlite

import (
	"context"
	"fmt"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"witnessmark/shop"
)

// feed is a record with a task that speaks of it, put in one transaction. The text makes it as large as it has to be.
func feed(ctx context.Context, s *Store, id, text string, stubborn bool) error {
	return s.Update(ctx, func(w shop.Writer) error {
		_, err := w.Put(ctx, shop.Fact{Record: &shop.Record{ID: id, Kind: shop.KindFeed, Once: "feed/" + id,
			Body: fmt.Appendf(nil, `{"token_hash":%q,"name":%q}`, id, text)}})
		if err != nil && !stubborn {
			return err
		}
		if err := w.Enqueue(ctx, shop.Task{Kind: "feed", Ref: id}); err != nil && !stubborn {
			return err
		}
		return nil
	})
}

// refs are the ids of the records that are there and those that tasks speak of.
func refs(t *testing.T, s *Store) (records, tasks []string) {
	t.Helper()
	read := func(query string) (out []string) {
		rows, err := s.readers.Query(query)
		if err != nil {
			t.Fatal(err)
		}
		defer rows.Close()
		for rows.Next() {
			var id string
			if err := rows.Scan(&id); err != nil {
				t.Fatal(err)
			}
			out = append(out, id)
		}
		if err := rows.Err(); err != nil {
			t.Fatal(err)
		}
		return out
	}
	return read("SELECT id FROM record ORDER BY id"), read("SELECT CAST(body AS TEXT) FROM goqite ORDER BY 1")
}

// TestQueueSurvivesReopening: what was put on the queue is handed out after the next start, and a lease goes on over it.
func TestQueueSurvivesReopening(t *testing.T) {
	ctx, path := t.Context(), filepath.Join(t.TempDir(), "shop.db")
	s := reopen(t, path)
	for _, id := range []string{"a", "b"} {
		if err := feed(ctx, s, id, "", false); err != nil {
			t.Fatal(err)
		}
	}
	first, err := s.Take(ctx, "feed", time.Hour)
	if err != nil || first == nil {
		t.Fatal(first, err)
	}
	s.Close()
	s = reopen(t, path)
	second, err := s.Take(ctx, "feed", time.Hour)
	if err != nil || second == nil || second.Ref == first.Ref {
		t.Fatalf("after the start %+v, %v", second, err)
	}
	if third, err := s.Take(ctx, "feed", time.Hour); err != nil || third != nil {
		t.Fatalf("a leased task is handed out: %+v, %v", third, err)
	}
	if err := s.Finish(ctx, second); err != nil {
		t.Fatal(err)
	}
	s.Close()
	s = reopen(t, path)
	if err := s.Later(ctx, first, 0); err != nil {
		t.Fatal(err)
	}
	again, err := s.Take(ctx, "feed", time.Hour)
	if err != nil || again == nil || again.ID != first.ID {
		t.Fatalf("put back: %+v, %v", again, err)
	}
	if _, tasks := refs(t, s); len(tasks) != 1 {
		t.Errorf("tasks left: %v", tasks)
	}
}

// TestDiskFullRecordAndTask lets the disk run full at the first page, the second and so on: a record and its task are both there or
// neither, also when the caller goes on after an error.
func TestDiskFullRecordAndTask(t *testing.T) {
	for _, stubborn := range []bool{false, true} {
		t.Run(fmt.Sprintf("stubborn=%v", stubborn), func(t *testing.T) {
			s, long := fresh(t), strings.Repeat("a long name ", 3000)
			if err := feed(t.Context(), s, "first", long, stubborn); err != nil {
				t.Fatal(err)
			}
			failures := 0
			for room := 0; ; room++ {
				limitPages(t, s, room)
				err := feed(t.Context(), s, "second", long, stubborn)
				records, tasks := refs(t, s)
				if strings.Join(records, " ") != strings.Join(tasks, " ") {
					t.Fatalf("with room for %d pages: records %v, tasks %v", room, records, tasks)
				}
				if err == nil {
					break
				}
				if failures++; len(records) != 1 {
					t.Fatalf("with room for %d pages something was left behind", room)
				}
			}
			if records, _ := refs(t, s); failures < 3 || len(records) != 2 {
				t.Errorf("%d failures, records %v", failures, records)
			}
		})
	}
}

// TestRecordsUseIndexes: whatever records are looked for by, no query goes through all of them.
func TestRecordsUseIndexes(t *testing.T) {
	s := fresh(t)
	for where, index := range map[string]string{
		"kind = 'x'":                                   "record_by_kind",
		"kind = 'x' AND seq > 5":                       "record_by_kind",
		"car_id = 'x'":                                 "record_by_car",
		"kind = 'x' AND car_id = 'y'":                  "record_by_car",
		"kind = 'x' AND car_id = 'y' AND seq > 5":      "record_by_car",
		"ref_id = 'x'":                                 "record_by_ref",
		"kind = 'x' AND ref_id = 'y'":                  "record_by_ref",
		"once_key = 'x'":                               "sqlite_autoindex_record",
		"kind = 'x' AND once_key = 'y'":                "sqlite_autoindex_record",
		"id = 'x' AND kind = 'offer' AND car_id = 'c'": "sqlite_autoindex_record",
	} {
		for _, order := range []string{"", " ORDER BY seq", " ORDER BY seq DESC LIMIT 1"} {
			var plan strings.Builder
			rows, err := s.readers.Query("EXPLAIN QUERY PLAN SELECT id FROM record WHERE " + where + order)
			if err != nil {
				t.Fatal(err)
			}
			for rows.Next() {
				var a, b, c int
				var detail string
				if err := rows.Scan(&a, &b, &c, &detail); err != nil {
					t.Fatal(err)
				}
				plan.WriteString(detail + "; ")
			}
			rows.Close()
			if !strings.Contains(plan.String(), "SEARCH record USING") || strings.Contains(plan.String(), "SCAN") {
				t.Errorf("%s%s: %s", where, order, plan.String())
			}
			if order == "" && !strings.Contains(plan.String(), index) {
				t.Errorf("%s: %s, expected %s", where, plan.String(), index)
			}
		}
	}
}
