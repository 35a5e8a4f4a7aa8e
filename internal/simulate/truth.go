package simulate

import "slices"

// Truth is what was drawn and no reader of the facts can know.
type Truth struct {
	Wear   []WearClass
	Lives  []LifeClass
	People []Person
	Cars   []CarTruth
}

// WearClass is the law of one kind of part that wears. A part's thickness is New - Rate*km/1000, with
// ln Rate = LogRate + N(0, CarSD) + N(0, SideSD) + N(0, PlaceSD): the first shared by the parts of a car's axle, the others
// its own. A reading adds N(0, Noise), the reader's bias, and rounding to Step.
type WearClass struct {
	Point, Axle string
	// New and NewSD in mm. For discs and drums New is the model's own figure.
	New, NewSD float64
	// LogRate is the ln of mm per 1000 km.
	LogRate, CarSD, SideSD, PlaceSD float64
	Noise, Step                     float64
	// Limit in mm at which the part is renewed; for discs and drums the car's stamped figure.
	Limit float64
	// Grows is true where wear makes the figure larger (drums).
	Grows bool
}

// LifeClass is the law of a looked-at condition: the exposure at which it turns is Weibull with Shape and Scale times
// the car's own factor at this point, ln of which is N(0, CarSD), times one that all conditions of the car share, ln of
// which is N(0, FrailtySD). Exposure counts km or months since the last renewal.
type LifeClass struct {
	Point string
	// Class is petrol, diesel, or empty for every car.
	Class               string
	Unit                string
	Shape, Scale, CarSD float64
	// Slip is the probability that a look reports the neighbouring state.
	Slip float64
}

// FrailtySD is the spread of the factor that all lives of one car share.
const FrailtySD = 0.12

// Person is somebody who looks at cars, with a bias on gauges.
type Person struct {
	Initials string
	// PadMm and TreadMm are added to every reading of the gauge.
	PadMm, TreadMm float64
}

// CarTruth is what was drawn for one car.
type CarTruth struct {
	CarID, Plate, Class string
	// PerYearKm is the mean around which the yearly distance drifts.
	PerYearKm float64
	LaidUp    bool
	// NowKm is the odometer on the last day.
	NowKm float64
	Wear  []WearCycle
	Lives []LifeCycle
}

// WearCycle is one part from fitting to renewal.
type WearCycle struct {
	Point, At, FittedOn string
	FittedKm            float64
	// New in mm, Rate in mm per 1000 km (negative where wear makes the figure larger), Limit in mm.
	New, Rate, Limit float64
	// CrossKm is the odometer at which the thickness reaches the limit.
	CrossKm float64
	// EndedKm is the odometer at renewal, 0 while the part is still in.
	EndedKm float64
}

// LifeCycle is one cycle of a looked-at condition.
type LifeCycle struct {
	Point, At, Item, Unit, FromOn string
	FromKm                        float64
	// Shape and Scale are the Weibull law of this car; Scale is 0 for the battery, which wears down in a line.
	Shape, Scale float64
	// Life is the exposure since FromOn at which the condition turns, in Unit.
	Life float64
	// EndedOn is the day of renewal, empty while the cycle runs.
	EndedOn string
	// Ran is the exposure at renewal, or on the last day.
	Ran float64
}

func newTruth() *Truth {
	return &Truth{Wear: slices.Clone(wearClasses), Lives: slices.Clone(lifeClasses), People: slices.Clone(people)}
}
