package shop

import (
	"context"
	"fmt"
	"slices"

	"witnessmark/core/point"
	"witnessmark/core/round"
)

// RoundLook is one look that settles a cause, on a round's list.
type RoundLook struct {
	Fact LookFact
	Sign *point.Sign
	// Point is where the sign is read; nil for a check of its own.
	Point *point.Point
	// Done reports whether it was answered: at its point, or with an answer of its own.
	Done bool
	// Cautions are what can hurt at a check of its own; a point says its own.
	Cautions []string
}

// roundLooks turns facts into the list as it stands. A sign that the catalogue no longer has stays in the facts.
func (s *Shop) roundLooks(facts []LookFact) []RoundLook {
	var out []RoundLook
	for _, f := range looksNow(facts) {
		sign := s.cat.Sign(f.Sign)
		if sign == nil {
			continue
		}
		l := RoundLook{Fact: f, Sign: sign, Done: f.Answer != LookWanted}
		if sign.Point != "" {
			l.Point = s.cat.Point(sign.Point)
		} else {
			l.Cautions = s.cautionTexts(sign.Cautions)
		}
		out = append(out, l)
	}
	return out
}

// walk orders the points of a round: those of its depth, and those that its list of looks asks for beyond it.
func (s *Shop) walk(v *RoundView, depth point.Depth) ([]round.Step, []round.Absent) {
	known := round.Known{Facets: v.Facets, EngineHot: v.Round.EngineHot}
	steps, absent := round.Walk(s.cat, depth, known)
	beyond := func(l RoundLook) bool { return l.Point != nil && !l.Point.At(depth) }
	if !slices.ContainsFunc(v.Looks, beyond) {
		return steps, absent
	}
	all, _ := round.Walk(s.cat, point.Full, known)
	return slices.DeleteFunc(all, func(st round.Step) bool {
		return !st.Point.At(depth) && !slices.ContainsFunc(v.Looks, func(l RoundLook) bool { return l.Point == st.Point })
	}), absent
}

// readSteps orders what was read in a round that nobody walked: the points and places that have a reading.
func (s *Shop) readSteps(v *RoundView, mine []ReadingFact) []round.Step {
	all, _ := round.Walk(s.cat, point.Full, round.Known{Facets: v.Facets})
	var out []round.Step
	for _, st := range all {
		st.Slots = slices.DeleteFunc(slices.Clone(st.Slots), func(at string) bool {
			return !slices.ContainsFunc(mine, func(f ReadingFact) bool { return f.Point == st.Point.ID && f.At == at })
		})
		if len(st.Slots) > 0 {
			out = append(out, st)
		}
	}
	return out
}

// answerLooks marks looks at points that have been answered.
func (v *RoundView) answerLooks() {
	for i := range v.Looks {
		l := &v.Looks[i]
		if l.Point == nil {
			continue
		}
		for _, st := range v.Steps {
			l.Done = l.Done || st.Point == l.Point && st.Done()
		}
	}
}

// LookInput puts a sign on a round's list of looks, answers it or takes it off.
type LookInput struct{ ID, RoundID, Sign, Answer, By string }

// Look stores a look. A sign that is read at a point of the catalogue is answered there, so it only goes on the list or off it; one that
// owners tell of and nobody can look for does not. Fields of errors are "sign" and "answer".
func (s *Shop) Look(ctx context.Context, in LookInput) error {
	return s.store.Update(ctx, func(w Writer) error {
		r, err := roundOf(ctx, w, in.RoundID)
		if err != nil {
			return err
		}
		c, err := w.Car(ctx, r.CarID)
		if err != nil {
			return err
		}
		if bad := s.checkLookInput(c, in); len(bad) > 0 {
			return bad
		}
		_, err = w.Put(ctx, Fact{Look: &LookFact{ID: in.ID, RoundID: r.ID, CarID: r.CarID, Sign: in.Sign, Answer: in.Answer, By: squeeze(in.By), ReceivedAt: ms(s.now())}})
		return err
	})
}

func (s *Shop) checkLookInput(c CarVersion, in LookInput) Invalid {
	sign := s.cat.Sign(in.Sign)
	switch {
	case sign == nil:
		return Invalid{{Field: "sign", Text: fmt.Sprintf("There is no sign %q in the catalogue.", in.Sign)}}
	case sign.Point == "" && sign.Check == "":
		return Invalid{{Field: "sign", Text: sign.Name + " is something that owners tell; there is no look for it."}}
	case !slices.Contains(LookAnswers, in.Answer):
		return Invalid{{Field: "answer", Text: "Say whether it is there, not there, or can't be told."}}
	case sign.Point != "" && in.Answer != LookWanted && in.Answer != LookOff:
		return Invalid{{Field: "answer", Text: sign.Name + " is answered at its point of the round."}}
	}
	facets := s.FacetsOf(c)
	if ok, why := sign.When.Holds(facets); !ok {
		return Invalid{{Field: "sign", Text: fmt.Sprintf("%s does not apply to this car: %s.", sign.Name, why)}}
	}
	if p := s.cat.Point(sign.Point); p != nil {
		if ok, why := p.Applies.Holds(facets); !ok {
			return Invalid{{Field: "sign", Text: fmt.Sprintf("%s does not apply to this car: %s.", p.Name, why)}}
		}
	}
	return nil
}
