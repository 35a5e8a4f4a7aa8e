package life

import (
	"fmt"
	"math"
)

// Prior is what is known of a class of lives beforehand: independent normal distributions of ln shape (Weibull, loglogistic) or
// ln sigma (lognormal), and of ln scale (Weibull) or ln median, the scale in the unit of the exposures.
type Prior struct{ LogShapeMean, LogShapeSD, LogScaleMean, LogScaleSD float64 }

// Bounds on a prior: beyond them a float64 does not hold the lives that it speaks of.
const (
	widestSD     = 20
	farthestMean = 600
	widestShape  = 30
)

// Check says what of a prior cannot be: standard deviations must be above 0 and at most 20, |ln scale| at most 600, |ln shape| at
// most 30.
func (p Prior) Check() error {
	sd := func(name string, x float64) error {
		if !(x > 0 && x <= widestSD) {
			return fmt.Errorf("the prior's standard deviation of ln %s is %v; expected above 0, at most %d", name, x, widestSD)
		}
		return nil
	}
	mean := func(name string, x, most float64) error {
		if !(math.Abs(x) <= most) {
			return fmt.Errorf("the prior's mean of ln %s is %v; expected within %v of 0", name, x, most)
		}
		return nil
	}
	for _, err := range []error{sd("shape", p.LogShapeSD), sd("scale", p.LogScaleSD), mean("shape", p.LogShapeMean, widestShape), mean("scale", p.LogScaleMean, farthestMean)} {
		if err != nil {
			return err
		}
	}
	return nil
}

// Posterior is what is known of the lives after the observations. It does not change once made.
type Posterior struct {
	model       Model
	prior       Prior
	obs         []Observation
	grid        grid
	logMarginal float64
}

// NewPosterior joins a prior with observations of independent lives (looks at one fill are one observation: see Merge). It fails for
// an unknown model, a prior that cannot be, and for an observation that cannot be (*ErrObservation).
func NewPosterior(m Model, p Prior, obs []Observation) (*Posterior, error) {
	if err := m.valid(); err != nil {
		return nil, err
	}
	if err := p.Check(); err != nil {
		return nil, err
	}
	for i, o := range obs {
		if field, text := o.check(); text != "" {
			return nil, &ErrObservation{i, field, text}
		}
	}
	post := &Posterior{model: m, prior: p, obs: append([]Observation(nil), obs...), grid: grid{ev: gather(m, p, obs)}}
	g := &post.grid
	g.build()
	// Lives so alike that the scale is known more closely than a float64 holds leave no points: their sum is 1 but for rounding else.
	if !(g.total > 0) || math.IsInf(g.total, 0) || !(g.listed > 0.9) || g.torn() {
		return nil, fmt.Errorf("the observations and the prior together put shape or scale beyond what can be computed; expected a prior under which the observations are not absurd, or fewer lives that are exactly equal")
	}
	post.logMarginal = g.ref + math.Log(g.total) + g.ev.offset - math.Log(2*math.Pi*g.ev.sdW*g.ev.sdM)
	return post, nil
}

// LogMarginal gives the logarithm of the marginal likelihood of the observations under the prior; exact lives enter with their
// density per unit of the exposure.
func (p *Posterior) LogMarginal() float64 { return p.logMarginal }

// The distance of the rows to begin with: in standard deviations, and in w itself, on the scale of which (y-mu)/sigma changes.
const (
	firstStep = 0.5
	mostStep  = 0.25
)

// build makes the grid: rows ever closer until the answers stand still. Looks that can err may hide the top of the posterior from
// locate; met on the way, it is where the next attempt begins.
func (g *grid) build() {
	low := 0.0
	for range 5 {
		high := 0.0
		low, high = g.locate()
		if math.IsInf(g.ref, 0) || math.IsNaN(g.ref+low+high+g.sd) {
			return
		}
		step := math.Max(math.Min(firstStep*g.sd, mostStep), (high-low)/(mostRows/4))
		n := int((high-low)/step) + 2
		g.rows, g.panels = make([]row, 0, 2*n), make([]panel, 0, 6*n)
		g.found = crest{}
		g.fill(low, step, n)
		g.sum(step)
		if g.found.height < 3 {
			break
		}
	}
	if g.total > 0 {
		g.tighten(low)
		g.makeNodes()
	}
}

// tighten halves the distance of the rows until the answers stand still.
func (g *grid) tighten(low float64) {
	var before, after probe
	before.place(g)
	after.z, after.y = before.z, before.y
	before.take(g, 2)
	for after.take(g, 1); !after.near(&before) && 2*len(g.rows) <= mostRows; after.take(g, 1) {
		before = after
		g.fill(low+g.step/2, g.step, len(g.rows))
		g.sum(g.step / 2)
	}
}
