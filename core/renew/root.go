package renew

import (
	"math"

	"witnessmark/core/root"
)

// find gives where g rises through 0 between the ages a and b, g(a) < 0 <= g(b), to about 1e-13 of the age.
func find(g func(float64) float64, a, b float64) float64 {
	low, high := math.Log(a), math.Log(b)
	width := 4e-14 * math.Max(1, math.Max(math.Abs(low), math.Abs(high))/8)
	return math.Exp(root.Find(func(x float64) float64 { return g(math.Exp(x)) }, low, high, width))
}
