package outlook

import (
	"math"
	"slices"

	"witnessmark/core/life"
)

// For forecasts a car's posterior stands on a fixed grid over the prior: some shapes by some scales at even steps of their
// standard deviations, each weighted by how probable it makes the observations. Even steps integrate a smooth law that falls off
// at both ends almost exactly while they are no wider than the law is (Trefethen & Weideman, SIAM Review 56 (2014) 385). A test
// holds it against core/life.
const (
	gridShapes, shapeReach = 8, 2.4
	gridScales, scaleReach = 28, 3.4
)

// seenLife is an observation as the grid takes it: probabilities between breaks, for so many equal lives.
type seenLife struct {
	breaks, likely []float64
	count          float64
}

// faint is the share of the largest probability under which what lies between two looks is left out: after three clear looks a life
// that ended before the first of them.
const faint = 1e-4

// plainer drops from observations of several looks the breaks that say next to nothing, and joins equal ones: the places of an axle
// are often seen alike.
func plainer(obs []life.Observation) []life.Observation {
	var out []life.Observation
	for _, o := range obs {
		if o.Kind == life.Steps {
			s := seenLife{breaks: o.Breaks, likely: o.Weights}
			if s.simplify(); len(s.breaks) > 0 {
				o.Breaks, o.Weights = s.breaks, s.likely
			}
		}
		same := slices.IndexFunc(out, func(b life.Observation) bool {
			return o.Kind == b.Kind && o.At == b.At && o.Lower == b.Lower && o.Upper == b.Upper && slices.Equal(o.Breaks, b.Breaks) && slices.Equal(o.Weights, b.Weights)
		})
		if same >= 0 {
			out[same].Count = max(1, out[same].Count) + max(1, o.Count)
			continue
		}
		out = append(out, o)
	}
	return out
}

// gaps turns observations into probabilities between breaks.
func gaps(obs []life.Observation) []seenLife {
	var out []seenLife
	for _, o := range obs {
		s := seenLife{count: math.Max(1, float64(o.Count))}
		sens, spec := o.Sensitivity, o.Specificity
		if sens == 0 {
			sens = 1
		}
		if spec == 0 {
			spec = 1
		}
		switch o.Kind {
		case life.Clear:
			s.breaks, s.likely = []float64{o.At}, []float64{1 - sens, spec}
		case life.Dark:
			s.breaks, s.likely = []float64{o.At}, []float64{sens, 1 - spec}
		case life.Between:
			s.breaks, s.likely = []float64{o.Lower, o.Upper}, []float64{0, 1, 0}
		case life.Steps:
			s.breaks, s.likely = o.Breaks, o.Weights
		default:
			continue
		}
		s.simplify()
		out = append(out, s)
	}
	return out
}

// simplify drops breaks on both sides of which the probability is next to nothing, or the same.
func (s *seenLife) simplify() {
	top := slices.Max(s.likely)
	var breaks, likely []float64
	for i, p := range s.likely {
		if p < faint*top {
			p = 0
		}
		if n := len(likely); n > 0 && likely[n-1] == p {
			if i < len(s.breaks) {
				breaks[n-1] = s.breaks[i]
			}
			continue
		}
		likely = append(likely, p)
		if i < len(s.breaks) {
			breaks = append(breaks, s.breaks[i])
		}
	}
	s.breaks, s.likely = breaks[:len(likely)-1], likely
}

// posterior weighs the grid by the observations and leaves out what has become improbable; nil when nothing explains them.
func posterior(m life.Model, p life.Prior, obs []life.Observation) []term {
	f := turning{lognormal: m == life.Lognormal}
	lives := gaps(obs)
	terms := make([]term, 0, gridShapes*gridScales)
	logs := make([]float64, 0, gridShapes*gridScales)
	top := math.Inf(-1)
	for i := range gridShapes {
		u := shapeReach * (2*float64(i)/(gridShapes-1) - 1)
		for j := range gridScales {
			v := scaleReach * (2*float64(j)/(gridScales-1) - 1)
			t := termOf(m, life.Node{Weight: 1, Shape: math.Exp(p.LogShapeMean + u*p.LogShapeSD), Scale: math.Exp(math.Max(-600, math.Min(600, p.LogScaleMean+v*p.LogScaleSD)))})
			sum := -0.5 * (u*u + v*v)
			for k := range lives {
				f.breaks, f.likely = lives[k].breaks, lives[k].likely
				sum += lives[k].count * math.Log(math.Max(f.every(&t), 1e-300))
			}
			terms, logs = append(terms, t), append(logs, sum)
			top = math.Max(top, sum)
		}
	}
	if math.IsInf(top, -1) || math.IsNaN(top) {
		return nil
	}
	total := 0.0
	for i := range terms {
		terms[i].weight = math.Exp(logs[i] - top)
		total += terms[i].weight
	}
	kept := terms[:0]
	for _, t := range terms {
		if t.weight > 1e-4*total {
			t.weight /= total
			kept = append(kept, t)
		}
	}
	return kept
}
