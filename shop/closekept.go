package shop

import (
	"context"
	"strconv"
)

// closeOuts reads the close-outs that stand in order of arrival, and those that were taken back. The filter narrows the close-outs; its
// Kind is set.
func closeOuts(ctx context.Context, r Reader, f RecordFilter) (stand []Kept[CloseOut], back []TakenBack, err error) {
	f.Kind = KindCloseOut
	list, err := records[CloseOut](ctx, r, f)
	if err != nil || len(list) == 0 {
		return nil, nil, err
	}
	ends, err := closeOutEnds(ctx, r, f, list)
	for _, c := range list {
		if e := ends[c.ID]; e != nil {
			back = append(back, TakenBack{c, *e})
		} else {
			stand = append(stand, c)
		}
	}
	return stand, back, err
}

// closeOutEnds reads the ends of close-outs by their ids. What is asked for of one decision is asked for by reference, as a car may have
// many others.
func closeOutEnds(ctx context.Context, r Reader, f RecordFilter, list []Kept[CloseOut]) (map[string]*Kept[CloseOutEnd], error) {
	filters := []RecordFilter{{Kind: KindCloseOutEnd, CarID: f.CarID}}
	if f.Ref != "" {
		filters = nil
		for _, c := range list {
			filters = append(filters, RecordFilter{Kind: KindCloseOutEnd, Ref: c.ID})
		}
	}
	out := map[string]*Kept[CloseOutEnd]{}
	for _, f := range filters {
		ends, err := records[CloseOutEnd](ctx, r, f)
		if err != nil {
			return nil, err
		}
		for i := range ends {
			out[ends[i].Ref] = &ends[i]
		}
	}
	return out, nil
}

// closedBy gives close-outs by the decision that they end.
func closedBy(stand []Kept[CloseOut]) map[string]*Kept[CloseOut] {
	out := map[string]*Kept[CloseOut]{}
	for i := range stand {
		out[stand[i].Ref] = &stand[i]
	}
	return out
}

// CloseOutOnce is the key of a decision's close-out: an agreement is closed out once, and once more for each time that it was taken back.
func CloseOutOnce(decisionID string, again int) string {
	if again == 0 {
		return "closeout/" + decisionID
	}
	return "closeout/" + decisionID + "/" + strconv.Itoa(again)
}

// once gives the key that a close-out is stored under.
func (c *CloseOut) once(decisionID string) string { return CloseOutOnce(decisionID, c.Again) }

// Ids of the facts that come with a close-out: what its renewals and causes begin with, and its odometer reading.
func renewalIDs(closeOut string) string { return closeOut + "-renews-" }
func causeIDs(closeOut string) string   { return closeOut + "-cause-" }
func odometerID(closeOut string) string { return closeOut + "-km" }

// workedOff gives the decision whose work on an estimate is closed out; empty while the last answer's is not.
func workedOff(ctx context.Context, r Reader, carID, number string) (string, error) {
	last, err := lastAnswer(ctx, r, carID, number)
	if err != nil || last == nil {
		return "", err
	}
	stand, _, err := closeOuts(ctx, r, RecordFilter{Ref: last.Decision.ID})
	if err != nil || len(stand) == 0 {
		return "", err
	}
	return last.Decision.ID, nil
}

// WorkedOff gives the decision whose work on an estimate is closed out, empty while none is. Such an estimate can't be put before its
// owner again.
func (s *Shop) WorkedOff(ctx context.Context, carID, number string) (decisionID string, err error) {
	err = s.store.View(ctx, func(r Reader) error {
		decisionID, err = workedOff(ctx, r, carID, number)
		return err
	})
	return decisionID, err
}
