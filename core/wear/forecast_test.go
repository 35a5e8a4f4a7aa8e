package wear

import (
	"errors"
	"fmt"
	"math"
	"testing"
)

func mustForecast(t *testing.T, c Class, lives []Life, now, limit float64) Forecast {
	t.Helper()
	f, err := c.Forecast(lives, len(lives)-1, now, limit)
	if err != nil {
		t.Fatal(err)
	}
	sane(t, f)
	return f
}

// width is the 80 % range's.
func width(f Forecast) float64 { return f.Quantile(0.9) - f.Quantile(0.1) }

// TestMoreIsSurer: a reading on the way, a known start, a finished life of the same unit each make the range narrower; kin that wore fast make
// the crossing earlier.
func TestMoreIsSurer(t *testing.T) {
	c := padClass()
	one := Life{Unit: "u", Readings: []Reading{{30000, 7.5}}}
	two := Life{Unit: "u", Readings: []Reading{{8000, 10.5}, {30000, 7.5}}}
	known := one
	known.New, known.NewKnown = 11.5, true
	alone := mustForecast(t, c, []Life{one}, 30000, 3)
	for name, f := range map[string]Forecast{
		"second reading": mustForecast(t, c, []Life{two}, 30000, 3),
		"known start":    mustForecast(t, c, []Life{known}, 30000, 3),
		"kin":            mustForecast(t, c, []Life{padLife(), one}, 30000, 3),
	} {
		if !(width(f) < width(alone)) {
			t.Errorf("%s: range %.0f km, without %.0f km", name, width(f), width(alone))
		}
	}
	fast := Life{Unit: "u", Readings: []Reading{{10000, 9}, {20000, 6}, {28000, 3.5}}}
	if a, b := mustForecast(t, c, []Life{fast, one}, 30000, 3).Quantile(0.5), alone.Quantile(0.5); !(a < b) {
		t.Errorf("after a fast life the middle is %.0f, without it %.0f", a, b)
	}
}

// TestEdges: what degenerate histories must say.
func TestEdges(t *testing.T) {
	c := padClass()
	tests := []struct {
		name  string
		life  Life
		now   float64
		check func(Forecast) string
	}{
		{"no reading, new part known", Life{New: 11.5, NewKnown: true}, 0, func(f Forecast) string {
			if m := f.Quantile(0.5); m < 55000 || m > 80000 {
				return "the middle is not the class's 65 000"
			}
			return ""
		}},
		{"at the limit", Life{Readings: []Reading{{40000, 5}, {60000, 3}}}, 60000, func(f Forecast) string {
			if !f.Crossed || f.Quantile(0.5) > 64000 {
				return "not said to be there"
			}
			return ""
		}},
		{"far below the limit", Life{Readings: []Reading{{60000, 1}}}, 60000, func(f Forecast) string {
			if !f.Crossed || f.Quantile(0.9) > 62000 {
				return "not said to be past"
			}
			return ""
		}},
		{"constant readings", Life{Readings: []Reading{{10000, 9}, {40000, 9}, {60000, 9}}}, 60000, func(f Forecast) string {
			if f.Quantile(0.5) < 90000 {
				return "no wear seen, yet the limit is near"
			}
			return ""
		}},
		{"growing thickness", Life{Readings: []Reading{{10000, 8}, {20000, 9}, {30000, 10}}}, 30000, func(Forecast) string { return "" }},
		{"the same distance twice", Life{Readings: []Reading{{20000, 8.5}, {20000, 9}, {20000, 9}}}, 20000, func(Forecast) string { return "" }},
		{"the wrong order", Life{Readings: []Reading{{30000, 7.5}, {10000, 10}}}, 30000, func(f Forecast) string {
			if f.Now != 30000 {
				return "now lies before a reading"
			}
			return ""
		}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			f := mustForecast(t, c, []Life{tt.life}, tt.now, 3)
			if why := tt.check(f); why != "" {
				t.Errorf("%s: 10 %% %.0f, middle %.0f, 90 %% %.0f, crossed %v", why, f.Quantile(0.1), f.Quantile(0.5), f.Quantile(0.9), f.Crossed)
			}
		})
	}
}

// TestNever: a part that hardly wears may never cross within the horizon, and quantiles say so.
func TestNever(t *testing.T) {
	c := padClass()
	c.LogRate -= 4
	f := mustForecast(t, c, []Life{{Unit: "u", Readings: []Reading{{50000, 11.5}}}}, 50000, 3)
	if !math.IsInf(f.Quantile(0.9), 1) || f.Never() < 0.2 {
		t.Errorf("90 %% quantile %v, never %v", f.Quantile(0.9), f.Never())
	}
	if at := f.Quantile(1 - f.Never() - 1e-6); !(at <= f.Horizon) {
		t.Errorf("just short of never: %v, horizon %v", at, f.Horizon)
	}
}

// TestManyReadings: ten thousand readings of one part pin its crossing down and take no harm.
func TestManyReadings(t *testing.T) {
	l := Life{Unit: "u"}
	for i := range 10000 {
		x := float64(i) * 5
		l.Readings = append(l.Readings, Reading{x, math.Round((11.5-1.3e-4*x+0.2*math.Sin(float64(i*i)))/0.5) * 0.5})
	}
	c := padClass()
	c.Path = 0.001
	f := mustForecast(t, c, []Life{l}, 50000, 3)
	if m := f.Quantile(0.5); math.Abs(m-8.5/1.3e-4) > 1500 {
		t.Errorf("the middle is %.0f, the line crosses at %.0f", m, 8.5/1.3e-4)
	}
	if _, _, err := FitClass([]Life{l}, Weak([]Life{l}, 0.5)); err != nil {
		t.Error(err)
	}
}

// TestBand: the band of the level narrows at readings, its middle falls, a reading's range is wider than the level's.
func TestBand(t *testing.T) {
	f := mustForecast(t, padClass(), []Life{padLife()}, 52000, 3)
	last := math.Inf(1)
	for x := 0.0; x <= 100000; x += 2000 {
		lo, mid, hi := f.Level(x, 0.1), f.Level(x, 0.5), f.Level(x, 0.9)
		if !(lo <= mid && mid <= hi) || mid > last+1e-9 {
			t.Fatalf("level at %.0f: %.3f %.3f %.3f, before %.3f", x, lo, mid, hi, last)
		}
		if a, b := f.Expect(x, 0.1), f.Expect(x, 0.9); x <= 60000 && !(b-a > hi-lo) {
			t.Fatalf("at %.0f a reading's range %.3f is no wider than the level's %.3f", x, b-a, hi-lo)
		}
		last = mid
	}
	x := f.Quantile(0.5)
	if y := f.Level(x, 0.5); math.Abs(y-3) > 0.02 {
		t.Errorf("where the middle of the crossings lies, the middle of the levels is %.3f", y)
	}
	if lo, mid, hi := f.Rate(); !(1.1e-4 < lo && lo < mid && mid < hi && hi < 1.5e-4) {
		t.Errorf("wear per km %v, %v, %v; the readings fall by 6.5 mm over 52 000", lo, mid, hi)
	}
}

// TestUneven: pads that wear alike are no finding, one that wears twice as fast is, two readings that the gauge can't tell apart are not.
func TestUneven(t *testing.T) {
	c := padClass()
	c.SideSD = 0.05
	half := Life{Unit: "u", Readings: []Reading{{20000, 10.5}, {40000, 9}, {52000, 8}}}
	if d := c.Uneven(padLife(), padLife()); d.Uneven || math.Abs(d.Ratio-1) > 1e-9 || !d.Known {
		t.Errorf("alike: %+v", d)
	}
	if d := c.Uneven(padLife(), half); !d.Uneven || d.Ratio < 1.1 {
		t.Errorf("twice as fast: %+v", d)
	}
	if d := c.Uneven(Life{Readings: []Reading{{15000, 9.5}}}, Life{Readings: []Reading{{15000, 9}}}); d.Uneven {
		t.Errorf("half a millimetre on a half-millimetre gauge: %+v", d)
	}
	if d := c.Uneven(padLife(), Life{}); d.Known || d.Uneven {
		t.Errorf("nothing read: %+v", d)
	}
}

// TestLittleHistory: a class with little history stays near its prior, one with much leaves a wrong prior behind.
func TestLittleHistory(t *testing.T) {
	prior := Usual(11.5, 0.3, 2.6e-4, 0.3, 0.2, 0.5, 8.5, 10)
	r := recipes()[0]
	r.units = 2
	few := r.draw(3)
	near, _, err := FitClass(few.lives, prior)
	if err != nil {
		t.Fatal(err)
	}
	r.units = 300
	many := r.draw(3)
	far, _, err := FitClass(many.lives, prior)
	if err != nil {
		t.Fatal(err)
	}
	truth := math.Log(1.3e-4)
	if d := math.Abs(near.LogRate - prior.LogRate.Mid); d > 0.25 {
		t.Errorf("two units moved ln rate by %.3f", d)
	}
	if d := math.Abs(far.LogRate - truth); d > 0.08 {
		t.Errorf("300 units leave ln rate %.3f off", d)
	}
	if near.Doubt.LogRate < far.Doubt.LogRate {
		t.Errorf("doubt after two units %.4f, after 300 %.4f", near.Doubt.LogRate, far.Doubt.LogRate)
	}
	if none, _, err := FitClass(nil, prior); !errors.Is(err, ErrNoData) || fmt.Sprint(none) != fmt.Sprint(prior.Class()) {
		t.Errorf("no history: %v, %+v", err, none)
	}
}
