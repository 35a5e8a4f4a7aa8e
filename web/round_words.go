package web

import (
	"math"
	"strings"

	"witnessmark/core/point"
	"witnessmark/shop"
)

// stationWords names a station for a person.
func stationWords(s point.Station) string {
	switch s {
	case "paperwork":
		return "Papers"
	case "cabin":
		return "In the cabin"
	case "engine-cold":
		return "Engine, cold"
	case "engine-running":
		return "Engine, running"
	case "on-the-ground":
		return "On the ground"
	case "on-the-lift":
		return "On the lift"
	case "wheels-off":
		return "Wheels off"
	case "road":
		return "On the road"
	}
	return capital(strings.ReplaceAll(string(s), "-", " "))
}

// depthWords names how much of the car a round looks at.
func depthWords(depth string) string {
	switch point.Depth(depth) {
	case point.Full:
		return "Full round"
	case point.Quick:
		return "Quick look under the bonnet"
	case point.Driveway:
		return "Driveway round"
	case point.Baseline:
		return "Read after work"
	}
	return capital(depth)
}

// reasonsFor lists the usual reasons why a point of a station is not looked at.
func reasonsFor(s point.Station) []string {
	common := []string{"no time today", "owner does not want it"}
	switch s {
	case "paperwork":
		return append([]string{"papers not in the car"}, common...)
	case "cabin":
		return append([]string{"can't see it", "no tool for it here"}, common...)
	case "engine-cold":
		return append([]string{"can't see it", "cover not taken off", "engine was warm", "no tool for it here"}, common...)
	case "engine-running":
		return append([]string{"engine not started", "no tool for it here"}, common...)
	case "on-the-lift":
		return append([]string{"can't see it", "car was not lifted", "undertray not taken off"}, common...)
	case "wheels-off":
		return append([]string{"can't see it", "wheels stayed on", "no tool for it here"}, common...)
	case "road":
		return append([]string{"car was not driven", "no tester here"}, common...)
	}
	return append([]string{"can't see it", "too dirty to see", "no tool for it here"}, common...)
}

// lastSentence says what was found the last time and how far ago; empty when there was none.
func (s *server) lastSentence(v *shop.RoundView, step shop.StepView) string {
	var newest shop.LastReading
	said := ""
	for _, at := range step.Slots {
		l, ok := step.Last[at]
		if !ok || l.On < newest.On {
			continue
		}
		newest, said = l, at
	}
	if newest.On == "" {
		return ""
	}
	ago := s.ago(v, newest)
	if len(step.Slots) > 1 {
		return "Last time: " + ago + "."
	}
	return "Last time: " + lowerFirst(s.shop.Describe(v.Car, step.Point, step.Last[said].Reading)) + ", " + ago + "."
}

// ago says how far back a reading lies: a distance where both are known, else the day.
func (s *server) ago(v *shop.RoundView, l shop.LastReading) string {
	if d := v.Round.Km - l.Km; v.Round.Km >= 0 && l.Km >= 0 && d >= 1 {
		hundred := 100.0
		if v.Car.Units == "us" {
			hundred = 160.9344
		}
		if d >= 1000 {
			d = math.Round(d/hundred) * hundred
		}
		return s.km(v.Car, d) + " ago"
	}
	return "on " + day(l.On)
}

// savedText names what was stored, short enough for one line.
func (s *server) savedText(v *shop.RoundView, step shop.StepView, ats []string) string {
	if len(ats) == 1 {
		what := step.Point.Name
		if w := step.Point.Where(ats[0], v.Facets); w != "" {
			what += ", " + w
		}
		return what + ": " + s.shop.Describe(v.Car, step.Point, step.Current[ats[0]])
	}
	words := make([]string, len(ats))
	same := true
	for i, at := range ats {
		words[i] = s.shop.Describe(v.Car, step.Point, step.Current[at])
		same = same && words[i] == words[0]
	}
	if same {
		return step.Point.Name + ", " + allOf(len(ats)) + ": " + words[0]
	}
	for i, at := range ats {
		words[i] = step.Point.Where(at, v.Facets) + " " + lowerFirst(words[i])
	}
	if all := step.Point.Name + ": " + strings.Join(words, " · "); len(all) <= 110 {
		return all
	}
	return step.Point.Name + ": " + countWord(len(ats)) + " places"
}

// countOf writes a number with its word: "one look", "3 looks".
func countOf(n int, word string) string {
	if n == 1 {
		return "one " + word
	}
	return number(float64(n)) + " " + word + "s"
}

// allOf says that a thing holds for all places: "both", "all four".
func allOf(n int) string {
	if n == 2 {
		return "both"
	}
	return "all " + countWord(n)
}

// countWord writes small numbers as words.
func countWord(n int) string {
	words := [...]string{"none", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"}
	if n < len(words) {
		return words[n]
	}
	return number(float64(n))
}

// firstSentence cuts a text after its first sentence. A short text stays whole.
func firstSentence(s string) string {
	s = strings.TrimSpace(s)
	if len(s) <= 90 {
		return s
	}
	if i := strings.Index(s, ". "); i > 0 {
		return s[:i+1]
	}
	return s
}
