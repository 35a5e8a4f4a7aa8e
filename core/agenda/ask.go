package agenda

import (
	"slices"
	"time"

	"witnessmark/core/judge"
	"witnessmark/core/outlook"
	"witnessmark/core/point"
	"witnessmark/core/verdict"
	"witnessmark/core/work"
)

// Ask is a doing that something asks for.
type Ask struct {
	work.Doing
	// Finding and Item are places in the findings and in the outlook's items that ask for it, -1 for none; PutOff in what was put off.
	Finding, Item, PutOff int
	Verdict               verdict.Verdict
	Consequence           point.Consequence
	// Must is true for what must not be put off.
	Must bool
	// When is the day on which it falls due, Due the day that people are told. Hard is the last day on which it may be done, NotBefore the
	// first; zero is none.
	When                 When
	Due, Hard, NotBefore time.Time
	// Life is how many days what is renewed lasts, and Used the day until which it would be used otherwise; Life is 0 where nothing is
	// thrown away by being early.
	Life float64
	Used When
	// Risk is the accepted probability of being later than the limit; 0 is the consequence's.
	Risk float64
}

// Days that a verdict leaves (practice, as reports tell owners): what is due is done within a month, what is overdue must be.
const (
	dueDays  = 30
	hardDays = 30
)

// Seen is a finding with the day of its reading.
type Seen struct {
	judge.Finding
	On time.Time
}

// FromFindings lists what findings ask for that are due, overdue or unsafe: one ask for each doing of each of their jobs. Unsafe must be
// done before the car is driven again; overdue has a last day; a last day that is past is today.
func FromFindings(cat *point.Catalogue, findings []Seen, today time.Time) []Ask {
	var out []Ask
	for i := range findings {
		f := &findings[i]
		a := Ask{Finding: i, Item: -1, PutOff: -1, Verdict: f.Verdict, Consequence: f.Point.Consequence}
		switch f.Verdict {
		case verdict.Unsafe:
			a.Must, a.Due, a.Hard = true, f.On, today
		case verdict.Overdue:
			a.Due, a.Hard = f.On, later(f.On.AddDate(0, 0, hardDays), today)
		case verdict.Due:
			a.Due = f.On.AddDate(0, 0, dueDays)
		default:
			continue
		}
		a.When = On(days(today, a.Due))
		out = append(out, a.forJobs(cat, f.Jobs, f.At)...)
	}
	return out
}

// forJobs repeats an ask for every doing of jobs at a position.
func (a Ask) forJobs(cat *point.Catalogue, jobs []string, at string) (out []Ask) {
	for _, job := range jobs {
		for _, d := range work.Doings(cat, []work.Want{{Job: job, At: at}}) {
			a.Doing = d
			out = append(out, a)
		}
	}
	return out
}

// FromOutlook lists what is foreseen to fall due by a day: items that a job renews, at the end of their recommended interval or when
// they reach their limit. What is past its limit is left to the findings, and what nobody looked at, without a known beginning, to the
// next look.
func FromOutlook(cat *point.Catalogue, o *outlook.Outlook, car Applies, until time.Time) []Ask {
	var out []Ask
	for i := range o.Items {
		it := &o.Items[i]
		advised := it.Advice != nil && !it.Advice.DueOn.IsZero() && it.Since.Sure
		if it.Past || it.Unsure != "" || it.Law.Item == "" || it.Basis.Own == 0 && !advised {
			continue
		}
		a, ok := foreseen(cat, o, it, advised)
		job := JobFor(cat, it.Point, it.Law.Item, car)
		if !ok || job == "" || a.Due.After(until) {
			continue
		}
		a.Item = i
		out = append(out, a.forJobs(cat, []string{job}, it.At)...)
	}
	return out
}

// foreseen dates an item.
func foreseen(cat *point.Catalogue, o *outlook.Outlook, it *outlook.Item, advised bool) (Ask, bool) {
	a := Ask{Finding: -1, PutOff: -1, Verdict: verdict.Sound, Consequence: it.Point.Consequence, Risk: it.Look.Risk}
	since := it.Since.On
	if n := len(it.Shown); n > 0 {
		since = it.Shown[n-1].On
	}
	when, ok := Forecast(&it.Reach, o.Today, since, o.Horizon)
	switch {
	case advised:
		a.Due = it.Advice.DueOn
		// Where common practice ends the interval before the forecast does, the day is certain.
		due := days(o.Today, a.Due)
		if !ok || when.Day(a.Accepted(cat)) > due+outlook.LeastGap {
			when, ok = On(due), true
		}
		a.Used, a.Life = On(due), days(it.Since.On, a.Due)
	case ok && it.Law.Wear != nil && !it.Reach.OpenMid:
		a.Due = it.Reach.Mid
		a.Used, a.Life = when, days(it.Since.On, a.Due)
	default:
		return a, false // a condition without a schedule is renewed when a look finds it turned
	}
	if a.When = when; a.Life < 1 {
		a.Life = 0
	}
	return a, ok && !a.Due.IsZero()
}

// Applies says whether a job can be done on the car.
type Applies func(j *point.Job) bool

// JobFor is the job that renews an item with the least else: one that the point itself names before any other. It is empty when none does.
func JobFor(cat *point.Catalogue, p *point.Point, item string, car Applies) string {
	best := func(ids []string) (found string) {
		for _, id := range ids {
			j := cat.Jobs[id]
			if j == nil || !slices.Contains(j.Renews, item) || car != nil && !car(j) {
				continue
			}
			if found == "" || len(j.Renews) < len(cat.Jobs[found].Renews) {
				found = id
			}
		}
		return found
	}
	own := slices.Clone(p.Jobs)
	for _, st := range p.States {
		own = append(own, st.Jobs...)
	}
	for _, l := range p.Limits {
		own = append(own, l.Jobs...)
	}
	if id := best(own); id != "" {
		return id
	}
	all := make([]string, 0, len(cat.Jobs))
	for id := range cat.Jobs {
		all = append(all, id)
	}
	slices.Sort(all)
	return best(all)
}

// later is the later of two days.
func later(a, b time.Time) time.Time {
	if a.After(b) {
		return a
	}
	return b
}
