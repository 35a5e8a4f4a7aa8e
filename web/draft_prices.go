package web

import (
	"net/http"
	"slices"
	"strconv"

	"witnessmark/shop"
)

// draftPricesData is an estimate beside the prices of today.
type draftPricesData struct {
	Number, Path, ID string
	Base             string
	Current          bool
	Rows             []draftPriceRow
	Form             *form
	Taken            []string
}

// draftPriceRow is one line that costs something else today.
type draftPriceRow struct{ Line, Block, Name, Was, Now string }

// draftPrices shows what differs from the price list and the hour's rate of today.
func (s *server) draftPrices(w http.ResponseWriter, r *http.Request) error {
	return s.showPrices(w, r, http.StatusOK, newForm(nil), nil)
}

func (s *server) showPrices(w http.ResponseWriter, r *http.Request, status int, f *form, taken []string) error {
	now, list, current, err := s.shop.Reprice(r.Context(), r.PathValue("number"))
	if err != nil {
		return err
	}
	e := now.Said.Estimate
	m := amounts{e.Terms.Currency}
	d := draftPricesData{Number: e.Number, Path: draftPath(e.Number), ID: s.shop.NewID(), Base: strconv.Itoa(e.Version), Current: current, Form: f, Taken: taken}
	for _, p := range list {
		row := draftPriceRow{Line: priceTick(p), Block: p.Block, Name: p.Line.Name, Was: m.Bare(p.Was), Now: m.Bare(p.Line.Price)}
		if p.WasOpen {
			row.Was = "missing"
		}
		d.Rows = append(d.Rows, row)
	}
	s.render(w, r, status, "draft_prices", page{Title: "Prices of today for estimate " + d.Number, Form: f, Data: d, Back: d.Path, BackWords: "Estimate " + d.Number})
	return nil
}

// priceTick names a line with the price that is shown, so that no other one is taken.
func priceTick(p shop.Repriced) string {
	return p.Line.ID + "=" + strconv.FormatInt(int64(p.Line.Price), 10)
}

// draftPricesSave takes today's price for the lines that were ticked, at the price that was shown.
func (s *server) draftPricesSave(w http.ResponseWriter, r *http.Request) error {
	f := newForm(r.PostForm)
	_, list, _, err := s.shop.Reprice(r.Context(), r.PathValue("number"))
	if err != nil {
		return err
	}
	c := shop.TodaysPrices{New: list}
	for _, tick := range r.PostForm["line"] {
		i := slices.IndexFunc(list, func(p shop.Repriced) bool { return priceTick(p) == tick })
		if i < 0 {
			f.refused(shop.Invalid{{Field: "line", Text: "A price has changed again since the page was opened. Look at the new ones and tick them."}})
			return s.showPrices(w, r, http.StatusUnprocessableEntity, f, nil)
		}
		c.Lines = append(c.Lines, list[i].Line.ID)
	}
	return s.saveDraft(w, r, f, c, "#total", func(status int, taken []string) error { return s.showPrices(w, r, status, f, taken) })
}
