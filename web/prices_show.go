package web

import (
	"errors"
	"net/http"
	"strings"

	"witnessmark/core/money"
	"witnessmark/core/point"
	"witnessmark/shop"
)

// pricesShown is how many lines of a list a page has at most; a search narrows it.
const pricesShown = 200

// pricesData is the page with the price list.
type pricesData struct {
	Form  *form
	Terms string // how the workshop charges, in a line; empty while it was not said
	// Other names the currency of a list that does not count, as the terms are in another.
	Other string
	Query string
	Lines []priceLine
	// Found counts what the search found, Total all of the list.
	Found, Total int
	// Open are parts of the catalogue without a price.
	Open   []*point.PartKind
	Saved  *savedList
	UndoID string
}

// savedList says where the list came from.
type savedList struct{ ID, Source, When, By, Undo string }

// priceLine is a price as it is shown.
type priceLine struct{ Number, Name, Part, Unit, Price, Tax, For string }

// pricesShow shows the list that counts, or what of it a search finds.
func (s *server) pricesShow(w http.ResponseWriter, r *http.Request) error {
	f := newForm(nil)
	f.Set("q", strings.TrimSpace(r.FormValue("q")))
	return s.renderPrices(w, r, http.StatusOK, f)
}

// renderPrices shows the list with the form as it stands.
func (s *server) renderPrices(w http.ResponseWriter, r *http.Request, status int, f *form) error {
	t, set, err := s.shop.Terms(r.Context())
	if err != nil {
		return err
	}
	list, err := s.shop.Prices(r.Context())
	if err != nil {
		return err
	}
	kept, err := s.shop.PricesNow(r.Context())
	if err != nil {
		return err
	}
	d := pricesData{Form: f, Query: f.Get("q"), Total: len(list.Prices)}
	if set {
		c := t.Estimate.Currency
		d.Terms = money.Format(c, t.HourRate) + " an hour; prices " + map[bool]string{true: "with", false: "without"}[t.Estimate.Included] + " tax"
		if kept.Said.Currency != "" && kept.Said.Currency != c.Code {
			d.Other = kept.Said.Currency
		}
		for i := range list.Prices {
			if p := &list.Prices[i]; priceMatches(p, d.Query) {
				if d.Found++; d.Found <= pricesShown {
					d.Lines = append(d.Lines, s.priceLine(c, p))
				}
			}
		}
	}
	if d.Total > 0 {
		d.Open = s.shop.Unpriced(list)
	}
	if kept.ID != "" {
		d.Saved = savedListOf(kept)
		d.UndoID = s.shop.NewID()
	}
	s.render(w, r, status, "prices_show", page{Title: "Rates and prices", Form: f, Notice: pricesNotice(r.FormValue("did")), Data: d})
	return nil
}

func pricesNotice(did string) string {
	switch did {
	case "saved":
		return "Saved. Estimates are priced by this list from now on; those that were made keep their prices."
	case "undone":
		return "Undone. The earlier list counts again."
	}
	return ""
}

// savedListOf says where a list came from and what undoing it does.
func savedListOf(k shop.Kept[shop.PriceList]) *savedList {
	l := &savedList{ID: k.ID, Source: k.Said.Source, When: moment(k.ReceivedAt), By: k.By, Undo: "Undo this import"}
	if k.Said.Restores != "" || len(k.Said.Prices) == 0 {
		l.Source, l.Undo = "an import was undone", "Take the undoing back"
	}
	return l
}

// priceMatches reports whether every word of a search is in a price's number, name, part or cars.
func priceMatches(p *shop.Price, query string) bool {
	text := strings.ToLower(p.Number + " " + p.Name + " " + p.Part + " " + p.For)
	for _, word := range strings.Fields(strings.ToLower(query)) {
		if !strings.Contains(text, word) {
			return false
		}
	}
	return true
}

// priceLine writes a price for a person.
func (s *server) priceLine(c money.Currency, p *shop.Price) priceLine {
	l := priceLine{Number: p.Number, Name: p.Name, Unit: p.Unit, Price: money.Format(c, p.Price), Tax: p.Tax, For: p.For}
	if part := s.shop.Catalogue().Parts[p.Part]; part != nil && part.Name != p.Name {
		l.Part = part.Name
	}
	if plate, ok := strings.CutPrefix(p.For, "plate:"); ok {
		l.For = "the car " + plate
	}
	for _, fam := range s.shop.Catalogue().Families {
		if fam.ID == p.For {
			l.For = fam.Name
		}
	}
	return l
}

// pricesFile gives the list as a file that can be imported again.
func (s *server) pricesFile(w http.ResponseWriter, r *http.Request) error {
	k, err := s.shop.PricesNow(r.Context())
	if err != nil {
		return err
	}
	c, known := money.Known(k.Said.Currency)
	if !known {
		return shop.ErrNotFound
	}
	w.Header().Set("Content-Type", "text/csv; charset=utf-8")
	w.Header().Set("Content-Disposition", `attachment; filename="prices.csv"`)
	return shop.WritePrices(w, c, &k.Said)
}

// pricesUndo brings the earlier list back.
func (s *server) pricesUndo(w http.ResponseWriter, r *http.Request) error {
	id, now := r.PostFormValue("id"), r.PostFormValue("now")
	if id == "" || now == "" {
		return badRequest("The form is not complete. Nothing was stored. Open “Rates and prices” again.")
	}
	if err := s.shop.UndoPrices(r.Context(), id, by(w, r), now); err != nil {
		return err
	}
	return see(w, r, "/prices?did=undone")
}

// noTerms sends whoever wants to import prices to the terms first.
func noTerms(err error) error {
	if errors.Is(err, shop.ErrNoTerms) {
		return badRequest("Say first how the workshop charges: prices are read in its currency. Nothing was stored. Open “How we charge”.")
	}
	return err
}
