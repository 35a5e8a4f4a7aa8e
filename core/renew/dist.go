// Package renew says at what age a part is best renewed, when a failure in use costs more than a planned renewal.
//
// The policy is age replacement: the part is renewed at the age T or at failure, whichever comes first, over and over.
// With life survival R, failure share F = 1 - R, planned cost cp and failure cost cf, the long-run cost in one unit of
// age is C(T) = (cp R(T) + cf F(T)) / integral_0^T R(u) du; T without end means running to failure, at cf / mean life.
// Source: Barlow & Proschan, Mathematical Theory of Reliability (1965), chapter 4, section 2.
//
// Ages are in any one unit (km, days); costs in any one unit of money. Nothing here judges safety: where a failure can
// hurt people a cost is no measure, and the accepted risk decides instead.
package renew

import (
	"errors"
	"fmt"
	"math"
)

// Dist is a distribution of a life on (0, inf). Weibull, Lognormal and Mixture have it.
type Dist interface {
	Survival(t float64) float64 // R(t) = P(life > t)
	Failed(t float64) float64   // F(t) = 1 - R(t), precise where it is small
	Density(t float64) float64  // f(t), in 1 / unit of age
	Integral(t float64) float64 // integral_0^t R, in units of age
	Rest(t float64) float64     // integral_t^inf R, precise where it is small; +Inf when the mean is
	Mean() float64              // the mean life; may be +Inf
	Sharp() float64             // how fast the survival can turn, per unit of ln t: sets the step of the search
	Check() error               // what is wrong with the parameters, nil when nothing
}

// The ranges of parameters for which every sum below stays finite and precise. They are far wider than any life of a part.
const (
	leastAge, mostAge     = 1e-12, 1e15
	leastShape, mostShape = 0.02, 1e4
	leastCost, mostCost   = 1e-9, 1e15
)

// within gives an error naming the value when it is not a number from least to most.
func within(name string, v, least, most float64) error {
	if v >= least && v <= most { // false for NaN as well
		return nil
	}
	return fmt.Errorf("%s is %v; expected %v to %v", name, v, least, most)
}

// Mixture is a life that follows one of several distributions with known weights: the nodes of a posterior.
// Each weight counts in proportion to their sum.
type Mixture struct {
	Weights []float64
	Parts   []Dist
}

// Check wants as many weights as parts, at least one, all weights 0 or more, not all 0, and sound parts.
func (m Mixture) Check() error {
	if len(m.Parts) == 0 {
		return errors.New("a mixture needs at least one component")
	}
	if len(m.Weights) != len(m.Parts) {
		return fmt.Errorf("a mixture has %d weights for %d components", len(m.Weights), len(m.Parts))
	}
	sum := 0.0
	for i, w := range m.Weights {
		if err := within(fmt.Sprintf("weights[%d]", i), w, 0, 1e9); err != nil {
			return err
		}
		sum += w
	}
	if sum < 1e-9 {
		return errors.New("the weights of a mixture are all 0")
	}
	for i, p := range m.Parts {
		if p == nil {
			return fmt.Errorf("components[%d] is missing", i)
		}
		if err := p.Check(); err != nil {
			return fmt.Errorf("components[%d]: %w", i, err)
		}
	}
	return nil
}

// sum averages a quantity over the parts; parts of weight 0 do not count.
func (m Mixture) sum(of func(Dist) float64) float64 {
	total, all := 0.0, 0.0
	for i, p := range m.Parts {
		if w := m.Weights[i]; w > 0 {
			total += w * of(p)
			all += w
		}
	}
	return total / all
}

// pair is a life that gives survival and density at the price of one.
type pair interface {
	both(t float64) (survival, density float64)
}

func both(d Dist, t float64) (survival, density float64) {
	if p, ok := d.(pair); ok {
		return p.both(t)
	}
	return d.Survival(t), d.Density(t)
}

func (m Mixture) both(t float64) (survival, density float64) {
	all := 0.0
	for i, p := range m.Parts {
		if w := m.Weights[i]; w > 0 {
			r, f := both(p, t)
			survival += w * r
			density += w * f
			all += w
		}
	}
	return survival / all, density / all
}

// Survival is the share of lives longer than t.
func (m Mixture) Survival(t float64) float64 {
	return m.sum(func(d Dist) float64 { return d.Survival(t) })
}

// Failed is the share of lives up to t.
func (m Mixture) Failed(t float64) float64 {
	return m.sum(func(d Dist) float64 { return d.Failed(t) })
}

// Density is the density at t.
func (m Mixture) Density(t float64) float64 {
	return m.sum(func(d Dist) float64 { return d.Density(t) })
}

// Integral is the mean time in use up to the age t.
func (m Mixture) Integral(t float64) float64 {
	return m.sum(func(d Dist) float64 { return d.Integral(t) })
}

// Rest is the mean time in use beyond the age t.
func (m Mixture) Rest(t float64) float64 {
	return m.sum(func(d Dist) float64 { return d.Rest(t) })
}

// Mean is the mean life.
func (m Mixture) Mean() float64 { return m.sum(Dist.Mean) }

// Sharp is that of the sharpest part.
func (m Mixture) Sharp() float64 {
	s := 0.0
	for i, p := range m.Parts {
		if m.Weights[i] > 0 {
			s = math.Max(s, p.Sharp())
		}
	}
	return s
}
