package outlook

import (
	"cmp"
	"math"
	"slices"

	"witnessmark/core/life"
)

// A thing without a written renewal may be as old as the car, or was renewed at a time that nobody wrote down. Seen from a
// renewal process that began with the car, the age of what is in there at the exposure A is A itself with probability R(A),
// else a with the density R(a)/mean (Cox, Renewal Theory (1962), ch. 5: the backward recurrence time). R counts both ways in
// which a thing is renewed: it turned, or its usual interval had run out.

// kept is the share of owners who have not renewed a thing by its age alone, of a usual interval (practice): hardly anybody
// before it has run out, most within half as long again.
func kept(age, usual float64) float64 {
	if !(usual > 0) || age <= usual {
		return 1
	}
	return math.Max(0.05, 1-(age-usual)/(0.5*usual)*0.95)
}

// usual is the point's fixed schedule, or common practice's cap, in the law's unit; 0 for none. A calendar limit counts for a
// clock of km by what the car runs.
func (t *track) usual(c *clock) float64 {
	least := 0.0
	take := func(km, months float64) {
		x := km
		if t.law.Unit != "km" {
			x = months
			if months == 0 && c.known && c.ahead.perDay > 0 {
				x = km / (c.ahead.perDay * daysPerMonth)
			}
		} else if months > 0 && c.known {
			if m := months * daysPerMonth * c.ahead.perDay; x == 0 || m < x {
				x = m
			}
		}
		if x > 0 && (least == 0 || x < least) {
			least = x
		}
	}
	if r := t.p.Renewal; r != nil {
		take(r.Km, r.Months)
	} else if t.law.Cap != nil {
		take(t.law.Cap.Km, t.law.Cap.Months)
	}
	return least
}

// ageSteps is by how many ages an unknown age is stood for.
const ageSteps = 12

// spreadAges spreads a term over the ages that a thing of unknown age may have had at its first look, exposure x0 of the cycle.
// atom is the exposure since the registration, 0 where that is not known; most bounds the others. The atom comes last.
func spreadAges(f *turning, t term, x0, atom, most, usual float64, out []term) []term {
	step := most / ageSteps
	first := len(out)
	mean := 0.0 // interval between renewals
	for i := range ageSteps {
		a := (float64(i) + 0.5) * step
		mean += step * f.survive(&t, a) * kept(a, usual)
		out = append(out, term{t.weight * kept(a, usual) * step, t.mu, t.inv, a - x0})
	}
	for a := most; a < 16*most; a *= 1.5 {
		rest := f.survive(&t, 1.25*a) * kept(1.25*a, usual)
		if mean += 0.5 * a * rest; rest < 1e-3 {
			break
		}
	}
	if !(mean > 0) {
		return out[:first]
	}
	for i := range out[first:] {
		out[first+i].weight /= mean
	}
	if atom > 0 {
		out = append(out, term{t.weight * kept(atom, usual), t.mu, t.inv, atom - x0})
	}
	return out
}

// bounds gives the range of ages at the first look of a cycle whose start is not known.
func (t *track) bounds(cy *cycle, prior life.Prior, c *clock) (atom, most float64) {
	first := cy.sights[0]
	switch {
	case cy.original:
		atom, _ = t.exposure(begin{day: c.registered}, first.day, first.km)
		return math.Max(0, atom), math.Max(atom, 1e-6)
	case cy.from == foundRenewed:
		if gap, ok := t.exposure(begin{day: cy.beforeDay, km: cy.beforeKm}, first.day, first.km); ok && gap > 0 {
			return 0, gap
		}
	}
	most = 2 * math.Exp(math.Min(prior.LogScaleMean, 30))
	if u := t.usual(c); u > 0 {
		most = math.Min(most, 1.5*u)
	}
	return 0, most
}

// aged are the terms of a running cycle whose age is not known.
func (k *conditions) aged(t *track, cy *cycle, c *clock) []term {
	f := turning{lognormal: k.model == life.Lognormal}
	atom, most := t.bounds(cy, k.prior, c)
	few := coarser(k.terms, 12)
	usual := t.usual(c)
	var out []term
	for _, n := range few {
		out = spreadAges(&f, n, cy.sights[0].x, atom, most, usual, out)
	}
	slices.SortStableFunc(out, func(a, b term) int { return cmp.Compare(a.age, b.age) })
	return out
}

// coarser joins neighbouring terms until about k are left.
func coarser(terms []term, k int) []term {
	var out []term
	var sum, mu, inv float64
	for i, t := range terms {
		sum, mu, inv = sum+t.weight, mu+t.weight*t.mu, inv+t.weight*math.Log(t.inv)
		if sum >= 1/float64(k) || i == len(terms)-1 {
			if sum > 0 {
				out = append(out, term{weight: sum, mu: mu / sum, inv: math.Exp(inv / sum)})
			}
			sum, mu, inv = 0, 0, 0
		}
	}
	return out
}

// likelyFirst is how probable a thing must be as old as the car for its clock to count from the registration.
const likelyFirst = 0.9

// settleStart decides from where a cycle counts that began without a written renewal: from the registration when the thing is
// very probably the car's first, else from its first look with an age that is not known.
func (g *group) settleStart(t *track, cy *cycle, prior life.Prior, c *clock) {
	if cy.dated || cy.from != registration || len(cy.sights) == 0 {
		return
	}
	key := firstSight{cy.sights[0].day, cy.sights[0].km, cy.sights[0].turned}
	if g.firsts == nil {
		g.firsts = map[firstSight]float64{}
	}
	share, ok := g.firsts[key]
	if !ok {
		share = t.shareFirst(cy, prior, c)
		g.firsts[key] = share
	}
	switch {
	case share >= likelyFirst:
		cy.dated = true
	case share < 0.5:
		t.restart(cy)
	}
}

// firstSight is what decides whether a thing is the car's first.
type firstSight struct {
	day, km float64
	turned  bool
}

// shareFirst is the probability that what the first look saw is what the car was built with; 0.5 when nothing can be said.
func (t *track) shareFirst(cy *cycle, prior life.Prior, c *clock) float64 {
	f := turning{lognormal: modelOf(t.law.Life) == life.Lognormal}
	f.looked(cy.sights[:1], t.law.Life)
	atom, most := t.bounds(cy, prior, c)
	usual := t.usual(c)
	var first, all float64
	for _, n := range priorTerms(modelOf(t.law.Life), prior) {
		spread := spreadAges(&f, n, cy.sights[0].x, atom, most, usual, nil)
		for i := range spread {
			w := spread[i].weight * f.every(&spread[i])
			all += w
			if i == ageSteps {
				first += w
			}
		}
	}
	if !(all > 0) {
		return 0.5
	}
	return first / all
}

// restart counts a cycle from its first look.
func (t *track) restart(cy *cycle) {
	x0 := cy.sights[0].x
	original := cy.original
	cy.begin = t.fromSight(firstLook, cy.sights[0])
	cy.original = original
	for i := range cy.sights {
		cy.sights[i].x -= x0
	}
}

func (t *track) fromSight(from string, s sight) begin {
	return begin{day: s.day, km: s.km, from: from, renewal: -1}
}

// priorTerms stand for a prior: seven scales by three shapes, at equal steps of probability.
func priorTerms(m life.Model, p life.Prior) []term {
	var out []term
	for _, z := range [...]float64{-1.465, -0.792, -0.366, 0, 0.366, 0.792, 1.465} {
		for _, v := range [...]float64{-0.967, 0, 0.967} {
			n := life.Node{Weight: 1.0 / 21, Shape: math.Exp(p.LogShapeMean + v*p.LogShapeSD), Scale: math.Exp(math.Min(p.LogScaleMean+z*p.LogScaleSD, 300))}
			out = append(out, termOf(m, n))
		}
	}
	return out
}
