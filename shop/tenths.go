package shop

import (
	"fmt"
	"math"
	"slices"
	"time"

	"witnessmark/core/outlook"
	"witnessmark/core/point"
	"witnessmark/core/verdict"
)

// tenths says of how many cars in ten a thing will reach its limit before the car is usually seen again, where that is neither next
// to none nor next to all of them; 0 otherwise.
func tenths(it *outlook.Item) int {
	if p := it.Season; !it.Past && p >= 0.05 && p <= 0.95 {
		return max(1, min(9, int(math.Round(p*10))))
	}
	return 0
}

// tenthsWords is the same in a sentence.
func tenthsWords(n int, today time.Time) string {
	if n == 0 {
		return ""
	}
	return fmt.Sprintf("Of 10 cars like yours, about %d would reach the limit before our next look in %s.", n, seasonMonth(today))
}

// seasonMonth is the month in which a car is usually seen again.
func seasonMonth(today time.Time) string { return monthYear(today.AddDate(0, 0, outlook.SeasonDays)) }

// lookWords says when to look at one thing again, where that is before the car is usually seen anyway. What can't be held by looking
// is told by its interval.
func lookWords(o *CarOutlook, it *outlook.Item) string {
	n := it.Look
	if hardlyLasts(it) {
		return fmt.Sprintf("Plan the work now: it will probably not last until our next look in %s.", seasonMonth(o.Outlook.Today))
	}
	if n.Now || n.Open || n.Short || n.On.IsZero() || n.On.After(o.Outlook.Today.AddDate(0, 0, outlook.SeasonDays)) {
		return ""
	}
	text := "Look again by " + n.On.Format("2 January 2006")
	if n.Km > 0 {
		text += " or " + distanceWords(o.Car, math.Round(n.Km/100)*100)
	}
	return text + "."
}

// hardlyLasts reports whether a thing will probably reach its limit before the car is usually seen again, so soon that looking can't
// hold it.
func hardlyLasts(it *outlook.Item) bool {
	return (it.Look.Now || it.Look.Short) && it.Season >= 0.5 && !it.Past
}

// dateLooks gives what is only watched the day by which it is to be looked at again, where that comes before the usual round.
func (r *Report) dateLooks() {
	for k := range r.Sections {
		sec := &r.Sections[k]
		if sec.Verdict != verdict.Watch {
			continue
		}
		lines := r.AheadOf(sec) // in the order of their days
		i := slices.IndexFunc(lines, func(l AheadLine) bool { return l.Look != "" })
		switch {
		case i < 0:
		case lines[i].Plan:
			sec.ByWhen = lines[i].Look
		default:
			sec.ByWhen = "Nothing now. " + lines[i].Look
		}
	}
}

// AheadOf lists what is to be expected of the things that a section speaks of, on the axles that it names.
func (r *Report) AheadOf(sec *ReportSection) []AheadLine {
	var out []AheadLine
	for _, l := range r.Ahead {
		if sec.speaksOf(l) {
			out = append(out, l)
		}
	}
	return out
}

// AheadElse lists what is to be expected of everything that no section speaks of.
func (r *Report) AheadElse() []AheadLine {
	var out []AheadLine
next:
	for _, l := range r.Ahead {
		for i := range r.Sections {
			if r.Sections[i].speaksOf(l) {
				continue next
			}
		}
		out = append(out, l)
	}
	return out
}

func (sec *ReportSection) speaksOf(l AheadLine) bool {
	of, _ := point.SplitAt(l.At)
	for i := range sec.Findings {
		f := &sec.Findings[i]
		at, _ := point.SplitAt(f.At)
		if f.Point != nil && f.Point.ID == l.Point && point.Axle(at) == point.Axle(of) {
			return true
		}
	}
	return false
}
