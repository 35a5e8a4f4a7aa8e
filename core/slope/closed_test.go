package slope

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// invented is a small balanced example: four pads, thickness in mm at 0, 10, 20 and 30 thousand km.
var invented = [][]Point{
	{{0, 12.0}, {10, 10.9}, {20, 9.9}, {30, 8.7}},
	{{0, 11.8}, {10, 10.9}, {20, 10.2}, {30, 9.3}},
	{{0, 12.1}, {10, 10.6}, {20, 9.2}, {30, 7.8}},
	{{0, 11.9}, {10, 10.7}, {20, 9.6}, {30, 8.6}},
}

// balanced holds the closed form for groups that are all read at the same x: with b_g the groups' least-squares lines,
//
//	fixed = mean of b_g, sigma2 = sum of squares about those lines / (groups*(n-2)),
//	G = S - sigma2*(Z'Z)^-1, cov(fixed) = S/groups, S the covariance matrix of the b_g, divided by groups-1 (restricted) or groups (full),
//
// as long as that G has an inverse. Laird & Ware 1982, section 4; for one random effect it is the analysis of variance.
type balanced struct {
	fixed  [2]float64
	s, g   symmetric
	sigma2 float64
}

func closedForm(groups [][]Point, ml bool) balanced {
	var b balanced
	k, n := float64(len(groups)), float64(len(groups[0]))
	var sx, sxx float64
	for _, p := range groups[0] {
		sx += p.X
		sxx += p.X * p.X
	}
	zz := symmetric{n, sx, sxx}.inverse()
	lines := make([][2]float64, len(groups))
	for i, points := range groups {
		var sy, sxy float64
		for _, p := range points {
			sy += p.Y
			sxy += p.X * p.Y
		}
		lines[i] = zz.full().on([2]float64{sy, sxy})
		b.fixed[0] += lines[i][0] / k
		b.fixed[1] += lines[i][1] / k
		for _, p := range points {
			e := p.Y - lines[i][0] - lines[i][1]*p.X
			b.sigma2 += e * e / (k * (n - 2))
		}
	}
	if !ml {
		k--
	}
	for _, l := range lines {
		u, v := l[0]-b.fixed[0], l[1]-b.fixed[1]
		b.s = b.s.plus(symmetric{u * u, u * v, v * v}.scaled(1 / k))
	}
	b.g = b.s.plus(zz.scaled(-b.sigma2))
	return b
}

// agree compares a fit with the closed form within a part in 1e6, covariances relative to their own scale.
func (b balanced) agree(t interface {
	Helper()
	Errorf(string, ...any)
}, e Estimate) {
	t.Helper()
	near := func(what string, got, want, scale float64) {
		t.Helper()
		if !(math.Abs(got-want) <= 1e-6*scale) {
			t.Errorf("%s = %v, closed form %v", what, got, want)
		}
	}
	k := float64(e.Groups)
	near("intercept", e.Fixed[0], b.fixed[0], math.Sqrt(b.s.a))
	near("slope", e.Fixed[1], b.fixed[1], math.Sqrt(b.s.c))
	near("sigma2", e.Sigma*e.Sigma, b.sigma2, b.sigma2)
	near("var intercept", e.VarIntercept, b.g.a, b.s.a)
	near("cov", e.Cov, b.g.b, math.Sqrt(b.s.a*b.s.c))
	near("var slope", e.VarSlope, b.g.c, b.s.c)
	near("var of the fixed intercept", e.FixedCov[0][0], b.s.a/k, b.s.a/k)
	near("var of the fixed slope", e.FixedCov[1][1], b.s.c/k, b.s.c/k)
	near("their cov", e.FixedCov[0][1], b.s.b/k, math.Sqrt(b.s.a*b.s.c)/k)
}

// TestInvented: the numbers of the small example by hand. Means at the four x 11.95, 10.775, 9.725, 8.6: slope -55.5/500, level 10.2625 at 15.
func TestInvented(t *testing.T) {
	e, err := Fit(invented, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(e.Fixed[1]-(-0.111)) > 1e-9 || math.Abs(e.Fixed[0]-11.9275) > 1e-9 {
		t.Errorf("fixed = %v, want 11.9275 and -0.111", e.Fixed)
	}
	if e.Groups != 4 || e.N != 16 || e.Singular {
		t.Errorf("%+v", e)
	}
	for _, o := range []Options{{}, {ML: true}} {
		e, err := Fit(invented, o)
		b := closedForm(invented, o.ML)
		if err != nil || !(b.g.det() > 0 && b.g.a > 0) {
			t.Fatal("the example has no closed form", err, b.g)
		}
		b.agree(t, e)
	}
}

// TestBalancedClosedForm: whenever the closed form applies, the search finds it.
func TestBalancedClosedForm(t *testing.T) {
	tried := 0
	rapid.Check(t, func(t *rapid.T) {
		groups := drawBalanced(t)
		ml := rapid.Bool().Draw(t, "ml")
		b := closedForm(groups, ml)
		low, _, _ := symmetric{b.g.a / b.s.a, b.g.b / math.Sqrt(b.s.a*b.s.c), b.g.c / b.s.c}.eigen()
		if !(low > 1e-3) || !(b.sigma2 > 1e-6) {
			return
		}
		tried++
		e, err := Fit(groups, Options{ML: ml})
		if err != nil {
			t.Fatal(err)
		}
		b.agree(t, e)
	})
	if tried == 0 {
		t.Error("no example had a closed form")
	}
}

// TestBalancedDiagonal: with x about nought, intercept and slope of a diagonal G stand alone, each at its own variance of the groups' lines.
func TestBalancedDiagonal(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		groups := drawBalanced(t)
		mean := 0.0
		for _, p := range groups[0] {
			mean += p.X / float64(len(groups[0]))
		}
		for _, g := range groups {
			for i := range g {
				g[i].X -= mean
			}
		}
		b := closedForm(groups, false)
		if !(b.g.a > 1e-3*b.s.a && b.g.c > 1e-3*b.s.c && b.sigma2 > 1e-6) {
			return
		}
		b.s.b, b.g.b = 0, 0
		e, err := Fit(groups, Options{Uncorrelated: true})
		if err != nil {
			t.Fatal(err)
		}
		b.agree(t, e)
	})
}

// drawBalanced draws three to eight groups of three to seven readings at the same x.
func drawBalanced(t *rapid.T) [][]Point {
	n := rapid.IntRange(3, 7).Draw(t, "readings")
	xs := make([]float64, n)
	for i := range xs {
		xs[i] = float64(3*i) + 1 + thousandths.Draw(t, "x")
	}
	groups := make([][]Point, rapid.IntRange(3, 8).Draw(t, "groups"))
	draw := thousandths
	scatter := rapid.Float64Range(0.05, 2).Draw(t, "scatter")
	for i := range groups {
		a, b := 5*draw.Draw(t, "a"), draw.Draw(t, "b")
		for _, x := range xs {
			groups[i] = append(groups[i], Point{x, 20 + a + (b-1)*x + scatter*draw.Draw(t, "e")})
		}
	}
	return groups
}
