//go:build !js

// The coverage of thousands of ranges is the same arithmetic everywhere; under WebAssembly it would take minutes.

package outlook_test

import (
	"fmt"
	"maps"
	"math"
	"slices"
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
}

func (c *tally) take(truth float64, r outlook.Range) {
	c.n++
	switch {
	case truth < r.Low:
		c.below++
	case truth > r.High:
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
			e.Laws[k].Families = nil // the truth knows no families' laws apart from weak spots
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
	held := holding{}
	for i := range cars {
		o := outlook.Of(cat, cars[i].h, classes)
		cover(&o, &cars[i].truth, wears, lives)
		held.take(&o, &cars[i].truth)
	}
	t.Logf("%d outlooks in %v", len(cars), time.Since(start))
	held.report(t)
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

// holding sums, by law, how often a recommended interval would see the condition turn before, by each car's own true law.
type holding map[string]*[4]float64 // cars, unrounded, rounded, capped

func (m holding) take(o *outlook.Outlook, truth *simulate.CarTruth) {
	for i := range o.Items {
		it := &o.Items[i]
		if it.Advice == nil || it.Look.Risk != 0.05 {
			continue
		}
		for _, l := range truth.Lives {
			if l.Point != it.Point.ID || l.At != it.At || l.EndedOn != "" || l.Scale == 0 {
				continue
			}
			if m[it.Law.ID] == nil {
				m[it.Law.ID] = &[4]float64{}
			}
			sum := m[it.Law.ID]
			if it.Advice.Capped {
				sum[3]++
				continue
			}
			turned := func(x float64) float64 { return -math.Expm1(-math.Pow(x/l.Scale, l.Shape)) }
			sum[0]++
			sum[1] += turned(it.Advice.Unrounded)
			sum[2] += turned(it.Advice.Interval)
		}
	}
}

// report wants the mean risk, over all cars and items whose interval no cap cuts short, between 3 and 7 %.
func (m holding) report(t *testing.T) {
	t.Helper()
	var all [3]float64
	for _, law := range slices.Sorted(maps.Keys(m)) {
		s := m[law]
		t.Logf("%-20s %4.0f intervals (%.0f more capped): %.3f turned before the unrounded, %.3f before the rounded", law, s[0], s[3], s[1]/s[0], s[2]/s[0])
		for i := range all {
			all[i] += s[i]
		}
	}
	unrounded, rounded := all[1]/all[0], all[2]/all[0]
	t.Logf("all %.0f intervals: %.4f turned before the unrounded, %.4f before the rounded", all[0], unrounded, rounded)
	if all[0] < 300 || unrounded < 0.03 || unrounded > 0.07 || rounded < 0.03 || rounded > 0.07 {
		t.Errorf("of %.0f intervals with 5 %% accepted, %.3f turn before; want 0.03 to 0.07", all[0], unrounded)
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
		count(wears, it.Law.ID+" "+it.Since.From).take(at, it.Reach.Km)
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
		count(lives, it.Law.ID+" "+it.Since.From).take(at, r)
	}
}

var fleetSize = 300
