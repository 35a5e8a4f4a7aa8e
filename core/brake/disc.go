package brake

import (
	"fmt"

	"witnessmark/core/verdict"
)

// MostVariation is the thickness variation in mm from which a disc is renewed or turned; SomeVariation is where it
// begins to be felt. Common practice.
const (
	SomeVariation = 0.015
	MostVariation = 0.025
)

// slack keeps a difference of two readings in thousandths of a mm from missing its bound by a bit of the arithmetic.
const slack = 1e-9

// Disc is what several thickness readings round a disc say, in mm.
type Disc struct {
	Thinnest, Thickest, Mean float64
	Variation                float64 // thickest less thinnest (DTV)
	Spare                    float64 // thinnest less the minimum; below 0 the disc is finished
}

// Measure puts together thickness readings in mm (3 to 50, two or more, eight are usual) taken at one radius round the
// disc, and the minimum in mm that is cast into it. Source: definition. Accuracy: the micrometer's.
func Measure(readings []float64, minimum float64) (Disc, error) {
	if len(readings) < 2 {
		return Disc{}, fmt.Errorf("%d reading of a disc shows no variation; take two or more round it", len(readings))
	}
	if !(minimum > 0 && minimum < 50) {
		return Disc{}, fmt.Errorf("a minimum thickness of %v mm cannot be right; expected above 0 and below 50 mm", minimum)
	}
	d := Disc{Thinnest: readings[0], Thickest: readings[0]}
	for _, r := range readings {
		if !(r >= 3 && r <= 50) {
			return Disc{}, fmt.Errorf("a thickness of %v mm cannot be right; expected 3 to 50 mm", r)
		}
		d.Thinnest, d.Thickest = min(d.Thinnest, r), max(d.Thickest, r)
		d.Mean += r / float64(len(readings))
	}
	d.Variation, d.Spare = d.Thickest-d.Thinnest, d.Thinnest-minimum
	return d, nil
}

// Taper gives the taper in mm of a disc from its mean thickness in mm near the outer edge and near the hub: above 0
// when it is worn thinner outside, as by a caliper that opens. Domain: 3 to 50 each.
func Taper(outer, inner float64) (float64, error) {
	for _, r := range [2]float64{outer, inner} {
		if !(r >= 3 && r <= 50) {
			return 0, fmt.Errorf("a thickness of %v mm cannot be right; expected 3 to 50 mm", r)
		}
	}
	return inner - outer, nil
}

// Judge gives the verdict on a disc: below its minimum overdue, a variation above MostVariation due, from SomeVariation
// on watch, else sound. Discs are renewed in pairs. Source: the minimum is cast into the disc (49 CFR 570.5(f), from
// memory); the variation is common practice.
func (d Disc) Judge() verdict.Verdict {
	switch {
	case d.Spare < -slack:
		return verdict.Overdue
	case d.Variation > MostVariation+slack:
		return verdict.Due
	case d.Variation >= SomeVariation-slack:
		return verdict.Watch
	}
	return verdict.Sound
}
