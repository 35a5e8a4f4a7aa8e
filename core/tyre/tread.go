package tyre

import (
	"fmt"

	"witnessmark/core/verdict"
)

// MM32 is 1/32 inch in mm, exactly.
const MM32 = 25.4 / 32

// Tread depths in mm.
const (
	LegalMM   = 1.6      // least in the main grooves. Source: Directive 89/459/EEC Art. 1, from memory
	LegalUSMM = 2 * MM32 // least in the US, 2/32 in. Source: 49 CFR 570.9(a), from memory
	SummerMM  = 3.0      // watched below; common practice
	WinterMM  = 4.0      // watched below on a winter tyre; common practice, and law in some countries
)

// In32 gives a depth in mm in 32nds of an inch.
func In32(mm float64) float64 { return mm / MM32 }

// ShareLeft gives the share (0 to 1) of the usable tread that is left: (depth - limit) / (new - limit), all in mm. A
// tyre below the limit has nothing left. Domain: depth 0 to 25, not above new; new above limit.
func ShareLeft(depth, fresh, limit float64) (float64, error) {
	if err := checkDepth(depth); err != nil {
		return 0, err
	}
	if !(fresh > limit && limit >= 0 && fresh <= 25) {
		return 0, fmt.Errorf("a new depth of %v mm and a limit of %v mm leave no tread to wear", fresh, limit)
	}
	if depth > fresh {
		return 0, fmt.Errorf("%v mm is more than the %v mm of a new tyre; which of the two is wrong?", depth, fresh)
	}
	return max(0, (depth-limit)/(fresh-limit)), nil
}

// JudgeTread gives the verdict on a depth in mm (0 to 25): below the legal limit unsafe (in the US, whose rule does not
// call it dangerous, overdue), below the season's mark watch, else sound.
// Source: Directive 89/459/EEC Art. 1 and 49 CFR 570.9(a), both from memory; the season's marks are common practice.
func JudgeTread(mm float64, winter, us bool) (verdict.Verdict, error) {
	if err := checkDepth(mm); err != nil {
		return "", err
	}
	mark := SummerMM
	if winter {
		mark = WinterMM
	}
	switch {
	case us && mm < LegalUSMM:
		return verdict.Overdue, nil
	case !us && mm < LegalMM:
		return verdict.Unsafe, nil
	case mm < mark:
		return verdict.Watch, nil
	}
	return verdict.Sound, nil
}

func checkDepth(mm float64) error {
	if !(mm >= 0 && mm <= 25) {
		return fmt.Errorf("a tread of %v mm cannot be right; expected 0 to 25 mm", mm)
	}
	return nil
}
