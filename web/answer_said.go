package web

import (
	"strings"

	"witnessmark/core/estimate"
	"witnessmark/core/money"
	"witnessmark/shop"
)

// saidItem is one item with its answer.
type saidItem struct {
	ID, Name, Price, Until, Warned, Category string
	Must                                     bool
	// Elsewhere says where else accepted work is agreed, or was done, while it is not signed for.
	Elsewhere []elsewhereLine
}

// said is an estimate with its answers and what they come to: on the page that checks them, and on the receipt.
type said struct {
	Accepted, PutOff, Declined []saidItem
	Shared                     []askLine
	Sum                        sumView
	// Anything is true when something was accepted.
	Anything bool
}

// newSaid puts the answers to an estimate into words.
func (s *server) newSaid(o *shop.Offered, answers []estimate.Answer) (said, error) {
	e := o.Estimate()
	t, err := estimate.Total(e, answers)
	if err != nil {
		return said{}, err
	}
	out := said{Sum: newSum(e, t)}
	gross, err := grossAlone(e, t)
	if err != nil {
		return said{}, err
	}
	byItem := map[string]estimate.Answer{}
	for _, a := range answers {
		byItem[a.Item] = a
	}
	for i, it := range e.Items {
		a := byItem[it.ID]
		x := saidItem{ID: it.ID, Name: it.Name, Price: money.Format(e.Terms.Currency, gross[i]), Warned: a.Warned, Category: it.Category, Must: it.Must}
		switch a.Answer {
		case estimate.Accept:
			out.Accepted = append(out.Accepted, x)
		case estimate.PutOff:
			x.Until = s.untilWords(o.Car, a)
			out.PutOff = append(out.PutOff, x)
		default:
			out.Declined = append(out.Declined, x)
		}
	}
	for i, sh := range t.Shared {
		if sh.On && estimate.OnlyFor(&e, i) < 0 {
			out.Shared = append(out.Shared, askLine{Name: e.Shared[i].Name, Amount: money.Format(e.Terms.Currency, sh.Gross)})
		}
	}
	out.Anything = len(out.Accepted) > 0
	return out, nil
}

// untilWords says until when an item is put off.
func (s *server) untilWords(c shop.CarVersion, a estimate.Answer) string {
	var parts []string
	if a.UntilOn != "" {
		parts = append(parts, day(a.UntilOn))
	}
	if a.UntilKm != 0 {
		parts = append(parts, s.km(c, float64(a.UntilKm)))
	}
	return strings.Join(parts, " or ")
}

// receipt is an answer as it is kept.
type receipt struct {
	said
	Number        string
	Version       int
	Car           shop.CarVersion
	Name          string
	Spoken        bool
	At, SaidOn    string
	By            string
	Address       string
	Agent, Digest string
	// Later is true when the estimate was put before the owner again.
	Later bool
	// Since says when and how it was answered again afterwards; empty when it was not.
	Since string
	// Altered is true when the estimate that is kept does not have the digest that was answered.
	Altered bool
}

func (s *server) newReceipt(o *shop.Offered) (*receipt, error) {
	d := o.Decision
	x, err := s.newSaid(o, d.Said.Answers)
	if err != nil {
		return nil, err
	}
	e := o.Estimate()
	r := &receipt{said: x, Number: e.Number, Version: e.Version, Car: o.Car, Name: d.Said.Name, Spoken: d.Said.How == shop.BySpoken, At: moment(d.ReceivedAt),
		By: d.By, Address: d.Said.Address, Agent: d.Said.Agent, Digest: d.Said.Digest, Later: o.Later, Altered: estimate.Digest(e) != d.Said.Digest}
	if a := o.Since; a != nil {
		r.Since = "on " + moment(a.ReceivedAt) + " under another link"
		if a.Said.How == shop.BySpoken {
			r.Since = "by word of mouth, written down on " + moment(a.ReceivedAt)
		}
	}
	if on, at, ok := strings.Cut(d.Said.SaidOn, " "); ok {
		r.SaidOn = day(on) + ", " + at
	}
	return r, nil
}
