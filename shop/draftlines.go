package shop

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"witnessmark/core/estimate"
	"witnessmark/core/facet"
	"witnessmark/core/judge"
	"witnessmark/core/money"
	"witnessmark/core/point"
	"witnessmark/core/work"
)

// drafting turns what a car asks for into items with lines and prices.
type drafting struct {
	cat    *point.Catalogue
	facets facet.Set
	terms  Terms
	// takes gives what a job takes by the car's figures alone; may be nil.
	takes func(job string) []judge.Quantity
	// price finds the workshop's price of a part.
	price func(part string) (Price, bool)
}

// items gives an item for each doing, in the order of the wants, and the preparations that they share.
func (d *drafting) items(wants []Want) (items []estimate.Item, shared []estimate.Shared, err error) {
	wants = eachOnce(wants)
	var doings []work.Doing
	for _, w := range wants {
		doings = append(doings, work.Doing{Job: w.Job, At: w.At})
	}
	times := work.Minutes(d.cat, doings, d.facets)
	for i, w := range wants {
		if w.Typed != nil {
			items = append(items, d.again(*w.Typed, w.TypedTerms))
			continue
		}
		it := itemOf(w)
		if it.Lines, err = d.lines(w, times.Doings[i].Minutes); err != nil {
			return nil, nil, err
		}
		items = append(items, it)
	}
	for _, u := range times.Setups {
		if s := d.shared(u); len(s.Lines) > 0 {
			shared = append(shared, s)
		}
	}
	return items, d.fillOnce(items, shared), nil
}

// eachOnce joins wants of the same doing: it is done once, for the worst reason, and what any of them says is kept.
func eachOnce(wants []Want) []Want {
	var out []Want
	for _, w := range wants {
		i := slices.IndexFunc(out, func(o Want) bool { return o.Job == w.Job && o.At == w.At })
		if i < 0 {
			w.Quantities = slices.Clone(w.Quantities)
			out = append(out, w)
			continue
		}
		o := &out[i]
		if w.Verdict.Urgency() > o.Verdict.Urgency() {
			o.Verdict, o.Category = w.Verdict, cmp.Or(w.Category, o.Category)
		}
		o.Category = cmp.Or(o.Category, w.Category)
		o.Why, o.Wait = both(o.Why, w.Why), both(o.Wait, w.Wait)
		o.Must = o.Must || w.Must
		o.RoundID = cmp.Or(o.RoundID, w.RoundID)
		for _, q := range w.Quantities {
			if !slices.ContainsFunc(o.Quantities, func(x judge.Quantity) bool { return x.Job == q.Job && x.What == q.What }) {
				o.Quantities = append(o.Quantities, q)
			}
		}
	}
	return out
}

// both joins two texts that don't say the same.
func both(a, b string) string {
	if a == "" || b == "" || a == b {
		return cmp.Or(a, b)
	}
	return a + " " + b
}

// itemOf gives a want's item without its lines.
func itemOf(w Want) estimate.Item {
	it := estimate.Item{ID: wantKey(w.Job, w.At), Job: w.Job, At: w.At, Name: w.Name, Why: shorten(w.Why), Wait: shorten(w.Wait), Verdict: string(w.Verdict),
		Category: shorten(w.Category), Must: w.Must}
	if it.Must {
		it.Warning = DeclineWarning(it)
	}
	return it
}

// again gives an item that the adviser typed once and the owner put off, as it stood then; a tax that there is no longer is the one for
// its kind. Prices that were under other terms say nothing now, and are left open.
func (d *drafting) again(it estimate.Item, then estimate.Terms) estimate.Item {
	it.Lines = slices.Clone(it.Lines)
	for i := range it.Lines {
		l := &it.Lines[i]
		if !samePricing(then, d.terms.Estimate) {
			l.Price, l.Open = 0, true
		}
		if slices.ContainsFunc(d.terms.Estimate.Taxes, func(t estimate.Tax) bool { return t.ID == l.Tax }) {
			continue
		}
		l.Tax = d.terms.PartsTax
		if l.Kind == estimate.Labour {
			l.Tax = d.terms.LabourTax
		}
	}
	return it
}

// samePricing reports whether a price says the same under two sets of terms: same currency, and tax in it under both or neither.
func samePricing(a, b estimate.Terms) bool {
	return a.Currency == b.Currency && a.Included == b.Included
}

// lines gives the lines of one doing.
func (d *drafting) lines(w Want, minutes int) ([]estimate.Line, error) {
	var out []estimate.Line
	key := wantKey(w.Job, w.At)
	of := d.cat.Work[w.Job]
	if of == nil || minutes > 0 {
		out = append(out, d.labour(key+"/labour", "Labour", minutes))
	}
	if of != nil {
		for _, p := range of.Parts {
			out = d.part(out, key, p)
		}
	}
	out = d.fluids(out, key, w)
	sundries, err := d.sundries(key, minutes)
	return append(out, sundries...), err
}

// labour gives a line of so many minutes; of an unknown time, 0, it is open.
func (d *drafting) labour(id, name string, minutes int) estimate.Line {
	l := estimate.Line{ID: id, Kind: estimate.Labour, Name: name, Unit: "h", Milli: hours(minutes), Price: d.terms.HourRate, Tax: d.terms.LabourTax}
	if minutes <= 0 {
		l.Name, l.Milli, l.Open = name+timeUnknown, 1000, true
	}
	return l
}

// What is added to the name of an open line whose amount is not known.
const (
	timeUnknown   = ", time not known yet"
	amountUnknown = ", amount not known yet"
)

// withoutUnknown gives a line's name without the words that its amount is not known.
func withoutUnknown(name string) string {
	return strings.TrimSuffix(strings.TrimSuffix(name, timeUnknown), amountUnknown)
}

// AmountKnown reports whether a line's quantity is one that somebody knows; else it only stands in until somebody enters it.
func AmountKnown(l *estimate.Line) bool { return !l.Open || withoutUnknown(l.Name) == l.Name }

// hours gives minutes in thousandths of an hour, rounded half up.
func hours(minutes int) money.Milli { return (money.Milli(minutes)*1000 + 30) / 60 }

// part adds a part that the work fits. What is laid ready but seldom fitted, and what is used up uncounted, is no line.
func (d *drafting) part(lines []estimate.Line, key string, p point.WorkPart) []estimate.Line {
	kind := d.cat.Parts[p.Part]
	if ok, _ := p.When.Holds(d.facets); !ok || p.Maybe || kind == nil || p.Milli <= 0 {
		return lines
	}
	if _, priced := d.price(p.Part); kind.Sundry && (d.terms.SundriesRate > 0 || !priced) {
		return lines
	}
	return d.bought(lines, key, kind, money.Milli(p.Milli))
}

// bought adds so much of a part at the workshop's price, to the line that holds it already if there is one.
func (d *drafting) bought(lines []estimate.Line, key string, kind *point.PartKind, q money.Milli) []estimate.Line {
	id := key + "/" + kind.ID
	if i := slices.IndexFunc(lines, func(l estimate.Line) bool { return l.ID == id }); i >= 0 {
		lines[i].Milli += q
		return lines
	}
	l := estimate.Line{ID: id, Kind: estimate.Part, Name: kind.Name, Unit: kind.Unit, Milli: q, Part: kind.ID, Tax: d.terms.PartsTax, Open: true}
	switch {
	case kind.Fluid:
		l.Kind = estimate.Fluid
	case kind.Sundry:
		l.Kind = estimate.Sundries
	}
	if p, ok := d.price(kind.ID); ok && p.Unit == kind.Unit {
		l.Name, l.Number, l.Price, l.Open, l.Tax = cmp.Or(p.Name, l.Name), p.Number, p.Price, false, cmp.Or(p.Tax, l.Tax)
	}
	return append(lines, l)
}

// fluids adds what a doing takes of fluids: as the readings say, else as the car's figures do; of what neither says the line stays open.
func (d *drafting) fluids(lines []estimate.Line, key string, w Want) []estimate.Line {
	said := slices.DeleteFunc(slices.Clone(w.Quantities), func(q judge.Quantity) bool { return q.Job != "" && q.Job != w.Job })
	if len(said) == 0 && d.takes != nil {
		said = d.takes(w.Job)
	}
	for _, q := range said {
		lines = d.fluid(lines, key, q.What, q.Litres)
	}
	if job := d.cat.Jobs[w.Job]; job != nil && len(said) == 0 {
		for _, t := range job.Takes {
			lines = d.fluid(lines, key, t.What, nil)
		}
	}
	return lines
}

func (d *drafting) fluid(lines []estimate.Line, key, what string, litres *float64) []estimate.Line {
	kind := d.cat.FluidPart(what)
	if kind == nil {
		kind = &point.PartKind{ID: what, Name: upperFirst(what), Unit: "L", Fluid: true}
	}
	q := milliLitres(litres)
	if q <= 0 {
		if litres == nil {
			lines = d.bought(lines, key, kind, 1000)
			l := &lines[len(lines)-1]
			l.Name, l.Open = l.Name+amountUnknown, true
		}
		return lines
	}
	return d.bought(lines, key, kind, q)
}

// milliLitres gives thousandths of a litre, 0 for what is not known or can't be.
func milliLitres(litres *float64) money.Milli {
	if litres == nil || !(*litres > 0) || *litres > 1000 {
		return 0
	}
	return money.Milli(math.Round(*litres * 1000))
}

// sundries gives the share of an item's labour that the terms take for what is used up uncounted.
func (d *drafting) sundries(key string, minutes int) ([]estimate.Line, error) {
	t := d.terms
	if t.SundriesRate <= 0 || minutes <= 0 {
		return nil, nil
	}
	labour, err := money.Times(t.HourRate, hours(minutes))
	if err != nil {
		return nil, err
	}
	a, err := money.Share(labour, t.SundriesRate)
	if err != nil {
		return nil, err
	}
	if t.SundriesMost > 0 {
		a = min(a, t.SundriesMost)
	}
	if a <= 0 {
		return nil, nil
	}
	return []estimate.Line{{ID: key + "/sundries", Kind: estimate.Sundries, Name: "Sundries, " + t.SundriesRate.Percent() + " of labour", Milli: 1000, Unit: "piece",
		Price: a, Tax: t.PartsTax}}, nil
}

// shared gives a preparation with its labour, its parts and the items that need it.
func (d *drafting) shared(u work.SetupTime) estimate.Shared {
	set := d.cat.Setups[u.ID]
	s := estimate.Shared{Setup: u.ID, Name: set.Name}
	for _, of := range u.Of {
		s.Items = append(s.Items, wantKey(of.Job, of.At))
	}
	key := "setup/" + u.ID
	if u.Minutes > 0 {
		l := d.labour(key+"/labour", "Labour", u.Minutes)
		l.Setup = u.ID
		s.Lines = append(s.Lines, l)
	}
	for _, p := range set.Parts {
		s.Lines = d.part(s.Lines, key, p)
	}
	return s
}
