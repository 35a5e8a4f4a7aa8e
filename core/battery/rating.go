package battery

import (
	"fmt"
	"strings"

	"witnessmark/core/verdict"
)

// Standard is a way of rating the cranking current at -18 degC. The zero value is EN.
type Standard uint8

// The standards: how long and down to which voltage a new battery must give its current.
const (
	EN  Standard = iota // EN 50342-1: 10 s to 7.5 V (from memory)
	SAE                 // SAE J537 (also printed as CCA or BCI): 30 s to 7.2 V
	DIN                 // the former DIN 43539: 30 s to 9.0 V, 150 s to 6.0 V (from memory)
	IEC                 // IEC 60095-1: 60 s to 8.4 V (from memory)
	numStandards
)

// perEN is about how many ampere a battery is rated by a standard for each ampere by EN. From memory, common practice:
// the tests differ in time and voltage, so no exact factor exists.
var perEN = [numStandards]float64{EN: 1, SAE: 1.04, DIN: 0.59, IEC: 0.66}

// betweenStandards is how far such a factor may be off, as a share.
const betweenStandards = 0.1

// String gives the standard's letters.
func (s Standard) String() string {
	if s >= numStandards {
		return "unknown standard"
	}
	return [...]string{"EN", "SAE", "DIN", "IEC"}[s]
}

// ParseStandard reads EN, SAE (also CCA, BCI), DIN or IEC.
func ParseStandard(text string) (Standard, error) {
	switch strings.ToUpper(strings.TrimSpace(text)) {
	case "EN":
		return EN, nil
	case "SAE", "CCA", "BCI":
		return SAE, nil
	case "DIN":
		return DIN, nil
	case "IEC":
		return IEC, nil
	}
	return EN, fmt.Errorf("%q is not a rating standard; expected EN, SAE, DIN or IEC", text)
}

// Strength is a measured current as a share of the rated one, in percent, with the range that comparing two standards
// leaves. With one standard all three are equal.
type Strength struct{ Percent, Least, Most float64 }

// Compare gives the strength of a battery from the current measured in A by a tester set to one standard and the
// rating in A by another. Source: see perEN; common practice. Accuracy: the tester's own when the standards are the
// same, else 10 % more: set the tester to the standard that stands beside the rating instead.
func Compare(measured float64, by Standard, rated float64, printed Standard) (Strength, error) {
	if by >= numStandards || printed >= numStandards {
		return Strength{}, fmt.Errorf("a rating standard is not known")
	}
	if !(measured >= 0 && measured <= 2500) {
		return Strength{}, fmt.Errorf("%v A is no measured cranking current; expected 0 to 2500 A", measured)
	}
	if err := checkAmps(rated); err != nil {
		return Strength{}, err
	}
	p := 100 * measured * perEN[printed] / perEN[by] / rated
	if by == printed {
		return Strength{p, p, p}, nil
	}
	return Strength{p, p * (1 - betweenStandards), p * (1 + betweenStandards)}, nil
}

// Judge gives the verdict on a strength: due below 60 %, watch below 80 %, else sound. Where the range between two
// standards spans more than one of them it is unjudged: only a test by the printed standard decides. Common practice,
// for a battery that is at least three quarters charged.
func (s Strength) Judge() verdict.Verdict {
	least, most := judge(s.Least), judge(s.Most)
	if least != most {
		return verdict.Unjudged
	}
	return least
}

func judge(percent float64) verdict.Verdict {
	switch {
	case percent < 60:
		return verdict.Due
	case percent < 80:
		return verdict.Watch
	}
	return verdict.Sound
}
