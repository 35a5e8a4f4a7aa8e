package brakefluid

import "fmt"

// TopUp says whether a bottle may go into a car.
type TopUp uint8

// The answers, best first.
const (
	Allowed  TopUp = iota // the bottle meets all that the cap asks for
	Lowers                // it mixes, but is weaker or thicker in the cold than the cap asks for
	Never                 // it does not mix and destroys seals or braking
	NotKnown              // a class is missing
)

// String gives the answer as a word.
func (t TopUp) String() string {
	switch t {
	case Allowed:
		return "allowed"
	case Lowers:
		return "lowers"
	case Never:
		return "never"
	}
	return "not known"
}

// CanTopUp says whether a bottle of one class may be filled into a car whose cap names another, with the reason.
// Glycol fluids of all classes mix; silicone (DOT 5) and mineral oil mix with nothing but themselves. A bottle meets
// the cap when it boils no lower, dry and wet, and is no thicker at -40 degC.
// Source: 49 CFR 571.116 S4, S5.1, S5.2.2; ISO 4925:2020 Table 1 from memory. What the maker writes goes before it.
func CanTopUp(cap, bottle Class) (TopUp, string) {
	if cap == Unknown || bottle == Unknown || cap >= numClasses || bottle >= numClasses {
		return NotKnown, "A class is missing, so nothing is filled in until it has been read on the cap and on the bottle."
	}
	a, b := &classes[cap], &classes[bottle]
	switch {
	case a.base != b.base && (a.base == mineral || b.base == mineral):
		return Never, "Mineral oil and brake fluid destroy each other's seals."
	case a.base != b.base:
		return Never, "Silicone fluid (DOT 5) does not mix with glycol fluid; DOT 5.1 is glycol in spite of its number."
	case a.base == mineral:
		return Allowed, "Both are mineral oil; use the kind that the maker names."
	case b.limits.Dry < a.limits.Dry || b.limits.Wet < a.limits.Wet:
		return Lowers, "It mixes, but boils lower than the cap asks for."
	case b.limits.Cold > a.limits.Cold:
		return Lowers, fmt.Sprintf("It mixes, but is thicker in the cold than the cap asks for (up to %v instead of %v mm2/s at -40 °C), which slows stability control.", b.limits.Cold, a.limits.Cold)
	}
	return Allowed, "It meets what the cap asks for."
}
