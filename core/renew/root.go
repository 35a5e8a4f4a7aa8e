package renew

import "math"

// root finds where g rises through 0 between the ages a and b, g(a) < 0 <= g(b), to about 1e-13 of the age. On the scale
// of ln t it never takes more than one step beyond halving, and mostly some eight in all.
// Source: the ITP method of Oliveira & Takahashi, ACM Transactions on Mathematical Software 47 (2021), article 5.
func root(g func(float64) float64, a, b float64) float64 {
	la, lb := math.Log(a), math.Log(b)
	ya, yb := g(a), g(b)
	near := 2e-14 * math.Max(1, math.Max(math.Abs(la), math.Abs(lb))/8)
	first := lb - la
	if !(first > 2*near) {
		return b
	}
	steps := math.Ceil(math.Log2(first/(2*near))) + 1
	for j := 0.0; lb-la > 2*near && j < 200; j++ {
		x := guess(la, lb, ya, yb, first, near*math.Exp2(steps-j))
		if y := g(math.Exp(x)); y < 0 {
			la, ya = x, y
		} else {
			lb, yb = x, y
		}
	}
	return math.Exp(la + (lb-la)/2)
}

// guess is the next point: the secant's, drawn a little towards the middle, and not further from it than leaves the
// bracket as small as halving would have made it one step ago.
func guess(la, lb, ya, yb, first, reach float64) float64 {
	middle := la + (lb-la)/2
	secant := (yb*la - ya*lb) / (yb - ya)
	if !(secant > la && secant < lb) { // also where g is infinite
		return middle
	}
	side := 1.0
	if secant > middle {
		side = -1
	}
	x := middle
	if pull := 0.2 / first * (lb - la) * (lb - la); pull <= math.Abs(middle-secant) {
		x = secant + side*pull
	}
	if room := math.Max(0, reach-(lb-la)/2); math.Abs(x-middle) > room {
		x = middle - side*room
	}
	return x
}
