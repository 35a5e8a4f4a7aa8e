package web

import (
	"fmt"
	"math"
	"time"

	"witnessmark/core/outlook"
	"witnessmark/shop"
)

// monthYear writes a day to the month, which is as sure as a forecast is.
func monthYear(t time.Time) string { return t.Format("January 2006") }

// shortMonth writes a day to the month for a narrow column.
func shortMonth(t time.Time) string { return t.Format("Jan 2006") }

// reachShort says in a few words when a limit is reached: "May 2027 – Mar 2028", "after 2031".
func reachShort(o *outlook.Outlook, it *outlook.Item) string {
	r := &it.Reach
	switch {
	case it.Unsure != "":
		return "no forecast"
	case it.Past:
		return "now"
	case r.OpenLow:
		return "after " + shortMonth(o.Horizon)
	case r.OpenHigh:
		return "from " + shortMonth(r.Low)
	case shortMonth(r.Low) == shortMonth(r.High):
		return shortMonth(r.Low)
	}
	return shortMonth(r.Low) + " – " + shortMonth(r.High)
}

// reachSentence says it in a sentence with word, number and range: "Probably reaches 3 mm by August 2027; 8 in 10 such
// parts do between May 2027 and March 2028."
func (s *server) reachSentence(c shop.CarVersion, o *outlook.Outlook, it *outlook.Item) string {
	does := "turns"
	if it.Limit != nil {
		does = "reaches " + s.shop.Display(c, it.LimitUnit, *it.Limit, it.Point)
	}
	r := &it.Reach
	switch {
	case it.Unsure != "":
		return it.Unsure
	case it.Past && it.Limit != nil:
		return "The limit of " + s.shop.Display(c, it.LimitUnit, *it.Limit, it.Point) + " is reached."
	case it.Past:
		return "It has turned."
	case r.OpenLow:
		return fmt.Sprintf("Hardly %s before %s: fewer than 1 in 10 would.", does, monthYear(o.Horizon))
	case r.OpenMid:
		return fmt.Sprintf("May not be there for years: 1 in 10 %s before %s, more than half not before %s.", does, monthYear(r.Low), monthYear(o.Horizon))
	case r.OpenHigh:
		return fmt.Sprintf("Probably %s about %s; 1 in 10 before %s, and 1 in 10 not before %s.", does, monthYear(r.Mid), monthYear(r.Low), monthYear(o.Horizon))
	}
	if monthYear(r.Low) == monthYear(r.High) {
		return fmt.Sprintf("Almost certainly %s in %s.", does, monthYear(r.Mid))
	}
	return fmt.Sprintf("Probably %s about %s; 8 in 10 do between %s and %s.", does, monthYear(r.Mid), monthYear(r.Low), monthYear(r.High))
}

// exposureWords writes an exposure in its law's unit, a distance the car's way.
func (s *server) exposureWords(c shop.CarVersion, unit string, x float64) string {
	if unit == "km" {
		return s.km(c, math.Round(x/100)*100)
	}
	if x >= 48 {
		return number(math.Round(x/12*2)/2) + "\u00a0years"
	}
	return number(math.Round(x)) + "\u00a0months"
}

// adviceShort says what to do with an interval in a few words.
func (s *server) adviceShort(c shop.CarVersion, it *outlook.Item) string {
	a := it.Advice
	if a == nil || a.Interval <= 0 {
		return ""
	}
	at := s.intervalWords(c, it.Law.Unit, a.Interval)
	if a.Usual <= 0 || math.Abs(a.Usual-a.Interval) < it.Law.Step {
		return "renew at " + at
	}
	return "renew at " + at + ", not " + s.intervalWords(c, it.Law.Unit, a.Usual)
}

// intervalWords writes an interval in figures that people use, for a car that counts miles too.
func (s *server) intervalWords(c shop.CarVersion, unit string, x float64) string {
	if unit == "km" && c.Units == "us" {
		const mile = 1.609344
		if miles := math.Round(x/mile/100) * 100; miles > 0 {
			return s.km(c, miles*mile)
		}
	}
	return s.exposureWords(c, unit, x)
}

// nextLookWords says when to look at an item again.
func (s *server) nextLookWords(c shop.CarVersion, n outlook.NextLook) string {
	switch {
	case n.Now:
		return "at the next opportunity"
	case n.Open || n.On.IsZero():
		return "at the usual round"
	}
	by := "by " + n.On.Format("2 January 2006")
	if n.Km > 0 {
		by += " or " + s.km(c, math.Round(n.Km/100)*100)
	}
	return by
}
