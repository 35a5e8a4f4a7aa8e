package web

import (
	"fmt"
	"html/template"
	"math"

	"witnessmark/core/geometry"
	"witnessmark/core/sums"
	"witnessmark/core/tyre"
)

// drawTread shows the depth between nought and new, with the legal limit and the season's mark.
func drawTread(a sketchOf, r sums.Result) template.HTML {
	limit, mark := tyre.LegalMM, tyre.SummerMM
	if a.text["market"] == "us" {
		limit = tyre.LegalUSMM
	}
	if a.text["season"] == "winter" {
		mark = tyre.WinterMM
	}
	depth, fresh := a.num["depth"], a.num["new"]
	ticks := []gaugeTick{{limit, "limit " + short(limit)}, {mark, "watched below " + short(mark)}}
	if fresh > 0 {
		ticks = append(ticks, gaugeTick{fresh, "new " + short(fresh)})
	}
	return against(0, math.Max(9, math.Max(depth, fresh)), depth, short(depth)+" mm deep", ticks...)
}

// drawSizes shows half of each tyre on the same ground, so that the step at the top is the difference.
func drawSizes(a sketchOf, r sums.Result) template.HTML {
	own, err1 := tyre.ParseSize(a.text["own"])
	other, err2 := tyre.ParseSize(a.text["other"])
	if err1 != nil || err2 != nil {
		return ""
	}
	scale := 150 / math.Max(own.DiameterMM(), other.DiameterMM())
	const x, ground = sketchWidth / 2, 172.0
	var s sketch
	for i, t := range []tyre.Size{own, other} {
		big, rim := scale*t.DiameterMM()/2, scale*25.4*t.RimInch/2
		y, sweep, fill, dash := ground-big, 0, blue1, ""
		if i == 1 {
			sweep, fill, dash = 1, paper, "5 3"
		}
		half := func(r float64) string {
			return fmt.Sprintf("M%.1f %.1fA%.2f %.2f 0 0 %d %.1f %.1fZ", x, y-r, r, r, sweep, x, y+r)
		}
		s.path(half(big), fill, ink, 1.6, dash)
		s.path(half(rim), paper, ink, 1.2, dash)
		side, where := x-big-8, "end"
		if i == 1 {
			side, where = x+big+8, "start"
		}
		s.words(side, 20, where, map[int]string{0: "own", 1: "other"}[i])
		s.words(side, 38, where, fmt.Sprintf("%.0f mm", t.DiameterMM()))
	}
	s.line(20, ground, sketchWidth-20, ground, 2, ink)
	diff := short(one(r, "difference_percent"))
	s.words(x, 192, "middle", "difference "+diff+" %")
	return s.done(198, fmt.Sprintf("Own tyre %.0f mm and other tyre %.0f mm across, difference %s percent", own.DiameterMM(), other.DiameterMM(), diff))
}

// wheel draws a wheel seen from above, turned by an angle in degrees, clockwise above 0.
func (s *sketch) wheel(x, y, turn float64, fill string) {
	fmt.Fprintf(&s.b, `<g transform="translate(%.1f %.1f) rotate(%.1f)"><rect x="-9" y="-28" width="18" height="56" fill="%s" stroke="%s" stroke-width="1.6"/><line y1="-36" y2="36" stroke="%s" stroke-width="1" stroke-dasharray="3 3"/></g>`, x, y, turn, fill, ink, ink)
}

// lean exaggerates a small angle in degrees so that it can be seen, and bounds it.
func lean(degrees float64) float64 {
	if degrees == 0 {
		return 0
	}
	return math.Copysign(3+math.Min(11, 12*math.Abs(degrees)), degrees)
}

// drawToe shows the axle from above, the front at the top; the lean is drawn larger than it is.
func drawToe(a sketchOf, r sums.Result) template.HTML {
	degrees, known := r.Value("degrees").(float64)
	mm := a.num["mm"]
	if !known {
		degrees, mm = a.num["angle"], one(r, "mm")
	}
	var s sketch
	s.line(60, 80, 280, 80, 3, rule)
	s.wheel(60, 80, lean(degrees), blue1)
	s.wheel(280, 80, -lean(degrees), blue1)
	s.words(170, 22, "middle", "↑ forwards")
	word := "parallel"
	switch {
	case degrees > 0:
		word = "toe-in: closer in front"
	case degrees < 0:
		word = "toe-out: wider in front"
	}
	s.words(170, 66, "middle", word)
	text := short(mm) + " mm at " + short(a.num["diameter"]) + " mm"
	s.words(170, 102, "middle", text)
	s.classed(170, 142, "middle", "soft", "seen from above, leaning more than it does")
	return s.done(150, word+", "+text)
}

// drawAngles shows the four wheels from above when their toe was given; the lean is drawn larger than it is.
func drawAngles(a sketchOf, r sums.Result) template.HTML {
	w := a.list["toe"]
	if len(w) != 4 {
		return ""
	}
	var s sketch
	s.line(110, 60, 230, 60, 3, rule)
	s.line(110, 190, 230, 190, 3, rule)
	s.line(170, 60, 170, 190, 1, rule)
	thrust := lean(one(r, "thrust_minutes") / 60)
	tip := math.Tan(thrust * math.Pi / 180)
	s.path(fmt.Sprintf("M170 190L%.1f 90", 170+100*tip), "none", blue3, 2.4, "6 4")
	for i, at := range []struct {
		x, y, side float64
		name       string
	}{{110, 60, 1, "FL"}, {230, 60, -1, "FR"}, {110, 190, 1, "RL"}, {230, 190, -1, "RR"}} {
		s.wheel(at.x, at.y, at.side*lean(w[i]), blue1)
		where := map[float64]string{1: "end", -1: "start"}[at.side]
		s.words(at.x-26*at.side, at.y-4, where, at.name)
		s.words(at.x-26*at.side, at.y+14, where, short(w[i]*60)+"′")
	}
	s.words(170, 16, "middle", "↑ forwards")
	s.classed(170, 246, "middle", "soft", "dashed: thrust; leaning more than they do")
	return s.done(254, fmt.Sprintf("Four wheels from above; thrust angle %s minutes", short(one(r, "thrust_minutes"))))
}

// drawPlay shows the steering wheel with the free way on its rim and the most that may be.
func drawPlay(a sketchOf, r sums.Result) template.HTML {
	limit, err := geometry.LashDegrees(a.num["wheel"], one(r, "limit_mm"))
	if err != nil {
		return ""
	}
	const x, y, rim = sketchWidth / 2, 100.0, 72.0
	arc := func(r, degrees float64) string {
		h := math.Min(170, degrees/2) * math.Pi / 180
		return fmt.Sprintf("M%.1f %.1fA%.1f %.1f 0 %d 1 %.1f %.1f", x-r*math.Sin(h), y-r*math.Cos(h), r, r, map[bool]int{true: 1}[h > math.Pi/2], x+r*math.Sin(h), y-r*math.Cos(h))
	}
	var s sketch
	s.path(fmt.Sprintf("M%.0f %.0fa%.0f %.0f 0 1 0 .1 0Z", x, y-rim, rim, rim), paper, ink, 9, "")
	s.path(fmt.Sprintf("M%.0f %.0fH%.0fM%.0f %.0fV%.0f", x-rim, y, x+rim, x, y, y+rim), "none", ink, 7, "")
	s.path(arc(rim, limit), "none", blue1, 6, "")
	s.path(arc(rim+14, one(r, "degrees")), "none", blue3, 7, "")
	s.words(x, y-rim+28, "middle", "may: "+short(one(r, "limit_mm")))
	found := "found: " + short(a.num["play"]) + " mm, " + short(one(r, "degrees")) + "°"
	s.words(x, 196, "middle", found)
	return s.done(202, "Free way at the rim, "+found+"; most "+short(one(r, "limit_mm"))+" mm")
}

// drawPressure shows the pressure as set and as it is now.
func drawPressure(a sketchOf, r sums.Result) template.HTML {
	set, now := a.num["set"], one(r, "bar")
	if most := math.Max(set, now); most <= 0 || now < 0 {
		return ""
	}
	var s sketch
	for i, p := range []struct {
		bar, degC float64
		words     string
	}{{set, a.num["at"], "set"}, {now, a.num["now"], "now"}} {
		y := 4 + 32*float64(i)
		w := 150 * p.bar / math.Max(set, now)
		s.words(34, y+18, "end", p.words)
		s.rect(42, y, w, 24, blue1)
		s.words(48+w, y+18, "start", fmt.Sprintf("%s bar at %s °C", short(p.bar), short(p.degC)))
	}
	return s.done(70, fmt.Sprintf("Set to %s bar, now %s bar", short(set), short(now)))
}
