package use

import "math"

// nodes is by how many distances a distribution of distance is stood for. The probability of a date is then right to half a
// node, 0.01, where the use is certain, and far better where it is not.
const nodes = 48

// Combine gives the days by which something happens with the probabilities qs, when it happens at a distance that is itself
// uncertain: quantileKm(p) is the odometer, in km, by which it happens with probability p (0 < p < 1). +Inf and what is no
// number mean never, so a day is +Inf where the probability does not come to q within 100 years. Distance and use are taken
// as independent. What lies behind the last reading has happened by its day: such days are that day.
// As with Day, no day lies in the depth of a season in which the car stands.
func Combine(u Use, quantileKm func(p float64) float64, qs []float64) []float64 {
	last := u.Last()
	runs := make([]float64, 0, nodes) // from the last reading on, those that come at all
	passed := 0.0
	for i := range nodes {
		km := quantileKm((float64(i) + 0.5) / nodes)
		switch {
		case km <= last.Km:
			passed++
		case km < 1e12: // false for NaN
			runs = append(runs, km-last.Km)
		}
	}
	reached := func(day float64) float64 {
		sum := passed
		for _, p := range u.parts {
			time := u.time(p, last.Day, day)
			middle, scale, c := p.rate()*time, p.scale(time), u.curves[p.curve]
			if scale <= 0 {
				continue
			}
			part := 0.0
			for _, run := range runs {
				part += c.at((middle - run) / scale)
			}
			sum += p.weight * part
		}
		return sum / nodes
	}
	days := make([]float64, len(qs))
	low, lowest := last.Day, 0.0
	for i, q := range qs {
		q = probability(q)
		if q < lowest { // otherwise the day is not before the one found last
			low = last.Day
		}
		day := firstDay(low, last.Day+horizon, q, 0.05, reached)
		if days[i] = u.awake(day, q); !math.IsInf(day, 1) {
			low, lowest = day, q
		}
	}
	return days
}
