package wear

import (
	"math"
	"testing"
)

// TestAbove holds the normal law against the standard library's Erfc: 1e-15, and 1e-9 of the value in the upper tail.
func TestAbove(t *testing.T) {
	for z := -37.0; z <= 37; z += 0.0173 {
		got, want := above(z), 0.5*math.Erfc(z/math.Sqrt2)
		if d := math.Abs(got - want); d > 1e-15 || d > 1e-9*want+1e-300 {
			t.Fatalf("P(Z > %v) = %v, want %v", z, got, want)
		}
	}
}

// TestBetween holds probability and derivatives of an interval against differences, near and far out: 1e-6 relative.
func TestBetween(t *testing.T) {
	for _, w := range []float64{0.05, 0.5, 3} {
		for _, s := range []float64{0.1, 0.3, 2} {
			for m := -8.0; m <= 8; m += 0.37 {
				ln := func(m float64) float64 { p, e, _, _ := between(-w/2, w/2, m, s); return math.Log(p) + e }
				_, _, d1, d2 := between(-w/2, w/2, m, s)
				const h = 1e-4
				if n := (ln(m+h) - ln(m-h)) / (2 * h); math.Abs(n-d1) > 1e-5*(1+math.Abs(n))/(s*s) {
					t.Fatalf("width %v, spread %v, at %v: slope %v, by differences %v", w, s, m, d1, n)
				}
				if n := -(ln(m+h) - 2*ln(m) + ln(m-h)) / (h * h); math.Abs(n-d2) > 1e-3*(1+math.Abs(n))/(s*s) {
					t.Fatalf("width %v, spread %v, at %v: curvature %v, by differences %v", w, s, m, d2, n)
				}
				if !(d2 > 0) || !(d2*s*s < 1) {
					t.Fatalf("width %v, spread %v, at %v: curvature %v", w, s, m, d2)
				}
			}
		}
	}
}

// TestCurve: g(0) = 0, g(Ref) = Ref, the slope is that of differences, and the inverse leads back: 1e-9 relative.
func TestCurve(t *testing.T) {
	for _, bend := range []float64{0, 1e-7, 0.15, 3, -1e-7, -0.2, -2} {
		k := Curve{bend, 50000}
		if g := k.At(0); g != 0 {
			t.Errorf("bend %v: g(0) = %v", bend, g)
		}
		if g := k.At(50000); math.Abs(g-50000) > 1e-4 {
			t.Errorf("bend %v: g(Ref) = %v", bend, g)
		}
		for x := 1.0; x < 1e6; x *= 1.7 {
			if back := k.Inverse(k.At(x)); math.Abs(back-x) > 1e-7*x {
				t.Errorf("bend %v: %v comes back as %v", bend, x, back)
			}
			h := x * 1e-5
			if d := (k.At(x+h) - k.At(x-h)) / (2 * h); math.Abs(d-k.Slope(x)) > 1e-6 {
				t.Errorf("bend %v: slope at %v is %v, by differences %v", bend, x, k.Slope(x), d)
			}
		}
	}
}
