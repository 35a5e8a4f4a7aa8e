package wear

import (
	"math"
	"testing"
)

// denseCDF works P(crossed by x | above the limit now) out by brute force on an even grid over start and ln rate, for a class without path noise: the
// level is then a line, and a reading an interval of the normal law.
func denseCDF(c Class, l Life, now, limit float64, xs []float64) []float64 {
	const na, nb = 500, 700
	alive := 0.0
	dead := make([]float64, len(xs))
	sd := math.Sqrt(c.UnitSD*c.UnitSD + c.LifeSD*c.LifeSD)
	for i := range nb {
		zb := -7 + 14*(float64(i)+0.5)/nb
		b := math.Exp(c.LogRate + sd*zb)
		for j := range na {
			za := -7 + 14*(float64(j)+0.5)/na
			a := c.New + c.NewSD*za
			if a-b*now <= limit {
				continue
			}
			w := math.Exp(-0.5 * (za*za + zb*zb))
			for _, r := range l.Readings {
				m := a - b*r.X
				w *= above((r.Y-c.Step/2-m)/c.Gauge) - above((r.Y+c.Step/2-m)/c.Gauge)
			}
			alive += w
			for k, x := range xs {
				if a-b*x <= limit {
					dead[k] += w
				}
			}
		}
	}
	for k := range dead {
		dead[k] /= alive
	}
	return dead
}

// TestDense holds the whole forecast against brute force. Rounded readings are taken in by matching moments, which is not exact: 0.003 in
// probability, far below what the class's own figures are uncertain by.
func TestDense(t *testing.T) {
	c := Class{New: 11.5, NewSD: 0.3, LogRate: math.Log(1.3e-4), UnitSD: 0.3, LifeSD: 0.08, Gauge: 0.15, Path: 0, Curve: Curve{0, 50000}, Step: 0.5}
	worst := 0.0
	for name, rs := range map[string][]Reading{
		"five":  {{9000, 10.5}, {21000, 8.5}, {30000, 7.5}, {41000, 6}, {52000, 5}},
		"three": {{0, 11.5}, {15000, 9}, {33000, 7}},
		"one":   {{20000, 9}},
		"none":  nil,
	} {
		now := 1000.0
		if len(rs) > 0 {
			now = rs[len(rs)-1].X
		}
		f, err := c.Forecast([]Life{{Unit: "u", Readings: rs}}, 0, now, 3)
		if err != nil {
			t.Fatal(err)
		}
		xs := []float64{f.Quantile(0.025), f.Quantile(0.1), f.Quantile(0.5), f.Quantile(0.9), f.Quantile(0.975)}
		for k, p := range denseCDF(c, Life{Readings: rs}, now, 3, xs) {
			d := math.Abs(p - f.CDF(xs[k]))
			worst = max(worst, d)
			if d > 0.003 {
				t.Errorf("%s: P(crossed by %.0f) = %.5f, by brute force %.5f", name, xs[k], f.CDF(xs[k]), p)
			}
		}
	}
	t.Logf("largest difference %.5f", worst)
}

// TestQuadrature holds the adaptive quadrature over ln rate against a dense grid of 4 000 points of the same integrand, with path noise, bend and
// kin: 1e-6 in probability, as the design asks.
func TestQuadrature(t *testing.T) {
	c := padClass()
	c.Curve.Bend = 0.1
	for _, n := range []int{0, 1, 2, 3, 5} {
		for _, step := range []float64{0, 0.5} {
			c.Step = step
			l := padLife()
			l.Readings = l.Readings[:n]
			f, err := c.Forecast([]Life{l}, 0, 52000, 3)
			if err != nil {
				t.Fatal(err)
			}
			var ch chain
			cs := c.solid()
			ch.load(&cs, &l, l.Readings, false)
			p := law{c.LogRate, c.UnitSD*c.UnitSD + c.LifeSD*c.LifeSD + c.Doubt.LogRate*c.Doubt.LogRate}
			g := c.Curve.At(0)
			if n > 0 {
				g = c.Curve.At(l.Readings[n-1].X)
			}
			top := ch.point(p.mean, p, 1e-10).ln
			survive := func(x float64) float64 {
				s := 0.0
				for i := range 4000 {
					nd := ch.point(p.mean+math.Sqrt(p.variance)*(-10+float64(i)/200), p, 1e-10)
					b, d := math.Exp(nd.th), c.Curve.At(x)-g
					s += math.Exp(nd.ln-top) * above((3-nd.end.mean+b*d)/math.Sqrt(nd.end.variance+ch.path*b*b*d))
				}
				return s
			}
			now := survive(52000)
			for _, q := range []float64{0.05, 0.5, 0.95} {
				x := f.Quantile(q)
				if got, want := f.CDF(x), 1-survive(x)/now; math.Abs(got-want) > 1e-6 || math.Abs(got-q) > 1e-6 {
					t.Errorf("%d readings, step %v: P(crossed by %.0f) = %.8f, on a dense grid %.8f, asked for %v", n, step, x, got, want, q)
				}
			}
		}
	}
}
