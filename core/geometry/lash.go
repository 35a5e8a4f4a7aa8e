package geometry

import (
	"fmt"
	"math"

	"witnessmark/core/verdict"
)

// lash is the most free way in mm at the rim by steering wheel diameter: 2, 2 1/4, 2 1/2 and 2 3/4 in at 16 or less,
// 18, 20 and 22 in. The diameters are in whole mm, rounded down, because a wheel is measured in those.
// Source: 49 CFR 570.7(a) Table 1.
var lash = [...]struct{ wheel, limit float64 }{{406, 50.8}, {457, 57.15}, {508, 63.5}, {558, 69.85}}

// WatchLash is the free way in mm above which a steering is watched; common practice.
const WatchLash = 30

// LashLimit gives the most free way in mm at the rim of a steering wheel of a diameter in mm (250 to 600). Between two
// rows the smaller wheel's limit holds. Source: 49 CFR 570.7(a) Table 1.
func LashLimit(wheel float64) (float64, error) {
	if err := checkWheel(wheel); err != nil {
		return 0, err
	}
	limit := lash[0].limit
	for _, r := range lash {
		if wheel >= r.wheel {
			limit = r.limit
		}
	}
	return limit, nil
}

// LashLimitEU gives the limit of Directive 2014/45/EU: a fifth of the wheel's diameter. Source: Annex I, 2.3, from memory.
func LashLimitEU(wheel float64) (float64, error) {
	if err := checkWheel(wheel); err != nil {
		return 0, err
	}
	return wheel / 5, nil
}

// LashDegrees gives the angle in degrees that a free way in mm means: 360 * way / (pi * wheel).
func LashDegrees(wheel, play float64) (float64, error) {
	if err := checkPlay(wheel, play); err != nil {
		return 0, err
	}
	return 360 * play / (math.Pi * wheel), nil
}

// JudgeLash gives the verdict on a free way in mm against a limit in mm: above it overdue, above WatchLash watch, else
// sound. Measured with the engine running where the steering is assisted, wheels straight ahead.
func JudgeLash(play, limit float64) verdict.Verdict {
	switch {
	case play > limit:
		return verdict.Overdue
	case play > WatchLash:
		return verdict.Watch
	}
	return verdict.Sound
}

func checkWheel(wheel float64) error {
	if !(wheel >= 250 && wheel <= 600) {
		return fmt.Errorf("a steering wheel of %v mm is none of a car; expected 250 to 600 mm", wheel)
	}
	return nil
}

func checkPlay(wheel, play float64) error {
	if err := checkWheel(wheel); err != nil {
		return err
	}
	if !(play >= 0 && play <= 400) {
		return fmt.Errorf("a free way of %v mm cannot be right; expected 0 to 400 mm", play)
	}
	return nil
}
