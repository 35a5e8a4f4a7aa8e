package life

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// ClassWeight is for how many cars a class's starting values count when nothing else is said (the project's own choice).
const ClassWeight = 8

// Floors under which the spread within a class is not believed (the project's own choice): two cars are never quite alike.
const floorSD = 0.05

// ClassReport says from what a class was learnt.
type ClassReport struct {
	Cars, Looks int     // with at least one observation; looks count observations
	Weight      float64 // for how many cars the starting values counted
	LogMarginal float64 // of all cars under the class found
	Moved       bool    // whether the class is told from the starting values
	Reason      string
}

// FitClass learns how shape and scale are spread over the cars of a class: empirical Bayes, the class's four figures maximise the
// product of the cars' marginal likelihoods times a conjugate (normal-inverse-gamma) prior for which the starting values base count
// like weight cars. Each car has one shape and scale; observations of one car are independent lives. A class with little history stays
// near base. weight is ClassWeight when 0. It fails as NewPosterior does, naming the car, for a negative weight, and without panic.
//
// The method is expectation and maximisation (Dempster, Laird & Rubin 1977), which only ever raises the product; the posteriors of
// the cars are recomputed as the class moves, and reweighted in between. See Carlin & Louis, Bayes and Empirical Bayes Methods (2000), ch. 3.
func FitClass(m Model, cars [][]Observation, base Prior, weight float64) (Prior, ClassReport, error) {
	if weight == 0 {
		weight = ClassWeight
	}
	if !(weight > 0) || math.IsInf(weight, 0) {
		return base, ClassReport{}, fmt.Errorf("the weight of the starting values is %v cars; expected above 0", weight)
	}
	if err := base.Check(); err != nil {
		return base, ClassReport{}, err
	}
	if err := m.valid(); err != nil {
		return base, ClassReport{}, err
	}
	report := ClassReport{Weight: weight}
	histories, err := group(cars, &report)
	if err != nil {
		return base, report, err
	}
	if quick, ok := learnOnGrid(m, histories, base, weight, &report); ok {
		report.tell(m, base, quick)
		return quick, report, nil
	}
	prior := base
	for range 12 {
		before := prior
		prior, err = improve(m, histories, base, prior, weight, &report)
		if err != nil {
			return base, report, err
		}
		if distance(before, prior) < 1e-3 {
			break
		}
	}
	report.tell(m, base, prior)
	return prior, report, nil
}

// history is what was seen of n cars alike.
type history struct {
	obs   []Observation
	n     float64
	first int // index of the first such car
}

// group joins cars with the same observations, of which a workshop has many.
func group(cars [][]Observation, report *ClassReport) ([]history, error) {
	var all []history
	seen := map[string]int{}
	for i, obs := range cars {
		if len(obs) == 0 {
			continue
		}
		report.Cars++
		for k, o := range obs {
			if field, text := o.check(); text != "" {
				return nil, fmt.Errorf("car %d: %w", i+1, &ErrObservation{k, field, text})
			}
			report.Looks += max(1, o.Count)
		}
		sorted := slices.Clone(obs)
		slices.SortFunc(sorted, func(a, b Observation) int {
			return cmp.Or(cmp.Compare(a.Kind, b.Kind), cmp.Compare(a.At, b.At), cmp.Compare(a.Lower, b.Lower), cmp.Compare(a.Upper, b.Upper))
		})
		key := fmt.Sprint(sorted)
		if at, ok := seen[key]; ok {
			all[at].n++
			continue
		}
		seen[key] = len(all)
		all = append(all, history{sorted, 1, i})
	}
	return all, nil
}

// cloud is a car's posterior as points of (ln shape, ln scale).
type cloud struct {
	n         float64
	x, y, w   []float64
	reference Prior // under which the weights hold
}

// improve makes the cars' posteriors under a class and moves the class until it stands still under them.
func improve(m Model, all []history, base, prior Prior, weight float64, report *ClassReport) (Prior, error) {
	clouds := make([]cloud, 0, len(all))
	report.LogMarginal = 0
	for _, h := range all {
		p, err := NewPosterior(m, prior, h.obs)
		if err != nil {
			return prior, fmt.Errorf("car %d: %w", h.first+1, err)
		}
		report.LogMarginal += h.n * p.LogMarginal()
		clouds = append(clouds, newCloud(p, h.n, prior))
	}
	next := prior
	for range 200 {
		before := next
		next = step(clouds, base, next, weight)
		if distance(before, next) < 1e-5 || distance(prior, next) > 0.5 { // too far for the points: make new ones
			break
		}
	}
	return next, nil
}

func newCloud(p *Posterior, n float64, prior Prior) cloud {
	c := cloud{n: n, reference: prior}
	for _, q := range p.grid.nodes {
		if q.weight > 1e-6 {
			c.x, c.y, c.w = append(c.x, p.model.logSigma(-math.Log(q.inv))), append(c.y, q.mu), append(c.w, q.weight)
		}
	}
	return c
}

// step is one expectation and maximisation.
func step(clouds []cloud, base, prior Prior, weight float64) Prior {
	var sums moments
	for i := range clouds {
		c := &clouds[i]
		total, x, y, xx, yy := 0.0, 0.0, 0.0, 0.0, 0.0
		for k, w := range c.w {
			w *= exp(logRatio(prior, c.reference, c.x[k], c.y[k]))
			dx, dy := c.x[k]-base.LogShapeMean, c.y[k]-base.LogScaleMean
			total += w
			x, y, xx, yy = x+w*dx, y+w*dy, xx+w*dx*dx, yy+w*dy*dy
		}
		if !(total > 0) {
			continue
		}
		sums.add(c.n, x/total, y/total, xx/total, yy/total)
	}
	return sums.class(base, weight)
}

// logRatio is ln of the density of one prior over that of another.
func logRatio(a, b Prior, x, y float64) float64 {
	z := func(x, mean, sd float64) float64 { t := (x - mean) / sd; return -0.5*t*t - math.Log(sd) }
	return z(x, a.LogShapeMean, a.LogShapeSD) + z(y, a.LogScaleMean, a.LogScaleSD) - z(x, b.LogShapeMean, b.LogShapeSD) - z(y, b.LogScaleMean, b.LogScaleSD)
}

// distance is how far two priors are apart, in standard deviations and ratios of them.
func distance(a, b Prior) float64 {
	return max(math.Abs(a.LogShapeMean-b.LogShapeMean)/a.LogShapeSD, math.Abs(a.LogScaleMean-b.LogScaleMean)/a.LogScaleSD,
		math.Abs(math.Log(a.LogShapeSD/b.LogShapeSD)), math.Abs(math.Log(a.LogScaleSD/b.LogScaleSD)))
}

// tell words what became of the class.
func (r *ClassReport) tell(m Model, base, prior Prior) {
	median := func(p Prior) float64 {
		sigma := math.Exp(m.logSigma(p.LogShapeMean))
		return expSaturated(p.LogScaleMean + sigma*m.quantile(0.5))
	}
	r.Moved = distance(base, prior) > 0.1
	switch {
	case r.Cars == 0:
		r.Reason = "no car of the class has been looked at yet: the starting values stand"
	case !r.Moved:
		r.Reason = fmt.Sprintf("%d looks at %d cars, against starting values that count like %s cars, change nothing to speak of", r.Looks, r.Cars, Number(r.Weight))
	default:
		r.Reason = fmt.Sprintf("%d looks at %d cars, with starting values that count like %s cars, move the typical life from %s to %s",
			r.Looks, r.Cars, Number(r.Weight), Number(significant(median(base))), Number(significant(median(prior))))
	}
}

// significant rounds to three digits.
func significant(x float64) float64 {
	scale := math.Pow(10, 2-math.Floor(math.Log10(x)))
	if math.IsInf(scale, 0) || scale == 0 {
		return x
	}
	return math.Round(x*scale) / scale
}
