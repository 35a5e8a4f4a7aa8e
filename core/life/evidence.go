package life

import (
	"math"
	"slices"
)

// mixed is n equal looks that can err: their probability is a*F + b*S with both positive, scaled so that the larger is 1.
type mixed struct{ y, a, b, n float64 }

// stairs is n equal Steps observations: weights (the largest is 1) of the gaps between the logarithms y. Where the first or the last
// weights are 0, the life is surely longer or shorter: that is among the looks that do not err, and low and high are its ends.
type stairs struct {
	y, w      []float64
	n         float64
	low, high float64
}

// evidence is prior and observations in terms of mu and w = ln sigma. The part without looks that can err is log-concave in mu for
// any w; the rest is at most 0, so that the first part is an envelope of the whole.
type evidence struct {
	m        Model
	w0, sdW  float64 // prior of ln sigma
	mu0, sdM float64 // prior of mu
	sorted
	mixed  []mixed
	stairs []stairs
	turns  []float64 // logarithms of exposures at which looks that can err lie, at most mostTurns of them
	offset float64   // ln of what was scaled out
}

// gather sorts observations that have been checked; equal ones are joined.
func gather(m Model, p Prior, obs []Observation) evidence {
	ev := evidence{m: m, w0: m.logSigma(p.LogShapeMean), sdW: math.Max(p.LogShapeSD, tightest), mu0: p.LogScaleMean, sdM: math.Max(p.LogScaleSD, tightest)}
	type key struct {
		kind       Kind
		a, b, c, d float64
	}
	counts := map[key]float64{}
	var order []key
	for _, o := range obs {
		k := key{o.Kind, o.At, 0, orOne(o.Sensitivity), orOne(o.Specificity)}
		switch o.Kind {
		case Steps:
			ev.addStairs(o)
			continue
		case Between:
			k = key{o.Kind, o.Lower, o.Upper, 1, 1}
		}
		if counts[k] == 0 {
			order = append(order, k)
		}
		counts[k] += o.count()
	}
	for _, k := range order {
		n := counts[k]
		switch k.kind {
		case Clear:
			ev.addLook(k.a, 1-k.c, k.d, n)
		case Dark:
			ev.addLook(k.a, k.c, 1-k.d, n)
		case Exact:
			ev.add(k.a, k.a, n)
			ev.offset -= n * math.Log(k.a)
		case Between:
			ev.add(k.a, k.b, n)
		}
	}
	ev.findTurns()
	return ev
}

// mostTurns is how many looks that can err are tried as places of the top; of more, evenly many are left out.
const mostTurns = 24

func (ev *evidence) findTurns() {
	var all []float64
	for _, x := range ev.mixed {
		all = append(all, x.y)
	}
	for _, x := range ev.stairs {
		all = append(all, x.y...)
	}
	slices.Sort(all)
	all = slices.Compact(all)
	for i := range min(len(all), mostTurns) {
		ev.turns = append(ev.turns, all[i*len(all)/min(len(all), mostTurns)])
	}
}

// addLook adds looks whose result has the probability turned*F + good*S.
func (ev *evidence) addLook(at, turned, good, n float64) {
	top := math.Max(turned, good)
	ev.offset += n * math.Log(top)
	switch {
	case turned == 0:
		ev.add(at, math.Inf(1), n)
	case good == 0:
		ev.add(0, at, n)
	case turned != good: // else the look says nothing
		ev.mixed = append(ev.mixed, mixed{math.Log(at), turned / top, good / top, n})
	}
}

func (ev *evidence) addStairs(o Observation) {
	s := stairs{n: o.count(), low: math.Inf(-1), high: math.Inf(1)}
	top := 0.0
	for _, w := range o.Weights {
		top = math.Max(top, w)
	}
	for _, w := range o.Weights {
		s.w = append(s.w, w/top)
	}
	for _, b := range o.Breaks {
		s.y = append(s.y, math.Log(b))
	}
	ev.offset += s.n * math.Log(top)
	lower, upper := 0.0, math.Inf(1)
	first, last := 0, len(s.w)-1
	for s.w[first] == 0 {
		first++
	}
	for s.w[last] == 0 {
		last--
	}
	if first > 0 {
		lower, s.low = o.Breaks[first-1], s.y[first-1]
	}
	if last < len(s.w)-1 {
		upper, s.high = o.Breaks[last], s.y[last]
	}
	if lower > 0 || !math.IsInf(upper, 1) {
		ev.add(lower, upper, s.n)
	}
	if first < last {
		ev.stairs = append(ev.stairs, s)
	}
}

// concave says whether no look can err, so that the posterior is log-concave in mu.
func (ev *evidence) concave() bool { return len(ev.mixed) == 0 && len(ev.stairs) == 0 }

// few says whether the likelihood costs little to compute.
func (ev *evidence) few() bool {
	return len(ev.exact)+len(ev.above)+len(ev.below)+3*len(ev.between) < 8
}

// envelope gives the log-concave part of prior (in mu) and likelihood with its derivatives in mu, at a row's w.
func (ev *evidence) envelope(mu, w, inv float64) jet {
	t := (mu - ev.mu0) / ev.sdM
	out := jet{-0.5 * t * t, -t / ev.sdM, -1 / (ev.sdM * ev.sdM)}
	add := func(j jet, n float64) {
		out.v += n * j.v
		out.d -= n * j.d * inv
		out.dd += n * j.dd * inv * inv
	}
	for _, x := range ev.exact {
		j, _ := ev.m.at((x.y - mu) * inv)
		j.v -= w
		add(j, x.n)
	}
	for _, x := range ev.above {
		add(ev.m.above((x.y-mu)*inv), x.n)
	}
	for _, x := range ev.below {
		add(ev.m.below((x.y-mu)*inv), x.n)
	}
	for _, x := range ev.between {
		p := ev.m.between((x.a-mu)*inv, (x.b-mu)*inv, x.width*inv)
		add(jet{p.v, p.da + p.db, p.daa + 2*p.dab + p.dbb}, x.n)
	}
	return out
}

// cover gives the value of the envelope alone, from a row's shortcut.
func (ev *evidence) cover(mu float64, s *shortcut) float64 {
	w, inv := s.w, s.inv
	t := (mu - ev.mu0) / ev.sdM
	v := -0.5*t*t + s.spots(ev, mu)
	for _, x := range ev.exact {
		j, _ := ev.m.at((x.y - mu) * inv)
		v += x.n * (j.v - w)
	}
	for _, x := range ev.between {
		v += x.n * ev.m.logBetween((x.a-mu)*inv, (x.b-mu)*inv, x.width*inv)
	}
	return v
}

// erring gives the log-likelihood of the looks that can err; it is at most 0.
func (ev *evidence) erring(mu, inv float64) float64 {
	v := 0.0
	for _, x := range ev.mixed {
		s, _ := ev.m.survive((x.y - mu) * inv)
		v += x.n * math.Log(x.b*s+x.a*(1-s))
	}
	for i := range ev.stairs {
		v += ev.stairs[i].n * ev.stairs[i].value(ev.m, mu, inv)
	}
	return v
}

// value gives ln of the sum over the gaps of weight times probability, without what is sure; summed in logarithms because gaps of
// weight 0 may leave only gaps of tiny probability.
func (s *stairs) value(m Model, mu, inv float64) float64 {
	top, sum := math.Inf(-1), 0.0
	for k, w := range s.w {
		if w == 0 {
			continue
		}
		var v float64
		switch {
		case k == 0:
			v = m.logBelow((s.y[0] - mu) * inv)
		case k == len(s.y):
			v = m.logAbove((s.y[k-1] - mu) * inv)
		default:
			v = m.logBetween((s.y[k-1]-mu)*inv, (s.y[k]-mu)*inv, (s.y[k]-s.y[k-1])*inv)
		}
		v += math.Log(w)
		if v > top {
			sum, top = sum*exp(top-v)+1, v
		} else {
			sum += exp(v - top)
		}
	}
	return math.Min(0, top+math.Log(sum)-s.sure(m, mu, inv))
}

// sure is what the looks that do not err have of it already.
func (s *stairs) sure(m Model, mu, inv float64) float64 {
	switch low, high := !math.IsInf(s.low, 0), !math.IsInf(s.high, 0); {
	case low && high:
		return m.logBetween((s.low-mu)*inv, (s.high-mu)*inv, (s.high-s.low)*inv)
	case low:
		return m.logAbove((s.low - mu) * inv)
	case high:
		return m.logBelow((s.high - mu) * inv)
	}
	return 0
}
