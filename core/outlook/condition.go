package outlook

import (
	"math"
	"slices"

	"witnessmark/core/life"
)

// conditions is what is known of one law's lives on this car: the class's prior joined with every cycle whose start is known.
type conditions struct {
	g     *group
	model life.Model
	prior life.Prior
	terms []term
	// obs are the observations behind the posterior, plain the same as a person would say them.
	obs, plain []life.Observation
	known      map[*track]*table
}

func (g *group) conditions(prior life.Prior, c *clock) *conditions {
	k := &conditions{g: g, model: modelOf(g.law.Life), prior: prior, known: map[*track]*table{}}
	k.obs, k.plain = g.evidence(prior, c)
	k.terms = posterior(k.model, prior, k.obs)
	return k
}

// exact is core/life's posterior, for where the grid explains nothing; nil where it can't be made.
func (k *conditions) exact() *life.Posterior {
	post, err := life.NewPosterior(k.model, k.prior, k.obs)
	if err != nil {
		post, err = life.NewPosterior(k.model, k.prior, nil)
	}
	if err != nil {
		return nil
	}
	return post
}

// evidence turns the cycles with a known start into observations, one a cycle.
func (g *group) evidence(prior life.Prior, c *clock) (obs, plain []life.Observation) {
	for _, t := range g.tracks {
		for i := range t.cycles {
			cy := &t.cycles[i]
			g.settleStart(t, cy, prior, c)
			if !cy.dated || len(cy.sights) == 0 {
				continue
			}
			merged, _ := life.Merge([]life.Cycle{{Seen: seen(cy.sights, g.law.Life.Sensitivity, g.law.Life.Specificity)}})
			obs = append(obs, merged...)
			merged, _ = life.Merge([]life.Cycle{{Seen: seen(agreed(cy.sights), 1, 1)}})
			plain = append(plain, merged...)
		}
	}
	return plainer(obs), plain
}

func seen(sights []sight, sens, spec float64) []life.Seen {
	var out []life.Seen
	for _, s := range sights {
		if s.x > 0 {
			out = append(out, life.Seen{At: s.x, Turned: s.turned, Sensitivity: sens, Specificity: spec})
		}
	}
	return out
}

// agreed leaves out looks that a later one contradicts, so that what remains can be said in one breath.
func agreed(sights []sight) []sight {
	var out []sight
	for i, s := range sights {
		later := false
		for _, l := range sights[i+1:] {
			later = later || s.turned && !l.turned
		}
		if !later {
			out = append(out, s)
		}
	}
	return out
}

// running is what is known of the running cycle of a track; nil with a reason where nothing can be said.
func (k *conditions) running(t *track, c *clock) (*table, string) {
	if len(k.terms) == 0 {
		return nil, "The law of this item can't be used."
	}
	cy := &t.cycles[len(t.cycles)-1]
	for _, e := range k.g.tracks {
		if e == t {
			break
		}
		if e.law == t.law && e.alike(t) && k.known[e] != nil {
			k.known[t] = k.known[e]
			return k.known[e], ""
		}
	}
	f := &turning{lognormal: k.model == life.Lognormal}
	f.looked(cy.sights, k.g.law.Life)
	switch {
	case cy.dated && math.IsNaN(cy.day):
		return nil, "Nobody knows since when it counts."
	case cy.dated:
		if _, ok := t.exposure(cy.begin, c.today, nowKm(c)); !ok {
			return nil, noDistance
		}
		f.terms = k.own(f, len(cy.sights) > 0)
	case len(cy.sights) == 0:
		return nil, "Nobody has looked at it yet, and when it was last renewed is not known."
	default:
		f.terms = k.aged(t, cy, c)
	}
	if len(f.terms) == 0 || !f.settle() {
		return nil, "What was seen contradicts the law of this item: look again."
	}
	k.known[t] = tabulate(f)
	return k.known[t], ""
}

// alike reports whether two places have run as long and were seen alike, as the places of an axle often are.
func (t *track) alike(o *track) bool {
	a, b := &t.cycles[len(t.cycles)-1], &o.cycles[len(o.cycles)-1]
	return a.begin == b.begin && slices.EqualFunc(a.sights, b.sights, func(x, y sight) bool { return x.x == y.x && x.turned == y.turned })
}

const noDistance = "There is no odometer reading to count from."

func nowKm(c *clock) float64 {
	km, ok := c.km(c.today)
	if !ok {
		return -1
	}
	return km
}

// own are the posterior's terms freed of this cycle's looks, which turning brings in again on this life itself.
func (k *conditions) own(f *turning, counted bool) []term {
	out := make([]term, 0, len(k.terms))
	for _, t := range k.terms {
		if counted {
			said := f.every(&t)
			if !(said > 1e-280) {
				continue
			}
			t.weight /= said
		}
		out = append(out, t)
	}
	return out
}
