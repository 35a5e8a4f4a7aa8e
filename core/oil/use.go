package oil

import (
	"fmt"
	"math"
)

// Use is what an engine uses, in litres per 1000 km. Least and Most are the range that the dipstick's coarseness
// leaves; Least may be below 0, which says that nothing certain was used.
type Use struct{ Litres, Least, Most float64 }

// PerThousand gives the use from what was added in litres, the levels at the start and the end in litres (above any
// mark that stays the same), the distance in km and how finely the level can be read in litres.
// Formula: (added + start - end) / km * 1000; each level may be wrong by half of fineness, so both together by all of
// it. Read both levels on the same ground with the engine equally warm.
func PerThousand(added, start, end, km, fineness float64) (Use, error) {
	switch {
	case !(km > 0) || math.IsInf(km, 1):
		return Use{}, fmt.Errorf("a distance of %v km is none", km)
	case !(added >= 0) || math.IsInf(added, 1):
		return Use{}, fmt.Errorf("%v L cannot have been added", added)
	case !(fineness >= 0) || math.IsInf(fineness, 1):
		return Use{}, fmt.Errorf("a level cannot be read to %v L", fineness)
	case math.IsNaN(start-end) || math.IsInf(start-end, 0):
		return Use{}, fmt.Errorf("the levels %v and %v L are no levels", start, end)
	}
	used := added + start - end
	return Use{used / km * 1000, (used - fineness) / km * 1000, (used + fineness) / km * 1000}, nil
}
