package life

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Number writes an exposure with at most one decimal and its thousands apart: 11 500.
func Number(x float64) string {
	if math.Abs(x) >= 1e15 || math.IsNaN(x) {
		return strconv.FormatFloat(x, 'g', 3, 64)
	}
	places := 0
	if math.Abs(x) < 100 && x != math.Trunc(x) {
		places = 1
	}
	s := strconv.FormatFloat(x, 'f', places, 64)
	s = strings.TrimSuffix(s, ".0")
	whole, rest, _ := strings.Cut(s, ".")
	if rest != "" {
		rest = "." + rest
	}
	for i := len(whole) - 3; i > 0 && whole[i-1] != '-'; i -= 3 {
		whole = whole[:i] + " " + whole[i:]
	}
	return whole + rest
}

// times writes how often.
func times(n int) string {
	switch n {
	case 1:
		return "once"
	case 2:
		return "twice"
	}
	return fmt.Sprintf("%d times", n)
}

// tally is what observations say in words.
type tally struct {
	clear, turned       int
	longest, leastClear float64 // exposures at which it was seen good
	earliest            float64 // exposure by which it had turned
	unsure              int     // looks that may err
}

func count(obs []Observation) (t tally) {
	t.leastClear, t.earliest = math.Inf(1), math.Inf(1)
	for _, o := range obs {
		n := max(1, o.Count)
		switch o.Kind {
		case Clear:
			t.clear += n
			t.longest, t.leastClear = math.Max(t.longest, o.At), math.Min(t.leastClear, o.At)
		case Dark, Exact:
			t.turned += n
			t.earliest = math.Min(t.earliest, o.At)
		case Between:
			t.turned += n
			t.earliest = math.Min(t.earliest, o.Upper)
		case Steps:
			t.unsure += n
		}
	}
	return t
}

// words writes "turned once by 13 900, clear twice at 8 000".
func (t tally) words(say func(float64) string) string {
	var parts []string
	switch {
	case t.turned == 1:
		parts = append(parts, "turned once by "+say(t.earliest))
	case t.turned > 1:
		parts = append(parts, fmt.Sprintf("turned %s, first by %s", times(t.turned), say(t.earliest)))
	}
	switch {
	case t.clear == 0:
	case t.longest == t.leastClear:
		parts = append(parts, fmt.Sprintf("clear %s at %s", times(t.clear), say(t.longest)))
	default:
		parts = append(parts, fmt.Sprintf("clear %s, up to %s", times(t.clear), say(t.longest)))
	}
	switch {
	case t.unsure == 1:
		parts = append(parts, "one fill with looks that may err")
	case t.unsure > 1:
		parts = append(parts, fmt.Sprintf("%d fills with looks that may err", t.unsure))
	}
	if len(parts) == 0 {
		return "nothing seen on this car yet, so from others of its kind"
	}
	return strings.Join(parts, ", ")
}
