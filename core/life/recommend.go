package life

import (
	"fmt"
	"math"
	"slices"
)

// Rule is how an interval is chosen. Risk is the accepted probability that the life ends before the interval does (0 < Risk < 1).
// Cap is the longest that common practice or the calendar allows, 0 for none, and CapName its name for the reason. Step is what the
// interval is rounded down to (500 km, 1 month; 0 for not at all), Fixed the schedule that it is compared with, 0 for none, and Unit
// the word behind the numbers. All exposures are in one unit. Say writes an exposure for the reason, in whatever unit people read;
// nil takes Number.
type Rule struct {
	Risk    float64
	Cap     float64
	CapName string
	Step    float64
	Fixed   float64
	Unit    string
	Say     func(x float64) string
}

// Recommendation is an interval with its reason.
type Recommendation struct {
	Interval  float64 // rounded down
	Unrounded float64 // the longest with the accepted risk, before the cap
	Capped    bool
	Reason    string     // one sentence in plain words
	Risk      float64    // probability that the life ends before Interval
	Range     [2]float64 // 80 % range of what Unrounded would be if shape and scale were known
}

// Predictive is what is known of a life, as intervals are read from it; a *Posterior is one.
type Predictive interface {
	// QuantileGiven is the exposure by which the life ends with probability q, given that it outlasted survivedTo.
	QuantileGiven(q, survivedTo float64) float64
	// SurvivalGiven is P(T > x | T > survivedTo).
	SurvivalGiven(x, survivedTo float64) float64
	// IntervalRange is the 80 % range, over what is not known of the law, of the exposure with the given risk.
	IntervalRange(risk, survivedTo float64) (low, high float64)
}

// Recommend gives the largest x with P(T <= x | T > survivedTo) <= r.Risk, capped and rounded down. survivedTo is the exposure at
// which the present fill was seen good, 0 for a new one: that look belongs here and not among the posterior's observations, else it
// counts twice. obs only make the reason.
func Recommend(p Predictive, obs []Observation, survivedTo float64, r Rule) Recommendation {
	if !(survivedTo > 0) {
		survivedTo = 0
	}
	out := Recommendation{Unrounded: p.QuantileGiven(r.Risk, survivedTo)}
	out.Range[0], out.Range[1] = p.IntervalRange(r.Risk, survivedTo)
	out.Interval = out.Unrounded
	if r.Cap > 0 && out.Interval > r.Cap {
		out.Interval, out.Capped = r.Cap, true
	}
	out.Interval = roundDown(out.Interval, r.Step)
	out.Risk = 1 - p.SurvivalGiven(out.Interval, survivedTo)
	out.Reason = r.reason(out, obs, survivedTo)
	return out
}

// roundDown rounds to whole steps; what is shorter than a step is rounded to a tenth of it, or not at all.
func roundDown(x, step float64) float64 {
	if !(step > 0) {
		return x
	}
	const slip = 1e-9 // a whole number of steps that the arithmetic just missed
	for _, s := range []float64{step, step / 10} {
		if n := math.Floor(x/s + slip); n >= 1 {
			if down := n * s; down < math.MaxFloat64 {
				return down
			}
		}
	}
	return x
}

// IntervalRange gives the 10 % and the 90 % quantile, over the posterior, of the interval with the accepted risk at each shape and
// scale. With a fill that has survived, the posterior is the one that its survival leaves.
func (p *Posterior) IntervalRange(risk, survivedTo float64) (low, high float64) {
	risk = inner(risk)
	if survivedTo <= 0 {
		return p.LifeQuantile(risk, 0.1), p.LifeQuantile(risk, 0.9)
	}
	given := p.given(survivedTo)
	type end struct{ y, weight float64 }
	ends := make([]end, 0, len(given.nodes))
	total := 0.0
	for _, n := range given.nodes {
		ends = append(ends, end{n.mu + p.model.beyond(risk, n.inv*(given.y-n.mu))/n.inv, n.weight})
		total += n.weight
	}
	slices.SortFunc(ends, func(a, b end) int { return sign(a.y - b.y) })
	at := func(q float64) float64 {
		sum := 0.0
		for _, e := range ends {
			if sum += e.weight; sum >= q*total {
				return math.Max(survivedTo, expSaturated(e.y))
			}
		}
		return survivedTo
	}
	return at(0.1), at(0.9)
}

func (r Rule) reason(out Recommendation, obs []Observation, survivedTo float64) string {
	unit := ""
	if r.Unit != "" {
		unit = " " + r.Unit
	}
	say := r.Say
	if say == nil {
		say = Number
	}
	head := fmt.Sprintf("change at %s%s", say(out.Interval), unit)
	switch {
	case r.Fixed > 0 && out.Interval == r.Fixed:
		head += ", as scheduled"
	case r.Fixed > 0:
		head += " instead of " + say(r.Fixed)
	}
	if out.Capped {
		name := r.CapName
		if name == "" {
			name = "common practice"
		}
		head += fmt.Sprintf(", the longest by %s", name)
	}
	tail := count(obs).words(say)
	if survivedTo > 0 {
		tail += fmt.Sprintf("; this one still good at %s", say(survivedTo))
	}
	return head + ": " + tail
}
