package wear

import "math"

// Difference is how two parts of one unit stand against each other.
type Difference struct {
	// Ratio is the middle estimate of left's rate over right's, Low and High its 95 % range.
	Ratio, Low, High float64
	// Chance is the probability of a difference at least as large between two sound parts of this class with this gauge.
	Chance float64
	// Uneven is true when Chance is below 1 %: too large for the gauge and for the class.
	Uneven bool
	// Known is false where the readings can't tell: a life without readings, or figures that are none.
	Known bool
}

// unevenChance is the probability under which a difference counts as a finding; the project's own choice.
const unevenChance = 0.01

// Uneven compares the wear of two parts that run side by side, such as the pads left and right. Each rate is estimated from its own readings with
// only the class beside it; sound parts of one unit differ by the spread between sides and lives.
func (c Class) Uneven(left, right Life) Difference {
	if c.check() != nil || left.check() != nil || right.check() != nil || len(left.Readings) == 0 || len(right.Readings) == 0 {
		return Difference{Ratio: 1, Low: 0, High: math.Inf(1), Chance: 1}
	}
	c = c.solid()
	// With a flat law of ln b in place of the unit's, a life's readings speak alone.
	wide := law{c.LogRate, c.UnitSD*c.UnitSD + c.SideSD*c.SideSD + c.LifeSD*c.LifeSD + c.Doubt.LogRate*c.Doubt.LogRate}
	a, b := c.alone(left, wide), c.alone(right, wide)
	own := 2 * (c.SideSD*c.SideSD + c.LifeSD*c.LifeSD)
	// Likelihoods of the two ln rates as normal laws; their difference under "sound" has this variance.
	noise := a.variance + b.variance
	d := a.mean - b.mean
	z := math.Abs(d) / math.Sqrt(noise+own)
	// The ratio itself: the difference shrunk by what sound parts differ.
	post := own / (own + noise)
	mid, sd := d*post, math.Sqrt(noise*post)
	out := Difference{Ratio: math.Exp(mid), Low: math.Exp(mid - 1.96*sd), High: math.Exp(mid + 1.96*sd), Chance: min(1, 2*above(z)), Known: true}
	if math.IsNaN(out.Ratio + out.Low + out.High + out.Chance) {
		return Difference{Ratio: 1, Low: 0, High: math.Inf(1), Chance: 1}
	}
	out.Uneven = out.Chance < unevenChance
	return out
}

// alone is what a life's readings say of ln b without any prior: the posterior under a wide law with that law divided out.
func (c *Class) alone(l Life, wide law) law {
	var k chain
	k.load(c, &l, l.ordered(), false)
	centre, scale := k.peak(wide)
	nodes := k.walk(wide, centre, 0.8*scale, 14, 1e-6, nil)
	_, post := moments(nodes, 0.8*scale, wide)
	p := 1/post.variance - 1/wide.variance
	if !(p > 1e-6/wide.variance) {
		return law{wide.mean, 1e6 * wide.variance}
	}
	v := 1 / p
	return law{v * (post.mean/post.variance - wide.mean/wide.variance), v}
}
