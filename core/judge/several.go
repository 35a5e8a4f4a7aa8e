package judge

import (
	"fmt"
	"math"
	"strings"

	"witnessmark/core/point"
	"witnessmark/core/round"
	"witnessmark/core/verdict"
)

// severalReadings applies the rules that need more than the reading itself.
func (j *judging) severalReadings(f *Finding) {
	for _, rule := range f.Point.Rules {
		switch rule.Name {
		case "low-brake-fluid":
			j.lowBrakeFluid(f, rule)
		case "unreadable-when-low":
			j.unreadableWhenLow(f, rule)
		case "interval-too-long":
			j.intervalTooLong(f, rule)
		}
	}
}

// lowBrakeFluid explains a low level by the linings. Worn linings take fluid from the reservoir, so low is expected and
// is put right with the pads; with pads that are all nearly new the fluid has gone elsewhere: a leak until shown
// otherwise. A shoe starts at about half of a pad's thickness, and its wear moves little fluid, so shoes count as worn
// at half the pads' figure and never prove a leak (practice).
func (j *judging) lowBrakeFluid(f *Finding, rule point.Rule) {
	s := f.Reading.StateOf(f.Point)
	if s == nil || s.ID != "low" && s.ID != "below-min" {
		return
	}
	pads, shoes := j.thickness("pad-thickness"), j.thickness("shoe-lining")
	seen := strings.TrimSuffix(s.Why, ".")
	switch {
	case pads.n == 0 && shoes.n == 0:
		f.Why = seen + "; the linings were not measured, so wear or a leak may be the reason: measure them before topping up."
	case pads.n > 0 && pads.least <= rule.Worn:
		j.expectedLow(f, s, pads.least)
	case shoes.n > 0 && shoes.least <= rule.Worn/2:
		j.expectedLow(f, s, shoes.least)
	case pads.n > 0 && pads.least >= rule.Fresh && (shoes.n == 0 || shoes.least >= rule.Fresh/2):
		f.Why = fmt.Sprintf("%s although the pads that were measured are nearly new (%s): a leak until shown otherwise.", seen, pads.words(f))
		f.Verdict = verdict.Overdue
		if s.ID == "below-min" {
			f.Verdict = verdict.Unsafe
		}
	case pads.n == 0 && j.hasPads():
		f.Why = fmt.Sprintf("%s; shoes of %s explain little of it, and the pads were not measured: measure them before topping up.", seen, f.amount(shoes.least, "mm"))
	default:
		least := shoes.least
		if pads.n > 0 {
			least = pads.least
		}
		f.Why = fmt.Sprintf("%s; linings of %s explain a part of it at most, so look for a leak.", seen, f.amount(least, "mm"))
		if len(f.Jobs) == 0 {
			f.Jobs = f.Point.Jobs
		}
	}
}

// expectedLow says that worn linings explain the level. Below the lower mark the verdict stands: air may be drawn in.
func (j *judging) expectedLow(f *Finding, s *point.StateOf, least float64) {
	f.Why = fmt.Sprintf("%s, as expected with linings worn to %s; it comes up again with new ones.", strings.TrimSuffix(s.Why, "."), f.amount(least, "mm"))
	if s.ID == "low" {
		f.Verdict, f.Jobs = verdict.Watch, nil
	}
}

// thicknesses is the range of what was measured at one point.
type thicknesses struct {
	least, most float64
	n           int
}

// words writes the range.
func (t thicknesses) words(f *Finding) string {
	if t.least == t.most {
		return f.amount(t.least, "mm")
	}
	return f.amount(t.least, "mm") + " to " + f.amount(t.most, "mm")
}

func (j *judging) thickness(id string) thicknesses {
	t := thicknesses{least: math.Inf(1), most: math.Inf(-1)}
	for _, r := range j.by[id] {
		if mm, ok := r.Value("mm"); ok {
			t.least, t.most, t.n = math.Min(t.least, mm), math.Max(t.most, mm), t.n+1
		}
	}
	return t
}

func (j *judging) hasPads() bool {
	p := j.cat.Point("pad-thickness")
	return p != nil && len(p.Positions.Slots(j.car.Facets)) > 0
}

// unreadableWhenLow withdraws the judgement of a fluid's look when its level is too far down to see it. A finding that
// is unsafe in any case stands.
func (j *judging) unreadableWhenLow(f *Finding, rule point.Rule) {
	level := covering(j.by[rule.LevelPoint], "")
	if level == nil || f.Verdict == verdict.Unsafe {
		return
	}
	lf := Finding{Point: j.cat.Point(rule.LevelPoint), Reading: level}
	if s := lf.Reading.StateOf(lf.Point); s == nil || s.ID != rule.State {
		return
	}
	said := "the look"
	if s := f.Reading.StateOf(f.Point); s != nil {
		said = "\"" + lowerFirst(s.Say) + "\""
	}
	f.Why = fmt.Sprintf("The level is too far down to read the fluid, so %s is not judged.", said)
	f.Verdict, f.Jobs, f.Category, f.Regulation, f.Limit = verdict.Unjudged, nil, "", "", nil
	f.Recheck = f.Point.Recheck
	if f.Recheck == "" {
		f.Recheck = "Look again after filling to the band and a warm run."
	}
}

// intervalTooLong says what a spent fluid tells of the interval that it ran.
func (j *judging) intervalTooLong(f *Finding, rule point.Rule) {
	s := f.Reading.StateOf(f.Point)
	if s == nil || !contains(rule.States, s.ID) {
		return
	}
	text := "the interval that it ran was too long"
	if last, ok := j.car.LastRenewalAt(rule.Item, f.At, j.taken.On); ok {
		ran := fmt.Sprintf("%.0f months", math.Floor(Months(last.Date, j.taken.On)))
		if km := j.distance(last.OdometerKm); km > 0 {
			ran = f.amount(km, "km") + " and " + ran
		}
		text += " (" + ran + ")"
	}
	if strings.Contains(f.Why, "interval") && strings.Contains(f.Why, "too long") {
		if i := strings.Index(text, " ("); i >= 0 {
			f.Why = strings.TrimSuffix(f.Why, ".") + text[i:] + "."
		}
		return
	}
	f.Why = strings.TrimSuffix(f.Why, ".") + "; " + text + "."
}

// pairs finds differences between left and right of an axle, and between the places of one corner.
func (j *judging) pairs(p *point.Point) []Finding {
	var out []Finding
	for _, q := range p.Pairs {
		groups := [][2]string{{"FL", "FR"}, {"RL", "RR"}}
		for i, g := range groups {
			if q.Between == "left-right" {
				if f, ok := j.leftRight(p, q, g, point.Axles[i]); ok {
					out = append(out, f)
				}
				continue
			}
			for _, corner := range g {
				if f, ok := j.innerOuter(p, q, corner); ok {
					out = append(out, f)
				}
			}
		}
	}
	return out
}

func (j *judging) leftRight(p *point.Point, q point.Pair, g [2]string, axle string) (Finding, bool) {
	places := p.Positions.Places
	if len(places) == 0 {
		places = []string{""}
	}
	var best float64
	var l, r string
	for _, pl := range append([]string{""}, places...) {
		a, b := join(g[0], pl), join(g[1], pl)
		if d := j.difference(p, a, b); d > best {
			best, l, r = d, a, b
		}
	}
	if tidy(best) <= q.Beyond {
		return Finding{}, false
	}
	return j.pairFinding(p, q, axle, l, r), true
}

func (j *judging) innerOuter(p *point.Point, q point.Pair, corner string) (Finding, bool) {
	a, b := join(corner, "inner"), join(corner, "outer")
	if tidy(j.difference(p, a, b)) <= q.Beyond {
		return Finding{}, false
	}
	return j.pairFinding(p, q, corner, a, b), true
}

func (j *judging) pairFinding(p *point.Point, q point.Pair, at, a, b string) Finding {
	name := p.Values[0].Name
	x, _ := j.by[p.ID][a].Value(name)
	y, _ := j.by[p.ID][b].Value(name)
	unit := unitOf(name)
	src := j.cat.Cite(q.Source)
	f := Finding{Point: p, At: at, Verdict: q.Verdict, Jobs: q.Jobs, Source: src, units: j.car.Units,
		Limit: &LimitShown{Value: q.Beyond, Unit: unit, Source: src, Got: tidy(math.Abs(x - y))}}
	f.Why = fmt.Sprintf("%s %s and %s %s differ by %s, more than %s: %s.", upperFirst(point.Where(a)), f.amount(x, unit), point.Where(b),
		f.amount(y, unit), f.amount(math.Abs(x-y), unit), f.amount(q.Beyond, unit), lowerFirst(strings.TrimSuffix(q.Why, ".")))
	return f
}

// difference gives |a-b| of the point's first value, 0 when either is missing.
func (j *judging) difference(p *point.Point, a, b string) float64 {
	x, ok1 := value(j.by[p.ID][a], p.Values[0].Name)
	y, ok2 := value(j.by[p.ID][b], p.Values[0].Name)
	if !ok1 || !ok2 {
		return 0
	}
	return math.Abs(x - y)
}

func value(r *round.Reading, name string) (float64, bool) {
	if r == nil {
		return 0, false
	}
	return r.Value(name)
}

func join(base, place string) string {
	if place == "" {
		return base
	}
	return base + "/" + place
}
