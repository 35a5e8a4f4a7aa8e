package score

import "math"

// edges bound the classes of chances that a calibration plot shows; small chances, the usual ones, are told apart best.
var edges = [...]float64{0, 0.02, 0.05, 0.1, 0.2, 0.35, 0.5, 0.7, 1}

// Chances collects chances and whether it happened. Its zero value is ready.
type Chances struct {
	n        [len(edges) - 1]int
	said     [len(edges) - 1]float64
	happened [len(edges) - 1]float64
	brier    float64
}

// Add takes in one chance from 0 to 1 and what happened. What is no chance is left out.
func (c *Chances) Add(chance float64, happened bool) {
	if !(chance >= 0 && chance <= 1) {
		return
	}
	i := 0
	for i < len(c.n)-1 && chance >= edges[i+1] {
		i++
	}
	x := 0.0
	if happened {
		x = 1
	}
	c.n[i]++
	c.said[i] += chance
	c.happened[i] += x
	c.brier += (chance - x) * (chance - x)
}

// Join adds what another collected.
func (c *Chances) Join(o *Chances) {
	for i := range c.n {
		c.n[i] += o.n[i]
		c.said[i] += o.said[i]
		c.happened[i] += o.happened[i]
	}
	c.brier += o.brier
}

// Calibration says how chances did.
type Calibration struct {
	N int
	// Expected is how often it was to happen by the chances, SE its standard error if they are right; Happened how often it did.
	Expected, SE float64
	Happened     int
	// Brier is the mean squared distance between chance and outcome: 0 is perfect, always saying a half gives 0.25.
	Brier float64
	// Points has a point for each class of chances that occurred.
	Points []Point
}

// Calibration sums up.
func (c *Chances) Calibration() Calibration {
	var out Calibration
	variance := 0.0
	for i, n := range c.n {
		if n == 0 {
			continue
		}
		said, was := c.said[i]/float64(n), c.happened[i]/float64(n)
		out.N += n
		out.Expected += c.said[i]
		out.Happened += int(c.happened[i])
		variance += c.said[i] * (1 - said)
		out.Points = append(out.Points, Point{said, was, n})
	}
	if out.N > 0 {
		out.SE, out.Brier = math.Sqrt(variance), c.brier/float64(out.N)
	}
	return out
}
