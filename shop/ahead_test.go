package shop_test

import (
	"regexp"
	"strings"
	"testing"

	"witnessmark/internal/simulate"
)

// TestOwnersWords reads all that owners of an invented fleet are told: a word, a number and a range, one denominator in a
// sentence, sooner things first, and never that a car is safe.
func TestOwnersWords(t *testing.T) {
	b, _ := fleet(t, simulate.Options{Seed: 7, Cars: 3, Years: 3, ReadingsPerRound: 90})
	of := regexp.MustCompile(`\b(?:of|in) (\d+) such\b`)
	bad := regexp.MustCompile(`(?i)\bsafe|NaN|Inf|0001|%!|\b1 of 20 such cars need |  `)
	lines := 0
	for _, id := range b.cars(t) {
		o, err := b.Outlook(ctx, id)
		if err != nil {
			t.Fatal(err)
		}
		dated := true
		for _, l := range b.Ahead(o) {
			lines++
			if l.Title == "" || bad.MatchString(l.Title+". "+l.Text) || len(of.FindAllString(l.Text, -1)) != 1 || !strings.HasSuffix(l.Text, ".") {
				t.Errorf("%s: %s", l.Title, l.Text)
			}
			if !dated && !l.On.IsZero() {
				t.Errorf("%s comes after what has no day", l.Title)
			}
			dated = !l.On.IsZero()
		}
		if w := b.NextLookWords(o); !strings.HasPrefix(w, "Look again") || bad.MatchString(w) {
			t.Errorf("%s: %q", o.Car.Plate, w)
		}
		if o.LastRound == nil {
			continue
		}
		r, err := b.Report(ctx, o.LastRound.ID)
		if err != nil || len(r.Ahead) == 0 || r.NextLook == "" {
			t.Errorf("the report says %d things and %q, %v", len(r.Ahead), r.NextLook, err)
		}
	}
	if lines < 20 {
		t.Errorf("only %d lines", lines)
	}
}
