package life

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
)

// dense is the posterior by brute force: the trapezoid rule on an even grid that is fitted to the posterior by zooming, with the
// likelihood written down naively. It shares nothing with the package but the formulas of the models.
type dense struct {
	m                Model
	prior            Prior
	obs              []Observation
	w0, w1, m0, m1   float64
	p                [][]float64 // rows over w of columns over mu, adding up to 1
	logMarginal, top float64
}

func (d *dense) share(z float64) (below, above float64) {
	switch d.m {
	case Lognormal:
		return 0.5 * math.Erfc(-z/math.Sqrt2), 0.5 * math.Erfc(z/math.Sqrt2)
	case Loglogistic:
		return 1 / (1 + math.Exp(-z)), 1 / (1 + math.Exp(z))
	}
	e := math.Exp(math.Min(z, 700))
	return -math.Expm1(-e), math.Exp(-e)
}

func (d *dense) logDensity(w, mu float64) float64 {
	sigma := math.Exp(w)
	a, b := (d.m.logSigma(w)-d.prior.LogShapeMean)/d.prior.LogShapeSD, (mu-d.prior.LogScaleMean)/d.prior.LogScaleSD
	v := -0.5*a*a - 0.5*b*b - math.Log(2*math.Pi*d.prior.LogShapeSD*d.prior.LogScaleSD)
	for _, o := range d.obs {
		z := func(x float64) float64 { return (math.Log(x) - mu) / sigma }
		se, sp := orOne(o.Sensitivity), orOne(o.Specificity)
		p := 0.0
		switch o.Kind {
		case Clear:
			f, s := d.share(z(o.At))
			p = (1-se)*f + sp*s
		case Dark:
			f, s := d.share(z(o.At))
			p = se*f + (1-sp)*s
		case Between:
			f0, s0 := d.share(z(o.Lower))
			f1, s1 := d.share(z(o.Upper))
			p = math.Max(f1-f0, s0-s1)
		case Exact:
			j, _ := d.m.at(z(o.At))
			p = math.Exp(j.v) / sigma / o.At
		case Steps:
			last := 0.0
			for k, weight := range o.Weights {
				here := 1.0
				if k < len(o.Breaks) {
					here, _ = d.share(z(o.Breaks[k]))
				}
				p += weight * (here - last)
				last = here
			}
		}
		v += o.count() * math.Log(math.Max(p, 1e-320))
	}
	return v
}

// scan evaluates on n by n points and gives the indices whose density is within 30 of the top.
func (d *dense) scan(n int) (first, last [2]int) {
	d.p, d.top = make([][]float64, n), math.Inf(-1)
	for i := range n {
		d.p[i] = make([]float64, n)
		for j := range n {
			v := d.logDensity(d.w0+(d.w1-d.w0)*float64(i)/float64(n-1), d.m0+(d.m1-d.m0)*float64(j)/float64(n-1))
			d.p[i][j], d.top = v, math.Max(d.top, v)
		}
	}
	first, last = [2]int{n, n}, [2]int{}
	for i := range n {
		for j := range n {
			if d.p[i][j] > d.top-30 {
				first[0], first[1], last[0], last[1] = min(first[0], i), min(first[1], j), max(last[0], i), max(last[1], j)
			}
		}
	}
	return first, last
}

func newDense(m Model, prior Prior, obs []Observation, n int) *dense {
	w := m.logSigma(prior.LogShapeMean)
	d := &dense{m: m, prior: prior, obs: obs, w0: w - 10*prior.LogShapeSD, w1: w + 10*prior.LogShapeSD,
		m0: prior.LogScaleMean - 10*prior.LogScaleSD, m1: prior.LogScaleMean + 10*prior.LogScaleSD}
	for range 4 {
		const coarse = 120
		first, last := d.scan(coarse)
		dw, dm := (d.w1-d.w0)/(coarse-1), (d.m1-d.m0)/(coarse-1)
		d.w0, d.w1 = d.w0+dw*float64(first[0]-1), d.w0+dw*float64(last[0]+1)
		d.m0, d.m1 = d.m0+dm*float64(first[1]-1), d.m0+dm*float64(last[1]+1)
	}
	d.scan(n)
	sum := 0.0
	for i := range d.p {
		for j := range d.p[i] {
			d.p[i][j] = math.Exp(d.p[i][j] - d.top)
			sum += d.p[i][j]
		}
	}
	for i := range d.p {
		for j := range d.p[i] {
			d.p[i][j] /= sum
		}
	}
	d.logMarginal = d.top + math.Log(sum*(d.w1-d.w0)*(d.m1-d.m0)/float64((n-1)*(n-1)))
	return d
}

// survival is the predictive probability; life the posterior distribution of mu + z*sigma, cells cut linearly.
func (d *dense) each(f func(w, mu, p float64)) {
	n := float64(len(d.p) - 1)
	for i := range d.p {
		for j, p := range d.p[i] {
			if p > 1e-16 {
				f(d.w0+(d.w1-d.w0)*float64(i)/n, d.m0+(d.m1-d.m0)*float64(j)/n, p)
			}
		}
	}
}

func (d *dense) survival(y float64) (sum float64) {
	d.each(func(w, mu, p float64) {
		_, s := d.share((y - mu) * math.Exp(-w))
		sum += p * s
	})
	return sum
}

// life is the posterior distribution function of mu + z*sigma: rows are summed up over cells, with the second difference that makes a
// cell's integral of its middle value, and cut by a cubic through four sums.
func (d *dense) life(z, y float64) (total float64) {
	n := len(d.p)
	h := (d.m1 - d.m0) / float64(n-1)
	for i, row := range d.p {
		at := (y-z*math.Exp(d.w0+(d.w1-d.w0)*float64(i)/float64(n-1))-d.m0)/h + 0.5 // in cells from the row's left end
		k := int(math.Floor(math.Max(-4, math.Min(at, float64(n+4)))))
		sum, sums := 0.0, [4]float64{}
		for j := 0; j <= min(k+1, n-1); j++ {
			if from := j - (k - 1); from >= 0 {
				sums[from] = sum
			}
			left, right := row[max(j-1, 0)], row[min(j+1, n-1)]
			sum += row[j] + (right-2*row[j]+left)/24
		}
		switch {
		case k >= n-2:
			total += sum
		case k >= 1:
			sums[3] = sum
			t := at - float64(k)
			total += -sums[0]*t*(t-1)*(t-2)/6 + sums[1]*(t+1)*(t-1)*(t-2)/2 - sums[2]*(t+1)*t*(t-2)/2 + sums[3]*(t+1)*t*(t-1)/6
		}
	}
	return total
}

func looksAt(n int, seed uint64, shape, scale, lo, hi, se, sp float64) (obs []Observation) {
	r := rand.New(rand.NewPCG(seed, 2))
	for range n {
		at := math.Round(lo + (hi-lo)*r.Float64())
		dark := scale*math.Pow(r.ExpFloat64(), 1/shape) <= at
		says := r.Float64() >= sp
		if dark {
			says = r.Float64() < se
		}
		o := Observation{Kind: Clear, At: at, Sensitivity: se, Specificity: sp}
		if says {
			o.Kind = Dark
		}
		obs = append(obs, o)
	}
	return obs
}

func clears(at ...float64) (obs []Observation) {
	for _, x := range at {
		obs = append(obs, Observation{Kind: Clear, At: x})
	}
	return obs
}

func darks(at ...float64) (obs []Observation) {
	for _, x := range at {
		obs = append(obs, Observation{Kind: Dark, At: x})
	}
	return obs
}

func with(parts ...[]Observation) (obs []Observation) {
	for _, p := range parts {
		obs = append(obs, p...)
	}
	return obs
}

// TestPosteriorAgainstDenseGrid compares hard cases with brute force: the log marginal likelihood to 1e-6, and quantiles by the
// probability that the dense grid gives them.
func TestPosteriorAgainstDenseGrid(t *testing.T) {
	ln := math.Log
	wide := Prior{ln(2), 0.8, ln(15000), 1.2}
	exact := func(at ...float64) (obs []Observation) {
		for _, x := range at {
			obs = append(obs, Observation{Kind: Exact, At: x})
		}
		return obs
	}
	tests := []struct {
		name  string
		prior Prior
		obs   []Observation
		fine  int // points of the dense grid a side; 0 means 120
	}{
		{"wide prior", wide, nil, 280},
		{"wide prior, one dark", wide, darks(9000), 280},
		{"wide prior, both", wide, with(clears(8000), darks(20000)), 280},
		{"tight prior", Prior{ln(2.5), 1e-3, ln(15000), 1e-3}, with(clears(8000), darks(14000)), 0},
		{"tight scale", Prior{ln(2.5), 0.4, ln(15000), 0.06}, with(clears(8000), darks(14000)), 280},
		{"tight shape", Prior{ln(2.5), 0.01, ln(15000), 0.6}, with(clears(8000), darks(14000)), 0},
		{"contradiction", Prior{ln(6), 0.3, ln(15000), 0.2}, with(darks(4000, 4500), clears(30000, 28000, 32000)), 0},
		{"far beyond the prior", oil, clears(120000, 120000, 120000), 0},
		{"far both ways", oil, with(darks(500, 500), clears(90000)), 0},
		{"looks that err", oil, looksAt(40, 5, 2.8, 13000, 3000, 24000, 0.85, 0.9), 0},
		{"looks that err contradict", oil, looksAt(7, 9, 0.5, 13000, 3000, 24000, 0.97, 0.99), 0},
		{"many looks", oil, looksAt(120, 7, 2.8, 13000, 3000, 24000, 1, 1), 0},
		{"exact lives", oil, with(exact(9000, 11000), clears(15000)), 0},
		{"equal exact lives", oil, exact(12000, 12000, 12000, 12000, 12000), 280},
		{"narrow interval", oil, []Observation{{Kind: Between, Lower: 12000, Upper: 12010}, {Kind: Between, Lower: 8000, Upper: 13000, Count: 3}}, 280},
		{"steps", oil, []Observation{{Kind: Steps, Breaks: []float64{6000, 9000, 12000}, Weights: []float64{0.02, 0.3, 0.9, 0.05}}, {Kind: Steps, Breaks: []float64{7000, 9000}, Weights: []float64{0, 1, 0}, Count: 2}}, 0},
		{"steps that the prior all but rules out", Prior{1.1624750448390841, 0.32038017539071006, 8.032241821289062, 0.2394309937953949}, []Observation{
			{Kind: Steps, Breaks: []float64{1667, 2500.5}, Weights: []float64{1e-6, 0.3, 0.1}, Count: 2},
			{Kind: Steps, Breaks: []float64{7941, 11911.5}, Weights: []float64{1e-6, 0.3, 0.1}, Count: 2},
			{Kind: Clear, At: 5327, Sensitivity: 0.15625, Specificity: 0.3700486113291718, Count: 2}}, 400},
	}
	for _, tt := range tests {
		for _, m := range models {
			prior := tt.prior
			if m == Lognormal {
				prior.LogShapeMean = -prior.LogShapeMean
			}
			p, err := NewPosterior(m, prior, tt.obs)
			if err != nil {
				t.Errorf("%s %v: %v", tt.name, m, err)
				continue
			}
			d := newDense(m, prior, tt.obs, max(tt.fine, 120))
			at := fmt.Sprintf("%s, %v (%d rows)", tt.name, m, len(p.grid.rows))
			if diff := p.LogMarginal() - d.logMarginal; !(math.Abs(diff) < 1e-6) {
				t.Errorf("%s: log marginal %.9f, dense grid %.9f", at, p.LogMarginal(), d.logMarginal)
			}
			for _, q := range []float64{0.05, 0.5} {
				if got := 1 - d.survival(math.Log(p.Quantile(q))); !(math.Abs(got-q) < 3e-6) {
					t.Errorf("%s: the %v quantile has probability %.8f", at, q, got)
				}
			}
			for _, lifeP := range []float64{0.05, 0.1} {
				for _, q := range []float64{0.025, 0.5, 0.95} {
					if got := d.life(m.quantile(lifeP), math.Log(p.LifeQuantile(lifeP, q))); !(math.Abs(got-q) < 3e-5) {
						t.Errorf("%s: the %v quantile of the %v life has probability %.8f", at, q, lifeP, got)
					}
				}
			}
		}
	}
}
