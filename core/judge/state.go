package judge

import (
	"fmt"
	"math"
	"strings"
	"time"

	"witnessmark/core/point"
	"witnessmark/core/round"
)

// state judges a named state, or the state that a fraction of the band amounts to.
func (j *judging) state(f *Finding) {
	s := f.Reading.StateOf(f.Point)
	if s == nil {
		f.Why = "The reading names no state."
		return
	}
	f.Verdict, f.Why = s.Verdict, s.Why
	f.Means, f.Wait = s.Means, s.Wait
	f.Jobs, f.Cautions = s.Jobs, s.Cautions
	if s.Source != nil {
		f.Source = j.cat.Cite(*s.Source)
	}
	j.class(f, s.Category, s.Item)
	if d, ok := f.Reading.Value("deficit_L"); ok && d > 0 {
		f.Why = strings.TrimSuffix(f.Why, ".") + fmt.Sprintf("; about %s low.", f.amount(d, "L"))
	}
	if mm, ok := f.Reading.Value("mm"); ok {
		f.Why = strings.TrimSuffix(f.Why, ".") + fmt.Sprintf("; play %s.", f.amount(mm, "mm"))
	}
}

// class sets the regulation's own class for the car's market.
func (j *judging) class(f *Finding, category map[string]string, item string) {
	reg := "eu"
	if j.car.Facets["market"].Value == "us" {
		reg = "us"
	}
	c := category[reg]
	if c == "" {
		return
	}
	f.Category = c
	if !strings.HasPrefix(item, reg+":") {
		item = ""
		for _, cover := range f.Point.Covers {
			if strings.HasPrefix(cover, reg+":") {
				item = cover
				break
			}
		}
	}
	for _, g := range j.cat.Regulations {
		if g.ID == reg {
			f.Regulation = strings.TrimSpace(g.Title + " " + strings.TrimPrefix(item, reg+":"))
		}
	}
}

// renewal adds the calendar: a part that looks sound may still have been in for too long. It speaks even where the look
// itself could not be judged.
func (j *judging) renewal(f *Finding) {
	n := f.Point.Renewal
	if n == nil {
		return
	}
	last, ok := j.car.LastRenewalAt(n.Item, f.At, j.taken.On)
	if !ok {
		return
	}
	late, limit := j.late(f, n, last)
	if late == "" || !n.Verdict.Worse(f.Verdict) && j.saysInterval(f) {
		return
	}
	f.Why = strings.TrimSuffix(f.Why, ".") + "; the last renewal was " + late + "."
	if n.Verdict.Worse(f.Verdict) {
		f.Verdict, f.Jobs, f.Limit = n.Verdict, n.Jobs, limit
		f.Source = limit.Source
	}
}

// late says in words by how much a renewal is overdue, months before distance; empty when it is not.
func (j *judging) late(f *Finding, n *point.Renewal, last round.Renewal) (string, *LimitShown) {
	src := j.cat.Cite(n.Source)
	if months := Months(last.Date, j.taken.On); n.Months > 0 && months > n.Months {
		whole := math.Floor(months)
		words := fmt.Sprintf("%.0f months ago, more than %s", whole, num(n.Months))
		if whole <= n.Months {
			words = "a little over " + num(n.Months) + " months ago"
		}
		return words, &LimitShown{Value: n.Months, Unit: "months", Source: src, Got: whole}
	}
	if km := j.distance(last.OdometerKm); n.Km > 0 && km > n.Km {
		return fmt.Sprintf("%s ago, more than %s", f.amount(km, "km"), f.amount(n.Km, "km")), &LimitShown{Value: n.Km, Unit: "km", Source: src, Got: math.Floor(km)}
	}
	return "", nil
}

// saysInterval reports whether the finding has said already what the interval was.
func (j *judging) saysInterval(f *Finding) bool {
	s := f.Reading.StateOf(f.Point)
	for _, rule := range f.Point.Rules {
		if rule.Name == "interval-too-long" && s != nil && contains(rule.States, s.ID) {
			return true
		}
	}
	return false
}

// distance gives the km since an odometer reading, 0 when either is not known.
func (j *judging) distance(since float64) float64 {
	if since < 0 || j.car.OdometerKm < 0 {
		return 0
	}
	return math.Max(0, j.car.OdometerKm-since)
}

// Months counts the months from a to b, the days as a fraction of a mean month (365.2425/12 days).
func Months(a, b time.Time) float64 {
	return b.Sub(a).Hours() / 24 / (365.2425 / 12)
}

func lowerFirst(s string) string {
	if len(s) > 1 && s[0] >= 'A' && s[0] <= 'Z' && (s[1] < 'A' || s[1] > 'Z') {
		return strings.ToLower(s[:1]) + s[1:]
	}
	return s
}
