package agenda

import (
	"math"
	"time"

	"witnessmark/core/outlook"
)

// When is the day on which something falls due, as a distribution over days from today: a normal law on each side of its median, half
// the chances on each, so that it goes through the 10 %, 50 % and 90 % days of a forecast. What lies before From counts as From, what
// lies beyond To as To. The zero value is today for certain.
type When struct {
	// Mid is the median; Early and Late are the standard deviations before and after it, 0 for a day that is certain.
	Mid, Early, Late float64
	From, To         float64
}

// On is a day that is certain, in days from today.
func On(day float64) When { return When{Mid: day, From: day, To: day} }

// score90 is the standard normal's 90 % point.
const score90 = 1.2815515655446004

// leastScore keeps a spread that is told by two points that nearly coincide from growing without bound.
const leastScore = 0.05

// Forecast is the day on which a limit is reached, which was not yet reached on the day since. It is false where the forecast says
// no day: nine of ten don't reach it within the horizon.
func Forecast(r *outlook.Reach, today, since, horizon time.Time) (When, bool) {
	to := days(today, horizon)
	if r.OpenLow || r.Low.IsZero() || !(to > 0) {
		return When{}, false
	}
	low, mid := days(today, r.Low), days(today, r.Mid)
	w := When{From: math.Min(days(today, since), low), To: to}
	if since.IsZero() {
		w.From = math.Min(0, low)
	}
	reached := quantile(1 - math.Max(0, math.Min(1, r.Never))) // the horizon's score
	switch {
	case r.OpenMid: // a normal law through the low end and what the horizon has seen
		sd := (to - low) / math.Max(reached+score90, leastScore)
		w.Mid, w.Early, w.Late = low+score90*sd, sd, sd
	case r.OpenHigh:
		w.Mid, w.Early, w.Late = mid, (mid-low)/score90, (to-mid)/math.Max(reached, leastScore)
	default:
		w.Mid, w.Early, w.Late = mid, (mid-low)/score90, (days(today, r.High)-mid)/score90
	}
	if !(w.Early >= 0) || !(w.Late >= 0) || math.IsInf(w.Mid, 0) || math.IsInf(w.Late, 0) {
		return When{}, false
	}
	return w, true
}

// TooLate is the mean number of days by which day t comes after the day on which it falls due, E[(t-D)+] with 0 where it comes before.
func (w When) TooLate(t float64) float64 {
	if t <= w.From {
		return 0
	}
	end := math.Min(t, w.To)
	return math.Max(0, w.area(end)-w.area(w.From)) + math.Max(0, t-math.Max(w.From, w.To))
}

// TooEarly is the mean number of days by which day t comes before the day on which it falls due, E[(D-t)+].
func (w When) TooEarly(t float64) float64 {
	if t >= w.To {
		return math.Max(0, w.From-t)
	}
	begin := math.Max(t, w.From)
	return math.Max(0, w.To-begin-(w.area(w.To)-w.area(begin))) + math.Max(0, w.From-t)
}

// Chance is the probability that it has fallen due by the end of day t.
func (w When) Chance(t float64) float64 {
	switch {
	case t >= w.To:
		return 1
	case t < w.From:
		return 0
	}
	return phi(w.score(t))
}

// Day is the day by which it has fallen due with probability q in (0, 1).
func (w When) Day(q float64) float64 {
	z := quantile(q)
	d := w.Mid + z*w.Late
	if z < 0 {
		d = w.Mid + z*w.Early
	}
	return math.Max(w.From, math.Min(w.To, d))
}

// certain is a spread in days below which a day is certain: scores of it would grow beyond what a number holds.
const certain = 1e-9

// score is the standard score of a day, on its side of the median.
func (w When) score(t float64) float64 {
	d, sd := t-w.Mid, w.Late
	if d < 0 {
		sd = w.Early
	}
	switch {
	case sd > certain:
		return d / sd
	case d < 0:
		return math.Inf(-1)
	}
	return math.Inf(1)
}

// area is the integral of the distribution function up to t: for a normal law sd (z Phi(z) + phi(z)) with z the score (partial
// expectation of the normal law, as in Silver, Pyke & Peterson, Inventory Management (1998), appendix B; from memory, and held against
// quadrature by a test).
func (w When) area(t float64) float64 {
	const atMid = 0.3989422804014327 // phi(0)
	if t <= w.Mid {
		if w.Early <= certain {
			return 0
		}
		return w.Early * partial((t-w.Mid)/w.Early)
	}
	below := w.Early * atMid
	if w.Late <= certain {
		return below + (t - w.Mid)
	}
	return below + w.Late*(partial((t-w.Mid)/w.Late)-atMid)
}

// partial is z Phi(z) + phi(z), 0 at minus infinity.
func partial(z float64) float64 {
	if math.IsInf(z, -1) {
		return 0
	}
	return math.Max(0, z*phi(z)+math.Exp(-z*z/2)/math.Sqrt(2*math.Pi))
}

// phi is the standard normal's distribution function.
func phi(z float64) float64 { return math.Erfc(-z/math.Sqrt2) / 2 }

// quantile is its inverse.
func quantile(q float64) float64 { return -math.Sqrt2 * math.Erfcinv(2*q) }

// days counts the days from one to another.
func days(from, to time.Time) float64 { return math.Round(to.Sub(from).Hours() / 24) }
