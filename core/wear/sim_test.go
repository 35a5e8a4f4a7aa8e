package wear

import (
	"math"
	"math/rand/v2"
	"strconv"
)

// set is a simulated fleet with kept truth.
type set struct {
	name        string
	limit, step float64
	lives       []Life
	tasks       []task
	ref         float64 // mean pinball error of the mixed-model reference
}

// task is one forecast to be made, with the truth, as x of its life.
type task struct {
	lives     []Life
	running   int
	now, true float64
}

// recipe is an invented kind of wear and of workshop: everything that a class may differ in.
type recipe struct {
	name                       string
	units                      int
	start, startSD             float64 // mm
	rate, spread, again        float64 // mm per 1000 km, spread of ln rate between units and between lives
	path                       float64 // spread of wear over 1000 km as a share of its mean (gamma increments)
	bend                       float64 // rate at x: (1-bend) + 2*bend*min(x/60000, 2)
	even                       bool    // rates normal instead of lognormal
	gauge, step, limit, margin float64
	least, most                int // readings of the running life
}

// truth is the class that a recipe describes, as far as a class can.
func (r recipe) truth() Class {
	c := Class{New: r.start, NewSD: r.startSD, LogRate: math.Log(r.rate / 1000), UnitSD: r.spread, LifeSD: r.again, Gauge: r.gauge,
		Path: max(r.path, 1e-6) / math.Sqrt(60), Curve: Curve{0, 60000}, Step: r.step}
	if r.bend > 0 {
		c.Curve.Bend = r.bend / (1 - r.bend)
	}
	return c
}

// draw invents a fleet. Parts are renewed when they are past the limit or read within the margin of it; a running life has at least the wanted number of
// readings; a unit that wears three sets out before is left out.
func (r recipe) draw(seed uint64) *set {
	g := rand.New(rand.NewPCG(seed, 17))
	s := &set{name: r.name, limit: r.limit, step: r.step}
	for n := 0; n < r.units; {
		lives, now, crossing := r.unit(g, "u"+strconv.Itoa(n))
		if !(crossing > now) || math.IsInf(crossing, 1) {
			continue
		}
		n++
		s.tasks = append(s.tasks, task{lives: lives, running: len(lives) - 1, now: now, true: crossing})
		s.lives = append(s.lives, lives...)
	}
	return s
}

// unit is one unit's lives until the running one has its readings; crossing is 0 where none is left running.
func (r recipe) unit(g *rand.Rand, name string) (lives []Life, now, crossing float64) {
	base := r.rate * math.Exp(r.spread*g.NormFloat64())
	if r.even {
		base = max(r.rate*0.3, r.rate*(1+r.spread*g.NormFloat64()))
	}
	visit := 8000 + 10000*g.Float64()
	want := r.least + g.IntN(r.most-r.least+1)
	for range 3 {
		level, cross := r.course(g, base*math.Exp(r.again*g.NormFloat64()))
		l := Life{Unit: name}
		see := func(x float64) float64 {
			y := at(level, x) + r.gauge*g.NormFloat64()
			l.Readings = append(l.Readings, Reading{x, math.Round(max(y, 0)/r.step) * r.step})
			return y
		}
		if g.Float64() < 0.3 {
			see(0)
		}
		x, done := 0.0, false
		for {
			x += math.Round(max(1500, visit*(1+0.25*g.NormFloat64())))
			if y := see(x); cross <= x || y <= r.limit+r.margin {
				done = true
				break
			}
			if len(l.Readings) >= want && g.Float64() < 0.75 || len(l.Readings) >= r.most {
				break
			}
		}
		lives = append(lives, l)
		if !done {
			return lives, x, cross
		}
	}
	return lives, 0, 0
}

const courseStep = 250 // km

// course is a true level on a grid of distance, and where it crosses the limit.
func (r recipe) course(g *rand.Rand, rate float64) (level []float64, cross float64) {
	y := r.start + r.startSD*g.NormFloat64()
	level = append(level, y)
	cross = math.Inf(1)
	for x := 0.0; x < 400000; x += courseStep {
		t := (x + courseStep/2) / 60000
		mean := rate * courseStep / 1000
		if t < 2 {
			mean *= 1 - r.bend + 2*r.bend*t
		} else {
			mean *= 1 + r.bend
		}
		if r.path > 0 {
			shape := 0.25 / (r.path * r.path)
			mean *= gammaDraw(g, shape) / shape
		}
		if y > r.limit && y-mean <= r.limit {
			cross = x + courseStep*(y-r.limit)/mean
		}
		y -= mean
		level = append(level, y)
	}
	if level[0] <= r.limit {
		cross = 0
	}
	return level, cross
}

func at(level []float64, x float64) float64 {
	i := min(int(x/courseStep), len(level)-2)
	return level[i] + (level[i+1]-level[i])*(x/courseStep-float64(i))
}

// gammaDraw draws from a gamma law of scale 1 (Marsaglia & Tsang, ACM Trans. Math. Softw. 26 (2000) 363).
func gammaDraw(g *rand.Rand, shape float64) float64 {
	if shape < 1 {
		return gammaDraw(g, shape+1) * math.Pow(g.Float64(), 1/shape)
	}
	d := shape - 1./3
	for {
		z := g.NormFloat64()
		v := 1 + z/math.Sqrt(9*d)
		if v <= 0 {
			continue
		}
		v *= v * v
		if u := g.Float64(); math.Log(u) < 0.5*z*z+d-d*v+d*math.Log(v) {
			return d * v
		}
	}
}

func recipes() []recipe {
	pad := recipe{start: 11.5, startSD: .3, rate: .13, spread: .3, again: .08, gauge: .2, step: .5, limit: 3, margin: .25, least: 2, most: 8, units: 200}
	with := func(name string, change func(*recipe)) recipe { r := pad; r.name = name; change(&r); return r }
	return []recipe{
		with("pads", func(r *recipe) {}),
		with("curved", func(r *recipe) { r.bend = .15 }),
		with("curved tread", func(r *recipe) {
			r.bend, r.start, r.startSD, r.gauge, r.step, r.limit, r.least = .15, 8, .2, .12, .1, 1.6, 3
		}),
		with("curved few", func(r *recipe) { r.bend, r.units = .15, 40 }),
		with("three readings", func(r *recipe) { r.least, r.most = 3, 3 }),
		with("two readings", func(r *recipe) { r.least, r.most = 2, 2 }),
		with("rough path", func(r *recipe) { r.path, r.most = .6, 8 }),
		with("gamma", func(r *recipe) { r.path = .35 }),
		with("skewed", func(r *recipe) { r.spread = .6 }),
		with("coarse gauge", func(r *recipe) { r.step, r.gauge = 1, .15 }),
		with("fine gauge", func(r *recipe) { r.step, r.gauge = .01, .05 }),
		with("noisy", func(r *recipe) { r.gauge = .6 }),
		with("normal rates", func(r *recipe) { r.even, r.spread = true, .2 }),
		with("fifteen units", func(r *recipe) { r.units = 15 }),
		with("eight units", func(r *recipe) { r.units = 8 }),
		with("high limit", func(r *recipe) { r.limit = 6 }),
	}
}
