package slope

import (
	"errors"
	"math"
	"slices"
	"testing"
)

func TestRefusals(t *testing.T) {
	line := func(a, b float64, xs ...float64) (out []Point) {
		for _, x := range xs {
			out = append(out, Point{x, a + b*x})
		}
		return out
	}
	for name, tt := range map[string]struct {
		groups [][]Point
		want   error
	}{
		"nothing":              {nil, ErrFew},
		"empty groups":         {[][]Point{{}, {}}, ErrFew},
		"two readings":         {[][]Point{{{1, 2}}, {{2, 3}}}, ErrFew},
		"one group":            {[][]Point{{{1, 2}, {2, 3}, {3, 5}}}, ErrOne},
		"one with an empty":    {[][]Point{{{1, 2}, {2, 3}, {3, 5}}, {}}, ErrOne},
		"all x equal":          {[][]Point{{{1, 2}, {1, 3}, {1, 5}}, {{1, 2}, {1, 4}}}, ErrSameX},
		"two each":             {[][]Point{{{1, 2}, {2, 3}}, {{1, 2}, {2, 5}}, {{1, 1}, {3, 2}}}, ErrNoSpare},
		"one each":             {[][]Point{{{1, 2}}, {{2, 3}}, {{3, 3}}}, ErrNoSpare},
		"all y equal":          {[][]Point{{{1, 2}, {2, 2}, {3, 2}}, {{1, 2}, {2, 2}}}, ErrExact},
		"one common line":      {[][]Point{line(12, -0.1, 1, 2, 3, 7), line(12, -0.1, 1, 2, 8)}, ErrExact},
		"exact lines":          {[][]Point{line(12.3, -0.1, 1, 2, 3, 7), line(11.7, -0.3, 1, 2, 8), line(9, 0.7, 2, 5, 6)}, ErrExact},
		"exact lines, far off": {[][]Point{line(12.3, -0.1, 738001, 738002, 738003.7), line(11.7, -0.3, 738001, 738002.1, 738008)}, ErrExact},
		"exact repeats":        {[][]Point{{{1, 3}, {1, 3}, {2, 4}}, {{1, 5}, {3, 5}, {3, 5}}}, ErrExact},
		"not a number":         {[][]Point{{{1, math.NaN()}, {1, 3}, {2, 4}}, {{1, 5}}}, ErrNumber},
		"infinite":             {[][]Point{{{math.Inf(1), 1}, {1, 3}, {2, 4}}, {{1, 5}}}, ErrNumber},
		"too large":            {[][]Point{{{1, 1e308}, {2, -1e308}, {3, 1e308}}, {{1, 5}, {2, 1e308}, {3, 1}}}, ErrScale},
	} {
		for variant, o := range variants {
			if e, err := Fit(tt.groups, o); !errors.Is(err, tt.want) || e.N != 0 {
				t.Errorf("%s, %s: %+v, %v; want %v", name, variant, e, err, tt.want)
			}
		}
	}
}

// TestNoDifference: when the groups do not differ more than their scatter, all spread is nought and the line is that of least squares.
func TestNoDifference(t *testing.T) {
	same := []Point{{0, 12.1}, {10, 10.8}, {20, 10.1}, {30, 8.9}}
	for variant, o := range variants {
		e, err := Fit([][]Point{same, same, same}, o)
		if err != nil || !e.Singular || e.VarIntercept != 0 || e.VarSlope != 0 || e.Cov != 0 {
			t.Errorf("%s: %+v, %v", variant, e, err)
		}
		if math.Abs(e.Fixed[1]+0.103) > 1e-9 || math.Abs(e.Fixed[0]-12.02) > 1e-9 { // by hand: -51.5/500, 10.475 + 15*0.103
			t.Errorf("%s: fixed %v, want 12.02 and -0.103", variant, e.Fixed)
		}
	}
}

// TestOrderDoesNotMatter: groups in another order and empty groups between give the same model, and each its own line.
func TestOrderDoesNotMatter(t *testing.T) {
	a, err := Fit(invented, Options{})
	if err != nil {
		t.Fatal(err)
	}
	turned := slices.Clone(invented)
	slices.Reverse(turned)
	turned = slices.Insert(turned, 1, []Point{})
	before := slices.Clone(turned[0])
	b, err := Fit(turned, Options{})
	if err != nil || b.Groups != 4 || len(b.Lines) != 5 {
		t.Fatalf("%+v, %v", b, err)
	}
	for i, j := range map[int]int{0: 3, 2: 2, 3: 1, 4: 0} {
		if math.Abs(b.Lines[i].Mean[0]-a.Lines[j].Mean[0]) > 1e-6 || math.Abs(b.Lines[i].Mean[1]-a.Lines[j].Mean[1]) > 1e-7 {
			t.Errorf("line %d is %v, before %v", i, b.Lines[i], a.Lines[j])
		}
	}
	if l := b.Lines[1]; l.Mean != b.Fixed || math.Abs(l.Cov[1][1]-b.VarSlope-b.FixedCov[1][1]) > 1e-9 {
		t.Errorf("a group without readings has %+v, want the mean line and its full spread", l)
	}
	if !slices.Equal(before, turned[0]) {
		t.Error("the readings were changed")
	}
}

// TestTinyScatter: scatter a millionth of what the groups differ by is still measured.
func TestTinyScatter(t *testing.T) {
	groups := fleet(40, 6)
	for i, g := range groups {
		for j := range g {
			e := float64((i*7+j*j*5)%11-5) * 1e-7
			g[j].Y = 12 - float64(i%5) - (0.1+0.01*float64(i%7))*g[j].X + e
		}
	}
	for variant, o := range variants {
		e, err := Fit(groups, o)
		if err != nil || !(e.Sigma > 1e-7 && e.Sigma < 5e-7) || e.Singular {
			t.Errorf("%s: sigma %v, %v", variant, e.Sigma, err)
		}
	}
}
