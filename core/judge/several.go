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
// is put right with the pads; with linings that are all nearly new the fluid has gone elsewhere: a leak until shown
// otherwise (practice).
func (j *judging) lowBrakeFluid(f *Finding, rule point.Rule) {
	s := stateOf(f)
	if s == nil || s.ID != "low" && s.ID != "below-min" {
		return
	}
	thinnest, thickest, n := j.linings()
	seen := strings.TrimSuffix(s.Why, ".")
	switch {
	case n == 0:
		f.Why = seen + "; the linings were not measured, so wear or a leak may be the reason: measure them before topping up."
	case thinnest <= rule.Worn:
		f.Why = fmt.Sprintf("%s, as expected with linings worn to %s mm; it comes up again with new pads.", seen, num(thinnest))
		if s.ID == "low" {
			f.Verdict, f.Jobs = verdict.Watch, nil
		}
	case thinnest >= rule.Fresh:
		f.Why = fmt.Sprintf("%s although the linings are nearly new (%s to %s mm): a leak until shown otherwise.", seen, num(thinnest), num(thickest))
		f.Verdict = verdict.Overdue
		if s.ID == "below-min" {
			f.Verdict = verdict.Unsafe
		}
	default:
		f.Why = fmt.Sprintf("%s; linings of %s mm explain a part of it at most, so look for a leak.", seen, num(thinnest))
	}
}

// linings gives the thinnest and thickest lining that was measured, in mm.
func (j *judging) linings() (thinnest, thickest float64, n int) {
	thinnest, thickest = math.Inf(1), math.Inf(-1)
	for _, id := range []string{"pad-thickness", "shoe-lining"} {
		for _, r := range j.by[id] {
			mm, ok := r.Value("mm")
			if !ok {
				continue
			}
			n++
			if id == "shoe-lining" {
				// A shoe starts at about half of a pad's thickness, so it counts only as worn, never as fresh.
				mm = math.Min(mm*2, thickestShoe)
			}
			thinnest, thickest = math.Min(thinnest, mm), math.Max(thickest, mm)
		}
	}
	return thinnest, thickest, n
}

// thickestShoe keeps a new shoe from hiding or faking a new pad.
const thickestShoe = 10

// unreadableWhenLow withdraws the judgement of a fluid's look when its level is too far down to see it. A finding that
// is unsafe in any case stands.
func (j *judging) unreadableWhenLow(f *Finding, rule point.Rule) {
	level := covering(j.by[rule.LevelPoint], "")
	if level == nil || f.Verdict == verdict.Unsafe {
		return
	}
	lf := Finding{Point: j.cat.Point(rule.LevelPoint), Reading: level}
	if s := stateOf(&lf); s == nil || s.ID != rule.State {
		return
	}
	said := "the look"
	if s := stateOf(f); s != nil {
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
	s := stateOf(f)
	if s == nil || !contains(rule.States, s.ID) {
		return
	}
	text := "the interval that it ran was too long"
	if last, ok := j.car.LastRenewal(rule.Item, j.taken.On); ok {
		ran := fmt.Sprintf("%.0f months", math.Floor(Months(last.Date, j.taken.On)))
		if km := j.distance(last.OdometerKm); km > 0 {
			ran = fmt.Sprintf("%.0f km and %s", km, ran)
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
	why := fmt.Sprintf("%s %s and %s %s differ by %s, more than %s: %s.", upperFirst(point.Where(a)), amount(x, unit), point.Where(b),
		amount(y, unit), amount(math.Abs(x-y), unit), amount(q.Beyond, unit), lowerFirst(strings.TrimSuffix(q.Why, ".")))
	src := j.cat.Cite(q.Source)
	return Finding{Point: p, At: at, Verdict: q.Verdict, Why: why, Jobs: q.Jobs, Source: src,
		Limit: &LimitShown{Value: q.Beyond, Unit: unit, Source: src, Got: tidy(math.Abs(x - y))}}
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
