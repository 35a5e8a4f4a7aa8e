package nextlook

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// Reason says why the first step was chosen, in figures and in a sentence.
type Reason struct {
	PPositive float64 // probability that the check comes out positive; for a repair that it ends the job
	Causes    []Split // the leading causes, the most probable first, at most 4
	Sentence  string
}

// Split is the probability of a cause now and after either outcome of the check; after a repair that did not help it is IfNegative.
type Split struct {
	Cause                       string
	Now, IfPositive, IfNegative float64
}

// most leading causes that a reason names.
const most = 4

// explain gives the reason of the first step.
func explain(c Case, a *Advice) Reason {
	return Explain(c, a.First)
}

// Explain gives the figures behind any option of the case's advice.
func Explain(c Case, o Option) Reason {
	switch o.Kind {
	case DoCheck:
		return explainCheck(c, o)
	case DoRepair:
		return explainRepair(c, o)
	}
	lead := splits(c, nil, nil)
	return Reason{Causes: lead, Sentence: fmt.Sprintf("Handing the car on costs %.2f: less than anything else that could be tried.", o.Cost)}
}

func explainCheck(c Case, o Option) Reason {
	yes, no := make([]float64, len(c.Prior)), make([]float64, len(c.Prior))
	for i, p := range c.Checks[o.index].Positive {
		yes[i], no[i] = c.Prior[i]*p, c.Prior[i]*(1-p)
	}
	r := Reason{PPositive: share(yes), Causes: splits(c, yes, no)}
	var text strings.Builder
	fmt.Fprintf(&text, "%s costs %.2f and %s: positive (%.0f %%)", o.ID, o.Cost, parting(r.Causes), 100*r.PPositive)
	lead(&text, c, yes)
	text.WriteString(", negative")
	lead(&text, c, no)
	if o.Saving > 0 {
		fmt.Fprintf(&text, ". It saves %.2f on average.", o.Saving)
	} else {
		fmt.Fprintf(&text, ". It costs %.2f more on average than it saves.", -o.Saving)
	}
	r.Sentence = text.String()
	return r
}

// parting says how the check parts the two leading causes: how often, of the two, the first is the one after the outcome that speaks for it.
func parting(s []Split) string {
	if len(s) < 2 || s[1].Now <= 0 {
		return "is about one cause only"
	}
	a, b := s[0].IfPositive, s[1].IfPositive
	c, d := s[0].IfNegative, s[1].IfNegative
	one, other := fraction(a, b), fraction(c, d)
	if one < other {
		one, other = other, one
	}
	return fmt.Sprintf("parts %s from %s %.0f/%.0f or %.0f/%.0f", s[0].Cause, s[1].Cause, 100*one, 100-100*one, 100*other, 100-100*other)
}

func fraction(a, b float64) float64 {
	if a+b <= 0 {
		return 0.5
	}
	return a / (a + b)
}

// lead names the most probable cause under weights.
func lead(w *strings.Builder, c Case, v []float64) {
	total := share(v)
	if total <= 0 {
		w.WriteString(" can't come")
		return
	}
	best := 0
	for i, x := range v {
		if x > v[best] {
			best = i
		}
	}
	fmt.Fprintf(w, " leaves %s at %.0f %%", c.Causes[best], 100*v[best]/total)
}

func explainRepair(c Case, o Option) Reason {
	left := slices.Clone(c.Prior)
	for _, f := range c.actions()[o.index].Fixes {
		left[f] = 0
	}
	r := Reason{PPositive: share(c.Prior) - share(left), Causes: splits(c, nil, left)}
	r.Sentence = fmt.Sprintf("%s costs %.2f and ends the job with %.0f %%; no check is worth its cost before it.", o.ID, o.Cost, 100*r.PPositive)
	return r
}

func share(v []float64) (sum float64) {
	for _, x := range v {
		sum += x
	}
	return sum
}

// splits lists the leading causes with their probabilities after either outcome.
func splits(c Case, yes, no []float64) []Split {
	all := make([]Split, len(c.Causes))
	py, pn, now := share(yes), share(no), share(c.Prior)
	for i, id := range c.Causes {
		all[i] = Split{Cause: id, Now: c.Prior[i] / now}
		if py > 0 {
			all[i].IfPositive = yes[i] / py
		}
		if pn > 0 {
			all[i].IfNegative = no[i] / pn
		}
	}
	slices.SortStableFunc(all, func(a, b Split) int { return cmp.Compare(b.Now, a.Now) })
	return all[:min(len(all), most)]
}
