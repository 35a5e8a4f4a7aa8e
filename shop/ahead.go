package shop

import (
	"fmt"
	"math"
	"sort"
	"strings"
	"time"

	"witnessmark/core/judge"
	"witnessmark/core/outlook"
	"witnessmark/core/point"
	"witnessmark/core/unit"
)

// AheadLine tells an owner what to expect of one thing on the car.
type AheadLine struct {
	Point, At string
	Title     string // "Brake pads, front left"
	Text      string // "6 mm now. Will probably reach 3 mm between May 2027 and March 2028; 8 of 10 such parts do."
	// On is when it is about to be due, for sorting; zero when it is not within sight.
	On time.Time
	// Ten says of how many cars in ten it reaches its limit before the car is usually seen again, 1 to 9, and TenText the same in a
	// sentence; 0 and empty where that is next to none or next to all.
	Ten     int
	TenText string
	// Look says when to look at it again, "Look again by 17 January 2027 or 87 500 km."; empty where the usual round is soon enough.
	Look string
	// Plan is true when it will hardly last until then: the work is to be planned.
	Plan bool
}

// Ahead tells what is to be expected of a car in an owner's words: one line for each thing that was looked at or measured on each
// axle, the place first that comes first. What is past its limit already is a finding, and not told again.
func (s *Shop) Ahead(o *CarOutlook) []AheadLine {
	type key struct{ point, axle string }
	first := map[key]int{}
	var lines []AheadLine
	for i := range o.Outlook.Items {
		it := &o.Outlook.Items[i]
		if it.Past || it.Unsure != "" || it.Basis.Own == 0 {
			continue
		}
		text, on := s.itemWords(o, it)
		if text == "" {
			continue
		}
		base, _ := point.SplitAt(it.At)
		line := AheadLine{Point: it.Point.ID, At: it.At, Title: withWhere(it.Point.OwnerName, it.Point.Where(base, o.Facets)), Text: text, On: on, Ten: tenths(it), Plan: hardlyLasts(it)}
		line.TenText, line.Look = tenthsWords(line.Ten, o.Outlook.Today), lookWords(o, it)
		k := key{it.Point.ID, point.Axle(base)}
		if at, ok := first[k]; !ok {
			first[k] = len(lines)
			lines = append(lines, line)
		} else if sooner(line.On, lines[at].On) {
			lines[at] = line
		}
	}
	sort.SliceStable(lines, func(i, j int) bool { return sooner(lines[i].On, lines[j].On) })
	return lines
}

// sooner orders days; none comes last.
func sooner(a, b time.Time) bool {
	if a.IsZero() || b.IsZero() {
		return !a.IsZero()
	}
	return a.Before(b)
}

// itemWords says in one or two sentences what is to be expected of what is measured or renewed, and when. It is empty when there
// is nothing to say.
func (s *Shop) itemWords(o *CarOutlook, it *outlook.Item) (string, time.Time) {
	switch {
	case it.Advice != nil:
		return adviceWords(o.Car, it.Advice, it.Law, o.Outlook.Today), it.Advice.DueOn
	case it.Law.Wear != nil:
		return s.wearWords(o.Car, it), it.Reach.Mid
	}
	return "", time.Time{}
}

// wearWords: "6 mm now. Will probably reach 3 mm between May 2027 and March 2028; 8 of 10 such parts do."
func (s *Shop) wearWords(c CarVersion, it *outlook.Item) string {
	if len(it.Shown) == 0 || it.Limit == nil {
		return ""
	}
	amount := func(v float64) string { return judge.Amount(v, it.LimitUnit, system(c)) }
	if name := valueOf(it); name != "" {
		amount = func(v float64) string { return s.Display(c, name, v, it.Point) }
	}
	now := it.Shown[len(it.Shown)-1]
	return fmt.Sprintf("%s on %s. %s", amount(now.Value), now.On.Format("2 January 2006"), reachWords(&it.Reach, "reach "+amount(*it.Limit)))
}

// reachWords says when something will probably happen. All its figures are of ten: the low end has one in ten before it, the
// range eight in ten within it.
func reachWords(r *outlook.Reach, does string) string {
	switch {
	case r.OpenLow:
		return fmt.Sprintf("Not likely to %s within %d years; 9 of 10 such parts do not.", does, horizonYears)
	case r.OpenHigh:
		return fmt.Sprintf("May %s from %s on; 9 of 10 such parts last until then.", does, monthYear(r.Low))
	}
	from, to := monthYear(r.Low), monthYear(r.High)
	if from == to {
		return fmt.Sprintf("Will probably %s in %s; 8 of 10 such parts do.", does, from)
	}
	return fmt.Sprintf("Will probably %s between %s and %s; 8 of 10 such parts do.", does, from, to)
}

// horizonYears is how far the core dates anything.
const horizonYears = 5

func monthYear(t time.Time) string { return t.Format("January 2006") }

// adviceWords: "Best renewed every 11 500 km instead of 15 000 km, next by May 2027 or 183 500 km. About 1 of 20 such cars need it
// sooner."
func adviceWords(c CarVersion, a *outlook.Advice, law *point.Law, today time.Time) string {
	if !(a.Interval > 0) {
		return ""
	}
	text := "Best renewed every " + exposureWords(c, a.Interval, law.Unit)
	if a.Usual > 0 && a.Usual != a.Interval {
		text += " instead of " + exposureWords(c, a.Usual, law.Unit)
	}
	switch {
	case a.DueOn.IsZero():
	case !a.DueOn.After(today):
		text += ", so it was to be renewed in " + monthYear(a.DueOn)
	default:
		text += ", next by " + monthYear(a.DueOn)
		if a.DueKm > 0 && law.Unit == "km" {
			text += " or " + distanceWords(c, math.Round(a.DueKm/100)*100)
		}
	}
	switch n := math.Round(a.Recommendation.Risk * 20); {
	case n < 1:
		return text + ". Fewer than 1 of 20 such cars need it sooner."
	case n == 1:
		return text + ". 1 of 20 such cars needs it sooner."
	default:
		return text + fmt.Sprintf(". %.0f of 20 such cars need it sooner.", n)
	}
}

// exposureWords writes an interval: "11 500 km", "24 months".
func exposureWords(c CarVersion, x float64, in string) string {
	if in == "km" {
		return distanceWords(c, x)
	}
	return fmt.Sprintf("%.0f months", x)
}

// distanceWords writes a distance the owner's way, without decimals, so that no line ends inside it.
func distanceWords(c CarVersion, km float64) string {
	return strings.ReplaceAll(unit.Format(km, unit.KM, system(c), 0), " ", "\u00a0")
}

// NextLookWords says when the car should be looked at again; empty when nothing can be said. It never says that a car can go on
// until then: something else may happen at any time.
func (s *Shop) NextLookWords(o *CarOutlook) string {
	n := o.Outlook.Next
	if n.Item < 0 || n.Item >= len(o.Outlook.Items) || n.On.IsZero() && !n.Now {
		return ""
	}
	it := &o.Outlook.Items[n.Item]
	why := strings.ToLower(it.Point.OwnerName[:1]) + it.Point.OwnerName[1:]
	switch {
	case n.Now:
		return "Look again now, because of: " + why + "."
	case n.Open:
		return "Look again at the next seasonal check."
	}
	text := "Look again by " + n.On.Format("2 January 2006")
	if n.Km > 0 {
		text += " or " + distanceWords(o.Car, math.Round(n.Km/100)*100) + ", whichever comes first"
	}
	return text + ", because of: " + why + "."
}
