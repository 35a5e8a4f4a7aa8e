package wear

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
)

// Forecast is what is to be expected of one running life: a mixture of normal laws over the rates that its readings, its kin and its class
// leave possible. Its zero value is of no use; Class.Forecast makes one.
type Forecast struct {
	// Now is where the forecast is made, Limit the level that must not be passed, Horizon how far it looks; all as for Class.Forecast.
	Now, Limit, Horizon float64
	// Crossed says that the last reading already lies at or below the limit. What the other methods then tell is conditional on its being
	// wrong by the gauge's error.
	Crossed bool
	// Readings counts those of the running life.
	Readings int

	parts []part
	live  float64 // probability of being above the limit now, before that is taken as known
	rest  float64 // probability of being above it at the horizon
	noise float64 // variance of a reading
}

// part is one component: a rate, its weight, and the level at the last reading.
type part struct {
	w, b    float64
	mean, v float64
	q       float64 // path variance per g
	g       float64 // g at the last reading
	most    float64 // how many spreads the level lies above the limit now
	curve   *Curve
	step    float64 // distance in ln b to the next part
	past    []state // the level at fitting and at each reading, all readings taken in
}

// state is the level at a g of the past.
type state struct{ g, mean, v float64 }

// lost says whether a state is no number any more.
func (s state) lost() bool { return !(math.Abs(s.mean) < 1e60 && s.v >= 0 && s.v < 1e60) }

// horizons is how many reference distances a forecast looks ahead; beyond, a crossing counts as never.
const horizons = 20

// Forecast looks ahead from now (an x of the running life, raised to its last reading) for the life lives[running], with the other lives of the
// same unit as its kin. It takes for granted that the level is still above the limit now. Errors: a figure that is none, running out of
// range, and ErrUnfit.
func (c Class) Forecast(lives []Life, running int, now, limit float64) (Forecast, error) {
	if running < 0 || running >= len(lives) {
		return Forecast{}, fmt.Errorf("there is no life %d among %d", running, len(lives))
	}
	if err := c.check(); err != nil {
		return Forecast{}, err
	}
	if !c.sound() {
		return Forecast{}, errors.New("class of wear: one of its members is not usable")
	}
	for i := range lives {
		if err := lives[i].check(); err != nil {
			return Forecast{}, err
		}
	}
	if !finite(now, limit) || now < 0 {
		return Forecast{}, fmt.Errorf("forecast from %v down to %v: not usable numbers", now, limit)
	}
	c = c.solid()
	rs := lives[running].ordered()
	f := Forecast{Limit: limit, Readings: len(rs), Now: now, noise: c.noise(lives[running])}
	if n := len(rs); n > 0 {
		f.Now = max(now, rs[n-1].X)
		f.Crossed = rs[n-1].Y <= limit
	}
	f.Horizon = f.Now + horizons*c.Curve.Ref
	variants := c.variants()
	coarse := 1.0
	if len(variants) > 1 { // several grids that lie differently smooth each other
		coarse = 1.4
	}
	for _, v := range variants {
		f.add(v, lives, running, coarse)
	}
	if !f.settle() {
		return Forecast{}, ErrUnfit
	}
	return f, nil
}

// noise is the variance of a reading with the life's gauge, rounding included.
func (c Class) noise(l Life) float64 {
	step := c.Step
	if l.Step > 0 {
		step = l.Step
	}
	return c.Gauge*c.Gauge + step*step/12
}

// variant is a class with one of the bends that its doubt leaves possible, and its weight.
type variant struct {
	class Class
	w     float64
}

// variants spreads the class over its members, and each over two bends (Gauss-Hermite for a normal law with two points) where the doubt of the bend
// matters.
func (c Class) variants() []variant {
	members := []variant{{c, 1}}
	if len(c.Members) > 0 {
		members = members[:0]
		for _, m := range c.Members {
			v := c
			v.New, v.NewSD, v.LogRate, v.UnitSD, v.SideSD, v.LifeSD = m.New, m.NewSD, m.LogRate, m.UnitSD, m.SideSD, m.LifeSD
			v.Gauge, v.Path, v.Curve.Bend, v.Doubt = m.Gauge, m.Path, m.Bend, m.Doubt
			members = append(members, variant{v.solid(), m.Weight})
		}
	}
	var out []variant
	for _, m := range members {
		doubt := m.class.Doubt.Bend
		if doubt < 0.015 {
			out = append(out, m)
			continue
		}
		for _, z := range []float64{-1, 1} {
			v := m.class
			v.Curve.Bend = max(-maxBend, min(maxBend, v.Curve.Bend+z*doubt))
			out = append(out, variant{v, m.w / 2})
		}
	}
	return out
}

// add brings the parts of one variant of the class in, weighted by how well it explains the readings.
func (f *Forecast) add(v variant, lives []Life, running int, coarse float64) {
	c := &v.class
	var k kin
	var ch chain
	kinOf(c, lives, &k)
	lnZ := math.Log(v.w)
	for i := range lives {
		if i == running || len(lives[i].Readings) == 0 {
			continue
		}
		ch.load(c, &lives[i], lives[i].ordered(), false)
		p := k.expects(lives[i].Side)
		centre, scale := ch.peak(p)
		nodes := ch.walk(p, centre, 0.9*scale, 11, 1e-4, nil)
		z, post := moments(nodes, 0.9*scale, p)
		k.learn(lives[i].Side, p, post)
		lnZ += z
	}
	ch.load(c, &lives[running], lives[running].ordered(), false)
	p := k.expects(lives[running].Side)
	centre, scale := ch.peak(p)
	step := coarse * f.fineness(&ch, centre, scale)
	nodes := ch.walk(p, centre, step, 14, 1e-7, make([]node, 0, 64))
	slices.SortFunc(nodes, func(a, b node) int { return cmp.Compare(a.th, b.th) })
	f.take(&ch, nodes, law{lnZ, p.variance}, step)
}

// seldom is how many rates share one account of the past, which only plots need.
const seldom = 3

// take makes parts of the nodes of a grid. evidence is ln of the weight of the whole grid, and the variance of the law of ln b.
func (f *Forecast) take(k *chain, nodes []node, evidence law, step float64) {
	curve := k.curve
	g := 0.0
	if n := len(k.g); n > 0 {
		g = k.g[n-1]
	}
	scale := evidence.mean + math.Log(step/math.Sqrt(evidence.variance))
	past := make([]state, 0, (len(nodes)/seldom+2)*(len(k.g)+1))
	for i, n := range nodes {
		if !n.usable() {
			continue
		}
		b := math.Exp(n.th)
		p := part{w: n.ln + scale, b: b, mean: n.end.mean, v: n.end.variance, q: k.path * b * b, g: g, curve: &curve, step: step}
		if i%seldom == len(nodes)/2%seldom {
			from := len(past)
			if past = k.smooth(b, past); !slices.ContainsFunc(past[from:], state.lost) {
				p.past = past[from:len(past):len(past)]
			}
		}
		f.parts = append(f.parts, p)
	}
}

// coarsest is the step of the grid in spreads of ln b where nothing asks for a finer one.
const coarsest = 0.65

// fineness is the step of the grid in ln b: fine enough that neighbouring rates do not show as stairs in the law of the crossing, which
// the spread of the level given the rate must smooth.
func (f *Forecast) fineness(k *chain, centre, scale float64) float64 {
	b := math.Exp(centre)
	e := k.at(b, 1e-3)
	ahead := max(e.mean-f.Limit, 0) + b*0.05*k.curve.Ref
	sd := math.Sqrt(e.variance + k.path*b*ahead)
	if want := 0.9 * sd / ahead; want < coarsest*scale {
		return max(want, scale/40)
	}
	return coarsest * scale
}

// settle turns logarithms of weights into weights and works out how likely the part is above the limit now and at the horizon. It is false
// where nothing is left to weigh.
func (f *Forecast) settle() bool {
	top := math.Inf(-1)
	for _, p := range f.parts {
		top = max(top, p.w)
	}
	sum := 0.0
	for i := range f.parts {
		f.parts[i].w = math.Exp(f.parts[i].w - top)
		sum += f.parts[i].w
	}
	if !(sum >= 1) || math.IsInf(sum, 0) {
		return false
	}
	for i := range f.parts {
		f.parts[i].w /= sum
	}
	f.parts = slices.DeleteFunc(f.parts, func(p part) bool { return p.w < 1e-8 })
	for i := range f.parts {
		p := &f.parts[i]
		d := p.curve.At(f.Now) - p.g
		p.most = (p.mean - p.b*d - f.Limit) / math.Sqrt(p.v+p.q*d)
	}
	f.live, f.rest = f.survival(f.Now), f.survival(f.Horizon)
	return !math.IsNaN(f.live + f.rest)
}

// survival is P(level at x above the limit).
func (f *Forecast) survival(x float64) float64 {
	s, _ := f.survivalSlope(x)
	return s
}

// survivalSlope is P(level at x above the limit) and minus its derivative by x. Wear never heals, so being above the limit at x is the same as
// first reaching it later than x.
func (f *Forecast) survivalSlope(x float64) (s, slope float64) {
	var of *Curve
	var g, dg float64
	for i := range f.parts {
		p := &f.parts[i]
		if p.curve != of {
			of, g, dg = p.curve, p.curve.At(x), p.curve.Slope(x)
		}
		d := g - p.g
		v := p.v + p.q*d
		sd := math.Sqrt(v)
		h := p.mean - p.b*d - f.Limit
		z, rate := h/sd, 0.0
		if z < p.most { // spread that grows must not lift what lies below the limit back above it
			rate = (p.b/sd + 0.5*z*p.q/v) * dg
		} else {
			z = p.most
		}
		switch fz := phi(z); {
		case z > 9:
			s += p.w
		case z < -38:
		case z > 0:
			s += p.w * (1 - fz*mills(z))
			slope += p.w * fz * rate
		default:
			s += p.w * fz * mills(-z)
			slope += p.w * fz * rate
		}
	}
	return s, slope
}
