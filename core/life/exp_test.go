package life

import (
	"math"
	"testing"
)

func TestExp(t *testing.T) {
	for x := -745.0; x < 710; x += 0.0317 {
		if got, want := exp(x), math.Exp(x); math.Abs(got-want) > 1e-15*want {
			t.Fatalf("exp(%v) = %v, want %v", x, got, want)
		}
	}
	for _, x := range []float64{0, math.Inf(1), math.Inf(-1), 1e300, -1e300, 5e-324} {
		if exp(x) != math.Exp(x) {
			t.Errorf("exp(%v) = %v", x, exp(x))
		}
	}
	if !math.IsNaN(exp(math.NaN())) {
		t.Error("exp(NaN) is a number")
	}
}

// BenchmarkExp is what most of the time of a posterior goes into. Budget: 10 ns.
func BenchmarkExp(b *testing.B) {
	x, s := -3.0, 0.0
	for b.Loop() {
		x += 1e-7
		s += exp(x)
	}
	if s < 0 {
		b.Fatal(s)
	}
}
