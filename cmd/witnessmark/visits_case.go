package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"

	"witnessmark/core/visit"
)

// hourUnits divides an hour so finely that hours with up to nine decimals are whole numbers: then labour adds up exactly.
const hourUnits = 1_000_000_000

// mostHours keeps labour within visit.MaxLabour.
const mostHours = 1e6

// parseVisits reads {"visits": [{"id", "day", "fixed_cost", "labour_capacity_h", "budget"?}], "setups": [{"id", "cost", "labour_h"}],
// "jobs": [{"id", "labour_h", "cost", "setups", "due_day", "hard_day", "life_days", "value", "late_cost_per_day"}]}; "id" may name the
// case. A budget caps the visit's fixed cost, set-ups and jobs' cost, not what is lost by being early or late; null or none: no cap. An
// unknown, missing or repeated key is an error.
func parseVisits(text []byte) (visit.Problem, error) {
	p := visit.Problem{Hour: hourUnits}
	o, err := readObject(text)
	if err != nil {
		return p, err
	}
	var id string
	var visits, setups, jobs []json.RawMessage
	if err := errors.Join(o.optionalText("id", &id), o.list("visits", &visits), o.list("setups", &setups), o.list("jobs", &jobs), o.rest()); err != nil {
		return p, err
	}
	if len(visits) > visit.MaxVisits || len(setups) > visit.MaxSetups || len(jobs) > visit.MaxJobs {
		return p, fmt.Errorf("%d visits, %d setups, %d jobs; at most %d, %d and %d", len(visits), len(setups), len(jobs), visit.MaxVisits, visit.MaxSetups, visit.MaxJobs)
	}
	index := map[string]int{}
	err = errors.Join(
		each("visits", visits, func(o *object) error { return readVisit(o, &p) }),
		each("setups", setups, func(o *object) error {
			err := readSetup(o, &p)
			if err == nil {
				index[p.Setups[len(p.Setups)-1].ID] = len(p.Setups) - 1
			}
			return err
		}))
	if err != nil {
		return p, err // jobs could only be read against what is broken
	}
	if err := each("jobs", jobs, func(o *object) error { return readJob(o, &p, index) }); err != nil {
		return p, err
	}
	return p, p.Check()
}

// each reads the objects of a list and names the place of what is wrong.
func each(name string, list []json.RawMessage, read func(*object) error) error {
	var all error
	for i, raw := range list {
		o, err := readObject(raw)
		if err == nil {
			err = errors.Join(read(o), o.rest())
		}
		if err != nil {
			all = errors.Join(all, fmt.Errorf("%s[%d]: %s", name, i, indentLines(err, fmt.Sprintf("%s[%d]", name, i))))
		}
	}
	return all
}

func readVisit(o *object, p *visit.Problem) error {
	var v visit.Visit
	var budget *float64
	err := errors.Join(o.name(&v.ID), o.days("day", &v.Day), o.amount("fixed_cost", &v.Fixed), o.hours("labour_capacity_h", &v.Capacity))
	if raw, there := o.left["budget"]; there && string(raw) == "null" {
		delete(o.left, "budget")
	} else if there {
		budget = &v.Budget
		err = errors.Join(err, o.amount("budget", budget))
	}
	if err == nil && budget != nil && *budget == 0 {
		err = errors.New("budget: 0; expected more than 0; leave it out where there is none")
	}
	p.Visits = append(p.Visits, v)
	return err
}

func readSetup(o *object, p *visit.Problem) error {
	var s visit.Setup
	err := errors.Join(o.name(&s.ID), o.amount("cost", &s.Cost), o.hours("labour_h", &s.Labour))
	p.Setups = append(p.Setups, s)
	return err
}

func readJob(o *object, p *visit.Problem, index map[string]int) error {
	j := visit.Job{Pin: -1}
	var due, hard int
	var life, value, late float64
	var setups []json.RawMessage
	err := errors.Join(o.name(&j.ID), o.hours("labour_h", &j.Labour), o.amount("cost", &j.Price), o.list("setups", &setups), o.days("due_day", &due),
		o.days("hard_day", &hard), o.amount("life_days", &life), o.amount("value", &value), o.amount("late_cost_per_day", &late))
	if err != nil {
		return err
	}
	if life == 0 {
		return errors.New("life_days: 0; expected more than 0")
	}
	for i, raw := range setups {
		var name string
		if raw[0] != '"' || json.Unmarshal(raw, &name) != nil {
			return fmt.Errorf("setups[%d]: expected the id of a set-up", i)
		}
		s, known := index[name]
		if !known {
			return fmt.Errorf("setups[%d]: there is no set-up %q", i, shorten(name))
		}
		j.Setups = append(j.Setups, s)
	}
	for i, v := range p.Visits {
		pen := math.Inf(1)
		switch {
		case v.Day > hard:
		case v.Day <= due:
			pen = value * float64(due-v.Day) / life
		default:
			pen = late * float64(v.Day-due)
		}
		if pen > visit.MaxMoney && !math.IsInf(pen, 1) || math.IsInf(pen, 1) && v.Day <= hard {
			return fmt.Errorf("at visits[%d] the job would lose %g; expected at most %g", i, pen, float64(visit.MaxMoney))
		}
		j.Penalty = append(j.Penalty, pen)
	}
	p.Jobs = append(p.Jobs, j)
	return nil
}

// name reads the id that must be there.
func (o *object) name(into *string) error {
	if err := o.text("id", into); err != nil {
		return err
	}
	if *into == "" || len(*into) > 200 {
		return errors.New("id: expected 1 to 200 characters")
	}
	return nil
}

func (o *object) within(key string, low, high float64, into *float64) error {
	if err := o.number(key, into); err != nil {
		return err
	}
	if !(*into >= low && *into <= high) {
		return fmt.Errorf("%s: %v; expected %g to %g", key, *into, low, high)
	}
	return nil
}

func (o *object) amount(key string, into *float64) error {
	return o.within(key, 0, visit.MaxMoney, into)
}

func (o *object) days(key string, into *int) error {
	var x float64
	if err := o.within(key, -1e6, 1e6, &x); err != nil {
		return err
	}
	if x != math.Trunc(x) {
		return fmt.Errorf("%s: %v; expected whole days", key, x)
	}
	*into = int(x)
	return nil
}

func (o *object) hours(key string, into *int) error {
	var x float64
	if err := o.within(key, 0, mostHours, &x); err != nil {
		return err
	}
	*into = int(math.Round(x * hourUnits))
	return nil
}
