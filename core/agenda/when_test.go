package agenda

import (
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"

	"witnessmark/core/outlook"
	"witnessmark/core/point"
)

var today = time.Date(2026, 3, 21, 0, 0, 0, 0, time.UTC)

func inDays(n int) time.Time { return today.AddDate(0, 0, n) }

// anyWhen draws a day that falls due, certain ones too.
func anyWhen(t *rapid.T) When {
	w := When{Mid: rapid.Float64Range(-400, 900).Draw(t, "mid"), Early: rapid.Float64Range(0, 300).Draw(t, "early"), Late: rapid.Float64Range(0, 300).Draw(t, "late")}
	if rapid.Bool().Draw(t, "sure") {
		return On(math.Round(w.Mid))
	}
	w.From = w.Mid - rapid.Float64Range(0, 600).Draw(t, "from")
	w.To = w.Mid + rapid.Float64Range(1, 1500).Draw(t, "to")
	return w
}

// quadrature integrates the chance of having fallen due from From to t by the midpoint rule, and its complement from t to To.
func quadrature(w When, t float64) (late, early float64) {
	integrate := func(a, b float64, f func(float64) float64) float64 {
		const n = 4000
		sum, h := 0.0, (b-a)/n
		for i := range n {
			sum += f(a + (float64(i)+0.5)*h)
		}
		return sum * h
	}
	if t > w.From {
		late = integrate(w.From, t, w.Chance)
	}
	if t < w.To {
		early = integrate(t, w.To, func(x float64) float64 { return 1 - w.Chance(x) })
	}
	return late, early
}

// TestHardlyAnySpread: a spread as small as a number can be is a day that is certain.
func TestHardlyAnySpread(t *testing.T) {
	for _, sd := range []float64{0, math.SmallestNonzeroFloat64, 2.2250738585072014e-308, 1e-200, 1e-12, 1e-6} {
		w := When{Mid: 1, Early: sd, Late: sd, From: 0, To: 5}
		for _, day := range []float64{-1, 0, 0.5, 1.5, 5, 9} {
			if got, want := w.TooLate(day), max(0, day-1); math.Abs(got-want) > 1e-5 {
				t.Errorf("spread %g: too late at %g: %g, expected %g", sd, day, got, want)
			}
			if got, want := w.TooEarly(day), max(0, 1-day); math.Abs(got-want) > 1e-5 {
				t.Errorf("spread %g: too early at %g: %g, expected %g", sd, day, got, want)
			}
		}
	}
}

// TestMeanLatenessAgainstQuadrature: E[(t-D)+] is the integral of the distribution function up to t, E[(D-t)+] that of its complement
// from t on (integration by parts). The midpoint rule at 4000 steps is good for 0.5 day where the function jumps at an end.
func TestMeanLatenessAgainstQuadrature(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w, day := anyWhen(t), rapid.Float64Range(-500, 1200).Draw(t, "t")
		late, early := quadrature(w, day)
		if got := w.TooLate(day); math.Abs(got-late) > 0.5 {
			t.Errorf("%+v: too late at %g: %g, by quadrature %g", w, day, got, late)
		}
		if got := w.TooEarly(day); math.Abs(got-early) > 0.5 {
			t.Errorf("%+v: too early at %g: %g, by quadrature %g", w, day, got, early)
		}
	})
}

// TestLaterIsLater: a later day is never less late nor more early, both are never negative, and their difference moves with the day.
func TestLaterIsLater(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := anyWhen(t)
		a := math.Round(rapid.Float64Range(-500, 1200).Draw(t, "a"))
		b := a + math.Round(rapid.Float64Range(0, 300).Draw(t, "more"))
		const tiny = 1e-6
		if w.TooLate(a) > w.TooLate(b)+tiny || w.TooEarly(a) < w.TooEarly(b)-tiny || w.TooLate(a) < 0 || w.TooEarly(b) < 0 || w.Chance(a) > w.Chance(b) {
			t.Errorf("%+v: day %g then %g: late %g %g, early %g %g", w, a, b, w.TooLate(a), w.TooLate(b), w.TooEarly(a), w.TooEarly(b))
		}
		if d := (w.TooLate(b) - w.TooEarly(b)) - (w.TooLate(a) - w.TooEarly(a)) - (b - a); math.Abs(d) > 1e-6 {
			t.Errorf("%+v: (t-D)+ - (D-t)+ is t-D, yet it moved by %g more than the day", w, d)
		}
	})
}

func TestForecastGoesThroughItsDays(t *testing.T) {
	horizon := inDays(1826)
	for _, c := range []struct {
		name  string
		reach outlook.Reach
		q     [][2]float64 // day, probability
		ok    bool
	}{
		{"all three ends", outlook.Reach{Low: inDays(100), Mid: inDays(300), High: inDays(800)}, [][2]float64{{100, 0.1}, {300, 0.5}, {800, 0.9}}, true},
		{"the high end beyond", outlook.Reach{Low: inDays(100), Mid: inDays(900), High: horizon, OpenHigh: true, Never: 0.2}, [][2]float64{{100, 0.1}, {900, 0.5}, {1825.9, 0.8}}, true},
		{"the middle beyond", outlook.Reach{Low: inDays(700), Mid: horizon, High: horizon, OpenMid: true, OpenHigh: true, Never: 0.7}, [][2]float64{{700, 0.1}, {1825.9, 0.3}}, true},
		{"one day", outlook.Reach{Low: inDays(50), Mid: inDays(50), High: inDays(50)}, [][2]float64{{49, 0}, {51, 1}}, true},
		{"nothing in sight", outlook.Reach{Low: horizon, Mid: horizon, High: horizon, OpenLow: true, OpenMid: true, OpenHigh: true, Never: 0.95}, nil, false},
		{"no forecast", outlook.Reach{}, nil, false},
	} {
		w, ok := Forecast(&c.reach, today, inDays(-200), horizon)
		if ok != c.ok {
			t.Errorf("%s: %v", c.name, ok)
			continue
		}
		for _, q := range c.q {
			if got := w.Chance(q[0]); math.Abs(got-q[1]) > 0.002 {
				t.Errorf("%s: by day %g it has happened with %g, not %g", c.name, q[0], got, q[1])
			}
		}
	}
}

// TestLateIsWeighedByTheAcceptedRisk: the day of least cost has the limit passed with just the accepted risk (the critical ratio), where
// what is thrown away outweighs the floor.
func TestLateIsWeighedByTheAcceptedRisk(t *testing.T) {
	w := When{Mid: 400, Early: 90, Late: 130, From: -200, To: 1826}
	for _, c := range []struct {
		class point.Consequence
		risk  float64
	}{{point.People, 0.01}, {point.Machine, 0.05}, {point.Comfort, 0.2}} {
		const early = 10.0 // a day, dear enough that the floor is below
		late := LatePerDay(early, c.risk, 60, c.class)
		best, least := 0.0, math.Inf(1)
		for d := 0.0; d < 900; d++ {
			if cost := early*w.TooEarly(d) + late*w.TooLate(d); cost < least {
				best, least = d, cost
			}
		}
		if got := w.Chance(best); math.Abs(got-c.risk) > 0.005 { // a day either way moves the chance by up to 0.4 %
			t.Errorf("%s: the best day %g has passed the limit with %g, accepted are %g", c.class, best, got, c.risk)
		}
	}
	if got, want := LatePerDay(0, 0.01, 60, point.People), 4*60/DaysPerMonth; got != want {
		t.Errorf("what throws nothing away is weighed at %g a day, not %g", got, want)
	}
	if got := LatePerDay(math.NaN(), 0.01, 60, "nobody"); !(got > 0) {
		t.Errorf("an unknown class and no price: %g", got)
	}
}
