package use

import (
	"math"
	"math/rand/v2"
	"sort"
	"testing"
)

// owner is a simulated car with its truth: km at the end of each day since a 1 January.
type owner struct {
	km    []float64
	reads []Reading
}

// habit is the share of the usual rate that is driven at a time (in years) by one kind of owner.
type habit func(d *rand.Rand, n int) func(year float64) float64

var habits = map[string]habit{
	"even": func(*rand.Rand, int) func(float64) float64 { return func(float64) float64 { return 1 } },
	"laid up in winter": func(d *rand.Rand, n int) func(float64) float64 {
		from, to := 2.0/12+d.Float64()/12, 10.0/12+d.Float64()/12
		return func(year float64) float64 {
			if f := year - math.Floor(year); f < from || f > to {
				return 0.02
			}
			return 1
		}
	},
	"holidays": func(d *rand.Rand, n int) func(float64) float64 {
		from := 6.0/12 + d.Float64()/24
		return func(year float64) float64 {
			if f := year - math.Floor(year); f > from && f < from+2.0/12 {
				return 4
			}
			return 0.4
		}
	},
	"job changed": func(d *rand.Rand, n int) func(float64) float64 {
		when, by := 0.24+0.5*(float64(n)-2)*d.Float64(), math.Exp(0.9*(1-2*float64(d.IntN(2))))
		return func(year float64) float64 {
			if year > when {
				return by
			}
			return 1
		}
	},
}

// newOwner draws a car: log-normal rates over the class, a level that drifts by months, days that differ; read every half
// year, in spring and autumn, n times.
func newOwner(d *rand.Rand, kind string, n int) owner {
	share := habits[kind](d, n)
	perDay := 11500 * math.Exp(0.4*d.NormFloat64()) / daysPerYear
	var o owner
	drift, month, total := 0.0, 1.0, 40000*d.Float64()
	for day := range 10 * 366 {
		if day%30 == 0 {
			drift = 0.94*drift + 0.07*d.NormFloat64()
			month = math.Exp(drift + 0.15*d.NormFloat64())
		}
		total += perDay * share(float64(day)/daysPerYear) * month * 2 * d.Float64()
		o.km = append(o.km, total)
	}
	for i := range n {
		day := math.Round(daysPerYear*(0.24+0.5*float64(i)) + 20*d.NormFloat64())
		o.reads = append(o.reads, Reading{day, math.Round(o.km[int(day)])})
	}
	return o
}

// on is the day on which the car reached km.
func (o owner) on(km float64) float64 { return float64(sort.SearchFloat64s(o.km, km)) }

// coverage counts how often truths lie in the 80 % ranges, and below the middles.
type coverage struct{ in, below, of float64 }

func (c *coverage) add(truth, low, middle, high float64) {
	c.of++
	if truth >= low && truth <= high {
		c.in++
	}
	if truth < middle {
		c.below++
	}
}

// covered simulates so many owners of a kind with n readings and counts how often distances and days of the next one and a
// half years lie in their 80 % ranges.
func covered(t *testing.T, kind string, n, cars int) (km, days coverage) {
	for seed := range cars {
		d := rand.New(rand.NewPCG(uint64(seed), uint64(n)))
		o := newOwner(d, kind, n)
		u, err := Fit(o.reads, Prior{})
		if err != nil {
			t.Fatal(err)
		}
		day := u.Last().Day + 60 + 500*d.Float64()
		km.add(o.km[int(day)], u.Km(day, 0.1), u.Km(day, 0.5), u.Km(day, 0.9))
		run := o.km[int(u.Last().Day+90+400*d.Float64())]
		days.add(o.on(run), u.Day(run, 0.1), u.Day(run, 0.5), u.Day(run, 0.9))
	}
	return km, days
}

// The 80 % ranges cover what they say once there is something to learn from: for even cars always; for seasonal ones once both
// halves of the year were seen (two readings, spring and autumn, can't tell them from even ones); for changed use once a
// few readings lie before the change (it lies in or before the last interval but one). Ranges below are those seen with other
// seeds, widened by the chance of 120 cars (a standard error of 0.037).
func TestCoverage(t *testing.T) {
	for _, c := range []struct {
		kind        string
		n           int
		least, most float64
	}{
		{"even", 2, 0.78, 0.96}, {"even", 4, 0.76, 0.95}, {"even", 8, 0.71, 0.90}, {"even", 12, 0.71, 0.90},
		{"laid up in winter", 3, 0.80, 1}, {"laid up in winter", 6, 0.80, 1}, {"laid up in winter", 12, 0.78, 0.98},
		{"holidays", 3, 0.72, 0.93}, {"holidays", 6, 0.72, 0.93}, {"holidays", 12, 0.68, 0.88},
		{"job changed", 4, 0.60, 0.84}, {"job changed", 8, 0.67, 0.88}, {"job changed", 12, 0.70, 0.91},
	} {
		km, days := covered(t, c.kind, c.n, 120)
		t.Logf("%-18s %2d readings: km %.3f (below the middle %.3f), day %.3f (%.3f)", c.kind, c.n,
			km.in/km.of, km.below/km.of, days.in/days.of, days.below/days.of)
		for _, share := range []float64{km.in / km.of, days.in / days.of} {
			if share < c.least || share > c.most {
				t.Errorf("%s, %d readings: %.3f covered, want %v to %v", c.kind, c.n, share, c.least, c.most)
			}
		}
	}
}

// A mixed yard - 15 even cars, two laid up, one for the holidays, two with another job - is covered as its mixture says.
func TestCoverageOfAYard(t *testing.T) {
	var km, days coverage
	for _, c := range []struct {
		kind string
		cars int
	}{{"even", 75}, {"laid up in winter", 10}, {"holidays", 5}, {"job changed", 10}} {
		for _, n := range []int{3, 5, 6, 8, 10, 12} {
			a, b := covered(t, c.kind, n, c.cars)
			km = coverage{km.in + a.in, km.below + a.below, km.of + a.of}
			days = coverage{days.in + b.in, days.below + b.below, days.of + b.of}
		}
	}
	t.Logf("km %.3f, days %.3f of %v", km.in/km.of, days.in/days.of, km.of)
	for _, share := range []float64{km.in / km.of, days.in / days.of} {
		if share < 0.77 || share > 0.88 {
			t.Errorf("%.3f covered, want 0.77 to 0.88", share)
		}
	}
}

// A car that is laid up reaches a distance while it is driven. Which months it rests, readings of spring and autumn can't tell
// exactly, so a few of the days still lie in the depth of winter: at most 2 in 100, of the middle ones 3 in 100.
func TestLaidUpCarsReachDistancesInDrivingMonths(t *testing.T) {
	var winter, middle, all int
	for seed := range 60 {
		d := rand.New(rand.NewPCG(uint64(seed), 99))
		o := newOwner(d, "laid up in winter", 8)
		u, err := Fit(o.reads, Prior{})
		if err != nil {
			t.Fatal(err)
		}
		if _, _, _, chance := u.Rest(); chance < 0.8 {
			t.Errorf("seed %d: rest has a chance of %.2f", seed, chance)
		}
		for _, run := range []float64{1000, 3000, 6000, 10000} {
			for _, q := range []float64{0.1, 0.5, 0.9} {
				day := u.Day(u.Last().Km+run, q)
				f := day/daysPerYear - math.Floor(day/daysPerYear)
				all++
				if f < 1.5/12 || f > 11.5/12 {
					winter++
					if q == 0.5 {
						middle++
					}
				}
			}
		}
	}
	t.Logf("%d of %d days lie in the depth of winter, %d of them middles", winter, all, middle)
	if winter > all/50 || middle > all/100 {
		t.Errorf("%d of %d days lie in the depth of winter, %d of them middles", winter, all, middle)
	}
}

// Budget: 1 ms, once for a car.
func BenchmarkFit(b *testing.B) {
	o := newOwner(rand.New(rand.NewPCG(1, 1)), "even", 12)
	for b.Loop() {
		if _, err := Fit(o.reads, Prior{}); err != nil {
			b.Fatal(err)
		}
	}
}

// Budget: 0.25 ms for the dates of one item: 60 items of a car have 20 ms.
func BenchmarkCombine(b *testing.B) {
	o := newOwner(rand.New(rand.NewPCG(1, 1)), "even", 12)
	u, err := Fit(o.reads, Prior{})
	if err != nil {
		b.Fatal(err)
	}
	last := u.Last().Km
	for b.Loop() {
		Combine(u, func(p float64) float64 { return last + 20000*p }, []float64{0.1, 0.5, 0.9})
	}
}
