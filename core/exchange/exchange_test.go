package exchange

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// A gearbox holds 9 L, 4 L come out: (1 - 4/9)^3 = (5/9)^3 = 125/729 = 0.1715 after three, 12 L bought.
func TestWorkedByHand(t *testing.T) {
	got, err := Left(9, 4, 3)
	if err != nil || math.Abs(got-125.0/729) > 1e-15 {
		t.Errorf("left %v, %v", got, err)
	}
	// Under a tenth: (5/9)^3 = 0.171, (5/9)^4 = 0.0953.
	n, old, err := Times(9, 4, 0.1)
	if err != nil || n != 4 || math.Abs(old-math.Pow(5.0/9, 4)) > 1e-15 || Litres(4, n) != 16 {
		t.Errorf("%d times, %v left, %v", n, old, err)
	}
	// Half drained three times leaves an eighth, exactly, and no more is asked for.
	if n, old, err := Times(8, 4, 0.125); n != 3 || old != 0.125 || err != nil {
		t.Errorf("%d times, %v left, %v", n, old, err)
	}
	// All drained once leaves nothing.
	if n, old, err := Times(5, 5, 0.01); n != 1 || old != 0 || err != nil {
		t.Errorf("%d times, %v left, %v", n, old, err)
	}
	if n, old, err := Times(5, 2, 1); n != 0 || old != 1 || err != nil {
		t.Errorf("%d times, %v left, %v", n, old, err)
	}
}

func TestRefuses(t *testing.T) {
	for _, c := range [][3]float64{{0, 1, 0.5}, {-1, 1, 0.5}, {5, 0, 0.5}, {5, 6, 0.5}, {5, 2, 0}, {5, 2, 1.1}, {5, 2, math.NaN()}, {math.Inf(1), 2, 0.5}, {100, 0.1, 0.001}} {
		if n, old, err := Times(c[0], c[1], c[2]); err == nil || n != 0 || old != 0 {
			t.Errorf("%v: %v, %v without an error", c, n, old)
		}
	}
	for _, n := range []int{-1, Most + 1} {
		if _, err := Left(5, 2, n); err == nil {
			t.Errorf("%d exchanges", n)
		}
	}
}

// Fewest: one less is not enough. The volume of old and new fluid is always the capacity.
func TestFewestAndConserving(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.Float64Range(0.5, 20).Draw(t, "capacity")
		d := v * rapid.Float64Range(0.1, 1).Draw(t, "part")
		share := rapid.Float64Range(0.001, 1).Draw(t, "share")
		n, old, err := Times(v, d, share)
		if err != nil || old > share*(1+1e-9) {
			t.Fatalf("%d times leave %v of at most %v: %v", n, old, share, err)
		}
		if n > 0 {
			if before, _ := Left(v, d, n-1); before <= share {
				t.Fatalf("%d would do: %v", n-1, before)
			}
		}
		litresOld, litresNew := v, 0.0
		for range n {
			litresNew += d - litresNew/v*d
			litresOld -= litresOld / v * d
		}
		if math.Abs(litresOld+litresNew-v) > 1e-9 || math.Abs(litresOld/v-old) > 1e-9 {
			t.Fatalf("%v old and %v new in %v; share %v", litresOld, litresNew, v, old)
		}
	})
}

// Budget: 2 microseconds, no allocation.
func BenchmarkTimes(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		_, _, _ = Times(9, 4, 0.05)
	}
}
