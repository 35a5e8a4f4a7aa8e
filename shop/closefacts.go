package shop

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"context"

	"witnessmark/core/facet"
	"witnessmark/core/odometer"
	"witnessmark/core/point"
	"witnessmark/core/work"
)

// renewals are what the done work renews, each item and place once.
func (c *closing) renewals(doings []work.Doing) []Fact {
	var out []Fact
	for _, n := range c.s.RenewedBy(doings, c.sheet.Facets) {
		id := strings.TrimSuffix(renewalIDs(c.in.ID)+n.Item+"-"+n.At, "-")
		out = append(out, Fact{Renewal: &RenewalFact{ID: id, CarID: c.sheet.Car.CarID, Item: n.Item, At: n.At, On: c.out.On, Km: c.out.Km,
			Note: "estimate " + c.sheet.Draft.Said.Estimate.Number, By: squeeze(c.in.By), ReceivedAt: ms(c.s.now())}})
	}
	return out
}

// Renews is an item that work renews, at a place of the car; empty is the whole car.
type Renews struct{ Item, At string }

// RenewedBy lists what doings renew, each once: at the doing's own place, or its axle where the item is known by axles only. What the
// car has only once has no place. More than the doing's place is never said to be renewed.
func (s *Shop) RenewedBy(doings []work.Doing, facets facet.Set) []Renews {
	var out []Renews
	for _, d := range doings {
		j := s.cat.Jobs[d.Job]
		if j == nil {
			continue
		}
		for _, item := range j.Renews {
			n := Renews{item, s.renewalPlace(item, d.At, facets)}
			if !slices.Contains(out, n) {
				out = append(out, n)
			}
		}
	}
	return out
}

func (s *Shop) renewalPlace(item, at string, facets facet.Set) string {
	base, _ := point.SplitAt(at)
	places := s.PlacesOf(item, facets)
	switch {
	case len(places) == 0:
		return ""
	case slices.Contains(places, base):
		return base
	case slices.Contains(places, point.Axle(base)):
		return point.Axle(base)
	}
	return base
}

// baseline makes the round that holds the first readings, or the odometer reading alone where nothing was read. Readings are checked as
// those of a round are.
func (c *closing) baseline() ([]Fact, error) {
	now, car := ms(c.s.now()), c.sheet.Car.CarID
	by := squeeze(c.in.By)
	note := kmNote(c.in.KmNote)
	driven := Fact{Odometer: &OdometerFact{ID: odometerID(c.in.ID), CarID: car, On: c.out.On, Km: c.out.Km, Note: cmp.Or(note, "close-out"), By: by, ReceivedAt: now}}
	if len(c.in.Readings) == 0 {
		return []Fact{driven}, nil
	}
	rd := RoundFact{ID: c.in.ID + "-baseline", CarID: car, Depth: string(point.Baseline), On: c.out.On, Km: c.out.Km, By: by, ReceivedAt: now}
	c.out.RoundID = rd.ID
	facts := []Fact{{Round: &rd}}
	if note != "" { // a round has no note of its own
		facts = append(facts, driven)
	}
	for _, in := range c.in.Readings {
		in.RoundID, in.ID, in.By = rd.ID, c.in.ID+"-reads-"+in.Point+"-"+in.At, c.in.By
		f, bad := c.s.readingOf(rd, c.sheet.Car, in, nil)
		if !slices.Contains(c.sheet.Baselines, work.Baseline{Point: in.Point, At: in.At}) && len(bad) == 0 {
			bad = Invalid{{Field: in.At, Text: "This work begins no reading here."}}
		}
		for _, b := range bad {
			b.Field = "reading|" + in.Point + "|" + b.Field
			c.bad = append(c.bad, b)
		}
		f.ReceivedAt = now
		facts = append(facts, Fact{Reading: &f})
	}
	return append(facts, Fact{RoundEnd: &RoundEnd{ID: c.in.ID + "-ends", RoundID: rd.ID, Catalogue: c.s.cat.Version, By: by, ReceivedAt: now}}), nil
}

// Bounds of follow-up looks (practice).
const (
	// usualPerYear is a yearly distance for a car whose own is not known, in km.
	usualPerYear = 12000
	// latestFollow bounds in days how far ahead a look by distance is put on the calendar.
	latestFollow = 3 * 366
)

// follows schedules the looks that the done work calls for. One that counts kilometres gets the day on which they are probably driven.
func (c *closing) follows(doings []work.Doing) {
	on := day(c.out.On)
	if on.IsZero() {
		return
	}
	perDay := c.perYear() / 365.25
	for _, f := range work.Follows(c.s.cat, doings) {
		if f.Days == 0 && f.Km == 0 && slices.Contains(c.in.Looked, f.Say) {
			continue
		}
		days := f.Days
		if f.Km > 0 {
			driven := int(math.Ceil(float64(f.Km) / perDay))
			if days == 0 || driven < days {
				days = min(driven, latestFollow)
			}
		}
		out := Follow{ID: fmt.Sprint(len(c.out.Follows) + 1), Say: f.Say, Point: f.Point, On: on.AddDate(0, 0, days).Format(dayLayout)}
		if f.Km > 0 {
			out.Km = c.out.Km + float64(f.Km)
		}
		if len(f.Of) > 0 {
			if i := slices.IndexFunc(c.sheet.States, func(st WorkItem) bool { return st.Doing == f.Of[0] }); i >= 0 {
				out.Item = c.sheet.States[i].ID
			}
		}
		c.out.Follows = append(c.out.Follows, out)
	}
}

// perYear is the car's yearly distance, or a usual one.
func (c *closing) perYear() float64 {
	history, err := distances(c.ctx, c.w, c.sheet.Car.CarID)
	if err != nil {
		return usualPerYear
	}
	var past []odometer.Reading
	for _, o := range history {
		past = append(past, odometer.Reading{On: day(o.On), KM: o.Km})
	}
	if km, ok := odometer.PerYear(past); ok && km >= 500 {
		return km
	}
	return usualPerYear
}

// closingCauses reads the confirmed causes against the round that the estimate answers.
func (s *Shop) closingCauses(ctx context.Context, in CloseOutInput) ([]ConfirmedFact, Invalid, error) {
	var out []ConfirmedFact
	var bad Invalid
	for _, k := range in.Causes {
		if k.Cause == "" && strings.TrimSpace(k.Note) == "" {
			continue
		}
		o, err := s.WorkOrder(ctx, in.DecisionID)
		if err != nil {
			return nil, nil, err
		}
		k.ID, k.RoundID, k.By = causeIDs(in.ID)+k.Complaint, o.Draft.Said.RoundID, in.By
		f, err := s.confirmedFact(ctx, k)
		var inv Invalid
		switch {
		case errors.As(err, &inv):
			for _, b := range inv {
				b.Field = strings.Replace(b.Field, "note", "cause-note", 1) + "|" + k.Complaint
				bad = append(bad, b)
			}
		case err != nil:
			return nil, nil, err
		default:
			out = append(out, f)
		}
	}
	return out, bad, nil
}
