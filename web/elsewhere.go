package web

import (
	"context"
	"fmt"

	"witnessmark/core/estimate"
	"witnessmark/shop"
)

// elsewhereLine is an item whose work another estimate of the car holds too, in the adviser's words and in the owner's.
type elsewhereLine struct {
	shop.Elsewhere
	// Own is this estimate's name of the item, OwnPath where it is taken out.
	Own, OwnPath string
	// Words are the adviser's, Path the sheet of the work there.
	Words, Path string
	// Owner is what the owner is told before answering.
	Owner string
}

// elsewhere says what of a version of an estimate other estimates hold, in its order.
func (s *server) elsewhere(ctx context.Context, d shop.Kept[shop.EstimateDraft]) ([]elsewhereLine, error) {
	list, err := s.shop.Elsewhere(ctx, d)
	if err != nil {
		return nil, err
	}
	return elsewhereLines(list, d.Said.Estimate), nil
}

func elsewhereLines(list []shop.Elsewhere, e estimate.Estimate) []elsewhereLine {
	names := map[string]string{}
	for _, it := range e.Items {
		names[it.ID] = it.Name
	}
	var out []elsewhereLine
	for _, x := range list {
		there := fmt.Sprintf("estimate %s, item %d", x.Number, x.Place)
		if x.Name != names[x.Item] {
			there += " (" + lowerFirst(x.Name) + ")"
		}
		l := elsewhereLine{Elsewhere: x, Own: names[x.Item], OwnPath: itemPath(e.Number, x.Item), Path: workPath(x.DecisionID), Words: "Already agreed on " + there + ".",
			Owner: "This work is agreed already, on " + there + ", and is still to be done. Accept it here only if you want it done and charged a second time."}
		if x.DoneOn != "" {
			l.Words = "Done already on " + day(x.DoneOn) + ", as agreed on " + there + "."
			l.Owner = "This work was done on " + day(x.DoneOn) + ", as agreed on " + there + ". Accept it here only if you want it done and charged a second time."
		}
		out = append(out, l)
	}
	return out
}

// ofItem gives the lines of one item.
func ofItem(list []elsewhereLine, item string) (out []elsewhereLine) {
	for _, l := range list {
		if l.Item == item {
			out = append(out, l)
		}
	}
	return out
}
