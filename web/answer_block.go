package web

import (
	"net/url"
	"strconv"
	"strings"

	"witnessmark/core/estimate"
	"witnessmark/core/money"
	"witnessmark/shop"
)

// askBlock is one item as it is asked: what, why, what it costs, and the ways to answer.
type askBlock struct {
	N    string
	Item estimate.Item
	// Price is with tax, with the preparations that nothing else needs, without what is shared.
	Price  string
	Lines  []askLine
	Chosen string
	// Answer, Until and Km are the fields; Warned is true when the warning was ticked, Unticked what is said when it wasn't.
	Answer, Until, Km fieldView
	Warned            bool
	// Elsewhere says where else the work is agreed, or was done.
	Elsewhere []elsewhereLine
	Unticked  fieldView
}

// askLine is one line of an item or of what items share.
type askLine struct{ Name, Quantity, Amount string }

// askShared is a preparation that items share.
type askShared struct {
	Name, Price string
	For         []string
}

// asking is an estimate as it is asked, in the owner's words.
type asking struct {
	Estimate estimate.Estimate
	Blocks   []askBlock
	Shared   []askShared
	// All is what it comes to when everything is accepted.
	All  sumView
	Form *form
	// Spoken is true on the adviser's page.
	Spoken bool
}

// newAsking lays out what is asked with what was answered so far in the form, and what of it other estimates hold.
func newAsking(o *shop.Offered, held []elsewhereLine, f *form, spoken bool) (asking, error) {
	e := o.Estimate()
	t, err := estimate.Total(e, nil)
	if err != nil {
		return asking{}, err
	}
	cur := e.Terms.Currency
	a := asking{Estimate: e, Form: f, Spoken: spoken, All: newSum(e, t)}
	gross, err := grossAlone(e, t)
	if err != nil {
		return asking{}, err
	}
	for i := range e.Items {
		b := newBlock(o, f, i, money.Format(cur, gross[i]), t)
		b.Elsewhere = ofItem(held, e.Items[i].ID)
		a.Blocks = append(a.Blocks, b)
	}
	for i, s := range e.Shared {
		if estimate.OnlyFor(&e, i) >= 0 {
			continue
		}
		a.Shared = append(a.Shared, askShared{Name: s.Name, Price: money.Format(cur, t.Shared[i].Gross), For: itemNames(e, s.Items)})
	}
	return a, nil
}

func newBlock(o *shop.Offered, f *form, i int, price string, t estimate.Totals) askBlock {
	e := o.Estimate()
	it, n := e.Items[i], strconv.Itoa(i+1)
	unit := "km"
	if o.Car.Units == "us" {
		unit = "miles"
	}
	b := askBlock{N: n, Item: it, Price: price, Chosen: f.Get(shop.FieldAnswer + n), Warned: f.Get(shop.FieldWarned+n) != "",
		Answer:   field(f, shop.FieldAnswer+n, "Your answer"),
		Until:    field(f, shop.FieldUntilOn+n, "Until which day", "type=date"),
		Km:       field(f, shop.FieldUntilKm+n, "or until which distance on the odometer", "mode=numeric", "unit="+unit),
		Unticked: field(f, shop.FieldWarned+n, "")}
	b.take(e, "", it.Lines, t)
	for k, s := range e.Shared {
		if estimate.OnlyFor(&e, k) == i {
			b.take(e, s.Name+": ", s.Lines, t)
		}
	}
	return b
}

// take adds lines to what an item is made of.
func (b *askBlock) take(e estimate.Estimate, before string, lines []estimate.Line, t estimate.Totals) {
	for k := range lines {
		l := &lines[k]
		name := l.Name
		if before != "" {
			name = before + lowerFirst(name)
		}
		much := l.Much()
		if off := estimate.Discount(e, l); off != 0 {
			much += ", less " + off.Percent()
		}
		b.Lines = append(b.Lines, askLine{Name: name, Quantity: much, Amount: money.Format(e.Terms.Currency, t.Lines[l.ID].Amount)})
	}
}

// grossAlone is what each item costs with tax, together with the preparations that nothing else needs.
func grossAlone(e estimate.Estimate, t estimate.Totals) ([]money.Amount, error) {
	out := make([]money.Amount, len(e.Items))
	for i := range out {
		out[i] = t.Items[i].Gross
	}
	for k := range e.Shared {
		i := estimate.OnlyFor(&e, k)
		if i < 0 {
			continue
		}
		sum, err := money.Add(out[i], t.Shared[k].Gross)
		if err != nil {
			return nil, err
		}
		out[i] = sum
	}
	return out, nil
}

func itemNames(e estimate.Estimate, ids []string) []string {
	var out []string
	for _, it := range e.Items {
		for _, id := range ids {
			if it.ID == id {
				out = append(out, it.Name)
			}
		}
	}
	return out
}

// typedAnswers reads what a form says of each item of an estimate.
func typedAnswers(v url.Values, e estimate.Estimate) []shop.AnswerInput {
	out := make([]shop.AnswerInput, len(e.Items))
	for i, it := range e.Items {
		n := strconv.Itoa(i + 1)
		out[i] = shop.AnswerInput{Item: it.ID, Answer: v.Get(shop.FieldAnswer + n), UntilOn: v.Get(shop.FieldUntilOn + n), UntilKm: v.Get(shop.FieldUntilKm + n), Warned: v.Get(shop.FieldWarned+n) != ""}
	}
	return out
}

// keptAnswers keeps of a form what belongs to the answers: the form's id and what was typed for each item.
func keptAnswers(v url.Values, e estimate.Estimate) url.Values {
	out := url.Values{}
	keep := func(name string) {
		if x := v.Get(name); x != "" {
			out.Set(name, x)
		}
	}
	keep("form-id")
	for i := range e.Items {
		for _, name := range []string{shop.FieldAnswer, shop.FieldUntilOn, shop.FieldUntilKm, shop.FieldWarned} {
			keep(name + strconv.Itoa(i+1))
		}
	}
	return out
}

// sumView is what an estimate comes to, in words.
type sumView struct {
	// Net is empty where prices hold their tax, and Rounding where nothing is rounded.
	Net, Gross, Rounding, ToPay string
	Taxes                       []askLine
	// Terms says how tax and rounding are done.
	Terms string
}

func newSum(e estimate.Estimate, t estimate.Totals) sumView {
	c := e.Terms.Currency
	v := sumView{Gross: money.Format(c, t.Gross), ToPay: money.Format(c, t.ToPay)}
	if !e.Terms.Included {
		v.Net = money.Format(c, t.Net)
	}
	if t.Rounding != 0 {
		v.Rounding = money.Format(c, t.Rounding)
	}
	for _, x := range t.Taxes {
		v.Taxes = append(v.Taxes, askLine{Name: x.Tax.Name, Quantity: x.Tax.Rate.Percent() + " of " + money.Format(c, x.Base), Amount: money.Format(c, x.Amount)})
	}
	v.Terms = strings.Join([]string{map[bool]string{true: "The prices include tax", false: "Tax is added to the net prices"}[e.Terms.Included],
		map[bool]string{true: "rounded line by line.", false: "rounded once for each rate."}[e.Terms.PerLine]}, ", ")
	return v
}
