package outlook

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"witnessmark/core/round"
)

// begin is how a cycle began.
type begin struct {
	day, km float64 // km is negative when it can't be told
	// from is "renewed", "first registration", "first look" or "found renewed".
	from string
	// dated is true when the day is known: the age of what is in there is then known too. Otherwise the cycle counts from a look,
	// or from a registration that may be too early.
	dated bool
	// renewal is the place in Car.Renewed, -1 when nobody wrote one down.
	renewal int
	// beforeDay and beforeKm are the last look at the old part, for one that was found renewed: the new one is younger than that.
	beforeDay, beforeKm float64
	// original is true when it may be what the car was built with.
	original bool
}

// The words that a cycle's beginning is named with.
const (
	renewed      = "renewed"
	registration = "first registration"
	firstLook    = "first look"
	foundRenewed = "found renewed"
)

// cycle is one part or filling from its fitting to its renewal.
type cycle struct {
	begin
	sights []sight
	ended  bool
	end    float64 // day of renewal
}

// split divides a track's sights into cycles, the running one last; there is always one.
func (t *track) split(h *History, c *clock) {
	marks := t.renewals(h, c)
	marks = t.plausible(marks, h.Car.Renewed)
	t.cycles = []cycle{{begin: t.first(c)}}
	i := 0
	for _, m := range marks {
		last := &t.cycles[len(t.cycles)-1]
		for i < len(t.sights) && t.before(i, m) {
			last.sights = append(last.sights, t.sights[i])
			i++
		}
		last.ended, last.end = true, m.day
		t.cycles = append(t.cycles, cycle{begin: m})
	}
	last := &t.cycles[len(t.cycles)-1]
	last.sights = append(last.sights, t.sights[i:]...)
	t.unwritten(h)
	t.dropEmptyFirst()
	for i := range t.cycles {
		t.expose(&t.cycles[i], c)
	}
}

// before reports whether sight i was taken before a renewal. A round comes before the work that follows from it, so a look on
// the day of a renewal is of the old part, unless it was taken after the work or shows what only the new one can.
func (t *track) before(i int, m begin) bool {
	s := t.sights[i]
	switch {
	case s.day != m.day:
		return s.day < m.day
	case s.after:
		return false
	case i+1 < len(t.sights) && t.sights[i+1].after && t.sights[i+1].day == s.day:
		return true
	}
	if t.law.Wear != nil {
		return i == 0 && !t.likeNew(s.value) || i > 0 && t.gain(t.sights[i-1].value, s.value) < t.jump()
	}
	return s.turned || i == 0 || !t.sights[i-1].turned
}

// renewals lists what was written down for the place, in order of the day.
func (t *track) renewals(h *History, c *clock) []begin {
	if t.law.Item == "" {
		return nil
	}
	var out []begin
	for i, r := range h.Car.Renewed {
		if r.Item != t.law.Item || !r.Covers(t.at) || r.Date.IsZero() || dayOf(r.Date) > c.today {
			continue
		}
		m := begin{day: dayOf(r.Date), km: kmOf(r, c), from: renewed, dated: true, renewal: i}
		out = append(out, m)
	}
	slices.SortStableFunc(out, func(a, b begin) int { return cmp.Compare(a.day, b.day) })
	return slices.CompactFunc(out, func(a, b begin) bool { return a.day == b.day })
}

func kmOf(r round.Renewal, c *clock) float64 {
	day := dayOf(r.Date)
	km, ok := c.km(day)
	if r.OdometerKm >= 0 && r.OdometerKm <= 5e6 && (!ok || math.Abs(r.OdometerKm-km) < 50000) {
		return r.OdometerKm
	}
	if ok {
		return km
	}
	return -1
}

// first is the beginning of what was on the car before any renewal was written down.
func (t *track) first(c *clock) begin {
	if c.dated {
		return begin{day: c.registered, km: 0, from: registration, dated: t.law.Item == "", renewal: -1, original: true}
	}
	return t.fromLook(firstLook, 0)
}

// fromLook begins a cycle at sight i, which shows a part of unknown age.
func (t *track) fromLook(from string, i int) begin {
	if i >= len(t.sights) {
		return begin{day: math.NaN(), km: -1, from: from, renewal: -1}
	}
	return begin{day: t.sights[i].day, km: t.sights[i].km, from: from, renewal: -1}
}

// dropEmptyFirst leaves out what was on the car before the first renewal when nobody looked at it.
func (t *track) dropEmptyFirst() {
	if len(t.cycles) > 1 && len(t.cycles[0].sights) == 0 && t.cycles[0].renewal < 0 {
		t.cycles = t.cycles[1:]
	}
}

// expose counts the exposure of a cycle's sights; those that can't be counted drop out. Where two of one day are in one cycle, as the
// renewal between them did not touch the place, the one after the work counts.
func (t *track) expose(cy *cycle, c *clock) {
	kept := cy.sights[:0]
	for i, s := range cy.sights {
		if i+1 < len(cy.sights) && cy.sights[i+1].day == s.day {
			continue
		}
		x, ok := t.exposure(cy.begin, s.day, s.km)
		if ok && x >= 0 {
			s.x = x
			kept = append(kept, s)
		}
	}
	cy.sights = kept
}

// exposure is what the clock shows since a cycle began: km, or months.
func (t *track) exposure(b begin, day, km float64) (float64, bool) {
	if t.law.Unit == "km" {
		return km - b.km, km >= 0 && b.km >= 0
	}
	return (day - b.day) / daysPerMonth, !math.IsNaN(b.day)
}

// ask adds a question about the place.
func (t *track) ask(from, to float64, format string, args ...any) {
	t.questions = append(t.questions, Question{Point: t.p.ID, At: t.at, Item: t.law.Item, Text: fmt.Sprintf(format, args...), From: dateOf(from), To: dateOf(to)})
}
