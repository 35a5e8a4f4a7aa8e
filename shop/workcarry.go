package shop

import (
	"context"
	"slices"

	"witnessmark/core/estimate"
)

// carried are the notes that were made under earlier answers to the same estimate, in order of arrival, as far as they speak of what is still
// agreed: when the owner answers again while the car is in the bay, what is done stays ticked.
func carried(ctx context.Context, r Reader, o *WorkOrder, all []*answer) (out []Kept[WorkNote], err error) {
	for _, x := range all {
		if x.Decision.ID == o.Decision.ID {
			break
		}
		if x.Draft.Said.Estimate.Number != o.Draft.Said.Estimate.Number {
			continue
		}
		notes, err := records[WorkNote](ctx, r, RecordFilter{Kind: KindWork, Ref: x.Decision.ID})
		if err != nil {
			return nil, err
		}
		for _, n := range notes {
			if o.stillSays(&n.Said, &x.Draft.Said.Estimate) {
				out = append(out, n)
			}
		}
	}
	return out, nil
}

// stillSays reports whether a note made on an earlier version speaks of what is agreed now: of an item that asks for the same doing, of a
// line that names the same part, or of a preparation, which belongs to no item.
func (o *WorkOrder) stillSays(n *WorkNote, then *estimate.Estimate) bool {
	if n.Item != "" {
		now, i := o.Item(n.Item), slices.IndexFunc(then.Items, func(it estimate.Item) bool { return it.ID == n.Item })
		return now != nil && i >= 0 && sameDoing(now, &then.Items[i])
	}
	if n.Part == nil || n.Part.Line == "" {
		return true
	}
	same := func(l estimate.Line) bool { return l.ID == n.Part.Line && l.Name == n.Part.Name }
	return slices.ContainsFunc(o.Items, func(it estimate.Item) bool { return slices.ContainsFunc(it.Lines, same) }) ||
		slices.ContainsFunc(o.Draft.Said.Estimate.Shared, func(sh estimate.Shared) bool { return slices.ContainsFunc(sh.Lines, same) })
}
