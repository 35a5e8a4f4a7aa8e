package slope

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"
)

// dense is the log-likelihood as textbooks write it, from the full covariance matrix of each group's readings: slow, and nothing in common
// with the criterion. Laird & Ware 1982, equations 2.1 and 3.1; Harville, Biometrika 61 (1974) 383, restricted.
func dense(groups [][]Point, o Options, g symmetric, sigma2 float64) float64 {
	var a symmetric
	var b [2]float64
	q, logDet, n := 0.0, 0.0, 0.0
	for _, points := range groups {
		m := len(points)
		aug := make([][]float64, m) // V beside 1, x, y
		for i, p := range points {
			aug[i] = make([]float64, m+3)
			for j, o := range points {
				aug[i][j] = g.a + g.b*(p.X+o.X) + g.c*p.X*o.X
			}
			aug[i][i] += sigma2
			aug[i][m], aug[i][m+1], aug[i][m+2] = 1, p.X, p.Y
		}
		for i := range m { // V is positive definite: no pivots are needed
			logDet += math.Log(aug[i][i])
			for k := i + 1; k < m; k++ {
				f := aug[k][i] / aug[i][i]
				for j := i; j < m+3; j++ {
					aug[k][j] -= f * aug[i][j]
				}
			}
			one, x, y, d := aug[i][m], aug[i][m+1], aug[i][m+2], aug[i][i]
			a = a.plus(symmetric{one * one, one * x, x * x}.scaled(1 / d))
			b[0] += one * y / d
			b[1] += x * y / d
			q += y * y / d
		}
		n += float64(m)
	}
	line := a.inverse().full().on(b)
	rss := q - b[0]*line[0] - b[1]*line[1]
	if o.ML {
		return -(logDet + rss + n*math.Log(2*math.Pi)) / 2
	}
	return -(logDet + rss + (n-2)*math.Log(2*math.Pi) + math.Log(a.det())) / 2
}

// drawUneven draws groups of one to six readings at any x; some differ little, so that singular fits are among them.
func drawUneven(t *rapid.T) [][]Point {
	groups := make([][]Point, rapid.IntRange(3, 9).Draw(t, "groups"))
	draw := thousandths
	ua, ub := rapid.SampledFrom([]float64{0, 0.1, 3}).Draw(t, "ua"), rapid.SampledFrom([]float64{0, 0.02, 0.5}).Draw(t, "ub")
	for i := range groups {
		a, b := ua*draw.Draw(t, "a"), ub*draw.Draw(t, "b")
		for range rapid.IntRange(1, 6).Draw(t, "readings") {
			x := 5 + 5*draw.Draw(t, "x")
			groups[i] = append(groups[i], Point{x, 10 + a + (b-0.5)*x + draw.Draw(t, "e")})
		}
	}
	return groups
}

// thousandths from -1 to 1 are what a gauge shows.
var thousandths = rapid.Map(rapid.IntRange(-1000, 1000), func(i int) float64 { return float64(i) / 1000 })

// sloping counts the groups that have a line of their own, and the readings beyond those that it needs.
func sloping(groups [][]Point) (lines, spare int) {
	for _, g := range groups {
		spare += max(0, len(g)-2)
		for _, p := range g {
			if p.X != g[0].X {
				lines++
				break
			}
		}
	}
	return lines, spare
}

// comparableFit leaves out readings that all but determine their lines exactly, which dense has not the digits for, and those that
// leave ridges in the likelihood: fewer than three groups with lines of their own, or next to no reading to spare.
func comparableFit(groups [][]Point, e Estimate) bool {
	lines, spare := sloping(groups)
	return e.Sigma > 1e-2 && e.VarIntercept+100*e.VarSlope < 1e4*e.Sigma*e.Sigma && lines >= 3 && spare >= 3
}

func drawOptions(t *rapid.T) Options {
	return Options{ML: rapid.Bool().Draw(t, "ml"), Uncorrelated: rapid.Bool().Draw(t, "uncorrelated")}
}

// TestLikelihoodIsTheTextbooks, and no other parameters that were tried have a higher one.
func TestLikelihoodIsTheTextbooks(t *testing.T) {
	fitted := 0
	rapid.Check(t, func(t *rapid.T) {
		groups, o := drawUneven(t), drawOptions(t)
		e, err := Fit(groups, o)
		if err != nil || !comparableFit(groups, e) {
			return
		}
		fitted++
		at := dense(groups, o, symmetric{e.VarIntercept, e.Cov, e.VarSlope}, e.Sigma*e.Sigma)
		if math.Abs(at-e.LogLik) > 1e-6*(1+math.Abs(at)) {
			t.Fatalf("log-likelihood %v, by the full matrices %v", e.LogLik, at)
		}
		for range 40 {
			f := matrix{{rapid.Float64Range(0, 8).Draw(t, "f11"), 0}, {0, rapid.Float64Range(0, 1.5).Draw(t, "f22")}}
			if !o.Uncorrelated {
				f[1][0] = rapid.Float64Range(-1.5, 1.5).Draw(t, "f21")
			}
			sigma2 := e.Sigma * e.Sigma * rapid.Float64Range(0.3, 2).Draw(t, "sigma2")
			if other := dense(groups, o, f.square(), sigma2); other > e.LogLik+1e-6*(1+math.Abs(other)) {
				t.Fatalf("%+v: log-likelihood %v, but %v at %v, %v", o, e.LogLik, other, f.square(), sigma2)
			}
		}
	})
	if fitted == 0 {
		t.Error("nothing was fitted")
	}
}

// TestUnitsDoNotMatter: other units and noughts of x and y, and a line added to y, change the answer as they must and nothing else.
func TestUnitsDoNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		groups, o := drawUneven(t), drawOptions(t)
		e, err := Fit(groups, o)
		sx, sy := math.Exp(rapid.Float64Range(-12, 12).Draw(t, "ln x unit")), math.Exp(rapid.Float64Range(-12, 12).Draw(t, "ln y unit"))
		up, tilt := rapid.Float64Range(-9, 9).Draw(t, "up"), rapid.Float64Range(-2, 2).Draw(t, "tilt")
		along := rapid.Float64Range(-9, 9).Draw(t, "along")
		if o.Uncorrelated {
			along = 0 // the nought of x is part of that model
		}
		other := make([][]Point, len(groups))
		for i, g := range groups {
			for _, p := range g {
				other[i] = append(other[i], Point{sx * (p.X + along), sy * (p.Y + up + tilt*p.X)})
			}
		}
		f, err2 := Fit(other, o)
		if !errors.Is(err2, err) && (err != nil || comparableFit(groups, e)) {
			t.Fatalf("%v becomes %v", err, err2)
		}
		if err != nil || !comparableFit(groups, e) {
			return
		}
		near := func(what string, got, want, scale float64) {
			t.Helper()
			if !(math.Abs(got-want) <= 1e-4*scale) {
				t.Fatalf("%+v: %s = %v, want %v", o, what, got, want)
			}
		}
		nu := float64(e.N)
		logs := nu * math.Log(sy)
		if !o.ML {
			logs += math.Log(sx) - 2*math.Log(sy)
		}
		near("log-likelihood", f.LogLik, e.LogLik-logs, 1e-3*(1+math.Abs(e.LogLik)))
		b := sy * (e.Fixed[1] + tilt) / sx
		a := sy*(e.Fixed[0]+up) - b*sx*along
		near("slope", f.Fixed[1], b, sy/sx*(1+math.Abs(tilt)))
		near("intercept", f.Fixed[0], a, sy*(10+math.Abs(along)))
		near("sigma", f.Sigma, sy*e.Sigma, sy*e.Sigma)
		if l, m := e.Lines[0], f.Lines[0]; !e.Singular && !f.Singular {
			was, v := l.At(3)
			is, w := m.At(sx * (3 + along))
			near("level of a line", is, sy*(was+up+tilt*3), sy*(10+math.Sqrt(v)))
			near("its variance", w, sy*sy*v, sy*sy*(v+e.Sigma*e.Sigma))
		}
	})
}

// TestNothingBreaks: whatever finite numbers come, and others too, the answer is an error with a sentence or finite.
func TestNothingBreaks(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		value := rapid.OneOf(rapid.Float64(), rapid.SampledFrom([]float64{0, 1, 2, 3, 1e-300, -1e-300, 1e300, math.MaxFloat64, -math.MaxFloat64,
			math.SmallestNonzeroFloat64, 1e15, 1e15 + 1, math.NaN(), math.Inf(1)}), rapid.Float64Range(-10, 10))
		kinds := rapid.SampledFrom([]*rapid.Generator[float64]{value, rapid.SampledFrom([]float64{0, 1, 2}), rapid.Float64Range(-1e9, 1e9),
			rapid.Float64Range(1e-200, 3e-200), rapid.Float64Range(1e15, 1e15+9), rapid.Float64Range(-1e160, 1e160)})
		xs, ys := kinds.Draw(t, "kind of x"), kinds.Draw(t, "kind of y")
		groups := make([][]Point, rapid.IntRange(0, 5).Draw(t, "groups"))
		for i := range groups {
			for range rapid.IntRange(0, 5).Draw(t, "readings") {
				groups[i] = append(groups[i], Point{xs.Draw(t, "x"), ys.Draw(t, "y")})
			}
		}
		e, err := Fit(groups, drawOptions(t))
		if err != nil {
			if err.Error() == "" {
				t.Fatal("refused without a word")
			}
			return
		}
		if !e.finite() || e.VarIntercept < 0 || e.VarSlope < 0 || len(e.Lines) != len(groups) {
			t.Fatalf("%+v", e)
		}
	})
}
