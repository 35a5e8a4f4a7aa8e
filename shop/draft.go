package shop

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"witnessmark/core/estimate"
)

// draftOnce is the key of one version of an estimate, which only one person can save.
func draftOnce(number string, version int) string {
	return fmt.Sprintf("estimate/%s/%d", number, version)
}

// once gives the key that a version is stored under.
func (d *EstimateDraft) once(string) string {
	return draftOnce(d.Estimate.Number, d.Estimate.Version)
}

// check refuses an estimate that can't be computed. Prices may be missing.
func (d *EstimateDraft) check() error {
	if d.Equals < 0 || d.Equals >= d.Estimate.Version {
		return fmt.Errorf("version %d can't equal version %d, which is not earlier", d.Estimate.Version, d.Equals)
	}
	return estimate.Check(d.Estimate)
}

// draftVersion gives one version of an estimate, ErrNotFound when there is none.
func draftVersion(ctx context.Context, r Reader, number string, version int) (Kept[EstimateDraft], error) {
	list, err := records[EstimateDraft](ctx, r, RecordFilter{Kind: KindEstimate, Once: draftOnce(number, version), Limit: 1})
	if err != nil {
		return Kept[EstimateDraft]{}, err
	}
	if len(list) == 0 {
		return Kept[EstimateDraft]{}, ErrNotFound
	}
	return list[0], nil
}

// lastHeld gives the largest n from 1 for which held says true, 0 for none. What is held has no gaps, so few n are asked about.
func lastHeld(held func(n int) (bool, error)) (int, error) {
	low, high := 0, 1
	for {
		ok, err := held(high)
		if err != nil {
			return 0, err
		}
		if !ok {
			break
		}
		low, high = high, high*2
	}
	for low+1 < high {
		mid := (low + high) / 2
		ok, err := held(mid)
		if err != nil {
			return 0, err
		}
		if ok {
			low = mid
		} else {
			high = mid
		}
	}
	return low, nil
}

// hasOnce says whether a version of an estimate is there.
func hasOnce(ctx context.Context, r Reader, number string, version int) (bool, error) {
	list, err := r.Records(ctx, RecordFilter{Kind: KindEstimate, Once: draftOnce(number, version), Limit: 1})
	return len(list) > 0, err
}

// draftNow gives the latest version of an estimate, ErrNotFound when there is none.
func draftNow(ctx context.Context, r Reader, number string) (Kept[EstimateDraft], error) {
	n, err := lastHeld(func(n int) (bool, error) { return hasOnce(ctx, r, number, n) })
	if err != nil {
		return Kept[EstimateDraft]{}, err
	}
	return draftVersion(ctx, r, number, n)
}

// Draft gives the latest version of an estimate, ErrNotFound when there is none of that number.
func (s *Shop) Draft(ctx context.Context, number string) (d Kept[EstimateDraft], err error) {
	err = s.store.View(ctx, func(r Reader) error {
		d, err = draftNow(ctx, r, number)
		return err
	})
	return d, err
}

// Drafts gives the latest version of each estimate of a car, the one made last first.
func (s *Shop) Drafts(ctx context.Context, carID string) (out []Kept[EstimateDraft], err error) {
	err = s.store.View(ctx, func(r Reader) error {
		if _, err := r.Car(ctx, carID); err != nil {
			return err
		}
		out, err = drafts(ctx, r, carID)
		return err
	})
	return out, err
}

func drafts(ctx context.Context, r Reader, carID string) ([]Kept[EstimateDraft], error) {
	all, err := records[EstimateDraft](ctx, r, RecordFilter{Kind: KindEstimate, CarID: carID})
	if err != nil {
		return nil, err
	}
	place := map[string]int{}
	var out []Kept[EstimateDraft]
	for _, d := range all {
		i, ok := place[d.Said.Estimate.Number]
		switch {
		case !ok:
			place[d.Said.Estimate.Number] = len(out)
			out = append(out, d)
		case d.Said.Estimate.Version > out[i].Said.Estimate.Version:
			out[i] = d
		}
	}
	slices.Reverse(out)
	return out, nil
}

// DraftVersions gives every version of an estimate, the first one first; ErrNotFound when there is none of that number.
func (s *Shop) DraftVersions(ctx context.Context, number string) (out []Kept[EstimateDraft], err error) {
	err = s.store.View(ctx, func(r Reader) error {
		for v := 1; ; v++ {
			d, err := draftVersion(ctx, r, number, v)
			if errors.Is(err, ErrNotFound) && v > 1 {
				return nil
			}
			if err != nil {
				return err
			}
			out = append(out, d)
		}
	})
	return out, err
}
