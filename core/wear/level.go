package wear

import "math"

// narrow is the share of the gauge's spread below which rounding is no interval of its own but a little more spread (step^2/12): the
// difference is then below 1e-6 of the likelihood (Sheppard's correction).
const narrow = 0.25

// sight is one reading as the model takes it: an interval, or a normal value where lo = hi.
type sight struct{ x, lo, hi, r float64 }

// belief is the level behind a sight as a normal law: precision and mean.
type belief struct{ p, c float64 }

// chain integrates start and path of one life for a given rate. Its slices are kept from call to call.
type chain struct {
	start, startVar float64 // law of the level at x = 0
	gauge2          float64 // variance of a reading before rounding
	path            float64 // variance of the path per g, divided by b^2
	curve           Curve
	sights          []sight
	g               []float64
	sites           []belief // relative to the level, not to the straightened one
	back            []belief // natural: p is a precision, c a precision times a mean
	intervals       bool
}

// load prepares the chain for a life of a class. coarse takes rounding as added variance.
func (k *chain) load(c *Class, l *Life, readings []Reading, coarse bool) {
	k.start, k.startVar = c.New, c.NewSD*c.NewSD
	step := c.Step
	if l.Step > 0 {
		step = l.Step
	}
	gauge := max(c.Gauge, 0.02*step) // a gauge reads no finer than its step
	k.gauge2 = gauge * gauge
	if l.NewKnown && l.NewSD > 0 {
		k.start, k.startVar = l.New, max(l.NewSD*l.NewSD, 1e-6*k.gauge2)
	} else if l.NewKnown {
		k.start, k.startVar = l.New, min(k.startVar, k.gauge2+step*step/12)
	} else {
		k.startVar += c.Doubt.New * c.Doubt.New
	}
	k.path, k.curve = c.Path*c.Path*c.Curve.Ref, c.Curve
	k.sights, k.g, k.sites = k.sights[:0], k.g[:0], k.sites[:0]
	rounded := !coarse && step > narrow*c.Gauge
	k.intervals = rounded
	for _, r := range readings {
		s := sight{x: r.X, lo: r.Y, hi: r.Y, r: k.gauge2 + step*step/12}
		if rounded {
			s.lo, s.hi = r.Y-step/2, r.Y+step/2
		}
		if r.Y == 0 && c.New > 0 { // nothing is left: it may have worn further than can be read
			s.lo, s.hi = -1e6*c.New, step/2
			k.intervals = true
		}
		k.sights = append(k.sights, s)
		k.g = append(k.g, c.Curve.At(r.X))
		k.sites = append(k.sites, belief{1 / s.r, r.Y})
	}
	if cap(k.back) < len(k.sights)+1 {
		k.back = make([]belief, len(k.sights)+1)
	}
	k.back = k.back[:len(k.sights)+1]
}

// end is the level after the last reading, given the rate, and what the readings say of the rate.
type end struct{ lnL, mean, variance float64 }

// at integrates the chain for the rate b. The sites of the last call are where the search for this call's begins.
func (k *chain) at(b float64, tol float64) end {
	q := k.path * b * b
	if !k.intervals {
		return k.forward(b, q)
	}
	last := math.Inf(-1)
	var e end
	for sweep := 0; sweep < 12; sweep++ {
		k.backward(b, q)
		e = k.forward(b, q)
		if math.Abs(e.lnL-last) < tol {
			break
		}
		last = e.lnL
	}
	return e
}

// backward gathers for each reading what the later ones say of it.
func (k *chain) backward(b, q float64) {
	var l, e float64
	for j := len(k.sights) - 1; j >= 0; j-- {
		k.back[j+1] = belief{l, e}
		s := k.sites[j]
		l += s.p
		e += s.p * (s.c + b*k.g[j])
		d := 1 + l*q*(k.g[j]-k.before(j))
		l, e = l/d, e/d
	}
	k.back[0] = belief{l, e}
}

func (k *chain) before(j int) float64 {
	if j == 0 {
		return 0
	}
	return k.g[j-1]
}

// forward filters along the readings: a random walk seen with noise (Kalman's recursions for one state), the state being the level
// straightened by b*g. Interval sites are renewed on the way.
func (k *chain) forward(b, q float64) end {
	m, v := k.start, k.startVar
	lnL, at, factors := 0.0, 0.0, 1.0
	for j := range k.sights {
		s, g := &k.sights[j], k.g[j]
		v += q * (g - at)
		at = g
		if s.lo == s.hi {
			t := v + s.r
			d := s.lo + b*g - m
			lnL -= lnSqrt2Pi + 0.5*d*d/t
			factors /= t
			m, v = m+v/t*d, v*s.r/t
		} else {
			back := k.back[j+1]
			cv := v / (1 + back.p*v)
			cm := cv * (m/v + back.c)
			f, e, d1, d2 := between(s.lo+b*g, s.hi+b*g, cm, math.Sqrt(cv+k.gauge2))
			c, p := cm+d1/d2, d2/(1-cv*d2)
			k.sites[j] = belief{p, c - b*g}
			dc, dm := cm-c, m-c
			tc, tm := 1+p*cv, 1+p*v
			lnL += e + 0.5*p*(dc*dc/tc-dm*dm/tm)
			factors *= f * f * tc / tm
			m, v = (m+v*p*c)/tm, v/tm
		}
		if factors < 1e-200 || factors > 1e200 { // one logarithm for many factors
			lnL += 0.5 * math.Log(factors)
			factors = 1
		}
	}
	lnL += 0.5 * math.Log(factors)
	return end{lnL, m - b*at, v}
}

// smooth appends the law of the level at the fitting and at each reading, all readings taken in, for the rate b.
func (k *chain) smooth(b float64, out []state) []state {
	q := k.path * b * b
	k.at(b, 1e-6)
	k.backward(b, q)
	m, v, at := k.start, k.startVar, 0.0
	join := func(g float64, more belief) {
		p := 1/v + more.p
		out = append(out, state{g, (m/v+more.c)/p - b*g, 1 / p})
	}
	join(0, k.back[0])
	for j, g := range k.g {
		v += q * (g - at)
		at = g
		s := k.sites[j]
		t := 1 + s.p*v
		m, v = (m+v*s.p*(s.c+b*g))/t, v/t
		join(g, k.back[j+1])
	}
	return out
}
