package judge

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"witnessmark/core/coolant"
	"witnessmark/core/point"
	"witnessmark/core/round"
)

// Quantity is what a job of a finding takes on this car.
type Quantity struct {
	Job  string
	What string
	// Litres is nil where a figure is lacking; Words says which, or how the amount came about.
	Litres *float64
	Words  string
}

// Specifications that the mix sum needs. They are the car's own.
const (
	coolantCapacity = "coolant-capacity-L"
	coolantDrain    = "coolant-drain-L"
	coolantTarget   = "coolant-freeze-target-degC"
)

// quantities lists what the finding's jobs take.
func (j *judging) quantities(f *Finding) []Quantity {
	var out []Quantity
	for _, id := range f.Jobs {
		job := j.cat.Jobs[id]
		if job == nil {
			continue
		}
		for _, t := range job.Takes {
			out = append(out, j.take(f, id, t)...)
		}
	}
	return out
}

// Takes lists what a job takes on a car by its figures alone. What a reading settles, such as the shortfall of a level, is not among it.
func Takes(cat *point.Catalogue, car round.Car, job string) []Quantity {
	car.Specs = round.WithFamilies(cat, car.Facets, car.Specs)
	j := &judging{cat: cat, car: car}
	return j.quantities(&Finding{Jobs: []string{job}, units: car.Units})
}

func (j *judging) take(f *Finding, job string, t point.Take) []Quantity {
	switch t.Rule {
	case "shortfall":
		if f.Reading == nil {
			return nil
		}
		if d, ok := f.Reading.Value("deficit_L"); ok && d > 0 {
			return []Quantity{f.litres(job, t.What, d, "what was missing")}
		}
		return nil
	case "coolant-mix":
		return j.mix(f, job)
	case "coolant-fresh":
		return j.fresh(f, job)
	}
	x, _, lack := j.spec(t.Spec, "", point.Source{From: "car"})
	if lack != "" {
		return []Quantity{{Job: job, What: t.What, Words: lack}}
	}
	how := "the figure entered for this car"
	if _, own := j.car.Specs[t.Spec]; !own {
		how = "as is usual, until a figure is entered"
	}
	return []Quantity{f.litres(job, t.What, x, how)}
}

func (f *Finding) litres(job, what string, x float64, how string) Quantity {
	x = math.Round(x*20) / 20 // to the half decilitre that a measuring jug shows
	return Quantity{Job: job, What: what, Litres: &x, Words: f.amount(x, "L") + ", " + how}
}

// mix is the mix sum of core/coolant: what to draw off and pour so that the measured coolant reaches the wanted freezing point.
func (j *judging) mix(f *Finding, job string) []Quantity {
	now, ok := 0.0, false
	if f.Reading != nil {
		now, ok = f.Reading.Value("degC")
	}
	if !ok {
		return nil
	}
	figures, lack := j.figures(coolantCapacity, coolantDrain, coolantTarget)
	if lack != "" {
		return []Quantity{{Job: job, What: "concentrate", Words: lack}}
	}
	m, err := coolant.Plan(coolant.Ethylene, figures[0], math.Min(now, 0), figures[1], figures[2])
	if err != nil {
		words := err.Error()
		if errors.Is(err, coolant.ErrPastOptimum) {
			words = "the wanted freezing point can't be reached: beyond about two thirds of glycol the protection turns back"
		}
		return []Quantity{{Job: job, What: "concentrate", Words: words}}
	}
	if m.Drains == 0 {
		return nil
	}
	how := fmt.Sprintf("draw off %s first", f.amount(figures[1], "L"))
	if m.Drains > 1 {
		how = fmt.Sprintf("in %d drains of %s", m.Drains, f.amount(figures[1], "L"))
	}
	out := []Quantity{f.litres(job, "ethylene glycol concentrate", m.Concentrate, how)}
	if m.Water >= 0.025 {
		out = append(out, f.litres(job, "water", m.Water, "in the last filling"))
	}
	return out
}

// fresh is a whole filling that freezes at the wanted temperature.
func (j *judging) fresh(f *Finding, job string) []Quantity {
	figures, lack := j.figures(coolantCapacity, coolantTarget)
	if lack != "" {
		return []Quantity{{Job: job, What: "coolant", Words: lack}}
	}
	share, err := coolant.VolumeFor(coolant.Ethylene, figures[1])
	if err != nil {
		return []Quantity{{Job: job, What: "coolant", Words: err.Error()}}
	}
	how := fmt.Sprintf("for %s", f.amount(figures[1], "degC"))
	pure := figures[0] * share / 100
	return []Quantity{f.litres(job, "ethylene glycol concentrate", pure, how), f.litres(job, "water", figures[0]-pure, how)}
}

// figures gives specifications of the whole car, or what is lacking of them.
func (j *judging) figures(ids ...string) ([]float64, string) {
	out := make([]float64, len(ids))
	var lacks []string
	for i, id := range ids {
		if j.cat.Specs[id] == nil {
			return nil, "the catalogue has no " + id
		}
		x, _, lack := j.spec(id, "", point.Source{From: "car"})
		if lack != "" {
			lacks = append(lacks, lack)
		}
		out[i] = x
	}
	return out, strings.Join(lacks, "; ")
}
