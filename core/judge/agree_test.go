package judge_test

import (
	"flag"
	"fmt"
	"os"
	"strings"
	"testing"
	"time"

	"witnessmark/core/judge"
	"witnessmark/core/point"
	"witnessmark/core/round"
)

var update = flag.Bool("update", false, "write the golden files anew")

// TestAgree judges a few values of every measured point and compares words, figures and verdicts with a golden table.
// It is plain Go, so that the same test runs as WebAssembly and shows that the phone and the server judge alike:
//
//	GOOS=js GOARCH=wasm go test -exec="$(go env GOROOT)/lib/wasm/go_js_wasm_exec" -run Agree ./core/judge
//
// Rewrite the table after a change of the catalogue with: go test ./core/judge -run Agree -update
func TestAgree(t *testing.T) {
	const name = "testdata/verdicts.golden"
	got := table(t)
	if *update {
		if err := os.WriteFile(name, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	g, w := strings.Split(got, "\n"), strings.Split(string(want), "\n")
	if len(g) != len(w) {
		t.Errorf("%d lines, the golden table has %d", len(g), len(w))
	}
	for i := range min(len(g), len(w)) {
		if g[i] != w[i] {
			t.Fatalf("line %d is\n%s\nwant\n%s", i+1, g[i], w[i])
		}
	}
}

// table judges values spread over the range of each measured point, in thirds and near the ends, on two cars.
func table(t *testing.T) string {
	cat := base(t)
	var b strings.Builder
	all := cars(cat)
	ambient := 11.0
	for _, name := range []string{"eu2008 figures", "us1999 bare"} {
		car := all[name]
		for _, p := range cat.Points {
			slots := p.Positions.Slots(car.Facets)
			if p.Kind != point.Measure || len(slots) == 0 {
				continue
			}
			for i, share := range []float64{0.01, 0.04, 0.1, 0.25, 1.0 / 3, 0.5, 2.0 / 3, 0.9} {
				r := round.Reading{Point: p.ID, At: slots[i%len(slots)], Values: map[string]float64{}}
				for _, v := range p.Values {
					if !v.Companion || i%2 == 0 {
						r.Values[v.Name] = v.Min + share*(v.Max-v.Min)
					}
				}
				res := judge.Judge(cat, car, round.Taken{On: someDay, AmbientC: &ambient, Readings: []round.Reading{r}}, point.Full)
				for _, f := range res.Findings {
					fmt.Fprintf(&b, "%s | %s %s | %s | %s", name, f.Point.ID, f.At, f.Verdict, f.Why)
					if f.Limit != nil {
						fmt.Fprintf(&b, " | %v %s, got %v", f.Limit.Value, f.Limit.Unit, f.Limit.Got)
					}
					b.WriteByte('\n')
				}
			}
		}
	}
	return b.String()
}

// full is a whole round of one car: the first n places of the walk, each with a reading.
func full(cat *point.Catalogue, car round.Car, n int) round.Taken {
	taken := round.Taken{On: someDay}
	steps, _ := round.Walk(cat, point.Full, round.Known{Facets: car.Facets})
	for i, s := range steps {
		for k, slot := range s.Slots {
			if len(taken.Readings) == n {
				return taken
			}
			r := round.Reading{Point: s.Point.ID, At: slot}
			switch s.Point.Kind {
			case point.State, point.Level:
				r.State = s.Point.States[(i+k)%len(s.Point.States)].ID
			case point.Code:
				r.Code = "1217"
			}
			for _, v := range s.Point.Values {
				if r.Values == nil {
					r.Values = map[string]float64{}
				}
				r.Values[v.Name] = v.Min + (v.Max-v.Min)*float64((i+k)%7)/7
			}
			taken.Readings = append(taken.Readings, r)
		}
	}
	return taken
}

// BenchmarkJudge150 judges a round of 150 readings. Budget: 2 ms.
func BenchmarkJudge150(b *testing.B) {
	cat := base(b)
	car := cars(cat)["eu2008 figures"]
	car.Renewed = []round.Renewal{{Item: "engine-oil", Date: someDay.AddDate(-1, -1, 0), OdometerKm: -1}}
	taken := full(cat, car, 150)
	if len(taken.Readings) != 150 {
		b.Fatalf("only %d readings", len(taken.Readings))
	}
	b.ReportAllocs()
	start := time.Now()
	n := 0
	for b.Loop() {
		judge.Judge(cat, car, taken, point.Full)
		n++
	}
	if per := time.Since(start) / time.Duration(n); n > 10 && per > 2*time.Millisecond {
		b.Logf("over budget: %v for one round of 150 readings, budget 2 ms", per)
	}
}
