package web

import (
	"net/http"

	"witnessmark/core/estimate"
	"witnessmark/core/money"
	"witnessmark/shop"
)

// draftLine shows the form of a line, or of a new one.
func (s *server) draftLine(w http.ResponseWriter, r *http.Request) error {
	f := newForm(nil)
	f.Set("line", r.FormValue("line"))
	f.Set("block", r.FormValue("block"))
	return s.showLine(w, r, http.StatusOK, f, nil, true)
}

// showLine shows the form; fresh fills it with the line as it is stored.
func (s *server) showLine(w http.ResponseWriter, r *http.Request, status int, f *form, taken []string, fresh bool) error {
	d, e, err := s.draftFormOf(r, f)
	if err != nil {
		return err
	}
	d.Taken = taken
	if id := f.Get("line"); id != "" {
		l, _, name := shop.FindLine(&e, id)
		if l == nil {
			return shop.ErrNotFound
		}
		d.Name = name
		if fresh {
			fillLine(f, e, l)
		}
		return s.showDraftForm(w, r, status, "draft_line", "Change "+l.Name, d)
	}
	d.New, d.Name = true, blockName(e, f.Get("block"))
	if d.Name == "" {
		return shop.ErrNotFound
	}
	if fresh {
		f.Set("kind", estimate.Part)
		f.Set("quantity", "1")
		f.Set("unit", "piece")
		if len(d.Taxes) > 0 {
			f.Set("tax", d.Taxes[0].Value)
		}
	}
	return s.showDraftForm(w, r, status, "draft_line", "Add a line to "+d.Name, d)
}

func fillLine(f *form, e estimate.Estimate, l *estimate.Line) {
	f.Set("kind", l.Kind)
	f.Set("name", l.Name)
	f.Set("number", l.Number)
	if shop.AmountKnown(l) {
		f.Set("quantity", l.Milli.String())
	}
	f.Set("unit", l.Unit)
	f.Set("tax", l.Tax)
	if !l.Open || l.Price != 0 {
		f.Set("price", money.Plain(e.Terms.Currency, l.Price))
	}
	if l.Discount != 0 {
		f.Set("discount", l.Discount.Percent())
	}
}

// blockName names an item or a preparation as lines name it; empty when there is none.
func blockName(e estimate.Estimate, block string) string {
	for _, it := range e.Items {
		if it.ID == block {
			return it.Name
		}
	}
	for _, sh := range e.Shared {
		if shop.SetupBlock(sh.Setup) == block {
			return sh.Name
		}
	}
	return ""
}

// draftLineSave stores a line, or takes it out.
func (s *server) draftLineSave(w http.ResponseWriter, r *http.Request) error {
	f := newForm(r.PostForm)
	c := shop.LineChange{Block: f.Get("block"), Line: f.Get("line"), Kind: f.Get("kind"), Name: f.Get("name"), Number: f.Get("number"), Quantity: f.Get("quantity"),
		Unit: f.Get("unit"), Price: f.Get("price"), Tax: f.Get("tax"), Discount: f.Get("discount"), Remove: f.Get("do") == "remove"}
	return s.saveDraft(w, r, f, c, "#total", func(status int, taken []string) error { return s.showLine(w, r, status, f, taken, false) })
}
