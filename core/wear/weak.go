package wear

import (
	"math"
	"slices"
)

// Weak is a prior that says next to nothing: its scale comes from the readings themselves, its spreads are wide. It is for data without
// a catalogue; step is the rounding of the gauge in units of Y, 0 where there is none.
func Weak(lives []Life, step float64) Prior {
	var first, last, drop, ends, fresh []float64
	var begin []Reading
	for _, l := range lives {
		rs := l.ordered()
		if len(rs) == 0 || l.check() != nil {
			continue
		}
		a, b := rs[0], rs[len(rs)-1]
		begin, first, last, ends = append(begin, a), append(first, a.Y), append(last, b.Y), append(ends, b.X)
		if d := (a.Y - b.Y) / (b.X - a.X); b.X > a.X && finite(d) {
			drop = append(drop, d)
		}
	}
	if !finite(step) || step < 0 {
		step = 0
	}
	ref := max(quantile(ends, 0.6), 1e-6)
	rate := quantile(drop, 0.5)
	top := quantile(first, 0.9)
	span := min(max(top-quantile(last, 0.1), math.Abs(top)*0.05, 4*step, 1e-6), huge/10)
	if !(rate > 0.02*span/ref) {
		rate = 0.5 * span / ref
	}
	for _, r := range begin {
		fresh = append(fresh, r.Y+rate*min(r.X, ref))
	}
	level := max(-huge/10, min(huge/10, quantile(fresh, 0.5)))
	noise := max(0.02*span, 0.3*step)
	logRate := max(-maxLogRate, min(maxLogRate, math.Log(rate)))
	return Prior{
		New: Guess{level, 0.4 * span}, NewSD: Guess{1.5 * noise, 0.8}, LogRate: Guess{logRate, 1}, UnitSD: Guess{0.25, 0.7},
		SideSD: Guess{0.06, 0.7}, LifeSD: Guess{0.09, 0.6}, Gauge: Guess{noise, 0.8}, Path: Guess{0.01, 1.2}, Bend: Guess{0, 0.15},
		Ref: ref, Step: step,
	}
}

// quantile is the value at share q of the sorted values, 0 without any.
func quantile(v []float64, q float64) float64 {
	if len(v) == 0 {
		return 0
	}
	s := slices.Clone(v)
	slices.Sort(s)
	return s[int(q*float64(len(s)-1)+0.5)]
}
