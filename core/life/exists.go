package life

import (
	"fmt"
	"math"
)

// The likelihood of every model here is log-concave in alpha = mu/sigma and beta = 1/sigma, because the density of ln T is
// log-concave (for an interval by Prekopa's theorem). So a finite maximum is missing in exactly these cases (the directions of
// recession of a concave function; Silvapulle & Burridge, J. R. Statist. Soc. B 48 (1986) 100, for grouped and ungrouped data):
//
//  1. some exposure c agrees with all looks, their sets taken closed: [0, upper], [lower, inf), [lower, upper], {t}. Then sigma -> 0
//     with mu = ln c (and for exact lives the density grows without bound). Only clear or only turned looks belong here.
//  2. there are only clear and turned looks, and the turned ones do not come later on average (mean of ln t). Then sigma -> inf: the
//     maximum on the boundary beta = 0 has F = turned/all, and the derivative there in beta is proportional to the difference of the
//     two means.

// alike is how far apart two logarithms must be to be told apart.
const alike = 1e-12

// missing says why there is no finite maximum, and "" when there is one.
func (s *sorted) missing() string {
	if s.looks == 0 {
		return "there are no looks that say anything"
	}
	low, high := math.Inf(-1), math.Inf(1)
	for _, x := range s.exact {
		low, high = max(low, x.y), min(high, x.y)
	}
	for _, x := range s.above {
		low = max(low, x.y)
	}
	for _, x := range s.below {
		high = min(high, x.y)
	}
	for _, x := range s.between {
		low, high = max(low, x.a), min(high, x.b)
	}
	if low <= high+alike*(1+math.Abs(high)) {
		return s.agreement(math.Exp(high))
	}
	if len(s.exact) == 0 && len(s.between) == 0 {
		turned, clear := mean(s.below), mean(s.above)
		if turned-clear <= alike*(1+math.Abs(turned)) {
			return fmt.Sprintf("reversed: what had turned was not looked at later (%.6g on average) than what was still good (%.6g), so the likelihood only grows while the spread does",
				math.Exp(turned), math.Exp(clear))
		}
	}
	return ""
}

// agreement words the first case; high is the smallest upper end.
func (s *sorted) agreement(high float64) string {
	switch {
	case len(s.exact) > 0:
		return fmt.Sprintf("all looks agree with one life of %.6g, so the likelihood grows without bound as the spread goes to nothing", high)
	case len(s.below) == 0 && len(s.between) == 0:
		return "only looks at what was still good: the likelihood only grows as the life does, so nothing bounds it from above"
	case len(s.above) == 0 && len(s.between) == 0:
		return "only looks at what had turned already: the likelihood only grows as the life shrinks, so nothing bounds it from below"
	}
	return fmt.Sprintf("separated: every look agrees with one and the same life (%.6g for instance), so the likelihood only grows as the spread goes to nothing", high)
}

func mean(spots []spot) float64 {
	// Relative to the first, so that equal ones have exactly their own value as mean.
	sum, n := 0.0, 0.0
	for _, x := range spots {
		sum += x.n * (x.y - spots[0].y)
		n += x.n
	}
	return spots[0].y + sum/n
}
