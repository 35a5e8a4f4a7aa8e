package wear

import (
	"encoding/json"
	"errors"
	"math"
	"reflect"
	"testing"

	"pgregory.net/rapid"
)

// sane fails where a forecast says something that is no number, out of order, or before now.
func sane(t interface {
	Helper()
	Fatalf(string, ...any)
}, f Forecast) {
	t.Helper()
	last := f.Now
	for _, q := range []float64{-1, 0, 0.005, 0.025, 0.1, 0.3, 0.5, 0.7, 0.9, 0.975, 0.995, 1, 2, math.NaN()} {
		x := f.Quantile(q)
		if math.IsNaN(x) || x < f.Now || math.IsInf(x, -1) {
			t.Fatalf("quantile %v is %v (now %v)", q, x, f.Now)
		}
		if q > 0 && x < last-1e-5*(f.Horizon-f.Now)-1e-8*f.Now {
			t.Fatalf("quantile %v is %v, below %v", q, x, last)
		}
		if q > 0 {
			last = x
		}
		// A quantile is found to 1e-12 of itself. A part that is all but certain and wears beyond reason crosses within less.
		if found := x * (1 + 2e-12); !math.IsInf(x, 1) && x > f.Now*(1+1e-9) && q > 0 && q < 1 && f.live > 1e-6 && f.CDF(found) < q-1e-3 {
			t.Fatalf("P(crossed by the %v quantile) is %v", q, f.CDF(found))
		}
	}
	if p := f.Never(); !(p >= 0 && p <= 1) {
		t.Fatalf("never: %v", p)
	}
	for _, x := range []float64{-5, 0, 0.3 * f.Now, f.Now, 1.2*f.Now + 1, f.Horizon, 1e15, math.NaN()} {
		if p := f.CDF(x); !(p >= 0 && p <= 1) {
			t.Fatalf("P(crossed by %v) is %v", x, p)
		}
		below := math.Inf(-1)
		for _, q := range []float64{0.005, 0.1, 0.5, 0.9, 0.995} {
			y, r := f.Level(x, q), f.Expect(x, q)
			if math.IsNaN(y) || math.IsInf(y, 0) || math.IsNaN(r) || math.IsInf(r, 0) {
				t.Fatalf("level %v, reading %v at %v, share %v", y, r, x, q)
			}
			if y < below-1e-6*(1+math.Abs(below)) {
				t.Fatalf("level at %v: share %v is %v, below %v", x, q, y, below)
			}
			below = y
		}
	}
	lo, mid, hi := f.Rate()
	if !(lo >= 0 && lo <= mid*(1+1e-9) && mid <= hi*(1+1e-9)) || math.IsInf(hi, 0) {
		t.Fatalf("rate %v, %v, %v", lo, mid, hi)
	}
}

func drawLife(t *rapid.T) Life {
	l := Life{Unit: rapid.SampledFrom([]string{"a", "b", "c"}).Draw(t, "unit"), Side: rapid.SampledFrom([]string{"", "L", "R"}).Draw(t, "side")}
	for range rapid.IntRange(0, 6).Draw(t, "readings") {
		x := rapid.OneOf(rapid.Float64Range(0, 200000), rapid.SampledFrom([]float64{0, 1, 1e9})).Draw(t, "x")
		y := rapid.OneOf(rapid.Float64Range(-2, 14), rapid.SampledFrom([]float64{0, 3, 9, -1e6, 1e9})).Draw(t, "y")
		l.Readings = append(l.Readings, Reading{x, y})
	}
	if l.NewKnown = rapid.Bool().Draw(t, "known"); l.NewKnown {
		l.New = rapid.Float64Range(-5, 20).Draw(t, "new")
		l.NewSD = rapid.SampledFrom([]float64{0, 0.2, 50}).Draw(t, "new sd")
	}
	l.Step = rapid.SampledFrom([]float64{0, 0.1, 1, 100}).Draw(t, "step")
	return l
}

// drawClass draws classes far beyond anything that wears.
func drawClass(t *rapid.T) Class {
	spread := rapid.SampledFrom([]float64{0, 1e-6, 0.1, 0.3, 2})
	return Class{New: rapid.SampledFrom([]float64{-3, 0, 11.5, 1e6}).Draw(t, "new"), NewSD: rapid.SampledFrom([]float64{0, 0.3, 100}).Draw(t, "new sd"),
		LogRate: rapid.SampledFrom([]float64{-50, -20, -9, -5, 0, 30}).Draw(t, "rate"), UnitSD: spread.Draw(t, "unit sd"), SideSD: spread.Draw(t, "side sd"),
		LifeSD: spread.Draw(t, "life sd"), Gauge: rapid.SampledFrom([]float64{0, 1e-6, 0.2, 5}).Draw(t, "gauge"), Path: spread.Draw(t, "path"),
		Curve: Curve{rapid.SampledFrom([]float64{-5, -0.2, 0, 0.2, 10}).Draw(t, "bend"), rapid.SampledFrom([]float64{1, 50000}).Draw(t, "ref")},
		Step:  rapid.SampledFrom([]float64{0, 0.5, 20}).Draw(t, "step"), Doubt: Doubt{New: spread.Draw(t, "doubt"), LogRate: 0.1, Bend: rapid.SampledFrom([]float64{0, 0.05, 3}).Draw(t, "doubt of bend")}}
}

// TestForecastOfAnything: whatever the readings and however absurd the class, a forecast is numbers in order or a plain error.
func TestForecastOfAnything(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lives := []Life{drawLife(t)}
		for range rapid.IntRange(0, 2).Draw(t, "kin") {
			lives = append(lives, drawLife(t))
		}
		c := drawClass(t)
		f, err := c.Forecast(lives, rapid.IntRange(0, len(lives)-1).Draw(t, "running"), rapid.Float64Range(0, 1e6).Draw(t, "now"), rapid.SampledFrom([]float64{-1, 0, 3, 20}).Draw(t, "limit"))
		if err != nil && !errors.Is(err, ErrUnfit) {
			t.Fatalf("%v", err)
		}
		if err == nil {
			sane(t, f)
		}
		d := c.Uneven(lives[0], lives[len(lives)-1])
		if math.IsNaN(d.Ratio+d.Low+d.High+d.Chance) || d.Chance < 0 || d.Chance > 1 {
			t.Fatalf("%+v", d)
		}
	})
}

// TestFitOfAnything: the fit ends with a usable class or says what is wrong, and does not touch what it was given.
func TestFitOfAnything(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var lives []Life
		for range rapid.IntRange(0, 6).Draw(t, "lives") {
			lives = append(lives, drawLife(t))
		}
		before, _ := json.Marshal(lives)
		prior := Weak(lives, rapid.SampledFrom([]float64{0, 0.5}).Draw(t, "step"))
		if rapid.Bool().Draw(t, "catalogue") {
			prior = Usual(11.5, 0.3, 1.3e-4, 0.3, 0.2, 0.5, 8.5, rapid.Float64Range(0, 100).Draw(t, "weight"))
		}
		c, _, err := FitClass(lives, prior)
		if after, _ := json.Marshal(lives); string(after) != string(before) {
			t.Fatalf("the readings were changed")
		}
		if err != nil {
			if !errors.Is(err, ErrNoData) {
				t.Fatalf("%v", err)
			}
			return
		}
		f, err := c.Forecast(lives, 0, 1000, 3)
		if err != nil && !errors.Is(err, ErrUnfit) {
			t.Fatalf("%v: %+v", err, c)
		}
		if err == nil {
			sane(t, f)
		}
	})
}

// FuzzForecast: three readings of any kind never lead to anything but numbers or an error.
func FuzzForecast(f *testing.F) {
	f.Add(0.0, 11.5, 20000.0, 9.0, 50000.0, 5.0, 50000.0, 3.0)
	f.Add(10.0, 3.0, 10.0, 3.0, 10.0, 3.0, 0.0, 3.0)
	f.Add(0.0, 5.0, 1000.0, 6.0, 2000.0, 7.0, 1e9, -4.0)
	f.Fuzz(func(t *testing.T, x1, y1, x2, y2, x3, y3, now, limit float64) {
		l := Life{Unit: "u", Readings: []Reading{{x1, y1}, {x2, y2}, {x3, y3}}}
		fc, err := padClass().Forecast([]Life{l}, 0, now, limit)
		if err == nil {
			sane(t, fc)
		}
	})
}

// TestRefused: what can't be used is refused with a sentence.
func TestRefused(t *testing.T) {
	bad := map[string]Life{"NaN": {Readings: []Reading{{math.NaN(), 3}}}, "infinite": {Readings: []Reading{{1, math.Inf(1)}}}, "before fitting": {Readings: []Reading{{-1, 3}}},
		"step": {Step: -1}, "new": {NewKnown: true, New: math.NaN()}}
	for name, l := range bad {
		if _, err := padClass().Forecast([]Life{l}, 0, 0, 3); err == nil {
			t.Errorf("%s: accepted by the forecast", name)
		}
		if _, _, err := FitClass([]Life{l}, Weak([]Life{l}, 0.5)); err == nil || errors.Is(err, ErrNoData) {
			t.Errorf("%s: accepted by the fit", name)
		}
	}
	for name, c := range map[string]Class{"zero class": {}, "NaN": {LogRate: math.NaN(), Curve: Curve{0, 1}}, "negative spread": {UnitSD: -1, Curve: Curve{0, 1}}} {
		if _, err := c.Forecast([]Life{padLife()}, 0, 0, 3); err == nil {
			t.Errorf("%s: accepted", name)
		}
	}
	if _, err := padClass().Forecast([]Life{padLife()}, 1, 0, 3); err == nil {
		t.Error("a life that is not there: accepted")
	}
	if _, _, err := FitClass(nil, Weak(nil, 0.5)); !errors.Is(err, ErrNoData) {
		t.Errorf("nothing: %v", err)
	}
}

// TestStored: a class survives being stored, and the forecast with it is the same to the bit.
func TestStored(t *testing.T) {
	s := recipes()[0]
	s.units = 12
	set := s.draw(5)
	c, _, err := FitClass(set.lives, Weak(set.lives, 0.5))
	if err != nil {
		t.Fatal(err)
	}
	text, err := json.Marshal(c)
	if err != nil {
		t.Fatal(err)
	}
	var back Class
	if err := json.Unmarshal(text, &back); err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(c, back) {
		t.Errorf("stored %+v, read %+v", c, back)
	}
	a, _ := c.Forecast([]Life{padLife()}, 0, 52000, 3)
	b, _ := back.Forecast([]Life{padLife()}, 0, 52000, 3)
	if a.Quantile(0.5) != b.Quantile(0.5) {
		t.Errorf("%v, after storing %v", a.Quantile(0.5), b.Quantile(0.5))
	}
}
