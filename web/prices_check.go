package web

import (
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"path"
	"strings"

	"witnessmark/core/money"
	"witnessmark/shop"
)

// priceFormLimit bounds a form with a price list: the file at most, and once more what surrounds it.
const priceFormLimit = 3 * shop.MostPriceBytes

// faultsShown and changesShown bound what one page has of a long list; the numbers are those of all.
const (
	faultsShown  = 200
	changesShown = 300
)

// checkData is the page that shows what an import would do, or why it can't be done.
type checkData struct {
	Form   *form
	Source string
	// Text is what was sent, to be mended or to be confirmed.
	Text   string
	Faults []shop.PriceFault
	// More counts the faults that are not shown.
	More int
	// Changed, New and Dropped are bounded; the counts are of all.
	Changed                            []priceChange
	New, Dropped                       []priceLine
	Changes, News, Drops, Same, Prices int
	Moved, Nothing                     bool
	// ID, Digest and After make the confirmation store what is shown, once, and only in place of the list that it was held against.
	ID, Digest, After string
}

// priceChange is a price before and after.
type priceChange struct {
	Old, New priceLine
	// Other is true when more than the price differs.
	Other bool
}

// pricesCheck shows what an import would change. Nothing is stored.
func (s *server) pricesCheck(w http.ResponseWriter, r *http.Request) error {
	if err := parseUpload(r); err != nil {
		return badForm(err)
	}
	defer dropUpload(r)
	text, source, err := sentPrices(r)
	if err != nil {
		return err
	}
	if strings.TrimSpace(text) == "" {
		f := newForm(nil)
		f.Problems = shop.Invalid{{Field: "file", Text: "Choose a file with prices, or type them in."}}
		return s.renderPrices(w, r, http.StatusUnprocessableEntity, f)
	}
	now, err := s.shop.PricesNow(r.Context())
	if err != nil {
		return err
	}
	return s.renderCheck(w, r, text, source, now, s.shop.NewID(), nil)
}

// sentPrices gives the text that was sent, from a file where one was chosen, and what it is called.
func sentPrices(r *http.Request) (text, source string, err error) {
	file, head, err := r.FormFile("file")
	if err != nil {
		source = r.PostFormValue("source")
		if source == "" {
			source = "typed lines"
		}
		return r.PostFormValue("text"), shortened(source), nil
	}
	defer file.Close()
	data, err := io.ReadAll(io.LimitReader(file, shop.MostPriceBytes+1))
	if err == nil && len(data) == 0 && head.Filename == "" {
		return r.PostFormValue("text"), "typed lines", nil
	}
	return string(data), shortened(path.Base(strings.ReplaceAll(head.Filename, `\`, "/"))), err
}

// shortened keeps a file's name to what fits a line.
func shortened(name string) string {
	runes := []rune(strings.ToValidUTF8(strings.ReplaceAll(name, "\x00", ""), ""))
	return string(runes[:min(len(runes), 80)])
}

// renderCheck shows the preview, or the faults with the text to be mended.
func (s *server) renderCheck(w http.ResponseWriter, r *http.Request, text, source string, now shop.Kept[shop.PriceList], id string, problems shop.Invalid) error {
	rules, err := s.shop.PriceRules(r.Context())
	if err != nil {
		return noTerms(err)
	}
	list, faults, err := shop.ReadPrices(strings.NewReader(text), rules)
	if err != nil {
		return err
	}
	f := newForm(url.Values{"text": {text}, "source": {source}, "by": {initials(r)}})
	f.Problems = problems
	d := checkData{Form: f, Source: source, Text: text, ID: id, After: now.ID}
	status := http.StatusOK
	if len(faults) > 0 || len(problems) > 0 {
		status = http.StatusUnprocessableEntity
	}
	title := "What the import changes"
	if len(faults) > 0 {
		d.Faults, d.More = faults[:min(len(faults), faultsShown)], max(0, len(faults)-faultsShown)
		if !isText(text) || len(text) > shop.MostPriceBytes { // what is cut off must not be taken for the list
			d.Text = ""
		}
		title = "The list can't be read yet"
	} else {
		if d.Digest, err = list.Digest(now.ID); err != nil {
			return err
		}
		s.compare(&d, rules.Currency, &now.Said, &list)
	}
	s.render(w, r, status, "prices_check", page{Title: title, Form: f, Data: d, Back: "/prices", BackWords: "Prices"})
	return nil
}

// isText reports whether what was sent can be shown in a field to be mended: a spreadsheet's own file can't.
func isText(text string) bool {
	return strings.ToValidUTF8(text, "") == text && !strings.Contains(text, "\x00")
}

// compare fills in what changes.
func (s *server) compare(d *checkData, c money.Currency, old, list *shop.PriceList) {
	diff := shop.ComparePrices(old, list)
	d.Changes, d.News, d.Drops, d.Same, d.Prices = len(diff.Changed), len(diff.New), len(diff.Dropped), diff.Same, len(list.Prices)
	d.Moved, d.Nothing = diff.Moved, diff.Nothing()
	for _, ch := range diff.Changed[:min(len(diff.Changed), changesShown)] {
		same := ch.Old
		same.Price = ch.New.Price
		d.Changed = append(d.Changed, priceChange{Old: s.priceLine(c, &ch.Old), New: s.priceLine(c, &ch.New), Other: same != ch.New})
	}
	for i := range diff.New[:min(len(diff.New), changesShown)] {
		d.New = append(d.New, s.priceLine(c, &diff.New[i]))
	}
	before, _ := money.Known(old.Currency)
	for i := range diff.Dropped[:min(len(diff.Dropped), changesShown)] {
		d.Dropped = append(d.Dropped, s.priceLine(before, &diff.Dropped[i]))
	}
}

// pricesSave stores the list that was shown. When it is not the same any more, because terms, catalogue or list have changed since, the
// preview is shown again.
func (s *server) pricesSave(w http.ResponseWriter, r *http.Request) error {
	if err := parseUpload(r); err != nil {
		return badForm(err)
	}
	defer dropUpload(r)
	id, after, text, source := r.PostFormValue("id"), r.PostFormValue("after"), r.PostFormValue("text"), shortened(r.PostFormValue("source"))
	if id == "" || text == "" || r.PostFormValue("digest") == "" {
		return badRequest("The form is not complete. Nothing was stored. Open “Rates and prices” and import the list again.")
	}
	rules, err := s.shop.PriceRules(r.Context())
	if err != nil {
		return noTerms(err)
	}
	list, faults, err := shop.ReadPrices(strings.NewReader(text), rules)
	if err != nil {
		return err
	}
	who := by(w, r)
	if len(faults) == 0 {
		digest, err := list.Digest(after)
		if err != nil {
			return err
		}
		if digest == r.PostFormValue("digest") {
			list.Source = source
			err := s.shop.SavePrices(r.Context(), id, who, after, list)
			if err == nil {
				return see(w, r, "/prices?did=saved")
			}
			if !errors.Is(err, shop.ErrConflict) {
				return err
			}
		}
	}
	now, err := s.shop.PricesNow(r.Context())
	if err != nil {
		return err
	}
	return s.renderCheck(w, r, text, source, now, s.shop.NewID(), shop.Invalid{{Field: "text",
		Text: fmt.Sprintf("Something changed since %s was checked: the list that counts, the terms or the file. Nothing was stored. This is what the import would do now.", source)}})
}
