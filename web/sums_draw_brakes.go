package web

import (
	"fmt"
	"html/template"
	"math"
	"slices"

	"witnessmark/core/sums"
)

// drawBalance shows both forces of an axle side by side.
func drawBalance(a sketchOf, r sums.Result) template.HTML {
	return bars([]float64{a.num["left"], a.num["right"]}, []string{"left", "right"}, fmt.Sprintf("The weaker has %s %% of the stronger", short(one(r, "weaker_percent"))))
}

// drawForces shows the force of every wheel.
func drawForces(a sketchOf, r sums.Result) template.HTML {
	forces := a.list["forces"]
	names := make([]string, len(forces))
	for i := range names {
		names[i] = fmt.Sprint(i + 1)
	}
	return bars(forces, names, fmt.Sprintf("Efficiency %s %%, required %s %%", short(one(r, "efficiency_percent")), short(one(r, "required_percent"))))
}

// bars draws forces in N as bars from the left, each with its number.
func bars(forces []float64, names []string, said string) template.HTML {
	if len(forces) == 0 || len(forces) > 12 {
		return ""
	}
	most := slices.Max(forces)
	if most <= 0 {
		return ""
	}
	var s sketch
	for i, f := range forces {
		y := 4 + 32*float64(i)
		s.words(42, y+18, "end", names[i])
		s.rect(50, y, 210*f/most, 24, blue1)
		s.words(56+210*f/most, y+18, "start", fmt.Sprintf("%.0f N", f))
	}
	h := 4 + 32*float64(len(forces))
	s.words(50, h+18, "start", said)
	return s.done(h+26, said)
}

// drawDisc shows the readings round the disc against the minimum that is cast into it.
func drawDisc(a sketchOf, r sums.Result) template.HTML {
	readings, least := a.list["readings"], a.num["minimum"]
	if len(readings) < 2 || least <= 0 {
		return ""
	}
	lo, hi := math.Min(least, slices.Min(readings)), math.Max(least, slices.Max(readings))
	pad := math.Max(.2, (hi-lo)*.25)
	return against(lo-pad, hi+pad, slices.Min(readings), "thinnest "+short(slices.Min(readings))+" mm", gaugeTick{least, "minimum " + short(least)}, gaugeTick{slices.Max(readings), "thickest " + short(slices.Max(readings))})
}
