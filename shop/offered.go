package shop

import (
	"context"
	"strings"

	"witnessmark/core/estimate"
)

// How an offer stands.
const (
	OfferOpen     = "open"       // the owner can answer it
	OfferAnswered = "answered"   // the owner answered it
	OfferReplaced = "replaced"   // a newer offer of the same estimate ended it
	OfferTaken    = "taken-back" // the workshop ended it
	OfferExpired  = "expired"    // the link's life is over
	OfferPast     = "past"       // the estimate's last day has passed
)

// Offered is a version of an estimate as it was put before its owner, with all that became of it.
type Offered struct {
	Offer Kept[Offer]
	Draft Kept[EstimateDraft]
	Car   CarVersion
	// Km is the car's highest odometer reading, 0 when none is known.
	Km float64
	// Standing is one of the words above. What is answered stays so, whatever comes later.
	Standing string
	// Decision is the answer, End what ended it without one; nil when there is none.
	Decision *Kept[Decision]
	End      *Kept[OfferEnd]
	// Later is true when the same estimate was put before the owner again afterwards.
	Later bool
	// Since is the answer given to it then, which counts instead; nil for none. Only OpenOffer fills it.
	Since *Kept[Decision]
}

// Estimate gives what was shown.
func (o *Offered) Estimate() estimate.Estimate { return o.Draft.Said.Estimate }

// Totals adds up what was agreed, or everything while it isn't answered.
func (o *Offered) Totals() (estimate.Totals, error) {
	if o.Decision == nil {
		return estimate.Total(o.Estimate(), nil)
	}
	return estimate.Total(o.Estimate(), o.Decision.Said.Answers)
}

// Answered says that an offer is answered already. It is an ErrConflict.
type Answered struct{ Offered *Offered }

// Error says so.
func (*Answered) Error() string { return "this estimate is answered already" }

// Unwrap makes it an ErrConflict.
func (*Answered) Unwrap() error { return ErrConflict }

// OfferOf gives the last offer of an estimate, nil when it was never put before the owner. It may be of an earlier version than d.
func (s *Shop) OfferOf(ctx context.Context, r Reader, d Kept[EstimateDraft]) (*Offered, error) {
	all, err := s.offersOf(ctx, r, d.CarID, d.Said.Estimate.Number)
	if err != nil || len(all) == 0 {
		return nil, err
	}
	return all[len(all)-1], nil
}

// OffersOf gives the latest version of an estimate and everything that was put before the owner under its number, the last one last.
func (s *Shop) OffersOf(ctx context.Context, number string) (d Kept[EstimateDraft], all []*Offered, err error) {
	err = s.store.View(ctx, func(r Reader) error {
		if d, err = draftNow(ctx, r, number); err != nil {
			return err
		}
		all, err = s.offersOf(ctx, r, d.CarID, number)
		return err
	})
	return d, all, err
}

// OpenOffer gives what is behind a link. A link that expired, was taken back or never existed is ErrGone; one that was replaced or whose
// last day has passed says so in its standing. Nothing is stored, so nothing that opens links by itself can answer.
func (s *Shop) OpenOffer(ctx context.Context, token string) (o *Offered, err error) {
	err = s.store.View(ctx, func(r Reader) error {
		o, err = s.openOffer(ctx, r, token)
		return err
	})
	return o, err
}

func (s *Shop) openOffer(ctx context.Context, r Reader, token string) (*Offered, error) {
	list, err := records[Offer](ctx, r, RecordFilter{Kind: KindOffer, Once: offerOnce(hashToken(strings.ToLower(strings.TrimSpace(token)))), Limit: 1})
	if err != nil {
		return nil, err
	}
	if len(list) == 0 || list[0].Said.ExpiresAt <= ms(s.now()) {
		return nil, ErrGone
	}
	o, err := s.offered(ctx, r, list[0])
	if err != nil {
		return nil, err
	}
	if o.Standing == OfferTaken {
		return nil, ErrGone
	}
	all, err := r.Records(ctx, RecordFilter{Kind: KindOffer, CarID: o.Offer.CarID, After: o.Offer.Seq})
	if err != nil {
		return nil, err
	}
	for _, later := range all {
		rec, err := recordOf(ctx, r, KindEstimate, later.Ref)
		if err != nil {
			return nil, err
		}
		d, err := kept[EstimateDraft](rec)
		if err != nil {
			return nil, err
		}
		if d.Said.Estimate.Number != o.Estimate().Number {
			continue
		}
		o.Later = true
		since, err := lastRecord[Decision](ctx, r, KindDecision, later.ID)
		if err != nil {
			return nil, err
		}
		if since != nil {
			o.Since = since
		}
	}
	return o, nil
}

// offersOf gives all offers of an estimate of a car, in order of arrival.
func (s *Shop) offersOf(ctx context.Context, r Reader, carID, number string) ([]*Offered, error) {
	list, err := records[Offer](ctx, r, RecordFilter{Kind: KindOffer, CarID: carID})
	if err != nil {
		return nil, err
	}
	var out []*Offered
	for _, k := range list {
		o, err := s.offered(ctx, r, k)
		if err != nil {
			return nil, err
		}
		if o.Estimate().Number != number {
			continue
		}
		for _, earlier := range out {
			earlier.Later = true
		}
		out = append(out, o)
	}
	return out, nil
}

// offered reads what belongs to an offer.
func (s *Shop) offered(ctx context.Context, r Reader, k Kept[Offer]) (*Offered, error) {
	o := &Offered{Offer: k}
	rec, err := recordOf(ctx, r, KindEstimate, k.Ref)
	if err != nil {
		return nil, err
	}
	if o.Draft, err = kept[EstimateDraft](rec); err != nil {
		return nil, err
	}
	if o.Car, err = r.Car(ctx, k.CarID); err != nil {
		return nil, err
	}
	driven, err := r.Odometer(ctx, k.CarID)
	if err != nil {
		return nil, err
	}
	for _, f := range driven {
		o.Km = max(o.Km, f.Km)
	}
	if o.Decision, err = lastRecord[Decision](ctx, r, KindDecision, k.ID); err != nil {
		return nil, err
	}
	o.End, err = lastRecord[OfferEnd](ctx, r, KindOfferEnd, k.ID)
	o.Standing = s.standing(o)
	return o, err
}

// lastRecord gives the last record of a kind that refers to one; nil when none does.
func lastRecord[T any](ctx context.Context, r Reader, kind, ref string) (*Kept[T], error) {
	list, err := records[T](ctx, r, RecordFilter{Kind: kind, Ref: ref, Last: true, Limit: 1})
	if err != nil || len(list) == 0 {
		return nil, err
	}
	return &list[0], nil
}

func (s *Shop) standing(o *Offered) string {
	switch {
	case o.Decision != nil:
		return OfferAnswered
	case o.End != nil && o.End.Said.ReplacedBy != "":
		return OfferReplaced
	case o.End != nil:
		return OfferTaken
	case o.Offer.Said.ExpiresAt <= ms(s.now()):
		return OfferExpired
	case o.Estimate().ValidUntil < s.today():
		return OfferPast
	}
	return OfferOpen
}

// lastAnswer gives the last answered offer of an estimate, nil when none is.
func lastAnswer(ctx context.Context, r Reader, carID, number string) (*answer, error) {
	list, err := records[Decision](ctx, r, RecordFilter{Kind: KindDecision, CarID: carID, Last: true})
	if err != nil {
		return nil, err
	}
	for _, d := range list {
		a, err := answerOf(ctx, r, d)
		if err != nil || a.Draft.Said.Estimate.Number == number {
			return a, err
		}
	}
	return nil, nil
}

// answer is a decision with what it answers.
type answer struct {
	Decision Kept[Decision]
	Draft    Kept[EstimateDraft]
}

func answerOf(ctx context.Context, r Reader, d Kept[Decision]) (*answer, error) {
	offer, err := recordOf(ctx, r, KindOffer, d.Ref)
	if err != nil {
		return nil, err
	}
	rec, err := recordOf(ctx, r, KindEstimate, offer.Ref)
	if err != nil {
		return nil, err
	}
	a := &answer{Decision: d}
	a.Draft, err = kept[EstimateDraft](rec)
	return a, err
}
