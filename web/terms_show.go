package web

import (
	"fmt"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"witnessmark/core/money"
	"witnessmark/shop"
)

// termsRoutes lists what rates and prices answer.
func (s *server) termsRoutes() []route {
	return []route{
		{pattern: "GET /terms", handle: s.termsShow},
		{pattern: "POST /terms", handle: s.termsSave},
		{pattern: "GET /prices", handle: s.pricesShow},
		{pattern: "GET /prices.csv", handle: s.pricesFile},
		{pattern: "POST /prices/check", handle: s.pricesCheck, limit: priceFormLimit},
		{pattern: "POST /prices", handle: s.pricesSave, limit: priceFormLimit},
		{pattern: "POST /prices/undo", handle: s.pricesUndo},
	}
}

// termsData is the page on which the workshop says how it charges.
type termsData struct {
	Form *form
	// Set is false while nothing was saved: what the form offers does not count yet.
	Set        bool
	Currencies []option
	Taxes      []taxRow
	History    []termsLine
}

// taxRow is a line of the table of taxes.
type taxRow struct{ ID, Name, Rate fieldView }

// termsLine is one earlier state of the terms.
type termsLine struct{ When, By, Rate string }

// termsShow shows the terms that count, or what is suggested.
func (s *server) termsShow(w http.ResponseWriter, r *http.Request) error {
	t, set, err := s.shop.Terms(r.Context())
	if err != nil {
		return err
	}
	if !set {
		t = shop.SuggestedTerms()
	}
	f := newForm(termsValues(shop.TermsAsTyped(t)))
	f.Set("id", s.shop.NewID())
	f.Set("by", initials(r))
	notice := ""
	if r.FormValue("did") != "" {
		notice = "Saved. What is estimated from now on is charged this way; estimates that were made keep their own terms."
	}
	return s.renderTerms(w, r, http.StatusOK, f, notice)
}

// termsSave keeps the terms and goes back to them.
func (s *server) termsSave(w http.ResponseWriter, r *http.Request) error {
	in := termsInput(r.PostForm)
	in.By = by(w, r)
	if in.ID == "" {
		return badRequest("The form is not complete. Nothing was stored. Open “How we charge” again.")
	}
	err := s.shop.SaveTypedTerms(r.Context(), in)
	f := newForm(termsValues(in)) // taxes without gaps, as the problems name them
	f.Set("id", in.ID)
	f.Set("by", r.PostForm.Get("by"))
	if f.refused(err) {
		return s.renderTerms(w, r, http.StatusUnprocessableEntity, f, "")
	}
	if err != nil {
		return err
	}
	return see(w, r, "/terms?did=saved")
}

// renderTerms shows the form as it stands.
func (s *server) renderTerms(w http.ResponseWriter, r *http.Request, status int, f *form, notice string) error {
	history, err := s.shop.TermsHistory(r.Context(), 6)
	if err != nil {
		return err
	}
	f.Labels = termsLabel
	d := termsData{Form: f, Set: len(history) > 0, Currencies: []option{{Label: "Choose"}}}
	for _, code := range money.Codes() {
		d.Currencies = append(d.Currencies, option{Value: code, Label: code})
	}
	rows := taxRows(f.Values)
	for i := range rows + 1 { // one more to fill in
		n := strconv.Itoa(i)
		d.Taxes = append(d.Taxes, taxRow{ID: field(f, "tax-id-"+n, "Short name", "max=20"), Name: field(f, "tax-name-"+n, "On estimates", "max=40"),
			Rate: field(f, "tax-rate-"+n, "Rate", "hint=For example 20 %")})
	}
	for _, k := range history {
		d.History = append(d.History, termsLine{When: moment(k.ReceivedAt), By: k.By, Rate: money.Format(k.Said.Estimate.Currency, k.Said.HourRate)})
	}
	s.render(w, r, status, "terms_show", page{Title: "How we charge", Form: f, Notice: notice, Data: d, Back: "/prices", BackWords: "Prices"})
	return nil
}

// termsLabels are the labels of the fields, for the summary of problems.
var termsLabels = map[string]string{"currency": "Currency", "taxes": "Taxes", "labour-tax": "Tax on labour", "parts-tax": "Tax on parts", "round": "Round the total to",
	"hour-rate": "An hour of labour", "sundries-rate": "Sundries", "sundries-most": "Sundries, at most", "valid-days": "Estimates are valid for", "visit-minutes": "Labour that fits one visit",
	"visit-cost": "What a visit costs the owner", "remind-days": "Remind owners ahead", "address": "Address"}

// termsLabel gives the label of a field.
func termsLabel(name string) string {
	for prefix, label := range map[string]string{"tax-id-": "short name", "tax-name-": "name", "tax-rate-": "rate"} {
		if n, ok := strings.CutPrefix(name, prefix); ok {
			if i, err := strconv.Atoi(n); err == nil {
				return fmt.Sprintf("Tax %d, %s", i+1, label)
			}
		}
	}
	return termsLabels[name]
}

// taxRows counts the lines of taxes in a form.
func taxRows(v url.Values) (n int) {
	for v.Has("tax-id-" + strconv.Itoa(n)) {
		n++
	}
	return n
}

// termsInput reads the form. Lines of taxes in which nothing is typed are left out.
func termsInput(v url.Values) shop.TermsInput {
	in := shop.TermsInput{ID: v.Get("id"), Currency: v.Get("currency"), Address: strings.ReplaceAll(v.Get("address"), "\r\n", "\n"),
		LabourTax: v.Get("labour-tax"), PartsTax: v.Get("parts-tax"), Included: v.Get("included") == "yes", PerLine: v.Get("per-line") == "yes",
		Round: v.Get("round"), HourRate: v.Get("hour-rate"), SundriesRate: v.Get("sundries-rate"), SundriesMost: v.Get("sundries-most"),
		ValidDays: v.Get("valid-days"), RemindDays: v.Get("remind-days"), VisitMinutes: v.Get("visit-minutes"), VisitCost: v.Get("visit-cost")}
	for i := range min(taxRows(v), 20) {
		n := strconv.Itoa(i)
		tax := shop.TaxInput{ID: strings.TrimSpace(v.Get("tax-id-" + n)), Name: strings.TrimSpace(v.Get("tax-name-" + n)), Rate: strings.TrimSpace(v.Get("tax-rate-" + n))}
		if !tax.Empty() {
			in.Taxes = append(in.Taxes, tax)
		}
	}
	return in
}

// termsValues fills the form.
func termsValues(in shop.TermsInput) url.Values {
	v := url.Values{}
	yes := func(b bool) string {
		if b {
			return "yes"
		}
		return "no"
	}
	for name, value := range map[string]string{"currency": in.Currency, "address": in.Address, "labour-tax": in.LabourTax, "parts-tax": in.PartsTax, "included": yes(in.Included),
		"per-line": yes(in.PerLine), "round": in.Round, "hour-rate": in.HourRate, "sundries-rate": in.SundriesRate, "sundries-most": in.SundriesMost, "valid-days": in.ValidDays,
		"remind-days": in.RemindDays, "visit-minutes": in.VisitMinutes, "visit-cost": in.VisitCost} {
		v.Set(name, value)
	}
	for i, tax := range in.Taxes {
		n := strconv.Itoa(i)
		v.Set("tax-id-"+n, tax.ID)
		v.Set("tax-name-"+n, tax.Name)
		v.Set("tax-rate-"+n, tax.Rate)
	}
	return v
}
