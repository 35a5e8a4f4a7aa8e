package diagnose

import (
	"math"
	"slices"
	"strings"

	"witnessmark/core/point"
)

// Counts is what a workshop's close-outs have shown.
type Counts struct {
	// Cars is how many cars were closed out, whatever was behind their complaints; Confirmed how often each cause was.
	Cars      int
	Confirmed map[string]int
	// Links says for a confirmed cause how often a sign was there when it was looked for.
	Links map[Link]Count
}

// Link is a cause and a sign that it explains.
type Link struct{ Cause, Sign string }

// Count is how often something was seen, of how often it was looked for.
type Count struct{ Seen, Of int }

// Weights say what the catalogue's figures count for: as many cars for a prior, as many confirmed cases for a sign.
type Weights struct{ Cars, Cases float64 }

// DefaultWeights let a prior stand for 200 cars and a sign's figure for 10 confirmed cases (practice).
var DefaultWeights = Weights{Cars: 200, Cases: 10}

// Change is a figure that the counts have moved. Sign is empty for a prior.
type Change struct {
	Cause, Sign string
	From, To    float64
	Count
}

// Bounds of what counts may make of a figure: nothing that is in the catalogue becomes impossible or sure.
const (
	leastLearnt = 1e-4
	mostLearnt  = 0.999
)

// Learn gives the catalogue with its priors and signs moved by counts, and what changed, sorted by cause and sign. The posterior mean of a
// beta distribution: (weight * figure + seen) / (weight + looked). What is counted of a sign includes what shows without any cause, so its
// leak is taken out again. The catalogue given is not changed. Weights that are not above 0 are the default ones; counts below 0
// are none, and more seen than looked for is all of them. Source: conjugate analysis of a proportion (Gelman et al., BDA3, 2.4).
func Learn(cat *point.Catalogue, c Counts, w Weights) (*point.Catalogue, []Change) {
	if !(w.Cars > 0 && !math.IsInf(w.Cars, 0)) {
		w.Cars = DefaultWeights.Cars
	}
	if !(w.Cases > 0 && !math.IsInf(w.Cases, 0)) {
		w.Cases = DefaultWeights.Cases
	}
	out := *cat
	out.Causes = make([]*point.Cause, len(cat.Causes))
	var changed []Change
	for i, k := range cat.Causes {
		moved := *k
		moved.Explains = slices.Clone(k.Explains)
		n := tidy(Count{c.Confirmed[k.ID], c.Cars})
		if n.Of > 0 {
			moved.Prior = bounded(mean(k.Prior, w.Cars, n))
			changed = append(changed, Change{k.ID, "", k.Prior, moved.Prior, n})
		}
		from := len(changed)
		for j, e := range k.Explains {
			n := tidy(c.Links[Link{k.ID, e.Sign}])
			s := cat.Sign(e.Sign)
			if n.Of == 0 || s == nil {
				continue
			}
			shows := mean(s.Leak+(1-s.Leak)*e.Q, w.Cases, n)
			moved.Explains[j].Q = bounded((shows - s.Leak) / (1 - s.Leak))
			changed = append(changed, Change{k.ID, e.Sign, e.Q, moved.Explains[j].Q, n})
		}
		slices.SortFunc(changed[from:], func(x, y Change) int { return strings.Compare(x.Sign, y.Sign) })
		out.Causes[i] = &moved
	}
	return &out, changed
}

func tidy(c Count) Count {
	c.Seen, c.Of = max(c.Seen, 0), max(c.Of, 0)
	c.Seen = min(c.Seen, c.Of)
	return c
}

// mean is the posterior mean of a proportion whose prior mean p counts for weight cases.
func mean(p, weight float64, n Count) float64 {
	return (weight*p + float64(n.Seen)) / (weight + float64(n.Of))
}

func bounded(p float64) float64 { return min(max(p, leastLearnt), mostLearnt) }
