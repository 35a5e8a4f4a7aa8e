package use

import (
	"math"
	"slices"
)

// Use is a car's distance as a function of date. It is made by Fit and never changes; the zero value knows nothing and must
// not be asked.
type Use struct {
	readings []Reading // in order, one a day
	newYear  float64
	parts    []part
	curves   []curve
}

// part is one account of the readings, with its probability.
type part struct {
	weight float64
	season season
	stats
	curve int // in Use.curves
}

// Accounts are kept until they make up this share, and not more than so many.
const (
	keptShare = 0.995
	mostParts = 40
)

// Fit learns a car's use from its readings, in any order. One reading alone leaves the prior's rate from there on. The error
// is ErrNoReading, a *ReadingError that names a reading which can't stand, or one about the prior.
func Fit(rs []Reading, p Prior) (Use, error) {
	p, err := p.complete()
	if err != nil {
		return Use{}, err
	}
	rs, err = tidy(rs)
	if err != nil {
		return Use{}, err
	}
	u := Use{readings: rs, newYear: p.NewYear}
	p = p.suited(rs)
	u.parts = newForgetting(rs, p).accounts(rs, p)
	u.parts = likeliest(u.parts)
	u.draw()
	return u, nil
}

// forgetting is what is the same for every season: how fast readings fade and how likely a change lies between them.
type forgetting struct {
	prior     stats
	fade      []float64           // what is left of the weight of earlier increments at each increment but the first
	change    []float64           // probability that the use changed before it
	constants map[float64]float64 // of the density, by degrees of freedom: these recur for every season
}

func newForgetting(rs []Reading, p Prior) forgetting {
	f := forgetting{prior: p.start(), constants: map[float64]float64{}}
	for i := 1; i < len(rs); i++ {
		years := (rs[i].Day - rs[i-1].Day) / daysPerYear
		f.fade = append(f.fade, math.Exp2(-years/p.HalfLifeYears))
		f.change = append(f.change, -math.Expm1(-years*p.ChangesPerYear))
	}
	return f
}

// run is the hypothesis that the year has a certain season and that the present use began with a certain increment.
type run struct {
	season int
	log    float64 // of the probability together with the readings so far
	fresh  bool    // it begins with the next increment
	stats
}

// accounts follows, for every season, every moment at which the present use may have begun: before each increment the use
// goes on, or begins anew from the prior. Source: Adams & MacKay, Bayesian online changepoint detection (2007), arXiv
// 0710.3742; the product partition model of Barry & Hartigan (1993).
func (f forgetting) accounts(rs []Reading, p Prior) []part {
	all := seasons(p.Even)
	runs := make([]run, len(all))
	for k, s := range all {
		runs[k] = run{k, math.Log(s.chance), false, f.prior}
	}
	var times []float64
	for i := 1; i < len(rs); i++ {
		if i > 1 {
			runs = f.branch(runs, i-1)
		}
		times = times[:0]
		for _, s := range all {
			times = append(times, s.driving(rs[i].Day-p.NewYear)-s.driving(rs[i-1].Day-p.NewYear))
		}
		km := rs[i].Km - rs[i-1].Km
		for j := range runs {
			r := &runs[j]
			time := times[r.season]
			r.log += f.logDensity(km-r.rate()*time, r.scale(time), 2*r.count)
			r.stats = r.add(km, time)
			if r.fresh {
				r.stats, r.fresh = r.fade(freshShare, f.prior), false
			}
		}
		runs = strongest(runs)
	}
	out := make([]part, 0, len(runs))
	for _, r := range runs {
		out = append(out, part{weight: r.log, season: all[r.season], stats: r.stats})
	}
	return out
}

// freshShare is what the first increment of a new use counts: the change lay somewhere within it. Practice.
const freshShare = 0.5

// branch lets what was learnt fade before increment i and adds, for each season, the run that begins there. Runs of one
// season stand together, before and after.
func (f forgetting) branch(runs []run, i int) []run {
	stay, anew := math.Log1p(-f.change[i]), math.Log(f.change[i])
	out := make([]run, 0, 2*len(runs))
	for from := 0; from < len(runs); {
		to := from
		for to < len(runs) && runs[to].season == runs[from].season {
			to++
		}
		for _, r := range runs[from:to] {
			out = append(out, run{r.season, r.log + stay, false, r.fade(f.fade[i], f.prior)})
		}
		out = append(out, run{runs[from].season, anew + logSum(runs[from:to]), true, f.prior})
		from = to
	}
	return out
}

// logDensity is the logarithm of the density of a t of that scale, so far from its middle.
func (f forgetting) logDensity(off, scale, nu float64) float64 {
	c, ok := f.constants[nu]
	if !ok {
		c = studentConstant(nu)
		f.constants[nu] = c
	}
	z := off / scale
	return c - math.Log(scale) - (nu+1)/2*math.Log1p(z*z/nu)
}

// hopeless is how far below the likeliest run, in natural logarithms, a run is dropped; mostRuns bounds the work for a
// long history.
const (
	hopeless = 10
	mostRuns = 400
)

// strongest drops the runs that have no weight to speak of, in place.
func strongest(runs []run) []run {
	logs := make([]float64, len(runs))
	for i, r := range runs {
		logs[i] = r.log
	}
	slices.Sort(logs)
	least := logs[len(logs)-1] - hopeless
	if len(logs) > mostRuns {
		least = math.Max(least, logs[len(logs)-mostRuns])
	}
	return slices.DeleteFunc(runs, func(r run) bool { return r.log < least })
}

func logSum(runs []run) float64 {
	top := math.Inf(-1)
	for _, r := range runs {
		top = math.Max(top, r.log)
	}
	if math.IsInf(top, -1) {
		return top
	}
	sum := 0.0
	for _, r := range runs {
		sum += math.Exp(r.log - top)
	}
	return top + math.Log(sum)
}

// likeliest turns the logarithms into probabilities, keeps the likeliest accounts and lets them add up to 1.
func likeliest(parts []part) []part {
	top := math.Inf(-1)
	for _, p := range parts {
		top = math.Max(top, p.weight)
	}
	total := 0.0
	for i := range parts {
		parts[i].weight = math.Exp(parts[i].weight - top)
		total += parts[i].weight
	}
	slices.SortStableFunc(parts, func(a, b part) int {
		switch {
		case a.weight > b.weight:
			return -1
		case a.weight < b.weight:
			return 1
		}
		return 0
	})
	kept, n := 0.0, 0
	for n < len(parts) && n < mostParts && kept < keptShare*total {
		kept += parts[n].weight
		n++
	}
	out := slices.Clone(parts[:n])
	for i := range out {
		out[i].weight /= kept
	}
	return out
}

// draw makes the tables. Accounts whose degrees of freedom agree to an eighth share one: a share differs by less than 0.001.
func (u *Use) draw() {
	at := map[float64]int{}
	for i := range u.parts {
		nu := math.Round(4*2*u.parts[i].count) / 4
		k, ok := at[nu]
		if !ok {
			k = len(u.curves)
			at[nu] = k
			u.curves = append(u.curves, newCurve(nu))
		}
		u.parts[i].curve = k
	}
}
