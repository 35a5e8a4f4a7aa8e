package paper

import (
	"fmt"
	"slices"
	"strings"

	"witnessmark/core/estimate"
	"witnessmark/core/money"
	"witnessmark/core/verdict"
	"witnessmark/shop"
)

// The columns of a line: its name, how much, the price of one, the amount; numbers are set against their right edge.
const (
	nameWidth   = 88.0
	amountRight = right
	priceRight  = right - 30
	muchRight   = right - 58
)

// item draws one item with its reason, its lines and those of the preparations that nothing else needs.
func (p *priced) item(i int) {
	it := &p.e.Items[i]
	p.blockHead(it.Name, verdict.Verdict(it.Verdict))
	p.row("Why", one(it.Why))
	p.row("If you wait", one(it.Wait))
	p.row("Regulation", one(it.Category))
	if it.Must {
		p.careful([]string{"This must not be put off."})
		p.y++
	}
	lines, sum := slices.Clone(it.Lines), p.t.Items[i].Amount
	for k := range p.e.Shared {
		if estimate.OnlyFor(&p.e, k) != i {
			continue
		}
		for _, l := range p.e.Shared[k].Lines {
			l.Name = p.e.Shared[k].Name + ": " + l.Name
			lines = append(lines, l)
		}
		sum += p.t.Shared[k].Amount // both are within the total, which was counted
	}
	p.table(lines)
	p.sum("This item", sum)
}

// sharedBlock draws a preparation with the items that need it.
func (p *priced) sharedBlock(s *estimate.Shared, t estimate.SharedTotal) {
	p.blockHead(s.Name, "")
	var names []string
	for _, id := range s.Items {
		for i := range p.e.Items {
			if p.e.Items[i].ID == id {
				names = append(names, p.e.Items[i].Name)
			}
		}
	}
	p.row("For", one(strings.Join(names, "; ")+". Paid once, with whichever of them you accept."))
	p.table(s.Lines)
	p.sum("This preparation", t.Amount)
}

// blockHead draws a block's name over a rule and keeps it together with what follows.
func (p *priced) blockHead(name string, v verdict.Verdict) {
	x := left
	if v != "" {
		x += 9
	}
	lines := p.wrapUpTo(6, name, right-x, heading)
	p.room(float64(len(lines))*heading.height() + 4*body.height())
	p.stroke(ink, 0.3)
	p.pdf.Line(left, p.y, right, p.y)
	p.y += 2
	if v != "" {
		p.mark(v, left+markRadius+0.8, p.y+heading.height()*0.5, markRadius)
	}
	p.y = p.lines(x, p.y, lines, heading) + 1
}

// table draws lines under their column names.
func (p *priced) table(lines []estimate.Line) {
	if len(lines) == 0 {
		return
	}
	p.room(small.height() + 2*body.height())
	p.atRight(muchRight, 20, "how much", small)
	p.atRight(priceRight, 27, "price of one", small)
	p.atRight(amountRight, 28, "amount", small)
	p.y += small.height()
	p.hair(p.y)
	p.y += 0.8
	for i := range lines {
		p.line(&lines[i])
	}
}

// line draws one line. A name that is long goes on below.
func (p *priced) line(l *estimate.Line) {
	name := l.Name
	if l.Number != "" {
		name += ", no. " + l.Number
	}
	lines := p.wrap(name, nameWidth, body)
	if len(lines) == 0 {
		lines = []string{"–"}
	}
	p.room(float64(min(3, len(lines))) * body.height())
	p.put(left, p.y, lines[0], body)
	much := "not known"
	if shop.AmountKnown(l) {
		much = l.Much()
	}
	p.atRight(muchRight, 20, much, body)
	if l.Open {
		p.atRight(amountRight, 28, "price missing", body)
	} else {
		p.atRight(priceRight, 27, p.amount(l.Price), body)
		p.atRight(amountRight, 28, p.amount(p.t.Lines[l.ID].Amount), body)
	}
	p.y += body.height()
	p.flow(left, lines[1:], body)
	p.flow(left, p.wrap(p.under(l), nameWidth, small), small)
	p.y += 0.8
}

// under is the small print below a line: its tax where there are several, and its discount.
func (p *priced) under(l *estimate.Line) string {
	var parts []string
	if r := estimate.Discount(p.e, l); r != 0 && !l.Open {
		parts = append(parts, "less "+r.Percent())
	}
	if len(p.e.Terms.Taxes) > 1 {
		for _, t := range p.e.Terms.Taxes {
			if t.ID == l.Tax {
				parts = append(parts, t.Name+" "+t.Rate.Percent())
			}
		}
	}
	return strings.Join(parts, ", ")
}

// sum draws the sum of a block.
func (p *priced) sum(name string, a money.Amount) {
	p.room(label.height() + 1)
	p.hair(p.y)
	p.y += 0.8
	p.put(left, p.y, name, label)
	p.atRight(amountRight, 46, p.amount(a), label)
	p.y += label.height() + 4
}

// atRight sets a text against a right edge at the height of the pen, which stays where it is. One that is wider than w mm is set
// smaller: an amount that is cut would be another amount.
func (p *priced) atRight(x, w float64, text string, st style) {
	for st.size > 4 && p.wide(text, st) > w {
		st.size -= 0.5
	}
	p.put(x-p.wide(text, st), p.y, text, st)
}

// totals draws net, taxes, rounding and what is to pay.
func (p *priced) totals() {
	rows := 3 + 2*len(p.t.Taxes)
	p.caption("All together", float64(min(rows, 12))*body.height())
	row := func(name string, a money.Amount, st style) {
		lines := p.wrap(name, width-50, st)
		p.room(float64(max(1, len(lines))) * st.height())
		p.put(left, p.y, lines[0], st)
		p.atRight(amountRight, 46, p.amount(a), st)
		p.y += st.height()
		p.flow(left, lines[1:], st)
	}
	row("Without tax", p.t.Net, body)
	for _, t := range p.t.Taxes {
		row(fmt.Sprintf("%s %s on %s", t.Tax.Name, t.Tax.Rate.Percent(), p.amount(t.Base)), t.Amount, body)
	}
	row("With tax", p.t.Gross, body)
	if p.e.Terms.Round > 1 {
		row("Rounding to "+p.amount(p.e.Terms.Round), p.t.Rounding, body)
	}
	row("To pay, "+p.e.Terms.Currency.Code, p.t.ToPay, heading)
	if p.t.Open > 0 {
		p.careful([]string{fmt.Sprintf("Not complete: prices are missing (%d). They are not in the total.", p.t.Open)})
	}
	p.y += 3
}

// sign draws the place to sign and the digest of what was shown.
func (p *priced) sign() {
	p.caption("Your answer", 40)
	p.flow(left, p.wrap("Mark each item above that you decline or put off, and until when. What is not accepted is not done.", width, body), body)
	p.y += 14
	p.room(20)
	p.stroke(ink, 0.3)
	p.pdf.Line(left, p.y, left+75, p.y)
	p.pdf.Line(left+85, p.y, right, p.y)
	p.put(left, p.y+1, "Day", small)
	p.put(left+85, p.y+1, "Name and signature", small)
	p.y += small.height() + 5
	p.flow(left, p.wrap("The estimate says what the work costs. It does not say that the car is safe without it or after it.", width, small), small)
	p.flow(left, p.wrap("SHA-256 of this version: "+estimate.Digest(p.e), width, tiny), tiny)
}
