package sheet

import (
	"bytes"
	"encoding/json"
	"os"
	"strings"
	"testing"
	"time"

	"witnessmark/core/judge"
	"witnessmark/core/point"
)

// FuzzRead: whatever the bytes are, reading them ends in a sheet or an error. A sheet that was accepted is written out
// and read again to the same bytes, and resolves to a round that can be judged, or to faults that name a place.
func FuzzRead(f *testing.F) {
	cat := base(f)
	f.Add([]byte(whole))
	if text, err := os.ReadFile("testdata/contract.json"); err == nil {
		f.Add(text)
	}
	for _, s := range []string{``, `{}`, `{"taken_on":"2026-03-21"}`, `{"readings":[{"point":"horn","state":"works"},{"a":1}]}`,
		`{"vehicle":{"specs":{"disc-thickness-min-mm":{"FL":1,"":2},"coolant-type":""},"facets":{"fuel":true}},"renewed":[{"item":"coolant"}]}`} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		s, err := Read(bytes.NewReader(text))
		if err != nil {
			if strings.TrimSpace(err.Error()) == "" {
				t.Fatal("refused without a word")
			}
			return
		}
		plain, err := json.Marshal(s)
		if err != nil {
			t.Fatalf("%q was accepted and can't be written: %v", text, err)
		}
		again, err := Read(bytes.NewReader(plain))
		if err != nil {
			t.Fatalf("%q was accepted, but not its plain form %q: %v", text, plain, err)
		}
		if twice, err := json.Marshal(again); err != nil || !bytes.Equal(twice, plain) {
			t.Fatalf("%q becomes %q and then %q (%v)", text, plain, twice, err)
		}
		car, taken, err := s.Resolve(cat, time.Time{})
		if err != nil {
			return
		}
		a := judge.Judge(cat, car, taken, point.Full)
		if a.Looked > a.Places {
			t.Fatalf("looked at %d of %d places", a.Looked, a.Places)
		}
		if _, err := json.Marshal(Write(a)); err != nil {
			t.Fatalf("findings can't be written: %v", err)
		}
	})
}
