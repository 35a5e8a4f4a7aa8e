// Package root finds where a rising function passes through 0.
package root

import "math"

// Find gives a point within width/2 of where g rises through 0 between low and high, g(low) < 0 <= g(high). It asks g at
// most twice more often than halving would, and for a smooth g about half as often or less. g need not be continuous; where it is
// infinite the bracket is halved. The answer is high when the bracket is no wider than width.
// Source: the ITP method of Oliveira & Takahashi, ACM Transactions on Mathematical Software 47 (2021), article 5.
func Find(g func(float64) float64, low, high, width float64) float64 {
	if !(high-low > width) {
		return high
	}
	b := bracket{low: low, high: high, below: g(low), above: g(high), first: high - low}
	near := width / 2
	steps := math.Ceil(math.Log2(b.first/width)) + 1
	for j := 0.0; b.high-b.low > width && j < 2200; j++ {
		x := b.guess(near * math.Exp2(steps-j))
		if !(x > b.low && x < b.high) { // the bracket is as narrow as the numbers allow
			break
		}
		if y := g(x); y < 0 {
			b.low, b.below = x, y
		} else {
			b.high, b.above = x, y
		}
	}
	return b.low + (b.high-b.low)/2
}

// bracket holds the 0, with what g is at its ends and how wide it was at first.
type bracket struct{ low, high, below, above, first float64 }

// guess is the next point: the secant's, drawn a little towards the middle, and not further from the middle than leaves the
// bracket as narrow as halving would have made it one step ago.
func (b bracket) guess(reach float64) float64 {
	wide := b.high - b.low
	middle := b.low + wide/2
	secant := (b.above*b.low - b.below*b.high) / (b.above - b.below)
	if !(secant > b.low && secant < b.high) { // also where g is infinite
		return middle
	}
	side := 1.0
	if secant > middle {
		side = -1
	}
	x := middle
	if pull := 0.2 / b.first * wide * wide; pull <= math.Abs(middle-secant) {
		x = secant + side*pull
	}
	if room := math.Max(0, reach-wide/2); math.Abs(x-middle) > room {
		x = middle - side*room
	}
	return x
}
