package shop

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"witnessmark/core/outlook"
	"witnessmark/core/point"
)

// dueLook is the next look at a car: what the forecast asks for, or the usual seasonal check. What is past its limit stands on the list
// as a finding, and does not ask for a look here.
func (s *Shop) dueLook(o *CarOutlook) []DueLine {
	if o.LastRound == nil {
		return nil
	}
	l := DueLine{ID: "look/" + o.LastRound.ID, Kind: DueLook, RoundID: o.LastRound.ID}
	season := day(o.LastRound.On).AddDate(0, 0, outlook.SeasonDays)
	n, asks := nextAsk(&o.Outlook)
	if !asks || !n.Now && n.On.After(season) {
		l.On = isoDay(season)
		l.What = "Seasonal check"
		l.Why = fmt.Sprintf("The last round was on %s, and cars are looked at twice a year.", shortDate(day(o.LastRound.On)))
		l.Sure = "The usual time; no forecast asks for it sooner."
		l.Tell = "The next seasonal check of your car is due around " + plainDay(l.On) + "."
		return []DueLine{l}
	}
	it := &o.Outlook.Items[n.Item]
	where := itemTitle(it)
	l.On = isoDay(n.On)
	l.What = "Look at the car again: " + lowerWord(where)
	l.Why = "From then on the chance that it is past its limit is more than is accepted between two looks."
	l.Sure = fmt.Sprintf("Unlikely to be past its limit before then: at most %s.", perHundred(n.Risk))
	l.Tell = fmt.Sprintf("We should look at your car again by %s, because of: %s.", plainDay(l.On), lowerWord(withWhere(it.Point.OwnerName, it.Where)))
	if n.Now {
		l.Why = "The chance that it is past its limit is more than is accepted between two looks."
		l.Sure = fmt.Sprintf("It is above %s already.", perHundred(n.Risk))
		l.Tell = fmt.Sprintf("We should look at your car again soon, because of: %s.", lowerWord(withWhere(it.Point.OwnerName, it.Where)))
	} else if n.Km > 0 {
		l.Km = math.Round(n.Km/100) * 100
		l.Tell = fmt.Sprintf("We should look at your car again by %s or %s, whichever comes first, because of: %s.", plainDay(l.On),
			distanceWords(o.Car, l.Km), lowerWord(withWhere(it.Point.OwnerName, it.Where)))
	}
	return []DueLine{l}
}

// nextAsk is the earliest look that the forecasts ask for, leaving out what is past its limit already.
func nextAsk(o *outlook.Outlook) (outlook.NextLook, bool) {
	if n := o.Next; n.Item >= 0 && !n.Open && !o.Items[n.Item].Past {
		return n, true
	}
	best, found := outlook.NextLook{}, false
	for i := range o.Items {
		it := &o.Items[i]
		n := it.Look
		if it.Past || it.Unsure != "" || it.Basis.Own == 0 || n.Short || n.Open {
			continue
		}
		if !found || n.On.Before(best.On) {
			best, found = n, true
			best.Item = i
		}
	}
	return best, found
}

// dueForecasts are the things that reach their limit, or the end of their recommended interval, within the list's days: one line for each
// axle, the place that comes first. What an owner has answered to has a line of its own.
func (s *Shop) dueForecasts(in *dueFacts, o *CarOutlook) []DueLine {
	answered := s.dueAnswered(in, o)
	type key struct{ point, axle string }
	first := map[key]int{}
	var out []DueLine
	for i := range o.Outlook.Items {
		it := &o.Outlook.Items[i]
		if it.Past || it.Unsure != "" || it.Basis.Own == 0 {
			continue
		}
		l, ok := s.dueForecast(o, it)
		if !ok || slices.ContainsFunc(answered, func(n Renews) bool { return n.Item == it.Law.Item && renewalReaches(n.At, it.At) }) {
			continue
		}
		base, _ := point.SplitAt(it.At)
		k := key{it.Point.ID, point.Axle(base)}
		at, twice := first[k]
		switch {
		case !twice:
			first[k] = len(out)
			out = append(out, l)
		case l.On < out[at].On:
			out[at] = l
		}
	}
	return out
}

// dueForecast is the line of one thing; false when it has no date within five years.
func (s *Shop) dueForecast(o *CarOutlook, it *outlook.Item) (DueLine, bool) {
	l := DueLine{ID: fmt.Sprintf("forecast/%s/%s/%s", it.Law.ID, it.At, isoDay(it.Since.On)), Kind: DueForecast, What: itemTitle(it)}
	if o.LastRound != nil {
		l.RoundID = o.LastRound.ID
	}
	if a := it.Advice; a != nil && !a.DueOn.IsZero() && a.Interval > 0 {
		s.dueRenewal(o, it, &l)
		return l, true
	}
	r := &it.Reach
	if r.OpenLow || r.OpenMid || r.Mid.IsZero() {
		return l, false
	}
	l.On = isoDay(r.Mid)
	rangeOf(&l, r)
	text, _ := s.itemWords(o, it)
	if text == "" {
		text = upperFirst(reachWords(r, "need renewing"))
	}
	l.Why = text
	l.Sure = "Even chance by then: 5 of 10 such parts are at their limit; " + rangeWords(r)
	l.Tell = withWhere(it.Point.OwnerName, it.Where) + ": " + text
	return l, true
}

// dueRenewal fills the line of something whose recommended interval ends.
func (s *Shop) dueRenewal(o *CarOutlook, it *outlook.Item, l *DueLine) {
	a := it.Advice
	l.On = isoDay(a.DueOn)
	if it.Law.Unit == "km" && a.DueKm > 0 {
		l.Km = math.Round(a.DueKm/100) * 100
	}
	if it.Law.Item != "" {
		l.What = "Renew: " + lowerWord(withWhere(itemName(it.Law.Item), it.Where))
	}
	l.Why = adviceWords(o.Car, a, it.Law, o.Outlook.Today)
	l.Sure = fmt.Sprintf("%s to last until then: about %s such cars need it sooner.", likelihood(1-a.Recommendation.Risk), perHundred(a.Recommendation.Risk))
	if !a.DueOn.After(o.Outlook.Today) {
		l.Sure = fmt.Sprintf("The chance that it is past its limit by today is %s.", perHundred(it.Turned))
	}
	l.Tell = withWhere(it.Point.OwnerName, it.Where) + ": " + lowerWord(l.Why)
}

// rangeOf gives a line the days between which 8 of 10 lie.
func rangeOf(l *DueLine, r *outlook.Reach) {
	if !r.OpenLow && !r.Low.IsZero() {
		l.From = isoDay(r.Low)
		if !r.OpenHigh {
			l.To = isoDay(r.High)
		}
	}
}

// rangeWords is the same in words.
func rangeWords(r *outlook.Reach) string {
	if r.OpenHigh {
		return fmt.Sprintf("1 of 10 before %s.", monthYear(r.Low))
	}
	return fmt.Sprintf("8 of 10 come between %s and %s.", shortDate(r.Low), shortDate(r.High))
}

func shortDate(t time.Time) string { return t.Format("2 January 2006") }

// likelihood is the word for a chance, the same for the same figures everywhere on the list (the project's own steps, wider than those of
// Budescu and others, who show that a word alone is read anyhow: the number always stands beside it).
func likelihood(p float64) string {
	steps := []struct {
		from float64
		word string
	}{{0.99, "Almost certain"}, {0.9, "Very likely"}, {0.66, "Likely"}, {0.4, "About even"}, {0.1, "Unlikely"}}
	i := slices.IndexFunc(steps, func(st struct {
		from float64
		word string
	}) bool {
		return p >= st.from
	})
	if i < 0 {
		return "Very unlikely"
	}
	return steps[i].word
}

// perHundred writes a small chance as a number of a hundred.
func perHundred(p float64) string {
	if n := math.Round(p * 100); n >= 1 {
		return fmt.Sprintf("%.0f of 100", n)
	}
	return "1 of 100"
}

// itemTitle names an item for the adviser.
func itemTitle(it *outlook.Item) string { return withWhere(it.Point.Name, it.Where) }

// lowerWord begins a name in the middle of a sentence; abbreviations stay as they are.
func lowerWord(s string) string {
	if len(s) < 2 || s[1] >= 'A' && s[1] <= 'Z' {
		return s
	}
	return strings.ToLower(s[:1]) + s[1:]
}
