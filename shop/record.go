package shop

import (
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"fmt"
)

// Record is a document of the workshop's dealings: a price list, an estimate, an owner's answer, a close-out. Like every fact it is
// append-only; what it says stands in its body, and beside it only what it is looked for by.
type Record struct {
	ID   string `json:"id"`
	Kind string `json:"kind"`
	// CarID is empty for what belongs to the workshop.
	CarID string `json:"car,omitempty"`
	// Ref is the id of the record that it answers or follows; empty for none.
	Ref string `json:"ref,omitempty"`
	// Once is a key that no second record may have: an offer is answered once, a reminder is written once. Empty is none.
	Once string `json:"once,omitempty"`
	// Body is the JSON of the kind's type, as encoding/json writes it.
	Body       json.RawMessage `json:"body"`
	By         string          `json:"by,omitempty"`
	ReceivedAt int64           `json:"received_at"`
	// Seq is the order of arrival, given by the store.
	Seq int64 `json:"-"`
}

// RecordFilter narrows a list of records. Zero fields do not narrow.
type RecordFilter struct {
	Kind, CarID, Ref, Once string
	// After keeps those that arrived later.
	After int64
	// Last turns the order round, newest first, and Limit bounds it; 0 is all.
	Last  bool
	Limit int
}

// records reads the bodies of a list of records.
func records[T any](ctx context.Context, r Reader, f RecordFilter) ([]Kept[T], error) {
	list, err := r.Records(ctx, f)
	if err != nil {
		return nil, err
	}
	out := make([]Kept[T], len(list))
	for i, rec := range list {
		if out[i], err = kept[T](rec); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// Kept is a record with its body read.
type Kept[T any] struct {
	Record
	Said T
}

func kept[T any](rec Record) (Kept[T], error) {
	k := Kept[T]{Record: rec}
	if err := strict(rec.Body, &k.Said); err != nil {
		return k, fmt.Errorf("%s %s: %w", rec.Kind, rec.ID, err)
	}
	return k, nil
}

// record makes a record of a body.
func (s *Shop) record(id, kind, carID, ref, by string, body any) (Record, error) {
	data, err := json.Marshal(body)
	if err != nil {
		return Record{}, fmt.Errorf("write %s: %w", kind, err)
	}
	if _, err := checkBody(kind, data); err != nil {
		return Record{}, fmt.Errorf("write %s: %w", kind, err)
	}
	return Record{ID: id, Kind: kind, CarID: carID, Ref: ref, Body: data, By: squeeze(by), ReceivedAt: ms(s.now())}, nil
}

// recordKind is what Check knows of a kind.
type recordKind struct {
	// refers is the kind that Ref must be of; empty when a record of this kind refers to none.
	refers string
	// car is true when it belongs to a car.
	car  bool
	body func() any
}

// recordKinds are all kinds of records.
var recordKinds = map[string]recordKind{
	KindTerms:       {body: func() any { return new(Terms) }},
	KindPrices:      {body: func() any { return new(PriceList) }},
	KindPlaced:      {car: true, body: func() any { return new(Placed) }},
	KindEstimate:    {car: true, body: func() any { return new(EstimateDraft) }},
	KindOffer:       {car: true, refers: KindEstimate, body: func() any { return new(Offer) }},
	KindOfferEnd:    {car: true, refers: KindOffer, body: func() any { return new(OfferEnd) }},
	KindDecision:    {car: true, refers: KindOffer, body: func() any { return new(Decision) }},
	KindWork:        {car: true, refers: KindDecision, body: func() any { return new(WorkNote) }},
	KindCloseOut:    {car: true, refers: KindDecision, body: func() any { return new(CloseOut) }},
	KindCloseOutEnd: {car: true, refers: KindCloseOut, body: func() any { return new(CloseOutEnd) }},
	KindSettled:     {car: true, body: func() any { return new(Settled) }},
	KindConsent:     {car: true, body: func() any { return new(Consent) }},
	KindStop:        {car: true, refers: KindConsent, body: func() any { return new(Stop) }},
	KindMail:        {car: true, body: func() any { return new(Mail) }},
	KindMailStep:    {car: true, refers: KindMail, body: func() any { return new(MailStep) }},
	KindFeed:        {body: func() any { return new(Feed) }},
	KindFeedEnd:     {refers: KindFeed, body: func() any { return new(FeedEnd) }},
}

// RecordRefers gives the kind of record that a record's Ref must be of, empty for none, and whether there is such a kind at all.
func RecordRefers(kind string) (refers string, known bool) {
	k, known := recordKinds[kind]
	return k.refers, known
}

// checkRecord refuses a record of an unknown kind, with a body that is not of its kind, with a key that its body does not give it, or that
// hangs in the air.
func checkRecord(r *Record) error {
	k, ok := recordKinds[r.Kind]
	if !ok {
		return fmt.Errorf("record: kind %q is not known", r.Kind)
	}
	err := needs("record", r.ID)
	if k.car {
		err = errors.Join(err, needs("record", r.CarID))
	}
	if (k.refers != "") != (r.Ref != "") {
		err = errors.Join(err, fmt.Errorf("record: %s refers to %q; expected an id of %s", r.Kind, r.Ref, cmp.Or(k.refers, "nothing")))
	}
	body, e := checkBody(r.Kind, r.Body)
	if c, ok := body.(interface{ once(ref string) string }); ok && e == nil && r.Once != c.once(r.Ref) {
		e = fmt.Errorf("record: the key of %s is %q; expected %q", r.Kind, r.Once, c.once(r.Ref))
	}
	return errors.Join(err, e)
}

// checkBody reads a body and refuses one that is not of its kind. It holds for what is written too: what an import refuses must not get
// into an export.
func checkBody(kind string, data []byte) (any, error) {
	body := recordKinds[kind].body()
	if err := strict(data, body); err != nil {
		return nil, fmt.Errorf("record: body of %s: %w", kind, err)
	}
	if c, ok := body.(interface{ check() error }); ok {
		return body, c.check()
	}
	return body, nil
}
