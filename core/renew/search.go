package renew

import "math"

// search is one problem with what all its steps need.
type search struct {
	d         Dist
	cp, cf    float64
	mean      float64
	never     float64 // cost rate of running to failure, 0 when unbounded
	unbounded bool
	low, high float64 // ages between which the optimum lies if there is one
	step      float64 // of ln t
}

// minimum is a local minimum of the cost, and what it saves.
type minimum struct{ t, saving float64 }

// The steps of ln t: a local minimum is not narrower than the sharpest part of the life, and 0.06 finds those of blunt
// mixtures. A life with a rising hazard has one minimum, which no step can miss.
const (
	widestStep = 0.06
	sharpStep  = 0.3
	mostSteps  = 6000
)

// newSearch bounds the optimum from both sides.
//
// Below: with the median m, C(m) <= 2 cf / m, and for t < m, C(t) >= cp / (2 t); so no optimum lies below m cp / (4 cf).
// Above: the saving against running to failure is at most R(t), so nothing can be gained where R(t) < 1e-15.
func newSearch(d Dist, cp, cf float64) search {
	s := search{d: d, cp: cp, cf: cf, mean: d.Mean()}
	s.low = age(d, 0.5) * cp / (4 * math.Max(cp, cf))
	last := leastSaving / 10
	if math.IsInf(s.mean, 1) {
		s.unbounded, last = true, 0.01
	} else {
		s.never = cf / s.mean
	}
	s.high = age(d, last)
	s.step = math.Min(widestStep, sharpStep/d.Sharp())
	s.step = math.Max(s.step, math.Log(s.high/s.low)/mostSteps)
	return s
}

// age gives an age that about the share r of lives survives, within 1 % of the age.
func age(d Dist, r float64) float64 {
	lo, hi := math.Log(1e-290), math.Log(1e290)
	for hi-lo > 0.01 {
		mid := (lo + hi) / 2
		if d.Survival(math.Exp(mid)) > r {
			lo = mid
		} else {
			hi = mid
		}
	}
	return math.Exp((lo + hi) / 2)
}

// cost is C(t).
func (s search) cost(t float64) float64 {
	if math.IsInf(t, 1) {
		return s.never
	}
	return (s.cp*s.d.Survival(t) + s.cf*s.d.Failed(t)) / s.d.Integral(t)
}

// slope has the sign of dC/dt: h(t) integral_0^t R - F(t) - cp/(cf-cp), with the hazard h = f/R.
// Source: Barlow & Proschan (1965), chapter 4, section 2, where it is set to 0.
func (s search) slope(t float64) float64 {
	r, f := both(s.d, t)
	if r == 0 {
		return math.Inf(1)
	}
	return f/r*s.d.Integral(t) - s.d.Failed(t) - s.cp/(s.cf-s.cp)
}

// walk is a point of the search on its way to greater ages: what is known there of the survival and its integral. The
// integral is the dear part; since the survival falls, rectangles bound it, and mostly the bounds settle the sign.
type walk struct{ t, survival, least, most float64 }

// rises says whether the cost rises at a greater age t, and moves there.
func (s search) rises(w *walk, t float64) bool {
	r, f := both(s.d, t)
	if r == 0 {
		return true
	}
	w.least += (t - w.t) * r
	w.most += (t - w.t) * w.survival
	w.t, w.survival = t, r
	hazard, beyond := f/r, 1-r+s.cp/(s.cf-s.cp)
	const sure = 1e-9 // far above the rounding of 1 - r
	switch {
	case hazard*w.least > beyond*(1+sure):
		return true
	case hazard*w.most < beyond*(1-sure)-sure:
		return false
	}
	w.least = s.d.Integral(t)
	w.most = w.least
	return hazard*w.least-s.d.Failed(t)-s.cp/(s.cf-s.cp) >= 0
}

// saving is 1 - C(t)/C(inf), without the cancellation that hides a small one:
// C(t)/C(inf) = (1 - aR) / (1 - Rest/mean) with a = (cf-cp)/cf.
func (s search) saving(t float64) float64 {
	if s.unbounded {
		return 0
	}
	if s.d.Failed(t) < 0.5 {
		return 1 - s.cost(t)/s.never
	}
	q := s.d.Rest(t) / s.mean
	return ((s.cf-s.cp)/s.cf*s.d.Survival(t) - q) / (1 - q)
}

// best is the cheapest local minimum that saves something; t = 0 when there is none.
func (s search) best() minimum {
	var best minimum
	n := int(math.Ceil(math.Log(s.high/s.low) / s.step))
	w := walk{survival: 1}
	a, rose := s.low, s.rises(&w, s.low)
	for i := 1; i <= n; i++ {
		b := s.low * math.Exp(float64(i)*s.step)
		rises := s.rises(&w, b)
		if !rose && rises {
			m := minimum{t: find(s.slope, a, b)}
			m.saving = s.saving(m.t)
			if s.better(m, best) {
				best = m
			}
		}
		a, rose = b, rises
	}
	return best
}

// better says whether m is worth more than the best so far, or than running to failure when there is none.
func (s search) better(m, best minimum) bool {
	if s.unbounded {
		return best.t == 0 || s.cost(m.t) < s.cost(best.t)
	}
	return m.saving > leastSaving && m.saving > best.saving
}

// flat gives the ages around t between which the cost stays within 1 % of the best; t may be +Inf. The cost is followed
// outwards in steps, so a second valley beyond a ridge is not part of it.
func (s search) flat(t, best float64) (low, high float64) {
	limit := best * (1 + flatness)
	over := func(x float64) float64 { return s.cost(x) - limit }
	high = math.Inf(1)
	inside := s.high
	if !math.IsInf(t, 1) {
		inside = t
		for x := t; x < s.high; {
			y := x * math.Exp(s.step)
			if over(y) > 0 {
				high = find(over, x, y)
				break
			}
			x = y
		}
	}
	if best == 0 { // neither a cost nor a region can be stated
		return 0, high
	}
	for x := inside; ; { // the cost grows without bound towards age 0, so this ends
		y := x * math.Exp(-s.step)
		if over(y) > 0 || y < leastAge*leastAge {
			return find(func(v float64) float64 { return -over(v) }, y, x), high
		}
		x = y
	}
}
