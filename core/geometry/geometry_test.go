package geometry

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"witnessmark/core/verdict"
)

func TestToe(t *testing.T) {
	// 2 mm at 400 mm: asin(0.005) = 0.28648 degrees = 17.19 minutes; 5 m/km of side slip.
	d, err := ToeDegrees(2, 400)
	if err != nil || !nearTo(d, 0.286480, 1e-6) {
		t.Errorf("%v, %v", d, err)
	}
	if w, m := Split(d); w != 0 || !nearTo(m, 17.1888, 1e-4) {
		t.Errorf("%v %v", w, m)
	}
	if w, m := Split(-1.5); w != -1 || m != -30 {
		t.Errorf("%v %v", w, m)
	}
	if s, err := SideSlip(2, 400); err != nil || s != 5 || !nearTo(FeetPerMile(s), 26.4, 1e-12) {
		t.Errorf("%v, %v", s, err)
	}
	// The old convention: at 28.648 in (727.66 mm) a degree is half an inch.
	if mm, err := ToeMM(1, 727.66); err != nil || !nearTo(mm, 12.7, 0.001) {
		t.Errorf("%v, %v", mm, err)
	}
}

func TestLash(t *testing.T) {
	for wheel, want := range map[float64]float64{380: 50.8, 406: 50.8, 406.4: 50.8, 456: 50.8, 457.2: 57.15, 500: 57.15, 508: 63.5, 558.8: 69.85, 600: 69.85} {
		if got, err := LashLimit(wheel); err != nil || got != want {
			t.Errorf("%v mm: %v, %v; want %v", wheel, got, err, want)
		}
	}
	// 2 in on a 16 in wheel: 360 * 2 / (pi * 16) = 14.32 degrees.
	if d, err := LashDegrees(406.4, 50.8); err != nil || !nearTo(d, 14.3239, 1e-4) {
		t.Errorf("%v, %v", d, err)
	}
	if l, err := LashLimitEU(380); err != nil || l != 76 {
		t.Errorf("%v, %v", l, err)
	}
	for play, want := range map[float64]verdict.Verdict{0: verdict.Sound, 30: verdict.Sound, 30.1: verdict.Watch, 50.8: verdict.Watch, 51: verdict.Overdue} {
		if got := JudgeLash(play, 50.8); got != want {
			t.Errorf("%v mm: %s, want %s", play, got, want)
		}
	}
}

func TestAxle(t *testing.T) {
	// Rear left 0.3 in, rear right 0.1 out: the axle steers 0.2 degrees to the right. Front wheels measured 0.1 in each.
	// Against the thrust line left is 0.1 - 0.2 = -0.1 and right 0.1 + 0.2 = 0.3; total 0.2 either way.
	toe, err := ToeOf(Wheels{FL: 0.1, FR: 0.1, RL: 0.3, RR: -0.1})
	want := Toe{Front: 0.2, Rear: 0.2, Thrust: 0.2, FrontLeft: -0.1, FrontRight: 0.3, Offset: 0.2}
	if err != nil || !nearTo(toe.Thrust, want.Thrust, 1e-12) || !nearTo(toe.FrontLeft, want.FrontLeft, 1e-12) || !nearTo(toe.FrontRight, want.FrontRight, 1e-12) ||
		!nearTo(toe.Front, want.Front, 1e-12) || !nearTo(toe.Rear, want.Rear, 1e-12) || !nearTo(toe.Offset, want.Offset, 1e-12) {
		t.Errorf("%+v, %v; want %+v", toe, err, want)
	}
	front, rear, err := CrossCamber(Wheels{-0.5, -1.1, -1.5, -1.4})
	if err != nil || !nearTo(front, 0.6, 1e-12) || !nearTo(rear, -0.1, 1e-12) {
		t.Errorf("%v, %v, %v", front, rear, err)
	}
}

func TestRefuses(t *testing.T) {
	nan := math.NaN()
	for name, f := range map[string]func() error{
		"bicycle":    func() error { _, err := ToeDegrees(2, 100); return err },
		"far toe":    func() error { _, err := ToeDegrees(51, 400); return err },
		"nan toe":    func() error { _, err := ToeDegrees(nan, 400); return err },
		"far angle":  func() error { _, err := ToeMM(11, 400); return err },
		"nan d":      func() error { _, err := ToeMM(1, nan); return err },
		"slip":       func() error { _, err := SideSlip(60, 400); return err },
		"slip d":     func() error { _, err := SideSlip(1, 5); return err },
		"bus wheel":  func() error { _, err := LashLimit(601); return err },
		"nan wheel":  func() error { _, err := LashLimitEU(nan); return err },
		"far play":   func() error { _, err := LashDegrees(400, 401); return err },
		"play wheel": func() error { _, err := LashDegrees(40, 4); return err },
		"toe wheel":  func() error { _, err := ToeOf(Wheels{RR: 6}); return err },
		"camber nan": func() error { _, _, err := CrossCamber(Wheels{FL: nan}); return err },
	} {
		if f() == nil {
			t.Errorf("%s is accepted", name)
		}
	}
}

func TestProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := rapid.Float64Range(200, 1000).Draw(t, "diameter")
		mm := rapid.Float64Range(-30, 30).Draw(t, "mm")
		deg, err := ToeDegrees(mm, d)
		if err != nil {
			t.Fatal(err)
		}
		if back, err := ToeMM(deg, d); err != nil || !nearTo(back, mm, 1e-9) {
			t.Fatalf("%v mm is %v degrees is %v mm (%v)", mm, deg, back, err)
		}
		w, m := Split(deg)
		if !nearTo(w+m/60, deg, 1e-12) || math.Abs(m) >= 60 {
			t.Fatalf("%v is %v and %v", deg, w, m)
		}
		angle := func(name string) float64 { return rapid.Float64Range(-2, 2).Draw(t, name) }
		toe, err := ToeOf(Wheels{angle("fl"), angle("fr"), angle("rl"), angle("rr")})
		// Turning the steering wheel moves toe from one side to the other and leaves the total.
		if err != nil || !nearTo(toe.FrontLeft+toe.FrontRight, toe.Front, 1e-12) {
			t.Fatalf("%+v, %v", toe, err)
		}
		a, b := rapid.Float64Range(250, 600).Draw(t, "a"), rapid.Float64Range(250, 600).Draw(t, "b")
		la, _ := LashLimit(min(a, b))
		lb, _ := LashLimit(max(a, b))
		if lb < la {
			t.Fatalf("a larger wheel may move less: %v, %v", la, lb)
		}
	})
}

// Budget of each: 2 microseconds, no allocation.
func BenchmarkToe(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		_, _ = ToeDegrees(2, 400)
		_, _ = ToeOf(Wheels{0.1, 0.1, 0.3, -0.1})
		_, _ = LashLimit(380)
	}
}
