package outlook

import (
	"math"

	"witnessmark/core/use"
)

// ahead is core/use's law of the distance after the newest reading, tabulated: the middle on some days, and for a few days how
// far other quantiles lie from it as a share of the run, between which it is read off in straight lines. It is what makes
// dates for sixty items cheap; a test holds it against the law itself.
type ahead struct {
	last   use.Reading
	days   []float64 // after the newest reading
	middle []float64 // km run by then
	// stops are the days for which shares are known: of the run at the normal scores of scores.
	stops  []float64
	shares [][len(scores)]float64
	perDay float64
}

// scores are the normal scores of the quantiles 0.05, 0.25, 0.75 and 0.95, with the middle.
var scores = [...]float64{-1.6448536, -0.6744898, 0, 0.6744898, 1.6448536}

const middles = 20

func newAhead(u use.Use, today, horizon float64) ahead {
	a := ahead{last: u.Last()}
	span := math.Max(horizon-a.last.Day, 30)
	for i := range middles + 1 {
		day := span * float64(i) / middles
		a.days = append(a.days, day)
		a.middle = append(a.middle, math.Max(0, u.Km(a.last.Day+day, 0.5)-a.last.Km))
	}
	for _, day := range [...]float64{math.Min(90, span/4), math.Min(365, span/2), span} {
		run := math.Max(1, u.Km(a.last.Day+day, 0.5)-a.last.Km)
		row := [len(scores)]float64{2: 1}
		for i, q := range [...]float64{0.05, 0.25, 0.5, 0.75, 0.95} {
			if i != 2 {
				row[i] = math.Max(0, u.Km(a.last.Day+day, q)-a.last.Km) / run
			}
		}
		a.stops, a.shares = append(a.stops, day), append(a.shares, row)
	}
	a.perDay = a.middle[middles] / span
	return a
}

// run is the middle distance run so many days after the newest reading.
func (a *ahead) run(day float64) float64 {
	n := len(a.days) - 1
	if day >= a.days[n] {
		return a.middle[n] + (day-a.days[n])*a.perDay
	}
	x := math.Max(0, day) / a.days[n] * float64(n)
	i := min(int(x), n-1)
	return a.middle[i] + (x-float64(i))*(a.middle[i+1]-a.middle[i])
}

// share is the row of shares for a day.
func (a *ahead) share(day float64) [len(scores)]float64 {
	n := len(a.stops)
	i := 0
	for i < n && a.stops[i] < day {
		i++
	}
	switch i {
	case 0:
		return a.shares[0]
	case n:
		return a.shares[n-1]
	}
	t := (day - a.stops[i-1]) / (a.stops[i] - a.stops[i-1])
	var out [len(scores)]float64
	for k := range out {
		out[k] = (1-t)*a.shares[i-1][k] + t*a.shares[i][k]
	}
	return out
}

// km is the distance on a day at a normal score (0 is the middle).
func (a *ahead) km(day, score float64) float64 {
	d := day - a.last.Day
	run := a.run(d)
	if score == 0 || d <= 0 {
		return a.last.Km + run
	}
	row := a.share(d)
	i := 0
	for i < len(scores)-2 && score > scores[i+1] {
		i++
	}
	t := (score - scores[i]) / (scores[i+1] - scores[i])
	return a.last.Km + math.Max(0, run*(row[i]+t*(row[i+1]-row[i])))
}

// reached is the probability that the car has run so many km since the newest reading by a day.
func (a *ahead) reached(run float64, middle float64, row *[len(scores)]float64) float64 {
	if run <= 0 {
		return 1
	}
	if !(middle > 0) {
		return 0
	}
	share := run / middle
	i := 0
	for i < len(scores)-2 && share > row[i+1] {
		i++
	}
	step := row[i+1] - row[i]
	if !(step > 1e-9) {
		step = 1e-9
	}
	z := scores[i] + (share-row[i])/step*(scores[i+1]-scores[i])
	return 0.5 * math.Erfc(z/math.Sqrt2)
}

// combined is how many distances a law of a distance is stood for.
const combined = 24

// day is the day by which one of the distances, each as likely, is reached with probability q; those that are never reached
// are +Inf. It is the horizon's successor when that lies beyond it.
func (a *ahead) day(kms *[combined]float64, q, horizon float64) float64 {
	chance := func(day float64) float64 {
		d := day - a.last.Day
		middle, row := a.run(d), a.share(d)
		sum := 0.0
		for _, km := range kms {
			if km-a.last.Km < 1e9 {
				sum += a.reached(km-a.last.Km, middle, &row)
			}
		}
		return sum / combined
	}
	low, high := a.last.Day, horizon+1
	if chance(low) >= q {
		return low
	}
	if chance(high) < q {
		return high
	}
	for high-low > 0.5 {
		if m := low + (high-low)/2; chance(m) < q {
			low = m
		} else {
			high = m
		}
	}
	return high
}
