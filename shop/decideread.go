package shop

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"witnessmark/core/estimate"
)

// AnswerInput is the answer to one item as typed.
type AnswerInput struct {
	Item, Answer     string
	UntilOn, UntilKm string
	// Warned is true when the warning beside the item was ticked.
	Warned bool
}

// Fields of an answer's form: the item's place in the estimate, from 1, stands behind each.
const (
	FieldAnswer  = "answer-"
	FieldUntilOn = "until-"
	FieldUntilKm = "km-"
	FieldWarned  = "warned-"
)

// ReadAnswers reads what was typed for each item of an offer, in the estimate's order. What is missing or wrong is Invalid, with the
// fields named as above. What was typed for another answer than the chosen one doesn't count.
func (s *Shop) ReadAnswers(o *Offered, typed []AnswerInput) ([]estimate.Answer, error) {
	byItem := map[string]AnswerInput{}
	for _, t := range typed {
		byItem[t.Item] = t
	}
	var out []estimate.Answer
	var bad Invalid
	e := o.Estimate()
	for i := range e.Items {
		a, wrong := s.readAnswer(o, &e.Items[i], byItem[e.Items[i].ID], strconv.Itoa(i+1))
		out, bad = append(out, a), append(bad, wrong...)
	}
	if len(bad) > 0 {
		return out, bad
	}
	return out, nil
}

func (s *Shop) readAnswer(o *Offered, it *estimate.Item, t AnswerInput, n string) (estimate.Answer, Invalid) {
	a := estimate.Answer{Item: it.ID, Answer: t.Answer}
	switch {
	case t.Answer == estimate.Accept:
	case t.Answer == estimate.Decline && !it.Must:
	case t.Answer == estimate.Decline && !t.Warned:
		return a, Invalid{{Field: FieldWarned + n, Text: it.Name + " must not be put off. Read the warning and tick it, if you still decline."}}
	case t.Answer == estimate.Decline:
		a.Warned = it.Warning
	case t.Answer == estimate.PutOff && it.Must:
		return a, Invalid{{Field: FieldAnswer + n, Text: it.Name + " must not be put off: accept or decline it."}}
	case t.Answer == estimate.PutOff:
		return s.readUntil(o, it, t, n)
	case it.Must:
		return a, Invalid{{Field: FieldAnswer + n, Text: it.Name + " has no answer yet: accept or decline it."}}
	default:
		return a, Invalid{{Field: FieldAnswer + n, Text: it.Name + " has no answer yet: accept it, put it off or decline it."}}
	}
	return a, nil
}

// readUntil reads until when an item is put off: a day, a distance, or both.
func (s *Shop) readUntil(o *Offered, it *estimate.Item, t AnswerInput, n string) (estimate.Answer, Invalid) {
	a := estimate.Answer{Item: it.ID, Answer: estimate.PutOff}
	on, km := strings.TrimSpace(t.UntilOn), strings.TrimSpace(t.UntilKm)
	if on == "" && km == "" {
		return a, Invalid{{Field: FieldUntilOn + n, Text: it.Name + ": say until which day it is put off, or until which distance."}}
	}
	var bad Invalid
	if on != "" {
		a.UntilOn = on
		if text := s.untilOn(on); text != "" {
			bad = append(bad, FieldError{Field: FieldUntilOn + n, Text: it.Name + ": " + text})
		}
	}
	if km != "" {
		x, err := parseNumber(km, "km", system(o.Car), 0, 0)
		switch {
		case err != nil:
			bad = append(bad, FieldError{Field: FieldUntilKm + n, Text: it.Name + ": " + err.Error() + "."})
		case x <= o.Km || x < 1:
			bad = append(bad, FieldError{Field: FieldUntilKm + n, Text: it.Name + ": the car has driven that far already."})
		case x > maxUntilKm:
			bad = append(bad, FieldError{Field: FieldUntilKm + n, Text: it.Name + ": the distance on the odometer can't get that far."})
		default:
			a.UntilKm = int64(math.Round(x))
		}
	}
	return a, bad
}

// maxUntilKm is the longest distance that core/estimate takes.
const maxUntilKm = 5_000_000

// untilOn says what is wrong with a day until which something is put off; empty is nothing.
func (s *Shop) untilOn(on string) string {
	t, err := time.Parse(dayLayout, on)
	last := day(s.today()).AddDate(0, 0, estimate.MaxPutOffDays)
	switch {
	case err != nil:
		return "enter a day such as 2026-12-01."
	case on <= s.today():
		return "choose a day that lies ahead."
	case t.After(last):
		return fmt.Sprintf("that is more than three years ahead; the last day is %s.", last.Format("2 January 2006"))
	}
	return ""
}
