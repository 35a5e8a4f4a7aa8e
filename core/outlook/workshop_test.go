package outlook_test

import (
	"fmt"
	"math"
	"sort"
	"testing"
	"time"

	"witnessmark/core/outlook"
	"witnessmark/core/point"
	"witnessmark/internal/simulate"
)

// tally counts how often a truth lay below, within and above an 80 % range.
type tally struct {
	n, below, inside, above int
	pits                    []float64
}

func (c *tally) take(truth float64, r outlook.Range, openHigh bool) {
	c.n++
	switch {
	case truth < r.Low:
		c.below++
	case truth > r.High && !openHigh:
		c.above++
	default:
		c.inside++
	}
}

func (c *tally) share() float64 { return float64(c.inside) / math.Max(1, float64(c.n)) }

func (c *tally) String() string {
	return fmt.Sprintf("%5d truths: %.3f inside, %.3f below, %.3f above", c.n, c.share(), float64(c.below)/math.Max(1, float64(c.n)), float64(c.above)/math.Max(1, float64(c.n)))
}

// learnt gathers and fits a fleet.
func learnt(t testing.TB, cat *point.Catalogue, cars []known) outlook.Classes {
	var l outlook.Learner
	start := time.Now()
	for i := range cars {
		e := outlook.Gather(cat, cars[i].h)
		for k := range e.Laws {
			e.Laws[k].Families = nil // a family's fit is tested apart
		}
		l.Add(e)
	}
	gathered := time.Since(start)
	start = time.Now()
	c := l.Fit(cat, nil)
	t.Logf("gathered in %v, learnt %d classes in %v", gathered, len(c), time.Since(start))
	return c
}

func TestRangesOfTheSimulatedWorkshopCoverItsTruths(t *testing.T) {
	cat := scored(loaded(t))
	start := time.Now()
	cars := workshop(t, loaded(t), simulate.Options{Seed: 77, Cars: fleetSize, ReadingsPerRound: 130})
	t.Logf("%d cars drawn in %v", len(cars), time.Since(start))
	classes := learnt(t, cat, cars)
	wears, lives := map[string]*tally{}, map[string]*tally{}
	start = time.Now()
	for i := range cars {
		o := outlook.Of(cat, cars[i].h, classes)
		cover(&o, &cars[i].truth, wears, lives)
	}
	t.Logf("%d outlooks in %v", len(cars), time.Since(start))
	for name, m := range map[string]map[string]*tally{"wear": wears, "life": lives} {
		all := &tally{}
		var keys []string
		for k, c := range m {
			keys = append(keys, k)
			all.n, all.inside, all.below, all.above = all.n+c.n, all.inside+c.inside, all.below+c.below, all.above+c.above
		}
		sort.Strings(keys)
		for _, k := range keys {
			t.Logf("%-34s %v", k, m[k])
		}
		t.Logf("%s, all: %v", name, all)
		if s := all.share(); all.n < 300 || s < 0.76 || s > 0.84 {
			t.Errorf("%s: 80 %% ranges cover %.3f of %d truths; want 0.76 to 0.84", name, s, all.n)
		}
	}
}

// scored leaves the laws of what the simulated workshop keeps a truth of.
func scored(cat *point.Catalogue) *point.Catalogue {
	small := *cat
	small.Laws = nil
	_, truth := simulate.Fleet(cat, simulate.Options{Today: lastDay})
	kept := map[string]bool{}
	for _, w := range truth.Wear {
		kept[w.Point] = true
	}
	for _, l := range truth.Lives {
		kept[l.Point] = true
	}
	for _, l := range cat.Laws {
		if kept[l.Point] {
			small.Laws = append(small.Laws, l)
		}
	}
	return &small
}

// cover compares a car's ranges with its truths that are still to come.
func cover(o *outlook.Outlook, truth *simulate.CarTruth, wears, lives map[string]*tally) {
	items := map[[2]string]*outlook.Item{}
	for i := range o.Items {
		items[[2]string{o.Items[i].Point.ID, o.Items[i].At}] = &o.Items[i]
	}
	count := func(m map[string]*tally, key string) *tally {
		if m[key] == nil {
			m[key] = &tally{}
		}
		return m[key]
	}
	for _, w := range truth.Wear {
		it := items[[2]string{w.Point, w.At}]
		if w.EndedKm != 0 || it == nil || it.Past || it.Unsure != "" {
			continue
		}
		// At the limit that the car's own points name.
		at := w.FittedKm + (w.New-*it.Limit)/w.Rate*1000
		count(wears, it.Law.ID+" "+it.Since.From).take(at, it.Reach.Km, it.Reach.OpenHigh && it.Reach.Never > 0.1)
	}
	for _, l := range truth.Lives {
		it := items[[2]string{l.Point, l.At}]
		if l.EndedOn != "" || it == nil || it.Past || it.Unsure != "" || l.Scale == 0 {
			continue
		}
		r := it.Reach.Exposure
		at := l.FromKm + l.Life - it.Since.Km
		if l.Unit != "km" {
			from, _ := time.Parse(time.DateOnly, l.FromOn)
			at = from.Sub(it.Since.On).Hours()/24/30.436875 + l.Life
		}
		count(lives, it.Law.ID+" "+it.Since.From).take(at, r, false)
	}
}

var fleetSize = 300
