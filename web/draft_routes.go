package web

import (
	"errors"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"witnessmark/core/estimate"
	"witnessmark/core/money"
	"witnessmark/shop"
)

// draftRoutes lists the pages on which estimates are made.
func (s *server) draftRoutes() []route {
	return []route{
		{pattern: "GET /cars/{id}/estimates", handle: s.draftList},
		{pattern: "POST /cars/{id}/estimates", handle: s.draftMake},
		{pattern: "GET /estimates/{number}", handle: s.draftShow},
		{pattern: "GET /estimates/{number}/line", handle: s.draftLine},
		{pattern: "POST /estimates/{number}/line", handle: s.draftLineSave},
		{pattern: "GET /estimates/{number}/item", handle: s.draftItem},
		{pattern: "POST /estimates/{number}/item", handle: s.draftItemSave},
		{pattern: "GET /estimates/{number}/head", handle: s.draftHead},
		{pattern: "POST /estimates/{number}/head", handle: s.draftHeadSave},
		{pattern: "GET /estimates/{number}/prices", handle: s.draftPrices},
		{pattern: "POST /estimates/{number}/prices", handle: s.draftPricesSave},
		{pattern: "GET /estimates/{number}/history", handle: s.draftHistory},
		{pattern: "POST /estimates/{number}/undo", handle: s.draftUndo},
		{pattern: "POST /estimates/{number}/restore", handle: s.draftRestore},
		{pattern: "GET /estimates/{number}/estimate.pdf", handle: s.draftPDF},
	}
}

// draftsPath and draftPath are the addresses of a car's estimates and of one.
func draftsPath(carID string) string { return "/cars/" + url.PathEscape(carID) + "/estimates" }
func draftPath(number string) string { return "/estimates/" + url.PathEscape(number) }

// linePath, newLinePath and itemPath are where a line or an item is changed, or a line is added to a block.
func linePath(number, line string) string {
	return draftPath(number) + "/line?line=" + url.QueryEscape(line)
}
func newLinePath(number, block string) string {
	return draftPath(number) + "/line?block=" + url.QueryEscape(block)
}
func itemPath(number, item string) string {
	return draftPath(number) + "/item?item=" + url.QueryEscape(item)
}

// draftForm is what every form of an estimate shows.
type draftForm struct {
	Number, Path string
	Version      int
	Form         *form
	// Taken says what somebody else changed meanwhile; Shown is the version that the owner was shown, 0 for none.
	Taken []string
	Shown int
	// New is true for what is added; Name is of the thing that is changed, or of the block that a line is added to.
	New                 bool
	Name                string
	Kinds, Units, Taxes []option
	Hint                string
}

// draftFormOf begins a form for the version that counts.
func (s *server) draftFormOf(r *http.Request, f *form) (draftForm, estimate.Estimate, error) {
	h, err := s.shop.DraftHistory(r.Context(), r.PathValue("number"))
	if err != nil {
		return draftForm{}, estimate.Estimate{}, err
	}
	e := h.Now().Said.Estimate
	if f.Get("base") == "" {
		f.Set("base", strconv.Itoa(e.Version))
	}
	if f.Get("id") == "" {
		f.Set("id", s.shop.NewID())
	}
	d := draftForm{Number: e.Number, Path: draftPath(e.Number), Version: e.Version, Form: f, Shown: h.Shown()}
	for _, t := range e.Terms.Taxes {
		d.Taxes = append(d.Taxes, option{Value: t.ID, Label: t.Name + ", " + t.Rate.Percent()})
	}
	for _, u := range shop.LineUnits() {
		d.Units = append(d.Units, option{Value: u, Label: u})
	}
	d.Kinds = options(estimate.Labour, "Labour", estimate.Part, "Part", estimate.Fluid, "Fluid", estimate.Sundries, "Sundries")
	return d, e, nil
}

// showDraftForm shows a form page.
func (s *server) showDraftForm(w http.ResponseWriter, r *http.Request, status int, name, title string, d draftForm) error {
	s.render(w, r, status, name, page{Title: title, Form: d.Form, Data: d, Back: d.Path, BackWords: "Estimate " + d.Number})
	return nil
}

// saveDraft makes one change. When it was refused, again shows the form with the problems, and with what somebody else changed first.
func (s *server) saveDraft(w http.ResponseWriter, r *http.Request, f *form, c shop.DraftChange, anchor string, again func(status int, taken []string) error) error {
	number := r.PathValue("number")
	base, err := strconv.Atoi(f.Get("base"))
	if err != nil {
		return badRequest("The form does not say which version it changes. Open the estimate again.")
	}
	if f.Get("id") == "" {
		f.Set("id", s.shop.NewID())
	}
	_, err = s.shop.SaveDraft(r.Context(), shop.DraftSave{Number: number, Base: base, ID: f.Get("id"), By: by(w, r), Change: c})
	var taken *shop.DraftTaken
	switch {
	case err == nil:
		return see(w, r, draftPath(number)+"?did=saved"+anchor)
	case errors.As(err, &taken):
		f.Set("base", strconv.Itoa(taken.Now.Said.Estimate.Version))
		changed := taken.Changed
		if len(changed) == 0 {
			changed = []string{"nothing that is shown"}
		}
		if err := again(http.StatusConflict, changed); !errors.Is(err, shop.ErrNotFound) {
			return err
		}
		return userError{http.StatusConflict, "Somebody else took that out meanwhile", "What you were changing is not on estimate " + number + " any more. Nothing was stored. " +
			"Go back to see what you typed, or open the estimate again; its history shows the earlier version."}
	case f.refused(err):
		return again(http.StatusUnprocessableEntity, nil)
	}
	return err
}

// amounts writes money of an estimate.
type amounts struct{ c money.Currency }

// Bare writes an amount without its currency, for columns.
func (a amounts) Bare(x money.Amount) string {
	return strings.TrimSuffix(money.Format(a.c, x), "\u00a0"+a.c.Code)
}

// With writes an amount with its currency.
func (a amounts) With(x money.Amount) string { return money.Format(a.c, x) }
