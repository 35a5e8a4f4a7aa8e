package life

import "math"

// The exponential is most of the work of a posterior. Here it is 2^(k/128) from a table times a short Taylor series, accurate to a
// few units of the last place, and the same on every machine that does not fuse multiplication and addition.
const (
	expBits  = 7
	expSteps = 1 << expBits
	expScale = expSteps / math.Ln2
	// ln 2 / 128 in two parts: the first has zeros at its end, so that k times it is exact.
	expHigh = 6.93147180369123816490e-01 / expSteps
	expLow  = 1.90821492927058770002e-10 / expSteps
)

var expTable = func() (t [expSteps]float64) {
	for i := range t {
		t[i] = math.Exp2(float64(i) / expSteps)
	}
	return t
}()

// exp is e^x.
func exp(x float64) float64 {
	if !(x > -700 && x < 700) {
		return math.Exp(x)
	}
	const magic = 3 << 51 // adding it rounds to an integer
	kf := x*expScale + magic
	k := int(int32(math.Float64bits(kf)))
	kf -= magic
	r := x - kf*expHigh - kf*expLow
	p := 1 + r*(1+r*(0.5+r*(1.0/6+r*(1.0/24+r*(1.0/120)))))
	return p * expTable[k&(expSteps-1)] * math.Float64frombits(uint64(k>>expBits+1023)<<52)
}
