package tyre

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Size is a metric tyre size: 205/55 R16.
type Size struct {
	WidthMM float64
	Aspect  float64 // height of the flank in percent of the width
	RimInch float64
}

// ParseSize reads a size as it stands on the flank: "205/55 R16", "205/55R16 91V", "195/65 ZR 15", "P215/60R16". What
// follows the rim (the service description) is not looked at. Sizes without an aspect ("155 R13") are refused: their
// flank is about 82 % by custom, and a guess is no size.
func ParseSize(s string) (Size, error) {
	text := strings.ToUpper(strings.TrimSpace(s))
	bad := fmt.Errorf("%q is no tyre size; it is width, aspect and rim, such as 205/55 R16", s)
	text = strings.TrimPrefix(strings.TrimPrefix(text, "LT"), "P")
	width, rest, ok := strings.Cut(text, "/")
	if !ok {
		return Size{}, bad
	}
	aspect, rim, ok := strings.Cut(rest, "R")
	if !ok {
		return Size{}, bad
	}
	rim, _, _ = strings.Cut(strings.TrimSpace(rim), " ")
	size := Size{plain(width), plain(strings.TrimSuffix(strings.TrimSpace(aspect), "Z")), plain(strings.TrimSuffix(rim, "C"))}
	if size.WidthMM == 0 || size.Aspect == 0 || size.RimInch == 0 {
		return Size{}, bad
	}
	if size.WidthMM < 105 || size.WidthMM > 405 || size.Aspect < 20 || size.Aspect > 90 || size.RimInch < 10 || size.RimInch > 26 {
		return Size{}, fmt.Errorf("%q is no size of a car's tyre: width 105 to 405 mm, aspect 20 to 90, rim 10 to 26 in", s)
	}
	return size, nil
}

// plain reads up to three digits and perhaps one decimal; anything else is 0.
func plain(s string) float64 {
	s = strings.TrimSpace(s)
	if len(s) == 0 || len(s) > 5 || strings.Trim(s, "0123456789.") != "" {
		return 0
	}
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		return 0
	}
	return v
}

// String writes the size as ParseSize reads it.
func (s Size) String() string {
	f := func(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
	return f(s.WidthMM) + "/" + f(s.Aspect) + " R" + f(s.RimInch)
}

// DiameterMM gives the nominal outer diameter in mm: rim + two flanks. Accuracy: makers' tyres differ by about 1 %, a
// worn one is up to 13 mm smaller. Source: geometry of the size designation (ISO 4000-1).
func (s Size) DiameterMM() float64 { return 25.4*s.RimInch + 2*s.WidthMM*s.Aspect/100 }

// rolling is the rolling circumference of a radial tyre as a multiple of its diameter: less than pi, because the
// loaded tyre flattens. Source: ETRTO rule for radial car tyres at 60 km/h, from memory.
const rolling = 3.05

// RollingMM gives the rolling circumference in mm. Accuracy: 1.5 %.
func (s Size) RollingMM() float64 { return rolling * s.DiameterMM() }

// CircumferenceMM gives the circumference of the unloaded tyre in mm.
func (s Size) CircumferenceMM() float64 { return math.Pi * s.DiameterMM() }

// TrueSpeed gives the speed in km/h at which a car really runs on another size when the speedometer, right for the
// size that belongs to the car, shows a speed in km/h: shown * other / own.
func TrueSpeed(own, other Size, shown float64) (float64, error) {
	if own.DiameterMM() <= 0 || other.DiameterMM() <= 0 {
		return 0, fmt.Errorf("a tyre size is missing")
	}
	if !(shown >= 0 && shown <= 450) {
		return 0, fmt.Errorf("a speed of %v km/h is none of a car", shown)
	}
	return shown * other.DiameterMM() / own.DiameterMM(), nil
}

// MayShow gives the range that a speedometer may show at a true speed in km/h: never less than the truth, and at most a
// tenth and 4 km/h more. Source: UN R39 para 5.4, from memory.
func MayShow(trueKmh float64) (least, most float64) { return trueKmh, trueKmh + trueKmh/10 + 4 }
