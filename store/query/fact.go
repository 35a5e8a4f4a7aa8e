package query

import (
	"context"

	"witnessmark/shop"
)

// Put adds one fact of whatever kind is set.
func (w *Writer) Put(ctx context.Context, f shop.Fact) (created bool, err error) {
	if set := countSet(f); set != 1 {
		return false, shop.Invalid{{Field: "fact", Text: "A fact must be of exactly one kind."}}
	}
	switch {
	case f.Car != nil:
		return put(ctx, w, &carVersions, *f.Car)
	case f.Odometer != nil:
		return put(ctx, w, &odometers, *f.Odometer)
	case f.Renewal != nil:
		return put(ctx, w, &renewals, *f.Renewal)
	case f.Round != nil:
		return put(ctx, w, &rounds, *f.Round)
	case f.RoundEnd != nil:
		return put(ctx, w, &roundEnds, *f.RoundEnd)
	case f.Reading != nil:
		return put(ctx, w, &readings, *f.Reading)
	case f.Photo != nil:
		return put(ctx, w, &photos, *f.Photo)
	case f.Share != nil:
		return put(ctx, w, &shares, *f.Share)
	case f.ShareEnd != nil:
		return put(ctx, w, &shareEnds, *f.ShareEnd)
	case f.Told != nil:
		return put(ctx, w, &tolds, *f.Told)
	case f.Look != nil:
		return put(ctx, w, &looks, *f.Look)
	case f.Confirmed != nil:
		return put(ctx, w, &confirmations, *f.Confirmed)
	case f.Withdrawal != nil:
		return put(ctx, w, &withdrawals, *f.Withdrawal)
	case f.Record != nil:
		return put(ctx, w, &recordsKind, *f.Record)
	default:
		return put(ctx, w, &classes, *f.Classes)
	}
}

// countSet counts the kinds that are set.
func countSet(f shop.Fact) (n int) {
	for _, set := range []bool{f.Car != nil, f.Odometer != nil, f.Renewal != nil, f.Round != nil, f.RoundEnd != nil,
		f.Reading != nil, f.Photo != nil, f.Share != nil, f.ShareEnd != nil, f.Classes != nil,
		f.Told != nil, f.Look != nil, f.Confirmed != nil, f.Withdrawal != nil, f.Record != nil} {
		if set {
			n++
		}
	}
	return n
}

// Each calls f with every fact: kind by kind so that what a fact refers to comes before it, each kind in order of
// arrival.
func (r *Reader) Each(ctx context.Context, f func(shop.Fact) error) error {
	for _, kind := range []func() error{
		func() error { return each(ctx, r, &carVersions, f) },
		func() error { return each(ctx, r, &odometers, f) },
		func() error { return each(ctx, r, &renewals, f) },
		func() error { return each(ctx, r, &rounds, f) },
		func() error { return each(ctx, r, &readings, f) },
		func() error { return each(ctx, r, &photos, f) },
		func() error { return each(ctx, r, &roundEnds, f) },
		func() error { return each(ctx, r, &shares, f) },
		func() error { return each(ctx, r, &shareEnds, f) },
		func() error { return each(ctx, r, &classes, f) },
		func() error { return each(ctx, r, &tolds, f) },
		func() error { return each(ctx, r, &looks, f) },
		func() error { return each(ctx, r, &confirmations, f) },
		func() error { return each(ctx, r, &withdrawals, f) },
		func() error { return each(ctx, r, &recordsKind, f) },
	} {
		if err := kind(); err != nil {
			return err
		}
	}
	return nil
}
