package outlook

import (
	"math"

	"witnessmark/core/life"
	"witnessmark/core/point"
	"witnessmark/core/round"
	"witnessmark/core/wear"
)

// Key names a class of cars under a law: "engine-oil-look|diesel", with a family "engine-oil-look|diesel|tarn-16". The class
// is empty where a law makes one class of all cars.
func Key(law, class, family string) string {
	k := law + "|" + class
	if family != "" {
		k += "|" + family
	}
	return k
}

// classOf is the value of the facet that divides a law's cars into classes.
func classOf(law *point.Law, car *round.Car) string {
	if law.By == "" {
		return ""
	}
	return car.Facets[law.By].Value
}

// lookup finds the closest class that has been learnt: a family's (of several the one with most cars, then the first by
// name), then the class's; nil leaves the catalogue's law.
func (cs Classes) lookup(law *point.Law, class string, families []string) *Fitted {
	var best *Fitted
	for _, f := range families {
		if got, ok := cs[Key(law.ID, class, f)]; ok && got.fits(law) && (best == nil || got.Cars > best.Cars || got.Cars == best.Cars && got.Key < best.Key) {
			best = &got
		}
	}
	if got, ok := cs[Key(law.ID, class, "")]; best == nil && ok && got.fits(law) {
		best = &got
	}
	return best
}

// fits reports whether a fit is of the law's kind.
func (f *Fitted) fits(law *point.Law) bool {
	return law.Life != nil && f.Life != nil || law.Wear != nil && f.Wear != nil
}

// modelOf is the law's distribution.
func modelOf(l *point.LifeLaw) life.Model {
	if m, err := life.ParseModel(l.Model); err == nil {
		return m
	}
	return life.Weibull
}

// lifePrior is the catalogue's law of a life as a prior: the median of a Weibull life is scale * ln(2)^(1/shape)
// (NIST/SEMATECH e-Handbook 8.1.6.2).
func lifePrior(l *point.LifeLaw, class string) life.Prior {
	median := l.Median
	if m := l.Medians[class]; m > 0 {
		median = m
	}
	scale := median
	if modelOf(l) == life.Weibull && l.Shape > 0 {
		scale /= math.Pow(math.Ln2, 1/l.Shape)
	}
	return life.Prior{LogShapeMean: logOf(l.Shape, 1), LogShapeSD: spread(l.ShapeSpread), LogScaleMean: logOf(scale, 1), LogScaleSD: spread(l.Spread)}
}

func logOf(x, otherwise float64) float64 {
	if !(x > 0) || math.IsInf(x, 0) {
		x = otherwise
	}
	return math.Log(x)
}

// spread is a factor as a standard deviation of the logarithm; without one, a third.
func spread(factor float64) float64 {
	if !(factor > 1.001) || math.IsInf(factor, 0) {
		return math.Log(1.3)
	}
	return math.Log(factor)
}

// perUnit turns a rate per 1000 km, or per month, into one per the law's unit.
func perUnit(law *point.Law) float64 {
	if law.Unit == "km" {
		return law.Wear.Rate / 1000
	}
	return law.Wear.Rate
}

// span is how much a part of the law has to lose. Where the limit is the car's own figure it is some 25 times what a gauge is off by,
// until the workshop's history tells (the project's own figure: 1.3 mm of a disc, 2.5 mm of a drum).
func span(w *point.WearLaw) float64 {
	if w.Limit != 0 && w.New != w.Limit {
		return math.Abs(w.New - w.Limit)
	}
	return math.Max(25*w.Noise, 10*w.Step)
}

// wearPrior is the catalogue's law of wear as a prior; what rises is turned over.
func wearPrior(law *point.Law, step float64) wear.Prior {
	w := law.Wear
	fresh, newSD := w.New, w.NewSD
	if w.Rises {
		fresh = -fresh
	}
	if relative(w) {
		fresh, newSD = span(w), span(w)/3
	}
	rate := perUnit(law)
	if !(rate > 0) {
		rate = 1e-6
	}
	p := wear.Usual(fresh, newSD, rate, spread(w.Spread), w.Noise, step, span(w), weightOf(law))
	// How much of the spread belongs to the place, to the single part and to its way is for the workshop's own history to say.
	p.SideSD, p.LifeSD, p.Path = wear.Guess{Mid: 0.06, SD: 0.8}, wear.Guess{Mid: 0.05, SD: 1.2}, wear.Guess{Mid: 0.015, SD: 1.2}
	return p
}

func weightOf(law *point.Law) float64 {
	if !(law.Weight > 0) {
		return 5
	}
	return law.Weight
}
