package outlook

import (
	"math"
	"slices"

	"witnessmark/core/point"
	"witnessmark/core/round"
)

// What nobody wrote down shows in the readings: a measured part that is clearly thicker than before was renewed, one that is
// not thicker after a renewal was not the one that was renewed, and a filling that had turned and is clear again was changed.

// falling is a value as something that falls: what rises towards its limit is turned over.
func (t *track) falling(v float64) float64 {
	if t.law.Wear != nil && t.law.Wear.Rises {
		return -v
	}
	return v
}

// gain is how much thicker the part has become from one value to the next.
func (t *track) gain(before, after float64) float64 { return t.falling(after) - t.falling(before) }

// jump is the gain that no gauge explains: five times the error of a difference of two readings, and a seventh of what the part
// has to lose (at most twenty times the noise), because another reader measures at another place (the project's own figures).
func (t *track) jump() float64 {
	w := t.law.Wear
	step := t.step()
	return math.Max(5*math.Sqrt(2*(w.Noise*w.Noise+step*step/12)), math.Min(0.15*span(w), 20*w.Noise))
}

// step is what the gauge is read to.
func (t *track) step() float64 {
	if s := t.law.Wear.Step; s > 0 {
		return s
	}
	if t.law.Wear.Value == derivedValue {
		return 0
	}
	if v := t.followed(); v != nil {
		return v.Step
	}
	return 0
}

// derivedValue names the value that the point derives from its reading.
const derivedValue = "derived"

func (t *track) followed() *point.Value {
	if t.law.Wear.Value == "" || t.law.Wear.Value == derivedValue {
		if len(t.p.Values) == 0 {
			return nil
		}
		return &t.p.Values[0]
	}
	return t.p.ValueByName(t.law.Wear.Value)
}

// likeNew reports whether a value is that of a new part.
func (t *track) likeNew(v float64) bool {
	w := t.law.Wear
	return w.New != 0 && t.gain(w.New, v) > -math.Max(2*w.NewSD, t.jump()/2)
}

// plausible leaves out renewals that did not touch this place: the reading after is clearly better explained by the old part worn on
// than by a new one worn since. One written down without its place is often of the other axle; one of this very place is asked about.
func (t *track) plausible(marks []begin, renewals []round.Renewal) []begin {
	if t.law.Wear == nil || t.law.Wear.New == 0 {
		return marks
	}
	return slices.DeleteFunc(marks, func(m begin) bool {
		var before, after *sight
		for i := range t.sights {
			if s := &t.sights[i]; t.before(i, m) {
				before = s
			} else if after == nil {
				after = s
			}
		}
		if before == nil || after == nil {
			return false
		}
		since, ok := t.exposure(m, after.day, after.km)
		between, ok2 := t.exposure(begin{day: before.day, km: before.km}, after.day, after.km)
		if !ok || !ok2 || since < 0 || between < 0 ||
			t.oddness(t.law.Wear.New, after.value, since, t.law.Wear.NewSD) < t.oddness(before.value, after.value, between, t.law.Wear.Noise)+clearly {
			return false
		}
		if renewals[m.renewal].At != "" {
			if t.law.Wear.NewSD > 0.3*span(t.law.Wear) {
				return false // what a new one measures is not known well enough to contradict the book
			}
			t.ask(before.day, after.day, "%s: a renewal is written down, but %s after %s looks like the same part. Was it renewed here?", t.place(), number(after.value), number(before.value))
		}
		return true
	})
}

// clearly is how much less odd, as a difference of logarithms, one account of a reading must be to be taken for the other.
const clearly = 2

// oddness is minus the logarithm of how probable a value is after so much wear from another, by the law's own rate.
func (t *track) oddness(from, to, exposure, sd float64) float64 {
	w := t.law.Wear
	worn := perUnit(t.law) * exposure
	step := t.step()
	s := math.Sqrt(sd*sd + w.Noise*w.Noise + step*step/12 + math.Pow(spread(w.Spread)*worn, 2))
	z := (t.gain(to, from) - worn) / math.Max(s, 1e-9)
	return z*z/2 + math.Log(math.Max(s, 1e-9))
}

// unwritten divides cycles where the readings say that something was renewed, and asks.
func (t *track) unwritten(h *History) {
	var out []cycle
	for _, cy := range t.cycles {
		if t.law.Wear != nil {
			out = append(out, t.thicker(cy)...)
		} else {
			out = append(out, t.clearAgain(cy)...)
		}
	}
	t.cycles = out
}

// thicker divides a cycle at readings that are clearly thicker than the ones before. A single reading that stands out on the
// high side, with the next one back where the part was, is a slip and drops out.
func (t *track) thicker(cy cycle) []cycle {
	jump := t.jump()
	s := cy.sights
	for i := 1; i < len(s); i++ {
		if t.gain(s[i-1].value, s[i].value) < jump {
			continue
		}
		if i+1 < len(s) && t.gain(s[i-1].value, s[i+1].value) < jump/2 {
			t.ask(s[i].day, s[i].day, "%s: %s was read between %s and %s. Was it a slip?", t.place(), number(s[i].value), number(s[i-1].value), number(s[i+1].value))
			cy.sights = slices.Delete(slices.Clone(s), i, i+1)
			return t.thicker(cy)
		}
		t.ask(s[i-1].day, s[i].day, "%s: from %s to %s. When was it renewed?", t.place(), number(s[i-1].value), number(s[i].value))
		head := cycle{begin: cy.begin, sights: s[:i:i], ended: true, end: s[i].day}
		tail := cycle{begin: found(s[i-1], s[i]), sights: s[i:], ended: cy.ended, end: cy.end}
		return append([]cycle{head}, t.thicker(tail)...)
	}
	return []cycle{cy}
}

// found is the beginning of a part that sight b shows for the first time.
func found(a, b sight) begin {
	return begin{day: b.day, km: b.km, from: foundRenewed, renewal: -1, beforeDay: a.day, beforeKm: a.km}
}

// clearAgain divides a cycle where a condition had turned and is good again, when a change that nobody wrote down explains the
// looks better than an error of theirs.
func (t *track) clearAgain(cy cycle) []cycle {
	if t.law.Item == "" {
		return []cycle{cy}
	}
	s := cy.sights
	for i := 1; i < len(s); i++ {
		if !s[i-1].turned || s[i].turned {
			continue
		}
		if !t.changed(cy, i) {
			t.ask(s[i-1].day, s[i].day, "%s: turned, then good again without a renewal written down. Was it renewed in between, or was one of the looks wrong?", t.place())
			continue
		}
		t.ask(s[i-1].day, s[i].day, "%s: turned, then good again. When was it renewed?", t.place())
		head := cycle{begin: cy.begin, sights: s[:i:i], ended: true, end: s[i].day}
		tail := cycle{begin: found(s[i-1], s[i]), sights: s[i:], ended: cy.ended, end: cy.end}
		return append([]cycle{head}, t.clearAgain(tail)...)
	}
	return []cycle{cy}
}

// unwrittenShare is how often a thing that had turned is renewed without a word to the workshop. It is set low (practice): while
// one wrong look explains what was seen, the old part is taken to be still in, which errs on the early side; the question is asked.
const unwrittenShare = 0.02

// changed weighs a change before sight i against errors of the looks: those before it that said turned, or all that follow.
func (t *track) changed(cy cycle, i int) bool {
	l := t.law.Life
	sens, spec := reliability(l)
	dark, light := 0, 0
	for _, s := range cy.sights[:i] {
		if s.turned {
			dark++
		}
	}
	for _, s := range cy.sights[i:] {
		if s.turned {
			break
		}
		light++
	}
	errs := math.Max(math.Pow(1-spec, float64(dark)), math.Pow(1-sens, float64(light)))
	return errs < unwrittenShare*math.Pow(sens, float64(dark))
}
