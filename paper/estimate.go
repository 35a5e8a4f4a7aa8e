package paper

import (
	"fmt"
	"io"
	"strings"

	"witnessmark/core/estimate"
	"witnessmark/core/money"
	"witnessmark/core/verdict"
)

// Estimate writes an estimate as a PDF: the head, each item with its reason and its lines, what several items share, taxes and the total,
// what must not be put off, a place to sign. Amounts are those of estimate.Total with every item accepted; its errors are passed on. The
// same estimate gives the same bytes.
func Estimate(w io.Writer, e estimate.Estimate) error {
	d, err := layEstimate(e)
	if err != nil {
		return err
	}
	if err := d.pdf.Output(w); err != nil {
		return fmt.Errorf("writing the estimate: %w", err)
	}
	return nil
}

// priced is an estimate on its way to paper.
type priced struct {
	*drawing
	e estimate.Estimate
	t estimate.Totals
}

// layEstimate draws the whole estimate.
func layEstimate(e estimate.Estimate) (*drawing, error) {
	t, err := estimate.Total(e, nil)
	if err != nil {
		return nil, fmt.Errorf("adding up the estimate: %w", err)
	}
	car := strings.Join(e.Car, ", ")
	p := priced{newDrawing("Estimate "+e.Number+", "+car, first(e.Workshop), car, day(e.VisitOn)), e, t}
	p.head = p.runningEstimate
	p.estimateHead()
	p.urgent()
	for i := range e.Items {
		p.item(i)
	}
	for i := range e.Shared {
		if estimate.OnlyFor(&e, i) < 0 {
			p.sharedBlock(&e.Shared[i], t.Shared[i])
		}
	}
	p.totals()
	p.sign()
	p.frames([]cell{
		{"workshop", orDash(first(e.Workshop)), 2.4},
		{"car", orDash(first(e.Car)), 1.6},
		{"estimate", fmt.Sprintf("%s, version %d", e.Number, e.Version), 2.2},
		{"valid until", longDate(e.ValidUntil), 1.8},
	})
	return p.drawing, nil
}

func first(list []string) string {
	if len(list) == 0 {
		return ""
	}
	return list[0]
}

// runningEstimate is the line at the top of every page but the first.
func (p *priced) runningEstimate() {
	number := p.cut(fmt.Sprintf("Estimate %s, version %d", p.e.Number, p.e.Version), 70, small)
	p.put(left, top-2.5, p.cut(strings.Join(p.e.Car, " · "), width-75, small), small)
	p.put(right-p.wide(number, small), top-2.5, number, small)
	p.hair(top + 2.8)
	p.y = top + 6
}

// estimateHead draws the letterhead, the title and the strip with the car.
func (p *priced) estimateHead() {
	if len(p.e.Workshop) > 0 {
		p.flow(left, p.wrap(strings.Join(p.e.Workshop, " · "), width, small), small)
		p.y++
	}
	p.flow(left, p.wrap("Estimate "+p.e.Number, width, title), title)
	p.y++
	text := "Nothing is done before you have said yes. You can accept, decline or put off each item by itself."
	if p.e.Owner != "" {
		text = "For " + p.e.Owner + ". " + text
	}
	p.flow(left, p.wrap(text, width, body), body)
	p.y += 3
	p.strip([]cell{
		{"car", orDash(strings.Join(p.e.Car, "\n")), 2.6},
		{"visit on", longDate(p.e.VisitOn), 1.5},
		{"valid until", longDate(p.e.ValidUntil), 1.5},
		{"version", fmt.Sprint(p.e.Version), 0.8},
	})
	p.y += 4
	if p.e.Note != "" {
		p.flow(left, p.wrap(p.e.Note, width, body), body)
		p.y += 3
	}
	p.flow(left, p.wrap(p.rules(), width, small), small)
	p.y += 3
}

// rules states how the amounts are worked out.
func (p *priced) rules() string {
	t := p.e.Terms
	text := "All amounts are in " + t.Currency.Code + "; tax is added at the end"
	if t.Included {
		text = "All amounts are in " + t.Currency.Code + " and hold their tax"
	}
	if t.PerLine {
		text += ", rounded line by line."
	} else {
		text += ", rounded once for each rate."
	}
	if p.e.Discount != 0 {
		text += " Lines without a discount of their own are less " + p.e.Discount.Percent() + "."
	}
	return text
}

// urgent lists what must not be put off.
func (p *priced) urgent() {
	var must []*estimate.Item
	for i := range p.e.Items {
		if p.e.Items[i].Must {
			must = append(must, &p.e.Items[i])
		}
	}
	if len(must) == 0 {
		return
	}
	p.caption("What must not be put off", 2*body.height())
	for _, it := range must {
		text := it.Name
		if it.Category != "" {
			text += " (" + it.Category + ")"
		}
		lines := p.wrap(text, right-left-9, body)
		p.room(float64(min(2, len(lines))) * body.height())
		p.mark(verdict.Verdict(it.Verdict), left+markRadius+0.6, p.y+body.height()*0.5, 2)
		p.flow(left+8.5, lines, body)
		p.y++
	}
	p.y += 3
}

// amount writes an amount without its currency, which the page states once.
func (p *priced) amount(a money.Amount) string {
	return strings.TrimSuffix(money.Format(p.e.Terms.Currency, a), "\u00a0"+p.e.Terms.Currency.Code)
}
