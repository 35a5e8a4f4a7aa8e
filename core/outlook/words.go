package outlook

import (
	"math"
	"strconv"
)

// number writes a figure with at most two decimals.
func number(x float64) string {
	return strconv.FormatFloat(math.Round(x*100)/100, 'f', -1, 64)
}
