package judge_test

import (
	"encoding/json"
	"math"
	"regexp"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"witnessmark/core/facet"
	"witnessmark/core/judge"
	"witnessmark/core/point"
	"witnessmark/core/round"
	"witnessmark/core/verdict"
)

// TestJudgeAnyRound: any car and any readings that pass the check give a whole result. It is the same whatever the order
// of the readings, it is sorted, it counts every place once, and what was given is left as it was.
func TestJudgeAnyRound(t *testing.T) {
	cat := base(t)
	before := asText(t, cat.Points, cat.Jobs, cat.Specs, cat.Tables)
	rapid.Check(t, func(t *rapid.T) {
		on := time.Date(2026, 3, 21, 0, 0, 0, 0, time.UTC).AddDate(0, 0, rapid.IntRange(-3000, 3000).Draw(t, "day"))
		car := drawCar(t, cat, on)
		taken := drawTaken(t, cat, car, on)
		depth := rapid.SampledFrom(point.Depths[:]).Draw(t, "depth")
		carBefore, takenBefore := asText(t, car), asText(t, taken)

		r := judge.Judge(cat, car, taken, depth)
		for _, f := range r.Findings {
			checkFinding(t, cat, f)
		}
		checkOrder(t, r.Findings)
		checkPlaces(t, cat, car, taken, depth, r)
		checkAllRead(t, taken, r)
		if asText(t, car) != carBefore || asText(t, taken) != takenBefore {
			t.Fatal("judging changed the car or the readings")
		}
		taken.Readings = rapid.Permutation(taken.Readings).Draw(t, "other order")
		if a, b := write(r), write(judge.Judge(cat, car, taken, depth)); a != b {
			t.Fatalf("the order of the readings matters:\n%s\n%s", a, b)
		}
	})
	if asText(t, cat.Points, cat.Jobs, cat.Specs, cat.Tables) != before {
		t.Error("judging changed the catalogue")
	}
}

type fataler interface {
	Helper()
	Fatal(...any)
	Fatalf(string, ...any)
}

func asText(t fataler, vs ...any) string {
	t.Helper()
	b, err := json.Marshal(vs)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

var slips = regexp.MustCompile(`  |%!|\.\.|,,| [,.;:]|NaN|Inf|-0 |\x00`)

// checkFinding holds what every finding owes its reader.
func checkFinding(t fataler, cat *point.Catalogue, f judge.Finding) {
	t.Helper()
	if _, err := verdict.Parse(string(f.Verdict)); err != nil {
		t.Fatal(err)
	}
	if !strings.HasSuffix(f.Why, ".") || slips.MatchString(f.Why) || f.Why[:1] != strings.ToUpper(f.Why[:1]) {
		t.Fatalf("%s %s: a sentence with a slip: %q", f.Point.ID, f.At, f.Why)
	}
	if f.Source == "" || f.Jobs == nil || f.Cautions == nil || f.Means == "" || f.Wait == "" {
		t.Fatalf("%s %s lacks a source, a list or the owner's words: %+v", f.Point.ID, f.At, f)
	}
	if f.Verdict.Place() >= verdict.Due.Place() && len(f.Jobs) == 0 {
		t.Fatalf("%s %s is %s and nothing follows from it", f.Point.ID, f.At, f.Verdict)
	}
	for _, id := range f.Jobs {
		if cat.Jobs[id] == nil {
			t.Fatalf("%s asks for %q, which is no job", f.Point.ID, id)
		}
	}
	if f.Category != "" && (f.Regulation == "" || f.Verdict.Place() < verdict.Watch.Place()) {
		t.Fatalf("%s %s has class %q of %q with verdict %s", f.Point.ID, f.At, f.Category, f.Regulation, f.Verdict)
	}
	if l := f.Limit; l != nil && (math.IsNaN(l.Value) || math.IsInf(l.Value, 0) || math.IsNaN(l.Got) || l.Unit == "" || l.Source == "") {
		t.Fatalf("%s %s: limit %+v", f.Point.ID, f.At, *l)
	}
	if f.Verdict == verdict.Unjudged && f.Limit != nil {
		t.Fatalf("%s %s is unjudged and shows limit %+v", f.Point.ID, f.At, *f.Limit)
	}
}

// checkOrder: worst first, then who is hurt.
func checkOrder(t fataler, fs []judge.Finding) {
	t.Helper()
	for i := 1; i < len(fs); i++ {
		a, b := fs[i-1], fs[i]
		if a.Verdict.Urgency() < b.Verdict.Urgency() ||
			a.Verdict.Urgency() == b.Verdict.Urgency() && a.Point.Consequence.Rank() < b.Point.Consequence.Rank() {
			t.Fatalf("%s (%s) stands before %s (%s)", a.Point.ID, a.Verdict, b.Point.ID, b.Verdict)
		}
	}
}

// checkPlaces: every place of the walk is either looked at or listed, once.
func checkPlaces(t fataler, cat *point.Catalogue, car round.Car, taken round.Taken, depth point.Depth, r judge.Result) {
	t.Helper()
	steps, absent := round.Walk(cat, depth, round.Known{Facets: car.Facets})
	listed := map[[2]string]int{}
	whole := map[string]bool{}
	for _, n := range r.NotLooked {
		listed[[2]string{n.Point.ID, n.At}]++
		whole[n.Point.ID] = whole[n.Point.ID] || n.At == ""
		if n.Reason == "" {
			t.Fatalf("%s %s was not looked at for no reason", n.Point.ID, n.At)
		}
	}
	read := map[[2]string]bool{}
	for _, x := range taken.Readings {
		if x.Skipped == "" {
			read[[2]string{x.Point, x.At}] = true
		}
	}
	places, missed := 0, 0
	for _, s := range steps {
		places += len(s.Slots)
		for _, slot := range s.Slots {
			key := [2]string{s.Point.ID, slot}
			n := listed[key]
			if n == 0 && whole[s.Point.ID] && slot != "" {
				n = 1
			}
			if n > 1 || n > 0 && read[key] {
				t.Fatalf("%s %s is listed %d times, read: %v", s.Point.ID, slot, n, read[key])
			}
			missed += n
		}
	}
	if r.Places != places || r.Looked != places-missed {
		t.Fatalf("%d places with %d not looked at, but the result counts %d and %d looked at", places, missed, r.Places, r.Looked)
	}
	if len(r.NotApplicable) > len(absent) {
		t.Fatalf("%d points do not apply, %d are listed", len(absent), len(r.NotApplicable))
	}
}

// checkAllRead: no reading is lost; each has a finding at its place.
func checkAllRead(t fataler, taken round.Taken, r judge.Result) {
	t.Helper()
	found := map[[2]string]bool{}
	for _, f := range r.Findings {
		found[[2]string{f.Point.ID, f.At}] = true
	}
	for _, x := range taken.Readings {
		if x.Skipped == "" && !found[[2]string{x.Point, x.At}] {
			t.Fatalf("the reading %+v has no finding", x)
		}
	}
}

// TestEveryStateOfEveryPoint judges each state on its own, with and without figures of the car.
func TestEveryStateOfEveryPoint(t *testing.T) {
	cat := base(t)
	for _, market := range []string{"eu", "us"} {
		car := round.Car{OdometerKm: -1, Facets: round.Resolve(cat, map[string]string{"market": market}, "", time.Time{})}
		for _, p := range cat.Points {
			for _, s := range p.States {
				taken := round.Taken{On: time.Date(2026, 3, 21, 0, 0, 0, 0, time.UTC), Readings: []round.Reading{{Point: p.ID, State: s.ID}}}
				r := judge.Judge(cat, car, taken, point.Full)
				if len(r.Findings) != 1 {
					t.Fatalf("%s %s gives %d findings", p.ID, s.ID, len(r.Findings))
				}
				f := r.Findings[0]
				checkFinding(t, cat, f)
				if f.Verdict != s.Verdict {
					t.Errorf("%s %s is %s alone, the catalogue says %s", p.ID, s.ID, f.Verdict, s.Verdict)
				}
				if want := s.Category[market]; f.Category != want {
					t.Errorf("%s %s has class %q in market %s, want %q", p.ID, s.ID, f.Category, market, want)
				}
			}
		}
	}
}

// A car of which nothing is known is judged without a panic, and nothing is guessed.
func TestNothingKnown(t *testing.T) {
	cat := base(t)
	r := judge.Judge(cat, round.Car{OdometerKm: -1, Facets: facet.Set{}}, round.Taken{}, point.Full)
	if len(r.Findings) != 0 || r.Looked != 0 {
		t.Errorf("%d findings and %d looks from nothing", len(r.Findings), r.Looked)
	}
}
