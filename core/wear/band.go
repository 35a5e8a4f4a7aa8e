package wear

import "math"

// Level is the value that the true level at x lies below with probability q. From now on it takes for granted that the level is above the
// limit now; before now (x held between the fitting and the horizon) it says what the readings leave possible, each reading's part of the history seen through the rates that fit all of it.
func (f Forecast) Level(x, q float64) float64 {
	return f.spread(x, q, 0, true)
}

// Expect is the value that a reading taken at x lies below with probability q, with the gauge's error and rounding: its middle half is what to
// expect, its 0.005 and 0.995 the bounds beyond which a typed value deserves a question.
func (f Forecast) Expect(x, q float64) float64 {
	return f.spread(x, q, f.noise, false)
}

// share holds a probability between 0 and 1 and off both ends.
func share(q float64) float64 {
	if math.IsNaN(q) {
		return 0.5
	}
	return max(1e-9, min(1-1e-9, q))
}

// normal is one component of a mixture.
type normal struct{ w, mean, sd float64 }

// spread is the quantile of the mixture of levels at x, with more variance added.
func (f Forecast) spread(x, q, more float64, alive bool) float64 {
	if math.IsNaN(x) {
		x = f.Now
	}
	x = max(0, min(x, f.Horizon))
	mix := make([]normal, 0, len(f.parts))
	sum := 0.0
	for i := range f.parts {
		p := &f.parts[i]
		n := p.level(x, f.Now, f.Limit, alive && x >= f.Now && f.live > gone)
		n.sd = math.Sqrt(n.sd*n.sd + more)
		mix = append(mix, n)
		sum += n.w
	}
	if sum == 0 { // no part left knows the past: straight back from the last reading
		for i := range mix {
			p := &f.parts[i]
			d := p.g - p.curve.At(x)
			mix[i] = normal{p.w, p.mean + p.b*d, math.Sqrt(p.v + p.q*math.Abs(d) + more)}
			sum += p.w
		}
	}
	return mixQuantile(mix, share(q)*sum)
}

// level is the part's law of the level at x. With alive it is conditional on being above the limit at now, by the first two moments of the
// truncated normal law.
func (p *part) level(x, now, limit float64, alive bool) normal {
	g := p.curve.At(max(x, 0))
	if g < p.g {
		if len(p.past) == 0 { // its neighbours speak for it
			return normal{0, p.mean, math.Sqrt(p.v)}
		}
		mean, v := p.before(g)
		return normal{p.w, mean, math.Sqrt(v)}
	}
	if !alive {
		d := g - p.g
		return normal{p.w, p.mean - p.b*d, math.Sqrt(p.v + p.q*d)}
	}
	d := p.curve.At(now) - p.g
	m, v := p.mean-p.b*d, p.v+p.q*d
	sd := math.Sqrt(v)
	a := (limit - m) / sd
	w := p.w
	if a > -8 {
		if a > 30 {
			return normal{0, limit, sd}
		}
		up := above(a)
		h := phi(a) / up
		w, m, v = w*up, m+sd*h, v*max(1e-6, 1+a*h-h*h)
	}
	d = g - p.curve.At(now)
	return normal{w, m - p.b*d, math.Sqrt(v + p.q*d)}
}

// before is the level at an earlier g: the smoothed states on both sides joined by a straight line, with the variance of a bridge between.
func (p *part) before(g float64) (mean, v float64) {
	s := p.past
	lo, hi := 0, len(s)-1
	for hi-lo > 1 {
		if mid := (lo + hi) / 2; s[mid].g <= g {
			lo = mid
		} else {
			hi = mid
		}
	}
	a, b := s[lo], s[hi]
	if !(b.g > a.g) {
		return b.mean, b.v
	}
	t := (g - a.g) / (b.g - a.g)
	return a.mean + t*(b.mean-a.mean), (1-t)*a.v + t*b.v + p.q*t*(1-t)*(b.g-a.g)
}

// mixQuantile is the y below which the mixture has mass q (of the sum of its weights).
func mixQuantile(mix []normal, q float64) float64 {
	lo, hi := math.Inf(1), math.Inf(-1)
	var w, m, mm float64
	mid := mix[0].mean
	for _, n := range mix {
		if n.w > 0 {
			lo, hi = min(lo, n.mean-7*n.sd), max(hi, n.mean+7*n.sd)
		}
		d := n.mean - mid
		w, m, mm = w+n.w, m+n.w*d, mm+n.w*(d*d+n.sd*n.sd)
	}
	// Begin where one normal law with the mixture's mean and spread has its quantile.
	y := mid + m/w + math.Sqrt2*math.Erfinv(max(-0.999999, min(0.999999, 2*q/w-1)))*math.Sqrt(max(0, mm/w-m/w*m/w))
	if !(y > lo && y < hi) {
		y = 0.5 * (lo + hi)
	}
	for range 200 {
		s, slope := 0.0, 0.0
		for _, n := range mix {
			z := (y - n.mean) / n.sd
			s += n.w * above(-z)
			slope += n.w * phi(z) / n.sd
		}
		if s < q {
			lo = y
		} else {
			hi = y
		}
		next := y - (s-q)/slope
		inside := next > lo && next < hi
		if close := math.Abs(s-q) <= 1e-7*q; close && inside {
			return next
		} else if close || hi-lo <= 1e-13*(math.Abs(lo)+math.Abs(hi)) {
			return y
		}
		if !inside {
			next = 0.5 * (lo + hi)
		}
		y = next
	}
	return y
}

// Rate is the present wear per unit of x, the level falling: median and 80 % range.
func (f Forecast) Rate() (lo, mid, hi float64) {
	return f.rate(0.1), f.rate(0.5), f.rate(0.9)
}

// rate is a quantile of the present wear. The rates stand on a grid, so each carries its mass around itself and is smoothed by that.
func (f Forecast) rate(q float64) float64 {
	mix := make([]normal, 0, len(f.parts))
	sum := 0.0
	for i := range f.parts {
		p := &f.parts[i]
		n := p.level(f.Now, f.Now, f.Limit, f.live > gone)
		mix = append(mix, normal{n.w, math.Log(p.b) + math.Log(p.curve.Slope(f.Now)), 0.7 * p.step})
		sum += n.w
	}
	return math.Exp(mixQuantile(mix, q*sum))
}
