package wear

import "math"

// gone is the probability of being above the limit now below which that can no longer be taken for granted: the readings contradict it.
const gone = 1e-12

// CDF is the probability that the level has reached the limit by x, given that it is above it now. Before now it is 0.
func (f Forecast) CDF(x float64) float64 {
	if !(x > f.Now) {
		return 0
	}
	if f.live < gone {
		return 1
	}
	return max(0, min(1, 1-f.survival(min(x, f.Horizon))/f.live))
}

// Never is the probability that the limit is not reached within the horizon.
func (f Forecast) Never() float64 { return 1 - f.CDF(f.Horizon) }

// Quantile is the x by which the level has reached the limit with probability q, given that it is above it now; +Inf where it may never within
// the horizon. q is held between 0 and 1.
func (f Forecast) Quantile(q float64) float64 {
	if !(q > 0) || f.live < gone {
		return f.Now
	}
	want := f.live * (1 - min(q, 1))
	if f.rest >= want {
		return math.Inf(1)
	}
	lo, hi := f.Now, f.Horizon
	x := f.begin(lo, hi)
	for range 100 {
		s, slope := f.survivalSlope(x)
		if s > want {
			lo = x
		} else {
			hi = x
		}
		next := x + (s-want)/slope
		inside := next > lo && next < hi
		// Newton's steps square the error: after a miss as small as this the next one is far below anything that matters.
		if close := math.Abs(s-want) <= 1e-6*f.live; close && inside {
			return next
		} else if close || hi-lo <= 1e-12*hi {
			return x
		}
		if !inside {
			next = 0.5 * (lo + hi)
		}
		x = next
	}
	return x
}

// begin is where the most likely rate reaches the limit, within the bounds.
func (f Forecast) begin(lo, hi float64) float64 {
	best := 0
	for i := range f.parts {
		if f.parts[i].w > f.parts[best].w {
			best = i
		}
	}
	p := &f.parts[best]
	x := p.curve.Inverse(p.g + max(p.mean-f.Limit, 0)/p.b)
	if !(x > lo && x < hi) {
		return lo + 1e-3*(hi-lo)
	}
	return x
}
