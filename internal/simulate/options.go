package simulate

import (
	"iter"
	"time"

	"witnessmark/core/point"
	"witnessmark/shop"
)

// Options says how large the workshop is and when its history ends.
type Options struct {
	// Seed decides everything that is drawn.
	Seed uint64
	// Cars is the number of cars; 0 is 40.
	Cars int
	// Years of history before Today; 0 is 6.
	Years int
	// Today is the last day of the history, on which two cars stand in the bay. Its time of day does not count.
	Today time.Time
	// ReadingsPerRound thins rounds to about so many readings, measured parts first; 0 takes every place of the car.
	ReadingsPerRound int
	// WholeRounds is the number of newest rounds of each car that are not thinned.
	WholeRounds int
	// OnPhoto is given each invented picture before the fact that names it; nil makes no photos.
	OnPhoto func(hash string, jpeg []byte)
	// NoTruth leaves the cars out of the Truth, which for many thousand cars would fill the memory.
	NoTruth bool
}

func (o Options) withDefaults() Options {
	if o.Cars <= 0 {
		o.Cars = 40
	}
	if o.Years <= 0 {
		o.Years = 6
	}
	y, m, d := o.Today.Date()
	o.Today = time.Date(y, m, d, 0, 0, 0, 0, time.UTC)
	return o
}

// Fleet gives the facts of an invented workshop, car by car and within a car in order of time, so that they can be put
// one after the other. The Truth's classes are there at once, its cars are filled in while the facts are read, and anew
// each time they are read from the start. One reader at a time.
func Fleet(cat *point.Catalogue, o Options) (iter.Seq[shop.Fact], *Truth) {
	o = o.withDefaults()
	truth := newTruth()
	return func(yield func(shop.Fact) bool) {
		truth.Cars = nil
		w := &workshop{cat: cat, o: o, truth: truth, yield: yield}
		for n := range o.Cars {
			if !w.car(n) {
				return
			}
		}
	}, truth
}

// workshop is one run over the fleet.
type workshop struct {
	cat     *point.Catalogue
	o       Options
	truth   *Truth
	yield   func(shop.Fact) bool
	stopped bool
}

// put hands a fact on, unless the reader has stopped.
func (w *workshop) put(f shop.Fact) {
	if !w.stopped && !w.yield(f) {
		w.stopped = true
	}
}

// car runs one car's whole history; false when the reader has stopped.
func (w *workshop) car(n int) bool {
	c := newCar(w, n)
	visits := c.plan()
	if len(visits) == 0 {
		return !w.stopped
	}
	c.begin(visits[0].day)
	c.arrive(visits[0].day)
	for i := range visits {
		if w.stopped {
			return false
		}
		if i == len(visits)/2 && i > 0 && c.changes {
			c.change(visits[i].day)
		}
		c.visit(&visits[i], i, len(visits))
	}
	if !w.o.NoTruth {
		w.truth.Cars = append(w.truth.Cars, c.close())
	}
	return !w.stopped
}
