package outlook

import "math"

// probabilities at which a law of what comes is asked exactly; between them it is read off in straight lines over the normal
// score. The risks and ranges that are shown stand among them.
var probabilities = [...]float64{0.001, 0.01, 0.05, 0.1, 0.2, 0.5, 0.8, 0.9, 0.95, 0.995}

var scoresOf = func() (out [len(probabilities)]float64) {
	for i, p := range probabilities {
		out[i] = score(p)
	}
	return out
}()

// score is the normal score of a probability.
func score(p float64) float64 {
	return math.Sqrt2 * math.Erfinv(2*math.Max(1e-6, math.Min(1-1e-6, p))-1)
}

// table is a law of what comes with its quantiles worked out once.
type table struct {
	coming
	x [len(probabilities)]float64
}

func tabulate(f coming) *table {
	t := &table{coming: f}
	for i, p := range probabilities {
		t.x[i] = f.Quantile(p)
		if i > 0 && (math.IsInf(t.x[i-1], 1) || t.x[i] < t.x[i-1]) {
			t.x[i] = t.x[i-1]
		}
	}
	return t
}

// Quantile reads a quantile off.
func (t *table) Quantile(q float64) float64 { return t.atScore(score(q)) }

func (t *table) atScore(z float64) float64 {
	n := len(scoresOf)
	i := 0
	for i < n-2 && z > scoresOf[i+1] {
		i++
	}
	a, b := t.x[i], t.x[i+1]
	if z <= scoresOf[i] {
		return a
	}
	if z == scoresOf[i+1] || a == b {
		return b
	}
	if math.IsInf(b, 1) {
		return b
	}
	if z > scoresOf[n-1] {
		return b + (b-a)*(z-scoresOf[n-1])/(scoresOf[n-1]-scoresOf[n-2])
	}
	return a + (b-a)*(z-scoresOf[i])/(scoresOf[i+1]-scoresOf[i])
}

// combinedScores are the normal scores of the distances that stand for a law.
var combinedScores = func() (out [combined]float64) {
	for i := range out {
		out[i] = score((float64(i) + 0.5) / combined)
	}
	return out
}()
