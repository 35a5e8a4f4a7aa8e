package main

import (
	"context"
	"errors"
	"fmt"
	"time"

	"witnessmark/core/estimate"
	"witnessmark/shop"
)

// Of the invented cars some are further along: so many estimates are agreed, one more is made and not shown yet. Others stay as they are.
const (
	demoAgreed   = 2
	demoCarsSeen = 24 // are tried at most, from the demoFirst-th on: a plan each
	demoFirst    = 4
)

// deal lets the workshop make estimates from plans, and some owners agree by word of mouth: the biggest item that can wait is put off.
func deal(ctx context.Context, s *shop.Shop, now time.Time) error {
	cars, _, err := s.FindCars(ctx, shop.CarFilter{Limit: demoFirst + demoCarsSeen})
	if err != nil {
		return err
	}
	made := 0
	for i := demoFirst; i < len(cars) && made <= demoAgreed; i++ {
		plan, err := s.Plan(ctx, cars[i].Car.CarID)
		if err != nil {
			return err
		}
		if len(plan.Visits) == 0 || len(plan.Visits[0].Wants) < 2 || len(plan.Visits[0].Lacks) > 0 || plan.Visits[0].On > now.AddDate(0, 3, 0).Format(time.DateOnly) {
			continue
		}
		id := fmt.Sprintf("demo-estimate-%d", made)
		number, err := s.MakeDraft(ctx, cars[i].Car.CarID, id, "MK", plan.Visits[0].On)
		if err != nil {
			return err
		}
		if made < demoAgreed {
			if err := agree(ctx, s, number, id, now); err != nil {
				return err
			}
		}
		made++
	}
	return nil
}

// agree writes down that an owner said yes to an estimate but for one item that can wait. One that can't be asked yet stays as it is.
func agree(ctx context.Context, s *shop.Shop, number, id string, now time.Time) error {
	d, err := s.Draft(ctx, number)
	if err != nil {
		return err
	}
	e := d.Said.Estimate
	later := -1
	for i, it := range e.Items {
		if !it.Must && (later < 0 || len(it.Lines) > len(e.Items[later].Lines)) {
			later = i
		}
	}
	in := shop.SpeakInput{Number: number, Version: e.Version, Form: id + "-yes", By: "MK", Who: e.Owner, SaidOn: now.Format("2006-01-02 15:04"), Digest: estimate.Digest(e)}
	for i, it := range e.Items {
		a := shop.AnswerInput{Item: it.ID, Answer: estimate.Accept}
		if i == later && len(e.Items) > 1 {
			a.Answer, a.UntilOn = estimate.PutOff, now.AddDate(0, 1, 0).Format(time.DateOnly)
		}
		in.Answers = append(in.Answers, a)
	}
	_, err = s.Speak(ctx, in)
	var invalid shop.Invalid
	if errors.As(err, &invalid) {
		return nil
	}
	return err
}
