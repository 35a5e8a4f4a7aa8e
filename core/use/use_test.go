package use

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// Closed forms of the distribution function of Student's t with 3 and 4 degrees of freedom, and the quantiles of the table in
// NIST/SEMATECH e-Handbook 1.3.6.7.2 (three decimals).
func TestStudent(t *testing.T) {
	for x := -12.0; x <= 12; x += 0.125 {
		three := 0.5 + (x/math.Sqrt(3)/(1+x*x/3)+math.Atan(x/math.Sqrt(3)))/math.Pi
		if got := student(x, 3); math.Abs(got-three) > 1e-4 {
			t.Errorf("3 degrees at %v: %v, want %v", x, got, three)
		}
		u := 1 + x*x/4
		four := 0.5 + 3.0/8*x/math.Sqrt(u)*(1-x*x/u/12)
		if got := student(x, 4); math.Abs(got-four) > 2e-5 {
			t.Errorf("4 degrees at %v: %v, want %v", x, got, four)
		}
		if got := newCurve(4).at(x); math.Abs(got-four) > 1e-3 {
			t.Errorf("table, 4 degrees at %v: %v, want %v", x, got, four)
		}
	}
	for _, c := range []struct{ nu, t, share float64 }{
		{5, 2.015, 0.95}, {5, 2.571, 0.975}, {10, 1.372, 0.9}, {10, 2.228, 0.975}, {30, 2.042, 0.975}, {30, 3.385, 0.999},
	} {
		if got := student(c.t, c.nu); math.Abs(got-c.share) > 5e-5 {
			t.Errorf("%v degrees at %v: %v, want %v", c.nu, c.t, got, c.share)
		}
	}
}

// One increment and a certain even year: the posterior by hand. Prior: 12 000 +- 5000 km a year, weight 2.5; one year of
// 15 000 km, so the spread of 2000 becomes 2000*(6000+15000)/1.5/12000 = 2333.3. Prior time (2333.3/5000)^2 = 0.21778 years,
// mean (0.21778*12000+15000)/1.21778 = 14463.5 km a year, b = 2333.3^2*1.5 + 0.5*3000^2*0.21778/1.21778 = 8 971 411 in
// km^2/year, s2 = b/3 = 2 990 470, and the scale of the next year sqrt(s2*(1+1/1.21778)) = 2333.7 (Gelman et al., BDA3, 3.3);
// 6 degrees of freedom have 1.440 at 0.9 (NIST table).
func TestByHand(t *testing.T) {
	rs := []Reading{{0, 50000}, {daysPerYear, 65000}}
	u, err := Fit(rs, Prior{Even: 1 - 1e-9, HalfLifeYears: 1e6, ChangesPerYear: 1e-9})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ q, want float64 }{{0.5, 65000 + 14463.5}, {0.9, 65000 + 14463.5 + 1.440*2333.7}, {0.1, 65000 + 14463.5 - 1.440*2333.7}} {
		if got := u.Km(2*daysPerYear, c.q); math.Abs(got-c.want) > 3 {
			t.Errorf("quantile %v: %v, want %v", c.q, got, c.want)
		}
		// Reached by the quantile 1-q of the distance is reached by the day with probability 1-q.
		if got := u.Day(c.want, 1-c.q); math.Abs(got-2*daysPerYear) > 0.3 {
			t.Errorf("day of %v with %v: %v, want %v", c.want, 1-c.q, got, 2*daysPerYear)
		}
	}
	if _, middle, _ := u.Rate(); math.Abs(middle-14463.5) > 1 {
		t.Errorf("%v km a year", middle)
	}
}

func TestReadingsThatCannotStand(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		name string
		rs   []Reading
		want string // "": accepted
	}{
		{"none", nil, "there is no odometer reading"},
		{"one", []Reading{{100, 5000}}, ""},
		{"backwards", []Reading{{0, 5000}, {100, 4000}}, "reading 2 (4000 km on day 100): it is less than the 5000 km read before"},
		{"backwards, unordered", []Reading{{100, 4000}, {0, 5000}}, "reading 1 (4000 km on day 100): it is less than the 5000 km read before"},
		{"backwards by rounding", []Reading{{0, 5000}, {100, 4999.4}}, ""},
		{"same day", []Reading{{0, 5000}, {0, 5020}, {200, 9000}}, ""},
		{"same day, same km", []Reading{{0, 5000}, {0, 5000}}, ""},
		{"same day, far apart", []Reading{{0, 5000}, {0, 9000}}, "reading 2 (9000 km on day 0): 5000 km were read on the same day"},
		{"stood still", []Reading{{0, 5000}, {300, 5000}, {700, 5000}}, ""},
		{"no number", []Reading{{0, 5000}, {10, nan}}, "reading 2 (NaN km on day 10): this is no distance that an odometer shows"},
		{"below 0", []Reading{{0, -1}}, "reading 1 (-1 km on day 0): this is no distance"},
		{"endless", []Reading{{0, math.Inf(1)}}, "this is no distance"},
		{"no day", []Reading{{nan, 5}}, "this is no day"},
	} {
		_, err := Fit(c.rs, Prior{})
		switch {
		case c.want == "" && err != nil:
			t.Errorf("%s: %v", c.name, err)
		case c.want != "" && (err == nil || !strings.Contains(err.Error(), c.want)):
			t.Errorf("%s: %v, want %s", c.name, err, c.want)
		}
		var which *ReadingError
		if err != nil && len(c.rs) > 0 && !errors.As(err, &which) {
			t.Errorf("%s: the error names no reading: %v", c.name, err)
		}
	}
	if _, err := Fit([]Reading{{0, 1}}, Prior{KmPerYear: -3}); err == nil || err.Error() != "prior of use: KmPerYear is -3; expected 1 to 1e+06" {
		t.Error(err)
	}
}

func TestOneReadingIsThePrior(t *testing.T) {
	u, err := Fit([]Reading{{100, 5000}}, Prior{KmPerYear: 20000, KmPerYearSD: 6000})
	if err != nil {
		t.Fatal(err)
	}
	if got := u.Km(100+daysPerYear, 0.5); math.Abs(got-25000) > 1 {
		t.Errorf("%v after a year, want 25000", got)
	}
	if low, middle, high := u.Rate(); math.Abs(middle-20000) > 1 || low < 10000 || low > 15000 || high < 25000 || high > 30000 {
		t.Errorf("rate %v, %v, %v", low, middle, high)
	}
}

// A car that stood for years may never reach a distance, and that is said.
func TestMayNever(t *testing.T) {
	rs := []Reading{{0, 90000}, {400, 90000}, {900, 90000}, {1400, 90000}, {1900, 90001}}
	u, err := Fit(rs, Prior{ChangesPerYear: 1e-6})
	if err != nil {
		t.Fatal(err)
	}
	if got := u.Day(400000, 0.9); !math.IsInf(got, 1) {
		t.Errorf("400 000 km with 0.9 on day %v", got)
	}
	never := Combine(u, func(float64) float64 { return math.Inf(1) }, []float64{0.5})
	half := Combine(u, func(p float64) float64 {
		if p < 0.5 {
			return 80000
		}
		return math.NaN()
	}, []float64{0.2, 0.8})
	if !math.IsInf(never[0], 1) || half[0] != 1900 || !math.IsInf(half[1], 1) {
		t.Errorf("%v, %v", never, half)
	}
}

// Combining a distance that is certain gives the days of that distance; an uncertain one lies around it.
func TestCombine(t *testing.T) {
	o := newOwner(rand.New(rand.NewPCG(3, 4)), "laid up in winter", 7)
	u, err := Fit(o.reads, Prior{})
	if err != nil {
		t.Fatal(err)
	}
	km, qs := u.Last().Km+7000, []float64{0.1, 0.5, 0.9}
	days := Combine(u, func(float64) float64 { return km }, qs)
	wide := Combine(u, func(p float64) float64 { return km + 8000*(p-0.5) }, qs)
	for i, q := range qs {
		if want := u.Day(km, q); math.Abs(days[i]-want) > 1 {
			t.Errorf("certain distance, %v: day %v, want %v", q, days[i], want)
		}
	}
	if !(wide[0] < days[0] && wide[2] > days[2]) {
		t.Errorf("uncertain distance %v within the certain one %v", wide, days)
	}
	// Against drawing distances and days.
	d := rand.New(rand.NewPCG(1, 2))
	var drawn []float64
	for range 3000 {
		drawn = append(drawn, u.Day(km+8000*(d.Float64()-0.5), d.Float64()))
	}
	slices.Sort(drawn)
	for i, q := range qs {
		if below, _ := slices.BinarySearch(drawn, wide[i]); math.Abs(float64(below)/3000-q) > 0.035 {
			t.Errorf("%v: %.3f of the draws lie below day %v", q, float64(below)/3000, wide[i])
		}
	}
}

func TestOdd(t *testing.T) {
	rs := []Reading{{0, 50000}, {182, 56000}, {365, 62000}, {547, 68000}, {730, 74000}}
	u, err := Fit(rs, Prior{})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		r    Reading
		want bool
	}{{Reading{912, 80000}, false}, {Reading{912, 84000}, false}, {Reading{912, 128000}, true}, {Reading{460, 65000}, false}, {Reading{460, 62100}, false},
		{Reading{730, 74000}, false}, {Reading{730, 79000}, true}, {Reading{-100, 47000}, false}, {Reading{math.NaN(), 74000}, false}} {
		if low, high, odd := u.Odd(c.r); odd != c.want || low > high {
			t.Errorf("%+v: odd %v, range %v to %v", c.r, odd, low, high)
		}
	}
}

// Whatever the readings: what is accepted gives finite figures, quantiles in order, never below the last reading, readings met
// on their day, and Day and Reached agree.
func TestHoldsForAnyReadings(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var rs []Reading
		day, km := rapid.Float64Range(-20000, 40000).Draw(t, "first day"), rapid.Float64Range(0, 3e5).Draw(t, "first km")
		for range rapid.IntRange(1, 14).Draw(t, "readings") {
			rs = append(rs, Reading{day, km})
			day += rapid.OneOf(rapid.Float64Range(0.6, 900), rapid.Just(1.0), rapid.Just(20000.0)).Draw(t, "days")
			km += rapid.OneOf(rapid.Float64Range(0, 30000), rapid.Just(0.0), rapid.Just(1e5)).Draw(t, "run")
		}
		given := slices.Clone(rs)
		u, err := Fit(rs, Prior{})
		if err != nil {
			t.Fatal(err)
		}
		if !slices.Equal(given, rs) {
			t.Fatal("the readings were changed")
		}
		last := u.Last()
		for _, r := range rs {
			if got := u.Km(r.Day, 0.5); math.Abs(got-r.Km) > 1e-2 {
				t.Fatalf("%v on the day of %+v", got, r)
			}
		}
		at := rapid.Float64Range(rs[0].Day-500, last.Day+3000).Draw(t, "day")
		a, b, c := u.Km(at, 0.1), u.Km(at, 0.5), u.Km(at, 0.9)
		if !(a >= 0 && a <= b+0.01 && b <= c+0.01 && c < 1e13) || at > last.Day && a < last.Km {
			t.Fatalf("day %v: %v, %v, %v", at, a, b, c)
		}
		goal := rapid.Float64Range(0, last.Km+1e5).Draw(t, "goal")
		q := rapid.Float64Range(0.01, 0.99).Draw(t, "q")
		on := u.Day(goal, q)
		if math.IsNaN(on) || !math.IsInf(on, 1) && (q >= 0.5 && u.Reached(on, goal) < q-1e-3 || !u.stands(on-1) && !u.stands(on+1) && on > rs[0].Day-horizon+1 && u.Reached(on-1, goal) > q+1e-3) {
			t.Fatalf("%v km with %v on day %v: reached %v, the day before %v", goal, q, on, u.Reached(on, goal), u.Reached(on-1, goal))
		}
		if low, middle, high := u.Rate(); !(low >= 0 && low <= middle && middle <= high && high < 1e9) {
			t.Fatalf("rate %v, %v, %v", low, middle, high)
		}
	})
}

func FuzzFit(f *testing.F) {
	f.Add(0.0, 50000.0, 180.0, 56000.0, 300.0, 0.5)
	f.Add(0.0, 0.0, 0.0, 0.0, math.Inf(1), math.NaN())
	f.Fuzz(func(t *testing.T, d1, k1, d2, k2, day, q float64) {
		u, err := Fit([]Reading{{d1, k1}, {d2, k2}}, Prior{})
		if err != nil {
			return
		}
		low, middle, high := u.Rate()
		for _, v := range []float64{u.Km(day, q), u.Reached(day, k1), low, middle, high} {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				t.Fatalf("%v", v)
			}
		}
		if v := u.Day(day, q); math.IsNaN(v) || math.IsInf(v, -1) {
			t.Fatalf("day %v", v)
		}
	})
}
