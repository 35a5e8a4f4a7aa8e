package shop

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"slices"
	"time"
)

// Check refuses a fact that has not exactly one kind, lacks an id, or holds a day or number that can't be.
func (f Fact) Check() error {
	kinds := 0
	var err error
	set := func(present bool, check func() error) {
		if present {
			kinds++
			err = errors.Join(err, check())
		}
	}
	set(f.Car != nil, func() error { return needs("car_version", f.Car.ID, f.Car.CarID, f.Car.Plate) })
	set(f.Odometer != nil, func() error {
		o := f.Odometer
		return errors.Join(needs("odometer", o.ID, o.CarID), validDay("odometer", o.On), validNumber("odometer", "km", o.Km))
	})
	set(f.Renewal != nil, func() error {
		r := f.Renewal
		return errors.Join(needs("renewal", r.ID, r.CarID, r.Item), validDay("renewal", r.On), validNumber("renewal", "km", r.Km))
	})
	set(f.Round != nil, func() error {
		r := f.Round
		if !validDepth(r.Depth) && !r.Baseline() {
			return fmt.Errorf("round: depth %q; expected full, quick, driveway or baseline", r.Depth)
		}
		return errors.Join(needs("round", r.ID, r.CarID), validDay("round", r.On), validNumber("round", "km", r.Km))
	})
	set(f.RoundEnd != nil, func() error { return needs("round_end", f.RoundEnd.ID, f.RoundEnd.RoundID) })
	set(f.Reading != nil, func() error { return checkReading(f.Reading) })
	set(f.Photo != nil, func() error { return needs("photo", f.Photo.ID, f.Photo.RoundID, f.Photo.Point, f.Photo.Hash) })
	set(f.Share != nil, func() error { return needs("share", f.Share.ID, f.Share.RoundID, f.Share.TokenHash) })
	set(f.ShareEnd != nil, func() error { return needs("share_end", f.ShareEnd.ID, f.ShareEnd.ShareID) })
	set(f.Classes != nil, func() error { return checkClasses(f.Classes) })
	set(f.Told != nil, func() error { return checkTold(f.Told) })
	set(f.Look != nil, func() error { return checkLook(f.Look) })
	set(f.Confirmed != nil, func() error { return checkConfirmed(f.Confirmed) })
	set(f.Withdrawal != nil, func() error { return checkWithdrawal(f.Withdrawal) })
	set(f.Record != nil, func() error { return checkRecord(f.Record) })
	if err == nil && kinds != 1 {
		return fmt.Errorf("expected one fact of a known kind, found %d", kinds)
	}
	return err
}

func checkReading(r *ReadingFact) error {
	err := needs("reading", r.ID, r.RoundID, r.CarID, r.Point)
	for name, v := range r.Values {
		err = errors.Join(err, validNumber("reading", name, v))
	}
	return err
}

func checkWithdrawal(w *WithdrawalFact) error {
	err := needs("withdrawal", w.ID, w.CarID, w.FactID)
	if !slices.Contains([]string{OfRenewal, OfOdometer, OfRound}, w.What) {
		err = errors.Join(err, fmt.Errorf("withdrawal: what is %q; expected renewal, odometer or round", w.What))
	}
	if tooLong(w.Why) {
		err = errors.Join(err, errors.New("withdrawal: the reason is too long"))
	}
	return err
}

func checkClasses(c *ClassesFact) error {
	var list []json.RawMessage
	if err := json.Unmarshal(c.Fitted, &list); err != nil || list == nil {
		return errors.New("classes: fitted is no list")
	}
	if c.Through < 0 || c.Cars < 0 || c.Looks < 0 {
		return errors.New("classes: a count is below 0")
	}
	return needs("classes", c.ID)
}

func needs(kind string, ids ...string) error {
	for _, id := range ids {
		if id == "" {
			return fmt.Errorf("%s: an id, or what it refers to, is empty", kind)
		}
		if len(id) > 200 {
			return fmt.Errorf("%s: an id is longer than 200 characters", kind)
		}
	}
	return nil
}

func validDay(kind, on string) error {
	if _, err := time.Parse(dayLayout, on); err != nil {
		return fmt.Errorf("%s: on is %q; expected a day such as 2026-03-21", kind, on)
	}
	return nil
}

func validNumber(kind, name string, x float64) error {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return fmt.Errorf("%s: %s is no number", kind, name)
	}
	return nil
}
