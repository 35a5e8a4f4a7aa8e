package root

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// The 0 is found to the width, whatever the shape of the function: a power, a step, an exponential, an infinite end.
func TestFind(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		low := rapid.Float64Range(-1000, 1000).Draw(t, "low")
		high := low + math.Exp(rapid.Float64Range(-3, 10).Draw(t, "ln wide"))
		at := low + (high-low)*rapid.Float64Range(0.0001, 0.9999).Draw(t, "at")
		width := math.Exp(rapid.Float64Range(-16, -1).Draw(t, "ln width"))
		power := rapid.SampledFrom([]float64{0, 0.1, 1, 3, 9}).Draw(t, "power")
		calls := 0
		g := func(x float64) float64 {
			calls++
			switch {
			case x < at:
				return -math.Pow(at-x, power)
			case x > at && rapid.Bool().Draw(t, "infinite"):
				return math.Inf(1)
			}
			return math.Pow(x-at, power)
		}
		if got := Find(g, low, high, width); math.Abs(got-at) > width {
			t.Fatalf("%v, want %v within %v", got, at, width)
		}
		if most := 4 + 2*math.Ceil(math.Log2((high-low)/width)); high-low > width && float64(calls) > most {
			t.Fatalf("asked %d times, halving %v", calls, most)
		}
	})
}

// Halving would take 45 steps.
func TestSmoothIsFast(t *testing.T) {
	calls := 0
	got := Find(func(x float64) float64 { calls++; return math.Exp(x) - 2 }, -10, 10, 1e-12)
	if math.Abs(got-math.Ln2) > 1e-12 || calls > 25 {
		t.Errorf("%v after %d calls", got, calls)
	}
}

func TestNoRoomLeft(t *testing.T) {
	if got := Find(func(x float64) float64 { return x - 1 }, 1, math.Nextafter(1, 2), 0); !(got >= 1) {
		t.Error(got)
	}
	if got := Find(func(x float64) float64 { return x - 1 }, 1, 1, 1); got != 1 {
		t.Error(got)
	}
}
