package wear

import (
	"cmp"
	"math"
	"slices"
)

// Member is one of several sets of figures that a small history leaves possible for a class, with its weight.
type Member struct {
	Weight  float64 `json:"weight"`
	New     float64 `json:"new"`
	NewSD   float64 `json:"new_sd"`
	LogRate float64 `json:"log_rate"`
	UnitSD  float64 `json:"unit_sd"`
	SideSD  float64 `json:"side_sd"`
	LifeSD  float64 `json:"life_sd"`
	Gauge   float64 `json:"gauge"`
	Path    float64 `json:"path"`
	Bend    float64 `json:"bend"`
	Doubt   Doubt   `json:"doubt"`
}

const (
	cloudUnits = 120 // up to here a class carries members: beyond, its spreads are known well enough
	cloudDraws = 300
)

// members integrates over the figures of a class with little history: draws around the maximum, weighted by the posterior itself (importance
// sampling; Gelman et al., Bayesian Data Analysis, 3rd ed., 10.4), gathered into a few groups by the spread of the rate, which matters most. The
// draws are the same each time. It gives none for a class with much history.
func (f *fitter) members(d descent, doubt Doubt, groups int) []Member {
	root, ok := cholesky(d.cov)
	if !ok || len(f.families) > cloudUnits {
		return nil
	}
	f.calibrate(d.x)
	var xs []vector
	var lns []float64
	dice := splitmix(1)
	for range cloudDraws {
		x, ln := d.x, 0.0
		var z vector
		for i := range z {
			z[i] = dice.bell()
			ln += 0.5 * z[i] * z[i]
		}
		for i := range x {
			for j := 0; j <= i; j++ {
				x[i] += 1.15 * root[i][j] * z[j]
			}
		}
		if ln -= f.cost(x); !math.IsInf(ln, 0) && !math.IsNaN(ln) {
			xs, lns = append(xs, x), append(lns, ln)
		}
	}
	return gatherMembers(xs, lns, doubt, groups)
}

// gatherMembers makes members of draws with their ln weights.
func gatherMembers(xs []vector, lns []float64, doubt Doubt, groups int) []Member {
	if len(xs) == 0 {
		return nil
	}
	top := slices.Max(lns)
	order := make([]int, len(xs))
	total := 0.0
	for i := range order {
		order[i] = i
		lns[i] = math.Exp(lns[i] - top)
		total += lns[i]
	}
	rate := func(x vector) float64 { return math.Exp(2*x[atUnitSD]) + math.Exp(2*x[atLifeSD]) }
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(rate(xs[a]), rate(xs[b])) })
	edges := map[int][]float64{1: {1}, 2: {0.6, 1}, 3: {0.3, 0.75, 1}}[groups]
	var out []Member
	var group tally
	seen := 0.0
	for _, i := range order {
		group.add(xs[i], lns[i])
		if seen += lns[i]; len(out) < len(edges)-1 && seen >= total*edges[len(out)] {
			out = append(out, group.member(total, doubt.Bend))
			group = tally{}
		}
	}
	if group.w > 0 {
		out = append(out, group.member(total, doubt.Bend))
	}
	return out
}

// group are members for a mixture: those of a small class, or the maximum itself as the only one.
func (f *fitter) group(d descent, doubt Doubt, groups int) []Member {
	if out := f.members(d, doubt, groups); len(out) > 0 {
		return out
	}
	c := f.class(d.x)
	return []Member{{Weight: 1, New: c.New, NewSD: c.NewSD, LogRate: c.LogRate, UnitSD: c.UnitSD, SideSD: c.SideSD, LifeSD: c.LifeSD, Gauge: c.Gauge,
		Path: c.Path, Bend: c.Curve.Bend, Doubt: doubt}}
}

// mix joins two groups of members; share is the weight of the second.
func mix(a, b []Member, share float64) []Member {
	var out []Member
	for _, m := range a {
		m.Weight *= 1 - share
		out = append(out, m)
	}
	for _, m := range b {
		m.Weight *= share
		out = append(out, m)
	}
	return out
}

// tally gathers draws: weights, means, and squares of the figures of which the doubt is kept; of spreads the mean variance.
type tally struct {
	w             float64
	sum           vector
	new2, rate2   float64
	origin        vector
	originWritten bool
}

func (t *tally) add(x vector, w float64) {
	if !t.originWritten {
		t.origin, t.originWritten = x, true
	}
	t.w += w
	for i := range x {
		if isSpread(i) {
			t.sum[i] += w * math.Exp(2*x[i])
		} else {
			t.sum[i] += w * (x[i] - t.origin[i])
		}
	}
	a, b := x[atNew]-t.origin[atNew], x[atLogRate]-t.origin[atLogRate]
	t.new2 += w * a * a
	t.rate2 += w * b * b
}

func (t *tally) member(total, bend float64) Member {
	sd := func(i int) float64 { return math.Sqrt(t.sum[i] / t.w) }
	a, b := t.sum[atNew]/t.w, t.sum[atLogRate]/t.w
	return Member{Weight: t.w / total, New: t.origin[atNew] + a, NewSD: sd(atNewSD), LogRate: t.origin[atLogRate] + b, UnitSD: sd(atUnitSD), SideSD: sd(atSideSD),
		LifeSD: sd(atLifeSD), Gauge: sd(atGauge), Path: sd(atPath), Bend: t.origin[atBend] + t.sum[atBend]/t.w,
		Doubt: Doubt{New: math.Sqrt(max(t.new2/t.w-a*a, 0)), LogRate: math.Sqrt(max(t.rate2/t.w-b*b, 0)), Bend: bend}}
}

// cholesky is the lower root of a covariance; figures without variance stay as they are.
func cholesky(c [figures][figures]float64) (l [figures][figures]float64, ok bool) {
	for i := range c {
		for j := 0; j <= i; j++ {
			s := c[i][j]
			for k := range j {
				s -= l[i][k] * l[j][k]
			}
			switch {
			case c[i][i] == 0 || c[j][j] == 0:
			case i == j && s <= 0:
				return l, false
			case i == j:
				l[i][i] = math.Sqrt(s)
			default:
				l[i][j] = s / l[j][j]
			}
		}
	}
	return l, true
}

// splitmix is a small generator with a seed of its own, so that a fit gives the same figures each time (Steele, Lea & Flood, OOPSLA 2014).
type splitmix uint64

func (s *splitmix) unit() float64 {
	*s += 0x9e3779b97f4a7c15
	z := uint64(*s)
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	z ^= z >> 31
	return (float64(z>>11) + 0.5) / (1 << 53)
}

// bell is a standard normal draw (Box & Muller 1958).
func (s *splitmix) bell() float64 {
	return math.Sqrt(-2*math.Log(s.unit())) * math.Cos(2*math.Pi*s.unit())
}
