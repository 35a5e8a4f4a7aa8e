package shop

import (
	"context"

	"witnessmark/core/estimate"
	"witnessmark/core/work"
)

// dealt is what a car's dealings say of doings: what was put off, what was done, which looks the work called for.
type dealt struct {
	// seq is the newest order of arrival among the records.
	seq     int64
	putOffs []putOff
	done    []doneDoing
	follows []followUp
	// placed says on which day the adviser wants a doing, by the want's key.
	placed map[string]string
}

// putOff is an item that an owner put off.
type putOff struct {
	due  string
	item estimate.Item
	on   string
	km   int64
	seq  int64
}

// doneDoing is a doing that a close-out says was done.
type doneDoing struct {
	work.Doing
	on         string
	receivedAt int64
	seq        int64
}

// followUp is a look that a close-out calls for.
type followUp struct {
	due        string
	follow     Follow
	on         string // of the work
	receivedAt int64
}

// dealings reads what a car's records say of doings.
func dealings(ctx context.Context, r Reader, carID string) (*dealt, error) {
	list, err := r.Records(ctx, RecordFilter{CarID: carID})
	if err != nil {
		return nil, err
	}
	d := &dealingsReader{out: dealt{placed: map[string]string{}}, drafts: map[string]*EstimateDraft{}, offers: map[string]string{}, decided: map[string]string{}, settled: map[string]bool{}}
	for _, rec := range list {
		d.out.seq = rec.Seq
		if err := d.read(rec); err != nil {
			return nil, err
		}
	}
	d.finish()
	return &d.out, nil
}

// dealingsReader follows records from close-outs and answers back to the estimate that they are about.
type dealingsReader struct {
	out     dealt
	drafts  map[string]*EstimateDraft // by record
	offers  map[string]string         // the draft's record by the offer's
	decided map[string]string         // the offer's record by the decision's
	settled map[string]bool
}

func (d *dealingsReader) read(rec Record) error {
	switch rec.Kind {
	case KindEstimate:
		k, err := kept[EstimateDraft](rec)
		d.drafts[rec.ID] = &k.Said
		return err
	case KindOffer:
		d.offers[rec.ID] = rec.Ref
	case KindDecision:
		k, err := kept[Decision](rec)
		d.decided[rec.ID] = rec.Ref
		d.decision(k)
		return err
	case KindCloseOut:
		k, err := kept[CloseOut](rec)
		d.closeOut(k)
		return err
	case KindPlaced:
		k, err := kept[Placed](rec)
		d.out.placed[wantKey(k.Said.Job, k.Said.At)] = k.Said.On
		return err
	case KindSettled:
		k, err := kept[Settled](rec)
		d.settled[k.Said.Due] = !k.Said.Back
		return err
	}
	return nil
}

// item finds an item of the estimate that a decision answered; nil when it is not there.
func (d *dealingsReader) item(decision, id string) *estimate.Item {
	draft := d.drafts[d.offers[d.decided[decision]]]
	if draft == nil {
		return nil
	}
	for i := range draft.Estimate.Items {
		if it := &draft.Estimate.Items[i]; it.ID == id {
			return it
		}
	}
	return nil
}

// decision takes up what was put off. An item answered anew takes the place of what was said of its doing before.
func (d *dealingsReader) decision(k Kept[Decision]) {
	for _, a := range k.Said.Answers {
		it := d.item(k.ID, a.Item)
		if it == nil {
			continue
		}
		kept := d.out.putOffs[:0]
		for _, p := range d.out.putOffs {
			if !sameDoing(&p.item, it) {
				kept = append(kept, p)
			}
		}
		d.out.putOffs = kept
		if a.Answer == estimate.PutOff {
			d.out.putOffs = append(d.out.putOffs, putOff{due: k.ID + "/" + a.Item, item: *it, on: a.UntilOn, km: a.UntilKm, seq: k.Seq})
		}
	}
}

// sameDoing reports whether two items ask for the same: the same doing, or the same item that an adviser typed.
func sameDoing(a, b *estimate.Item) bool {
	return a.Job == b.Job && a.At == b.At && (a.Job != "" || a.ID == b.ID)
}

func (d *dealingsReader) closeOut(k Kept[CloseOut]) {
	for _, x := range k.Said.Items {
		if it := d.item(k.Ref, x.Item); x.Done && it != nil && it.Job != "" {
			d.out.done = append(d.out.done, doneDoing{work.Doing{Job: it.Job, At: it.At}, k.Said.On, k.ReceivedAt, k.Seq})
		}
	}
	for _, f := range k.Said.Follows {
		d.out.follows = append(d.out.follows, followUp{k.ID + "/" + f.ID, f, k.Said.On, k.ReceivedAt})
	}
}

// finish drops what was settled, and put-offs of what was done since.
func (d *dealingsReader) finish() {
	putOffs := d.out.putOffs[:0]
	for _, p := range d.out.putOffs {
		if !d.settled[p.due] && !d.doneAfter(p) {
			putOffs = append(putOffs, p)
		}
	}
	d.out.putOffs = putOffs
	follows := d.out.follows[:0]
	for _, f := range d.out.follows {
		if !d.settled[f.due] {
			follows = append(follows, f)
		}
	}
	d.out.follows = follows
}

func (d *dealingsReader) doneAfter(p putOff) bool {
	for _, x := range d.out.done {
		if x.Job == p.item.Job && x.At == p.item.At && x.seq > p.seq {
			return true
		}
	}
	return false
}

// wantKey names a doing in forms and placements: "renew-pads@F", "renew-coolant".
func wantKey(job, at string) string {
	if at == "" {
		return job
	}
	return job + "@" + at
}
