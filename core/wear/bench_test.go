package wear

import "testing"

// BenchmarkForecast makes one forecast of a life of five readings with 21 quantiles. Budget: 0.3 ms, because a car has up to 60 places that
// wear and its page 20 ms.
func BenchmarkForecast(b *testing.B) {
	c, life := padClass(), padLife()
	b.ReportAllocs()
	for b.Loop() {
		f, err := c.Forecast([]Life{life}, 0, 52000, 3)
		if err != nil {
			b.Fatal(err)
		}
		for i := 1; i < 20; i++ {
			f.Quantile(0.05 * float64(i))
		}
		f.Quantile(0.025)
		f.Quantile(0.975)
	}
}

// BenchmarkFitClass learns a class from 500 units with about 2 600 readings. Budget: 4 s, in the background.
func BenchmarkFitClass(b *testing.B) {
	r := recipes()[0]
	r.units = 500
	s := r.draw(1)
	for b.Loop() {
		if _, _, err := FitClass(s.lives, Weak(s.lives, s.step)); err != nil {
			b.Fatal(err)
		}
	}
}

// padClass is an invented class of brake pads read with a 0.5 mm gauge.
func padClass() Class {
	return Class{New: 11.5, NewSD: 0.3, LogRate: -8.95, UnitSD: 0.3, LifeSD: 0.08, Gauge: 0.2, Path: 0.02, Curve: Curve{0, 50000}, Step: 0.5, Doubt: Doubt{New: 0.03, LogRate: 0.02}}
}

func padLife() Life {
	return Life{Unit: "u", Readings: []Reading{{9000, 10.5}, {21000, 8.5}, {30000, 7.5}, {41000, 6}, {52000, 5}}}
}
