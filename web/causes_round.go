package web

import "witnessmark/shop"

// settleLine is a look of a round's list.
type settleLine struct {
	Name, Href, Said string
	Done             bool
}

// LookLines are the looks that settle a cause, for the list of the round.
func (l roundList) LookLines() []settleLine {
	var out []settleLine
	for i := range l.View.Looks {
		k := &l.View.Looks[i]
		out = append(out, settleLine{Name: k.Sign.Name, Href: whereToLook(l.View.Round.ID, k, ""), Said: saidOf(k), Done: k.Done})
	}
	return out
}

// saidOf says how a look stands.
func saidOf(l *shop.RoundLook) string {
	switch {
	case !l.Done:
		return "open"
	case l.Point != nil:
		return "answered at " + lowerFirst(l.Point.Name)
	case l.Fact.Answer == shop.LookThere:
		return "there"
	case l.Fact.Answer == shop.LookNotThere:
		return "not there"
	}
	return "can't be told"
}

// causesNotice says what was just done on the pages of causes.
func causesNotice(did string) string {
	return map[string]string{
		"told":      "Stored as the owner said it. What was ticked counts below.",
		"untold":    "Taken back. It no longer counts.",
		"looked":    "The look is stored, and the chances are worked out again.",
		"off":       "The look is off the round's list.",
		"confirmed": "The cause is confirmed.",
		"undone":    "Taken back. It no longer counts.",
	}[did]
}
