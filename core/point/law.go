package point

// Law is what is known beforehand of how one item of a class of cars ages: how a looked-at condition turns, or how a measured
// quantity runs to its limit. It is where learning starts; the workshop's own history moves it.
type Law struct {
	// ID names the law: the point's id, with its axle where axles differ (pad-thickness/F).
	ID    string
	Point string
	// Axle narrows the law to the positions of one axle ("F" or "R"); empty is every position.
	Axle string
	// Item is what restarts the clock when it is renewed; empty counts from the first registration.
	Item string
	// Unit is what the clock counts: km or months.
	Unit string
	// By is a facet whose values divide cars into classes (fuel); empty makes one class of all cars.
	By string
	// Cap is the limit of common practice beyond which no interval is recommended, whatever the looks say; nil is none.
	Cap *Schedule
	// Step is what a recommended interval is rounded down to, in Unit (500 km, 1 month).
	Step float64
	// Weight says how many cars of history the law itself counts for.
	Weight float64
	// Risk is the accepted probability of passing the limit before the next look; 0 takes the point's consequence's.
	Risk float64
	// Planned and Failed are relative costs of renewing in time and after a failure, for the cheapest interval; 0 when
	// renewal in time saves nothing.
	Planned, Failed float64
	Source          Source
	// Exactly one of Life and Wear is set.
	Life *LifeLaw
	Wear *WearLaw
}

// Schedule is a fixed interval; zero does not bound.
type Schedule struct{ Km, Months float64 }

// In gives the schedule's figure in a law's unit, 0 when it has none.
func (s *Schedule) In(unit string) float64 {
	switch {
	case s == nil:
		return 0
	case unit == "km":
		return s.Km
	}
	return s.Months
}

// LifeLaw is the law of a condition that turns. Spreads are factors: one standard deviation up multiplies by them.
type LifeLaw struct {
	Model string // weibull or lognormal
	// Median is the median life in the law's unit, and Spread how much cars of the class differ in it.
	Median, Spread float64
	// Shape is the Weibull shape (or the sigma of ln life), ShapeSpread how sure that is.
	Shape, ShapeSpread float64
	// Medians gives the median of some classes where it differs, by the value of the facet By.
	Medians map[string]float64
	// Turned lists the states that count as turned; empty means every state whose verdict is due or worse.
	Turned []string
	// Sensitivity is the probability that a turned condition is seen as turned, Specificity that a good one is seen as good.
	Sensitivity, Specificity float64
}

// WearLaw is the law of a measured quantity that runs to a limit.
type WearLaw struct {
	// Value is the point's value that is followed; empty is its first, "derived" the one that the point derives.
	Value string
	// New is the figure of a new part and NewSD how much new parts differ. NewSpec names the car's own figure where there is one.
	New, NewSD float64
	NewSpec    string
	// Rate is the loss per 1000 km, or per month, of the median car, Spread the factor by which cars differ.
	Rate, Spread float64
	// Noise is the standard deviation of one measurement without the gauge's rounding, Step what the gauge is read to.
	Noise, Step float64
	// Rises is true where the figure grows towards its limit.
	Rises bool
	// Limit is the figure that ends the part's use where the readings' own limits say none.
	Limit float64
}
