package nextlook

import "math"

// grid is the full dynamic programme over all states: 2^causes * 3^checks values, each looked at once. It has no bad cases, which the
// pruned search has; it only needs the room.
type grid struct {
	s     *solver
	n     int   // masks
	power []int // 3^check
	value []float64
}

// gridStates is the number of states of a case; it is infinite when that is more than an int holds.
func gridStates(c Case) float64 {
	return math.Exp2(float64(len(c.Prior))) * math.Pow(3, float64(len(c.Checks)))
}

// newGrid fills the table. A state's outcomes are the digits of a number to the base 3: not looked, positive, negative. More outcomes and more
// causes ruled out are larger numbers, so going down meets every successor first.
func newGrid(c Case) *grid {
	g := &grid{s: newSolver(c, 0), n: 1 << len(c.Prior)}
	all := 1
	for range c.Checks {
		g.power = append(g.power, all)
		all *= 3
	}
	g.value = make([]float64, all*g.n)
	w, total := make([]float64, len(c.Prior)), make([]float64, g.n)
	for res := all - 1; res >= 0; res-- {
		g.weights(res, w)
		for mask := g.n - 1; mask >= 0; mask-- { // total[mask]: weight of the causes that are not in mask
			total[mask] = 0
			if free := ^mask & (g.n - 1); free != 0 {
				low := free & -free
				total[mask] = total[mask|low] + w[lowest(low)]
			}
		}
		g.fill(res, total)
	}
	return g
}

func lowest(bit int) (i int) {
	for bit > 1 {
		bit >>= 1
		i++
	}
	return i
}

func (g *grid) weights(res int, w []float64) {
	copy(w, g.s.prior)
	for c, p := range g.power {
		for i, pos := range g.s.checks[c].Positive {
			switch res / p % 3 {
			case 1:
				w[i] *= pos
			case 2:
				w[i] *= 1 - pos
			}
		}
	}
}

// fill values the states with the same outcomes.
func (g *grid) fill(res int, total []float64) {
	here := g.value[res*g.n : (res+1)*g.n]
	for mask := g.n - 1; mask >= 0; mask-- {
		here[mask] = g.s.escalate * total[mask]
	}
	for c, p := range g.power {
		if res/p%3 != 0 {
			continue
		}
		yes, no := g.value[(res+p)*g.n:(res+p+1)*g.n], g.value[(res+2*p)*g.n:(res+2*p+1)*g.n]
		price := g.s.checks[c].Cost
		for mask, t := range total {
			here[mask] = min(here[mask], price*t+yes[mask]+no[mask])
		}
	}
	for mask := g.n - 1; mask >= 0; mask-- {
		best, t := here[mask], total[mask]
		for _, a := range g.s.repairs {
			if next := mask | int(a.fixes); next != mask {
				best = min(best, a.cost*t+here[next])
			}
		}
		here[mask] = best
	}
}

// expect is the value of a first step with the best plan after it.
func (g *grid) expect(o Option) float64 {
	total := 0.0
	for _, p := range g.s.prior {
		total += p
	}
	switch o.Kind {
	case DoRepair:
		a := g.s.repairs[o.index]
		return a.cost*total + g.value[a.fixes]
	case DoCheck:
		p := g.power[o.index]
		return o.Cost*total + g.value[p*g.n] + g.value[2*p*g.n]
	}
	return g.s.escalate * total
}
