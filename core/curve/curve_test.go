package curve

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func TestAtAndFind(t *testing.T) {
	c := Curve{{0, 0}, {10, -3}, {20, -8}}
	for _, w := range []struct{ x, y float64 }{{0, 0}, {10, -3}, {20, -8}, {5, -1.5}, {15, -5.5}} {
		if y, ok := c.At(w.x); !ok || y != w.y {
			t.Errorf("At(%v) = %v, %v; want %v", w.x, y, ok, w.y)
		}
		if x, ok := c.Find(w.y); !ok || x != w.x {
			t.Errorf("Find(%v) = %v, %v; want %v", w.y, x, ok, w.x)
		}
	}
	for _, x := range []float64{-0.1, 20.1, math.NaN(), math.Inf(1)} {
		if y, ok := c.At(x); ok || y != 0 {
			t.Errorf("At(%v) = %v, %v outside the table", x, y, ok)
		}
	}
	for _, y := range []float64{0.1, -8.1, math.NaN()} {
		if x, ok := c.Find(y); ok || x != 0 {
			t.Errorf("Find(%v) = %v, %v outside the table", y, x, ok)
		}
	}
	if c.Clamped(-5) != 0 || c.Clamped(99) != -8 || c.Clamped(5) != -1.5 {
		t.Error("the ends do not hold")
	}
	var none Curve
	if _, ok := none.At(0); ok || none.Clamped(1) != 0 {
		t.Error("an empty table answers")
	}
	if _, ok := none.Find(0); ok {
		t.Error("an empty table is found in")
	}
}

// any draws a table that rises or falls strictly.
func anyCurve(t *rapid.T) Curve {
	n := rapid.IntRange(2, 12).Draw(t, "rows")
	sign := rapid.SampledFrom([]float64{-1, 1}).Draw(t, "sign")
	c, x, y := make(Curve, n), 0.0, 0.0
	for i := range c {
		c[i] = Point{x, y}
		x += rapid.Float64Range(0.1, 10).Draw(t, "dx")
		y += sign * rapid.Float64Range(0.1, 10).Draw(t, "dy")
	}
	return c
}

func TestThereAndBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := anyCurve(t)
		x := rapid.Float64Range(0, c[len(c)-1].X).Draw(t, "x")
		y, ok := c.At(x)
		back, ok2 := c.Find(y)
		if !ok || !ok2 || math.Abs(back-x) > 1e-9*(1+x)*100 {
			t.Fatalf("%v gives %v (%v), which is found at %v (%v)", x, y, ok, back, ok2)
		}
	})
}

func TestKeepsTheOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := anyCurve(t)
		end := c[len(c)-1].X
		a, b := rapid.Float64Range(0, end).Draw(t, "a"), rapid.Float64Range(0, end).Draw(t, "b")
		a, b = min(a, b), max(a, b)
		ya, _ := c.At(a)
		yb, _ := c.At(b)
		if rising := c[1].Y > c[0].Y; rising && yb < ya-1e-12 || !rising && yb > ya+1e-12 {
			t.Fatalf("%v at %v, %v at %v", ya, a, yb, b)
		}
	})
}

// Budget: 2 microseconds, no allocation.
func BenchmarkAt(b *testing.B) {
	c := make(Curve, 300)
	for i := range c {
		c[i] = Point{float64(i), float64(i * i)}
	}
	b.ReportAllocs()
	for b.Loop() {
		_, _ = c.At(123.4)
	}
}
