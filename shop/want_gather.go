package shop

import (
	"cmp"
	"context"
	"math"
	"slices"
	"time"

	"witnessmark/core/agenda"
	"witnessmark/core/judge"
	"witnessmark/core/outlook"
	"witnessmark/core/point"
	"witnessmark/core/verdict"
	"witnessmark/core/work"
)

// planMonths is how far ahead a car's visits are planned.
const planMonths = 24

// Wants lists what a car asks for, each doing once with its strongest reason, worst first: what its newest readings found, what is foreseen
// within two years, what an owner put off, and the looks that earlier work calls for. What was done since is not asked for again.
func (s *Shop) Wants(ctx context.Context, carID string) ([]Want, error) {
	a, err := s.askedOf(ctx, carID)
	if err != nil {
		return nil, err
	}
	out := make([]Want, len(a.list))
	for i := range a.list {
		out[i] = a.list[i].want
	}
	return out, nil
}

// askedFor is a want with what it was made of.
type askedFor struct {
	want Want
	ask  agenda.Asked
}

// key names the want in forms and placements.
func (a *askedFor) key() string { return wantKey(a.want.Job, a.want.At) }

// asked is all that a car asks for, with what that was gathered from.
type asked struct {
	page    *CarPage
	outlook *CarOutlook
	dealt   *dealt
	seen    []agenda.Seen
	facts   []ReadingFact // of each finding
	list    []askedFor
	today   time.Time
}

// askedOf gathers what a car asks for.
func (s *Shop) askedOf(ctx context.Context, carID string) (*asked, error) {
	a := &asked{today: day(s.today())}
	var err error
	if a.page, err = s.CarPage(ctx, carID); err != nil {
		return nil, err
	}
	if a.outlook, err = s.Outlook(ctx, carID); err != nil {
		return nil, err
	}
	err = s.store.View(ctx, func(r Reader) (err error) {
		a.dealt, err = s.dealings(ctx, r, carID)
		return err
	})
	if err != nil {
		return nil, err
	}
	s.gather(a)
	return a, nil
}

// gather joins findings, forecasts, put-offs and follow-up looks.
func (s *Shop) gather(a *asked) {
	a.seen, a.facts = s.newestFindings(a.page)
	until := a.today.AddDate(0, planMonths, 0)
	asks := slices.DeleteFunc(agenda.FromFindings(s.cat, a.seen, a.today), func(x agenda.Ask) bool { return s.answered(a, x) })
	car := func(j *point.Job) bool { ok, _ := j.When.Holds(a.page.Facets); return ok }
	foreseen := agenda.FromOutlook(s.cat, &a.outlook.Outlook, car, until)
	foreseen = slices.DeleteFunc(foreseen, func(x agenda.Ask) bool { return s.isAgreed(a.dealt, x.Doing) })
	for i := range foreseen {
		foreseen[i].Verdict = a.verdictOf(foreseen[i].Item)
	}
	asks = append(asks, foreseen...)
	asks = append(asks, agenda.FromPutOffs(s.cat, a.backAgain(), a.today)...)
	for _, x := range agenda.Join(s.cat, asks) {
		a.list = append(a.list, askedFor{s.wantOf(a, &x), x})
	}
	a.list = append(a.list, s.followWants(a, until)...)
}

// answered reports whether a finding's doing is agreed and still to be done, or was done after its reading. The reading that asked came
// before work of the same day.
func (s *Shop) answered(a *asked, x agenda.Ask) bool {
	if s.isAgreed(a.dealt, x.Doing) {
		return true
	}
	f, on := a.facts[x.Finding], a.seen[x.Finding].On.Format(dayLayout)
	return slices.ContainsFunc(a.dealt.done, func(d doneDoing) bool {
		return d.Doing == x.Doing && (d.on > on || d.on == on && d.receivedAt >= f.ReceivedAt)
	})
}

// verdictOf is the newest verdict of an item's place, sound where nobody looked.
func (a *asked) verdictOf(item int) verdict.Verdict {
	it := &a.outlook.Outlook.Items[item]
	for i := range a.seen {
		if f := &a.seen[i]; f.Point.ID == it.Point.ID && f.At == it.At && f.Verdict == verdict.Watch {
			return verdict.Watch
		}
	}
	return verdict.Sound
}

// backAgain are the doings that an owner put off, until the day or the distance, whichever comes first, and those that could not be done.
func (a *asked) backAgain() []agenda.PutOff {
	out := make([]agenda.PutOff, len(a.dealt.back))
	for i, p := range a.dealt.back {
		until := day(p.on)
		if at, ok := a.dayOfKm(float64(p.km)); p.km > 0 && ok && (until.IsZero() || at.Before(until)) {
			until = at
		}
		if until.IsZero() {
			until = a.today
		}
		v, err := verdict.Parse(p.item.Verdict)
		if err != nil {
			v = verdict.Unjudged
		}
		out[i] = agenda.PutOff{Doing: work.Doing{Job: p.item.Job, At: p.item.At}, Until: until, Verdict: v}
		if p.item.Job == "" { // typed by the adviser
			out[i].Job = "typed:" + p.due
		}
	}
	return out
}

// dayOfKm is the day on which a distance is probably reached, today at the earliest and within the outlook's horizon.
func (a *asked) dayOfKm(km float64) (time.Time, bool) {
	o := &a.outlook.Outlook
	if !o.Known || !(o.PerYear.Mid > 0) {
		return time.Time{}, false
	}
	days := math.Max(0, (km-o.NowKm.Mid)/o.PerYear.Mid*365.2425)
	days = math.Min(days, o.Horizon.Sub(a.today).Hours()/24)
	return a.today.AddDate(0, 0, int(days)), true
}

// followWants are the looks that earlier work calls for and nobody has made since.
func (s *Shop) followWants(a *asked, until time.Time) []askedFor {
	var out []askedFor
	for _, f := range a.dealt.follows {
		on := day(f.Follow.On)
		if at, ok := a.dayOfKm(f.Follow.Km); f.Follow.Km > 0 && ok && (on.IsZero() || at.Before(on)) {
			on = at
		}
		if on.IsZero() || on.After(until) || !f.Open {
			continue
		}
		w := Want{Job: "look:" + f.Due, Name: f.Follow.Say, From: FromFollowUp, Verdict: verdict.Unjudged, DueOn: on.Format(dayLayout), Dues: []string{f.Due},
			Why: "The work of " + day(f.On).Format("2 January 2006") + " calls for it."}
		ask := agenda.Ask{Doing: work.Doing{Job: w.Job}, Finding: -1, Item: -1, PutOff: -1, Verdict: w.Verdict, Consequence: point.Comfort, Due: on}
		if p := s.cat.Point(f.Follow.Point); p != nil {
			ask.Consequence = p.Consequence
		}
		ask.When = agenda.On(math.Round(on.Sub(a.today).Hours() / 24))
		out = append(out, askedFor{w, agenda.Asked{Ask: ask}})
	}
	return out
}

// wantOf puts a doing and what asks for it into words.
func (s *Shop) wantOf(a *asked, x *agenda.Asked) Want {
	w := Want{Job: x.Job, At: x.At, Name: x.Job, Verdict: x.Verdict, Must: x.Must, DueOn: x.Due.Format(dayLayout)}
	if j := s.cat.Jobs[x.Job]; j != nil {
		w.Name = withWhere(j.Name, s.cat.JobWhere(x.Job, x.At, a.page.Facets))
	}
	if !x.Hard.IsZero() {
		w.HardOn = x.Hard.Format(dayLayout)
	}
	if !x.NotBefore.IsZero() {
		w.NotBefore = x.NotBefore.Format(dayLayout)
	}
	all := append([]agenda.Ask{x.Ask}, x.Others...)
	for _, d := range x.With {
		all = append(append(all, d.Ask), d.Others...)
	}
	s.findingWords(a, &w, all)
	if w.From == "" {
		s.foreseenWords(a, &w, all)
	}
	for _, o := range all {
		if o.PutOff < 0 {
			continue
		}
		p := a.dealt.back[o.PutOff]
		if slices.Contains(w.Dues, p.due) {
			continue
		}
		w.Dues = append(w.Dues, p.due)
		if w.From == "" {
			w.From, w.Why, w.Wait, w.Category = FromPutOff, sentence(p.why, p.item.Why), p.item.Wait, p.item.Category
			w.Name = cmp.Or(p.item.Name, w.Name)
			if p.item.Job == "" {
				w.Typed, w.TypedTerms = &p.item, p.terms
			}
		}
	}
	return w
}

// findingWords tells what was found: of every finding that asks for the doing.
func (s *Shop) findingWords(a *asked, w *Want, all []agenda.Ask) {
	byPoint := map[string][]judge.Finding{}
	var order []string
	for _, o := range all {
		if o.Finding < 0 {
			continue
		}
		f := &a.seen[o.Finding]
		if w.From == "" {
			w.From, w.Wait, w.Category, w.RoundID = FromFinding, f.Wait, f.Category, a.facts[o.Finding].RoundID
		}
		same := func(g judge.Finding) bool { return g.At == f.At && g.Why == f.Why }
		if slices.ContainsFunc(byPoint[f.Point.ID], same) {
			continue
		}
		if byPoint[f.Point.ID] == nil {
			order = append(order, f.Point.ID)
		}
		byPoint[f.Point.ID] = append(byPoint[f.Point.ID], f.Finding)
		for _, q := range f.Quantities {
			if q.Job == w.Job && !slices.ContainsFunc(w.Quantities, func(x judge.Quantity) bool { return x.What == q.What }) {
				w.Quantities = append(w.Quantities, q)
			}
		}
	}
	for _, id := range order {
		for _, line := range saw(byPoint[id]) {
			w.Why = sentence(w.Why, s.cat.Point(id).OwnerName+": "+line)
		}
	}
}

// foreseenWords tells what is foreseen, of the item that comes first.
func (s *Shop) foreseenWords(a *asked, w *Want, all []agenda.Ask) {
	for _, o := range all {
		if o.Item < 0 {
			continue
		}
		it := &a.outlook.Outlook.Items[o.Item]
		text, _ := s.itemWords(a.outlook, it)
		if text == "" {
			text = upperFirst(reachWords(&it.Reach, "need renewing")) // nothing was measured since it was renewed
		}
		w.From, w.Why, w.Wait = FromOutlook, withWhere(it.Point.OwnerName, it.Where)+": "+text, it.Point.Wait
		return
	}
}

// sentence joins two texts.
func sentence(a, b string) string {
	if a == "" || b == "" {
		return a + b
	}
	return a + " " + b
}

// reach is when a want's limit is probably reached; nil where nothing is forecast.
func (a *asked) reach(x *agenda.Asked) *outlook.Reach {
	if x.Item < 0 {
		return nil
	}
	return &a.outlook.Outlook.Items[x.Item].Reach
}
