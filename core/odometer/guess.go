package odometer

import (
	"math"
	"strconv"

	"witnessmark/core/unit"
)

// guess is one explanation of an odd entry and the corrections it leads to.
type guess struct {
	kind    Kind
	correct func(km float64) []correction
}

// correction is what may have been meant; a lower class is the commoner slip.
type correction struct {
	km    float64
	class int
}

// guess gives the first explanation with a correction that fits between the
// neighbours, and of its corrections the commonest, then the one nearest to what
// the car should have run. Corrections close to the car's rate are looked for
// first, over all explanations. Without any it gives otherwise and 0.
func (c situation) guess(otherwise Kind, list []guess) (Kind, float64) {
	for _, times := range []float64{closeTimes, farTimes} {
		for _, g := range list {
			if best, found := c.best(c.corrections(g), times); found {
				return g.kind, best.km
			}
		}
	}
	return otherwise, 0
}

// corrections are what an explanation leads to. Digits slip in what the meter shows.
func (c situation) corrections(g guess) []correction {
	if c.sys == unit.Metric {
		return g.correct(c.next.KM)
	}
	all := g.correct(math.Round(c.next.KM/c.km()*1000) / 1000) // without what the conversion added
	for i := range all {
		all[i].km *= c.km()
	}
	return all
}

// best picks among corrections that the car may have run at so many times its rate.
func (c situation) best(all []correction, times float64) (best correction, found bool) {
	for _, k := range all {
		if !c.fits(k.km, times) {
			continue
		}
		if !found || k.class < best.class || k.class == best.class && c.off(k.km) < c.off(best.km) {
			best, found = k, true
		}
	}
	return best, found
}

func (c situation) rate() float64 {
	if c.perDay > 0 {
		return c.perDay
	}
	return usualPerDay
}

// fits says whether km lies between the neighbours and is reached at no more than
// so many times the car's rate, give or take one long day, and would not be asked about itself.
func (c situation) fits(km, times float64) bool {
	likely := Reading{c.next.On, km}
	if c.expected != nil && km > c.expected.most ||
		c.before != nil && c.tooFast(*c.before, likely) || c.after != nil && c.tooFast(likely, *c.after) {
		return false
	}
	if c.before != nil {
		most := times*c.rate()*between(*c.before, c.next) + slackKM
		if km < c.before.KM || km > c.before.KM+most {
			return false
		}
	}
	if c.after != nil {
		most := times*c.rate()*between(c.next, *c.after) + slackKM
		if km > c.after.KM || km < c.after.KM-most {
			return false
		}
	}
	return true
}

// off gives the distance from what the nearest earlier, else later, reading and
// the rate lead one to expect.
func (c situation) off(km float64) float64 {
	if c.before != nil {
		return math.Abs(km - c.before.KM - c.rate()*between(*c.before, c.next))
	}
	if c.after != nil {
		return math.Abs(c.after.KM - c.rate()*between(c.next, *c.after) - km)
	}
	return 0
}

// figures gives the whole km as digits.
func figures(km float64) string { return strconv.FormatFloat(math.Floor(km), 'f', 0, 64) }

func value(digits string) float64 {
	v, err := strconv.ParseFloat(digits, 64)
	if err != nil { // cannot be: digits only
		return math.NaN()
	}
	return v
}

// withDigit puts one digit more anywhere. The last of two equal digits is lost
// most often (18 240 for 182 400), then one of two inside, then the last.
func withDigit(km float64) []correction {
	s := figures(km)
	var out []correction
	for i := 0; i <= len(s); i++ {
		for d := byte('0'); d <= '9'; d++ {
			t := s[:i] + string(rune(d)) + s[i:]
			double := i > 0 && s[i-1] == d
			out = append(out, correction{value(t), class(double, i == len(s))})
		}
	}
	return out
}

// withoutDigit takes one digit out, in the same order of likelihood.
func withoutDigit(km float64) []correction {
	s := figures(km)
	if len(s) < 2 {
		return nil
	}
	var out []correction
	for i := range len(s) {
		double := i > 0 && s[i-1] == s[i]
		out = append(out, correction{value(s[:i] + s[i+1:]), class(double, i == len(s)-1)})
	}
	return out
}

func class(double, last bool) int {
	switch {
	case double && last:
		return 0
	case double:
		return 1
	case last:
		return 2
	}
	return 3
}

func milesToKM(km float64) []correction { return []correction{{math.Round(km * kmPerMile), 0}} }

func kmToMiles(km float64) []correction { return []correction{{math.Round(km / kmPerMile), 0}} }

// otherDigit exchanges two neighbours, else changes one digit.
func otherDigit(km float64) []correction {
	s := figures(km)
	var out []correction
	for i := range len(s) {
		if i > 0 && s[i] != s[i-1] {
			b := []byte(s)
			b[i], b[i-1] = b[i-1], b[i]
			out = append(out, correction{value(string(b)), 0})
		}
		for d := byte('0'); d <= '9'; d++ {
			if d != s[i] {
				out = append(out, correction{value(s[:i] + string(rune(d)) + s[i+1:]), 1})
			}
		}
	}
	return out
}
