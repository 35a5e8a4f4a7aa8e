package wear

import (
	"fmt"
	"math"
)

// Report says how a fit went.
type Report struct {
	// Done is true where the search ended at a maximum. Why says in words why it stopped.
	Done bool
	Why  string
	// LogPosterior is ln(marginal likelihood * prior) at the end, Rounds the number of steps from all starts, Starts the number of starting points.
	LogPosterior   float64
	Rounds, Starts int
	// Unused counts units that were left out because a class has more than enough.
	Unused int
}

// FitClass learns the figures of a class from the lives of all its units: the maximum of marginal likelihood times prior, searched from
// several starts. Finished lives belong in: without them fast wear is seen too seldom. With little history the class stays near its prior.
// Errors: figures that are none, and ErrNoData, with which the class before any history is returned.
func FitClass(lives []Life, p Prior) (Class, Report, error) {
	if err := p.check(); err != nil {
		return Class{}, Report{}, err
	}
	for i := range lives {
		if err := lives[i].check(); err != nil {
			return Class{}, Report{}, err
		}
	}
	f := gather(lives, p)
	if len(f.families) == 0 {
		return p.Class(), Report{Why: "nothing to learn from"}, ErrNoData
	}
	c, rep := f.search()
	if c.check() != nil || !c.sound() { // readings too absurd to learn from
		c, rep.Done, rep.Why = p.Class(), false, "the readings fit no class; the class stays as it was known beforehand"
	}
	c.Units, c.Lives, c.Readings = f.counts()
	rep.Unused = f.unused
	return c, rep, nil
}

// Places of the figures in the vector of the search; spreads stand there as logarithms.
const (
	atNew = iota
	atNewSD
	atLogRate
	atUnitSD
	atSideSD
	atLifeSD
	atGauge
	atPath
	atBend
	figures
)

type vector [figures]float64

func isSpread(i int) bool { return i != atNew && i != atLogRate && i != atBend }

// family is a unit's lives with the grid in ln b that the quadrature keeps for each during one step of the search.
type family struct {
	lives    []Life
	readings [][]Reading
	grid     []law
}

// fitter holds the data of a class during the search.
type fitter struct {
	prior    Prior
	mid      vector
	sd       vector // 0 = fixed
	families []family
	unused   int
	coarse   bool // take rounding as added variance: quick, and nearly right
	chain    chain
	kin      kin
	nodes    []node
	short    bool // leave the last reading of each unit's last life out
}

const (
	maxUnits    = 1500 // more add nothing to a class's figures
	maxReadings = 120  // of one life, evenly thinned
)

// gather groups lives by unit, in the order of appearance, and leaves out what has no reading.
func gather(lives []Life, p Prior) *fitter {
	f := &fitter{prior: p}
	sides := false
	place := map[string]int{}
	for _, l := range lives {
		if len(l.Readings) == 0 {
			continue
		}
		i, ok := place[l.Unit]
		if !ok {
			i = len(f.families)
			place[l.Unit] = i
			f.families = append(f.families, family{})
		}
		sides = sides || l.Side != ""
		fam := &f.families[i]
		fam.lives = append(fam.lives, l)
		fam.readings = append(fam.readings, thin(l.ordered(), maxReadings))
		fam.grid = append(fam.grid, law{})
	}
	if n := len(f.families); n > maxUnits {
		f.unused = n - maxUnits
		for i := range maxUnits {
			f.families[i] = f.families[i*n/maxUnits]
		}
		f.families = f.families[:maxUnits]
	}
	for i, g := range p.guesses() {
		f.mid[i], f.sd[i] = g.Mid, g.SD
		if isSpread(i) {
			f.mid[i] = math.Log(max(g.Mid, 1e-9))
		}
	}
	if !sides { // without sides there is nothing that could tell this spread from that of units
		f.sd[atSideSD], f.mid[atSideSD] = 0, math.Inf(-1)
	}
	return f
}

// thin keeps n readings evenly, the first and the last among them.
func thin(rs []Reading, n int) []Reading {
	if len(rs) <= n {
		return rs
	}
	out := make([]Reading, n)
	for i := range out {
		out[i] = rs[i*(len(rs)-1)/(n-1)]
	}
	return out
}

func (f *fitter) counts() (units, lives, readings int) {
	for _, fam := range f.families {
		for _, l := range fam.lives {
			readings += len(l.Readings)
		}
		lives += len(fam.lives)
	}
	return len(f.families), lives, readings
}

// class is the class that a vector stands for.
func (f *fitter) class(x vector) Class {
	return Class{New: x[atNew], NewSD: math.Exp(x[atNewSD]), LogRate: x[atLogRate], UnitSD: math.Exp(x[atUnitSD]), SideSD: math.Exp(x[atSideSD]),
		LifeSD: math.Exp(x[atLifeSD]), Gauge: math.Exp(x[atGauge]), Path: math.Exp(x[atPath]), Curve: Curve{x[atBend], f.prior.Ref}, Step: f.prior.Step}
}

// Grid of the fit: half its points, and their distance in posterior standard deviations. Error below 1e-6 of a life's likelihood.
const (
	fitHalf = 6
	fitStep = 0.85
)

// calibrate lays the grids anew for a vector.
func (f *fitter) calibrate(x vector) {
	c := f.class(x)
	if c.check() != nil {
		return
	}
	c = c.solid()
	f.eachLife(&c, func(fam *family, i int, p law) (float64, law) {
		centre, scale := f.chain.peak(p)
		f.nodes = f.chain.walk(p, centre, 0.9*scale, 12, 1e-3, f.nodes[:0])
		_, post := moments(f.nodes, 0.9*scale, p)
		fam.grid[i] = law{post.mean, math.Sqrt(post.variance)}
		return 0, post
	})
}

// eachLife walks through all lives with the law of their rate by class and kin, and lets visit return its evidence and posterior.
func (f *fitter) eachLife(c *Class, visit func(fam *family, i int, p law) (float64, law)) float64 {
	sum := 0.0
	for k := range f.families {
		fam := &f.families[k]
		kinOf(c, fam.lives, &f.kin)
		for i := range fam.lives {
			f.chain.load(c, &fam.lives[i], f.used(fam, i), f.coarse)
			p := f.kin.expects(fam.lives[i].Side)
			z, post := visit(fam, i, p)
			sum += z
			if i+1 < len(fam.lives) {
				f.kin.learn(fam.lives[i].Side, p, post)
			}
		}
	}
	return sum
}

// used are the readings of a life that this step of the search takes in.
func (f *fitter) used(fam *family, i int) []Reading {
	rs := fam.readings[i]
	if f.short && i == len(fam.lives)-1 && len(rs) > 2 {
		return rs[:len(rs)-1]
	}
	return rs
}

// cost is minus ln(marginal likelihood * prior) on the present grids; +Inf where the figures are out of bounds.
func (f *fitter) cost(x vector) float64 {
	c := f.class(x)
	if c.check() != nil {
		return math.Inf(1)
	}
	c = c.solid()
	sum := f.eachLife(&c, func(fam *family, i int, p law) (float64, law) {
		g := fam.grid[i]
		f.nodes = f.nodes[:0]
		for j := -fitHalf; j <= fitHalf; j++ {
			f.nodes = append(f.nodes, f.chain.point(g.mean+float64(j)*fitStep*g.variance, p, 1e-7))
		}
		return moments(f.nodes, fitStep*g.variance, p)
	})
	for i := range x {
		if f.sd[i] > 0 {
			z := (x[i] - f.mid[i]) / f.sd[i]
			sum -= 0.5 * z * z
		}
	}
	if math.IsNaN(sum) {
		return math.Inf(1)
	}
	return -sum
}

// search goes down from several starts on the coarse likelihood, decides whether the class's wear is curved, and ends with the full likelihood
// from the better of the two.
func (f *fitter) search() (Class, Report) {
	var rep Report
	f.coarse = true
	loose := f.sd[atBend]
	f.sd[atBend] = 0
	best := f.lowest(f.starts(), &rep)
	doubt := f.doubt(&best)
	var members []Member
	share := 0.0
	if loose > 0 {
		var bent descent
		var more Doubt
		if bent, more, share = f.bent(best.x, loose, &rep); share > 1-settled {
			members = f.members(bent, more, 2)
		} else if share > settled {
			members = mix(f.group(best, doubt, 2), f.group(bent, more, 1), share)
		}
		if share > 0.5 {
			best, doubt = bent, more
		}
	}
	if share <= settled {
		members = f.members(best, doubt, 3)
	}
	f.coarse = false
	d := f.descend(best.x, &best)
	rep.Rounds += d.rounds
	rep.LogPosterior, rep.Done, rep.Why = -d.cost, d.done, fmt.Sprintf("%s after %d steps from %d starts", d.why, rep.Rounds, rep.Starts)
	c := f.class(d.x)
	c.Doubt, c.Members = doubt, members
	return c, rep
}

// settled is the probability below which one of the two, straight or curved, is no longer carried along.
const settled = 0.02

// curvedOdds are the odds, before any data, that wear of a class is curved enough to matter.
const curvedOdds = 0.2

// bent is the best curved class, and the probability that there is a curve at all. The bend is judged without the last reading of each unit's last life:
// a part is still in place because that reading was not low, so such readings lie a little high as a group, which looks like wear that slows
// down. For the other figures that matters less than the readings are worth.
func (f *fitter) bent(x vector, loose float64, rep *Report) (best descent, doubt Doubt, share float64) {
	f.short = true
	straight := f.lowest([]vector{x}, rep)
	f.sd[atBend] = loose
	bent := f.lowest(f.bends(straight.x, loose), rep)
	sd := f.doubt(&bent).Bend
	share = bentShare(straight.cost-bent.cost, sd, loose)
	f.short = false
	f.sd[atBend] = 0
	if share <= settled {
		return bent, Doubt{}, share
	}
	x[atBend] = bent.x[atBend]
	best = f.lowest([]vector{x}, rep)
	doubt = f.doubt(&best)
	doubt.Bend = sd
	return best, doubt, share
}

// bentShare is the posterior probability of a bend: gain in ln posterior, weighed by how much of the prior's room the bend's posterior fills
// (Laplace's approximation of the Bayes factor; Kass & Raftery, J. Am. Stat. Assoc. 90 (1995) 773).
func bentShare(gain, sd, prior float64) float64 {
	if math.IsNaN(gain) {
		return 0
	}
	odds := curvedOdds * math.Exp(max(-600, min(gain, 600))) * max(sd, 1e-9) / prior
	return odds / (1 + odds)
}

// lowest is the best descent from several starts.
func (f *fitter) lowest(starts []vector, rep *Report) descent {
	best := descent{cost: math.Inf(1)}
	for i, s := range starts {
		d := f.descend(s, nil)
		rep.Rounds += d.rounds
		rep.Starts++
		if i == 0 || d.cost < best.cost {
			best = d
		}
	}
	return best
}

// starts are the prior's middle and a point away from it in the figures that can stand for each other: path and gauge.
func (f *fitter) starts() []vector {
	x := f.mid
	for i, by := range map[int]float64{atPath: 1.5, atGauge: -0.5} {
		if f.sd[i] > 0 {
			x[i] += by * f.sd[i]
		}
	}
	return []vector{f.mid, x}
}

// bends are starts on both sides of the straight line.
func (f *fitter) bends(x vector, sd float64) []vector {
	up, down := x, x
	up[atBend] += 0.7 * sd
	down[atBend] -= 0.3 * sd
	return []vector{up, down}
}
