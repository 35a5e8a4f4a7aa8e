package renew

import (
	"math"
	"testing"
)

// extreme holds lives and costs at the edges: shapes near 1 and steep, cost ratios of 1.0001 and 100 000, scales from
// 0.001 to 10 000 000, hazards with several minima. T 0 means that running to failure is best. The answers were computed
// with 30 digits from the formulas of Barlow & Proschan (1965) ch. 4, every sign change of the slope from 1e-7 to 40 mean
// lives compared, savings below 1e-14 counting as none.
var extreme = []struct {
	d                  Dist
	cp, cf             float64
	t, cost, toFailure float64
}{
	{Weibull{1.01, 1}, 1, 1e5, 0.0010710611121608805, 94322.47180863404, 100416.29477235323},
	{Weibull{1.01, 1e7}, 1, 50, 42124114.76515719, 5.020682540877506e-06, 5.020814738617662e-06},
	{Weibull{1.01, 20000}, 1, 5, 0, 0.0002510407369308831, 0.0002510407369308831},
	{Weibull{1.1, 1e-3}, 1, 10, 0.0014627688392000982, 10283.779700851252, 10363.634126291703},
	{Weibull{1.5, 1}, 1, 1e5, 0.0007368131766667783, 4071.6047095378553, 110773.21674324725},
	{Weibull{5, 1e7}, 1, 1.0001, 0, 1.0892333335004422e-07, 1.0892333335004422e-07},
	{Weibull{5, 1e-3}, 1, 2, 0.0007609764076945796, 1676.6977250664065, 2178.2488421166727},
	{Weibull{20, 1e7}, 1, 1.05, 10036653.366883617, 1.071987153080859e-07, 1.0785777085352602e-07},
	{Weibull{20, 13000}, 1, 1e5, 6309.659012590105, 0.00016682860199544568, 7.9016681943975104},
	{Weibull{20, 1}, 1, 1.0001, 0, 1.0273195869582035, 1.0273195869582035},
	{Weibull{3, 1e4}, 1, 1.0001, 0, 0.00011199585063743579, 0.00011199585063743579},
	{Weibull{1.05, 1}, 1, 7, 12.1228249897874, 7.1370828990981465, 7.137082920580708},
	{Weibull{1.2, 5}, 1, 3, 20.711705152256194, 0.6378086538495085, 0.6378528286762846},
	{Weibull{0.5, 3}, 1, 1e5, 0, 16666.666666666668, 16666.666666666668},
	{Lognormal{0.05, 1e7}, 1, 1e5, 7706044.703983154, 1.309829937296121e-07, 0.009987507809245809},
	{Lognormal{0.1, 1e-3}, 1, 1.5, 0.0008848223012420175, 1198.7769991359519, 1492.5187187890235},
	{Lognormal{1.2, 1}, 1, 1e5, 0.00452616736512121, 296.63069589749114, 48675.225595997166},
	{Lognormal{1.2, 1}, 1, 20, 0, 9.735045119199434, 9.735045119199434},
	{Lognormal{1.0, 1}, 1, 3, 0, 1.8195919791379003, 1.8195919791379003},
	{Lognormal{0.8, 1000}, 1, 2, 0, 0.001452298074147382, 0.001452298074147382},
	{Lognormal{0.8, 1000}, 1, 4, 0, 0.002904596148294764, 0.002904596148294764},
	{Lognormal{2, 50}, 1, 1000, 0, 2.706705664732254, 2.706705664732254},
	{Mixture{[]float64{0.5, 0.5}, []Dist{Weibull{5, 1}, Weibull{5, 100}}}, 1, 20, 77.43072961924582, 0.34148923023653693, 0.43133640437953913},
	{Mixture{[]float64{0.1, 0.9}, []Dist{Weibull{20, 1000}, Weibull{3, 20000}}}, 60, 900, 9114.687525164674, 0.026169421534638655, 0.05565524841504016},
	{Mixture{[]float64{0.3, 0.7}, []Dist{Weibull{0.7, 5000}, Weibull{4, 20000}}}, 60, 900, 11430.896896052738, 0.035845052284327536, 0.061692978984865414},
	{Mixture{[]float64{0.02, 0.98}, []Dist{Weibull{10, 10}, Weibull{10, 10000}}}, 1, 3, 7536.468402419721, 0.00015687037674011603, 0.0003217700677879363},
	{Mixture{[]float64{0.6, 0.4}, []Dist{Weibull{0.9, 1}, Weibull{1.1, 3}}}, 1, 100, 0, 55.890737920180364, 55.890737920180364},
}

func TestExtremes(t *testing.T) {
	for _, c := range extreme {
		p, err := Optimum(c.d, c.cp, c.cf)
		if err != nil {
			t.Errorf("%v: %v", c.d, err)
			continue
		}
		if p.Finite != (c.t > 0) || !near(p.T, c.t, 1e-6) || !near(p.CostRate, c.cost, 1e-9) || !near(p.RunToFailure, c.toFailure, 1e-9) {
			t.Errorf("%+v, %v, %v: %+v, want T %v at %v, else %v", c.d, c.cp, c.cf, p, c.t, c.cost, c.toFailure)
		}
		if p.Reason == "" || p.FlatLow <= 0 || p.FlatHigh < p.T {
			t.Errorf("%+v: %+v", c.d, p)
		}
	}
}

// The integral of the survival has closed forms for shape 1 (exponential: s (1 - exp(-t/s))), shape 2 (s sqrt(pi)/2
// erf(t/s)) and shape 1/2 (2 s (1 - (1+u) exp(-u)), u = sqrt(t/s)). Together with the rest it is the mean.
func TestIntegrals(t *testing.T) {
	for _, s := range []float64{1e-3, 1, 13000, 1e7} {
		for x := 1e-6; x < 400; x *= 1.3 {
			u := math.Sqrt(x)
			for _, c := range []struct{ shape, want, rest float64 }{
				{1, -s * math.Expm1(-x), s * math.Exp(-x)},
				{2, s * math.Sqrt(math.Pi) / 2 * math.Erf(x), s * math.Sqrt(math.Pi) / 2 * math.Erfc(x)},
				{0.5, 2 * s * (1 - (1+u)*math.Exp(-u)), 2 * s * (1 + u) * math.Exp(-u)},
			} {
				w := Weibull{c.shape, s}
				if c.shape == 0.5 && x < 1e-3 {
					continue // here the closed form cancels, not the sum
				}
				if got := w.Integral(x * s); !near(got, c.want, 1e-12) {
					t.Errorf("shape %v, x %v: integral %v, want %v", c.shape, x, got, c.want)
				}
				if got := w.Rest(x * s); c.rest > 1e-290*s && !near(got, c.rest, 1e-11) {
					t.Errorf("shape %v, x %v: rest %v, want %v", c.shape, x, got, c.rest)
				}
			}
		}
	}
}

// Both kinds of life: the integral is what Simpson's rule makes of the survival, and Integral + Rest = Mean.
func TestIntegralAgainstSimpson(t *testing.T) {
	for _, d := range []Dist{Weibull{1.01, 2}, Weibull{0.7, 1}, Weibull{5, 10}, Weibull{20, 3}, Lognormal{0.3, 5}, Lognormal{1.2, 1},
		Mixture{[]float64{1, 3}, []Dist{Weibull{3, 1}, Lognormal{0.5, 4}}}} {
		for _, end := range []float64{0.5, 1, 3, 12} {
			// in u = t^(1/4), which is smooth at 0 for all of them
			const n = 4000
			h, sum := math.Pow(end, 0.25)/n, 0.0
			for i := 0; i <= n; i++ {
				u := h * float64(i)
				f := 4 * u * u * u * d.Survival(u*u*u*u)
				switch {
				case i == 0 || i == n:
					sum += f
				case i%2 == 1:
					sum += 4 * f
				default:
					sum += 2 * f
				}
			}
			if got := d.Integral(end); !near(got, sum*h/3, 1e-8) {
				t.Errorf("%+v to %v: %v, Simpson %v", d, end, got, sum*h/3)
			}
			if got := d.Integral(end) + d.Rest(end); !near(got, d.Mean(), 1e-12) {
				t.Errorf("%+v at %v: integral and rest are %v, mean %v", d, end, got, d.Mean())
			}
		}
	}
}

func TestReasons(t *testing.T) {
	for _, c := range []struct {
		name   string
		d      Dist
		cp, cf float64
		want   string
	}{
		{"cheap failure", Weibull{3, 10}, 5, 5, "A failure costs no more than a planned renewal, so renewing early gains nothing."},
		{"no ageing", Weibull{1, 10}, 5, 50, "The risk of failure does not rise with age (shape 1 or less), so a new part is no safer from failing than the old one."},
		{"little ageing", Lognormal{2, 10}, 5, 50, "The risk of failure rises too little for what a failure costs: renewing early saves nothing."},
		{"flat", Weibull{1.5, 1}, 1, 2, "Renewing at this age saves less than 1 % against running to failure: hardly worth a plan."},
		{"worth it", Weibull{2.8, 13000}, 60, 900, "Renewing at this age saves 71 % against running to failure."},
		{"no mean", endless{Weibull{2.8, 13000}}, 60, 900, "The mean life has no bound, so what running to failure costs can't be determined; this is the best age within what is known of the life."},
		{"no mean, no ageing", endless{Weibull{1, 13000}}, 60, 900, "The mean life has no bound, so neither a best age nor what running to failure costs can be determined."},
	} {
		p, err := Optimum(c.d, c.cp, c.cf)
		if err != nil || p.Reason != c.want {
			t.Errorf("%s: %q, %v", c.name, p.Reason, err)
		}
	}
}

// endless is a life whose mean has no bound.
type endless struct{ Weibull }

func (endless) Mean() float64          { return math.Inf(1) }
func (e endless) Rest(float64) float64 { return math.Inf(1) }

func TestRefusals(t *testing.T) {
	good := Weibull{2, 1}
	for _, c := range []struct {
		d      Dist
		cp, cf float64
		want   string
	}{
		{nil, 1, 2, "there is no distribution of the life"},
		{Weibull{0, 1}, 1, 2, "shape is 0; expected 0.02 to 10000"},
		{Weibull{math.NaN(), 1}, 1, 2, "shape is NaN; expected 0.02 to 10000"},
		{Weibull{2, math.Inf(1)}, 1, 2, "scale is +Inf; expected 1e-12 to 1e+15"},
		{Lognormal{-1, 1}, 1, 2, "sigma is -1; expected 0.0001 to 20"},
		{Lognormal{1, 0}, 1, 2, "median is 0; expected 1e-12 to 1e+15"},
		{good, 0, 2, "cp is 0; expected 1e-09 to 1e+15"},
		{good, 1, math.NaN(), "cf is NaN; expected 1e-09 to 1e+15"},
		{Mixture{}, 1, 2, "a mixture needs at least one component"},
		{Mixture{[]float64{1}, []Dist{good, good}}, 1, 2, "a mixture has 1 weights for 2 components"},
		{Mixture{[]float64{0, 0}, []Dist{good, good}}, 1, 2, "the weights of a mixture are all 0"},
		{Mixture{[]float64{1, -1}, []Dist{good, good}}, 1, 2, "weights[1] is -1; expected 0 to 1e+09"},
		{Mixture{[]float64{1, 1}, []Dist{good, nil}}, 1, 2, "components[1] is missing"},
		{Mixture{[]float64{1, 1}, []Dist{good, Weibull{2, -3}}}, 1, 2, "components[1]: scale is -3; expected 1e-12 to 1e+15"},
	} {
		if _, err := Optimum(c.d, c.cp, c.cf); err == nil || err.Error() != c.want {
			t.Errorf("%+v: %v, want %s", c.d, err, c.want)
		}
	}
}
