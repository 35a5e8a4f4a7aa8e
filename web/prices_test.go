package web

import (
	"bytes"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"witnessmark/shop"
)

const priceHead = "number,name,part,unit,price,tax,for\n"

// charging says how the bench's workshop charges.
func (b *bench) charging() {
	b.t.Helper()
	f := fieldsOf(b.page("/terms").Body.String())
	for name, value := range map[string]string{"currency": "EUR", "hour-rate": "84", "tax-id-0": "full", "tax-name-0": "Tax", "tax-rate-0": "20 %", "labour-tax": "full", "parts-tax": "full", "by": "AB"} {
		f.Set(name, value)
	}
	if to := b.goes("/terms", f); to != "/terms?did=saved" {
		b.t.Fatal(to)
	}
}

// sendFile sends a file of prices to be checked.
func (b *bench) sendFile(name, text string) *httptest.ResponseRecorder {
	b.t.Helper()
	var body bytes.Buffer
	m := multipart.NewWriter(&body)
	w, err := m.CreateFormFile("file", name)
	b.must(err)
	_, err = w.Write([]byte(text))
	b.must(err)
	b.must(m.WriteField("text", ""))
	b.must(m.Close())
	r := httptest.NewRequest("POST", "/prices/check", &body)
	r.Header.Set("Content-Type", m.FormDataContentType())
	return b.send(r)
}

// stored confirms what a preview shows; text is what a browser would send of its field.
func (b *bench) confirming(preview, text string) url.Values {
	b.t.Helper()
	f := b.formAt(preview, "/prices")
	f.Set("text", text)
	return f
}

func (b *bench) list() *shop.PriceList {
	b.t.Helper()
	l, err := b.shop.Prices(b.t.Context())
	b.must(err)
	return l
}

func TestTermsPage(t *testing.T) {
	b := newBench(t, "metric")
	wants(t, b.page("/prices").Body.String(), "Say how we charge")
	page := b.page("/terms").Body.String()
	wants(t, page, "Nothing is saved yet", "only suggested", `value="480"`)
	f := fieldsOf(page)
	f.Set("hour-rate", "lots")
	f.Set("tax-rate-0", "200 %")
	f.Set("valid-days", "0")
	w := b.submit("/terms", f)
	wants(t, w.Body.String(), "Choose the currency", "expected 0 to 100 %", "Estimates can be valid for 1 to 365 days", `value="lots"`, `value="200 %"`, "Tax 1, rate: ")
	if _, set, err := b.shop.Terms(t.Context()); w.Code != 422 || set || err != nil {
		t.Errorf("%d, %v, %v", w.Code, set, err)
	}
	b.charging()
	page = b.page("/terms?did=saved").Body.String()
	wants(t, page, "Saved. ", "84.00", "Saved before", "by AB")
	f = fieldsOf(page)
	f.Set("tax-id-0", "") // the first line is emptied and another filled in: no gap stays
	f.Set("tax-name-0", "")
	f.Set("tax-rate-0", "")
	f.Set("tax-id-1", "low")
	f.Set("tax-name-1", "Low")
	f.Set("tax-rate-1", "x")
	w = b.submit("/terms", f)
	wants(t, w.Body.String(), "Tax 1, rate: ", `name="tax-id-0" type="text" value="low"`, "There is no tax &#34;full&#34; for labour")
}

// TestImport: a file with faults names them all, the mended text is previewed, and only what was shown is stored, once.
func TestImport(t *testing.T) {
	b := newBench(t, "metric")
	if w := b.sendFile("a.csv", priceHead); w.Code != 400 || !strings.Contains(w.Body.String(), "Say first how the workshop charges") {
		t.Errorf("without terms: %d", w.Code)
	}
	b.charging()
	w := b.sendFile("a.csv", priceHead+"1,Oil,engine-oil,L,9.805,,\n2,<b>Pads,no-such,set,45,,\n")
	wants(t, w.Body.String(), "2 things to mend in a.csv", "<b>Line 2, price</b>", "at most 2 decimals", "<b>Line 3, part</b>", "no part of the catalogue", "2,&lt;b&gt;Pads")
	lacks(t, w.Body.String(), "Store this list", "<b>Pads")
	if w.Code != 422 || len(b.list().Prices) != 0 {
		t.Errorf("%d", w.Code)
	}
	text := priceHead + "1,Oil,engine-oil,L,9.80,,\n2,Pads,pad-set,set,45,,\n"
	w = b.submit("/prices/check", url.Values{"text": {text}, "source": {"a.csv"}})
	wants(t, w.Body.String(), "What the import changes", "From a.csv: 2 prices. Nothing is stored yet", "9.80\u00a0EUR", "Store this list")
	if w.Code != 200 || len(b.list().Prices) != 0 {
		t.Errorf("%d, or the preview stored something", w.Code)
	}
	f := b.confirming(w.Body.String(), text)
	changed := b.confirming(w.Body.String(), strings.Replace(text, "9.80", "1.80", 1))
	if w := b.submit("/prices", changed); w.Code != 422 || !strings.Contains(w.Body.String(), "Something changed since a.csv was checked") || len(b.list().Prices) != 0 {
		t.Errorf("another text than was shown: %d", w.Code)
	}
	for range 2 {
		if to := b.goes("/prices", f); to != "/prices?did=saved" {
			t.Error(to)
		}
	}
	wants(t, b.page("/prices?did=saved").Body.String(), "Saved. ", "2 prices", "a.csv, ", "of the catalogue's parts have no price")
	wants(t, b.page("/prices?q=oil").Body.String(), "1 of 2 prices for “oil”")
	file := b.page("/prices.csv")
	if got, want := file.Body.String(), strings.Replace(text, "45,,", "45.00,,", 1); got != want || file.Header().Get("Content-Type") != "text/csv; charset=utf-8" {
		t.Errorf("%q, expected %q", got, want)
	}
	wants(t, b.sendFile("same.csv", file.Body.String()).Body.String(), "There is nothing to store")
	for _, name := range []string{"id", "digest", "text"} {
		bad := b.confirming(w.Body.String(), text)
		bad.Del(name)
		if w := b.submit("/prices", bad); w.Code != 400 {
			t.Errorf("without %s: %d", name, w.Code)
		}
	}
	if w := b.submit("/prices/check", url.Values{"text": {" "}}); w.Code != 422 || !strings.Contains(w.Body.String(), "Choose a file with prices") {
		t.Errorf("nothing sent: %d", w.Code)
	}
}

// TestImportDiff: old and new prices stand side by side; two who import at once don't overwrite each other; undo brings the list back.
func TestImportDiff(t *testing.T) {
	b := newBench(t, "metric")
	b.charging()
	send := func(text string) (preview string, form url.Values) {
		t.Helper()
		preview = b.sendFile("l.csv", priceHead+text).Body.String()
		return preview, b.confirming(preview, priceHead+text)
	}
	_, first := send("1,Oil,engine-oil,L,9.80,,\n2,Pads,pad-set,set,45,,\n3,Tag,,piece,1,,\n")
	b.goes("/prices", first)
	preview, second := send("1,Oil,engine-oil,L,10.20,,\n3,Tag,,piece,1,,\n4,Drum,drum,piece,1060,,orrin-22\n")
	wants(t, preview, "<dt>New price</dt><dd>1</dd>", "<dt>New line</dt><dd>1</dd>", "<dt>As before</dt><dd>1</dd>", "<dt>Dropped</dt><dd>1</dd>", "9.80\u00a0EUR", "<b>10.20\u00a0EUR</b>", "for Orrin 2.2", "1\u202f060.00")
	_, third := send("9,Other,,piece,1,,\n")
	b.goes("/prices", second)
	w := b.submit("/prices", third)
	wants(t, w.Body.String(), "Something changed since l.csv was checked", "What the import changes")
	if w.Code != 422 || len(b.list().Prices) != 3 || b.list().Prices[0].Price != 1020 {
		t.Errorf("%d, %+v", w.Code, b.list())
	}
	undo := b.formAt(b.page("/prices").Body.String(), "/prices/undo")
	for range 2 {
		if to := b.goes("/prices/undo", undo); to != "/prices?did=undone" {
			t.Error(to)
		}
	}
	if l := b.list(); len(l.Prices) != 3 || l.Prices[0].Price != 980 {
		t.Errorf("%+v", l)
	}
	wants(t, b.page("/prices?did=undone").Body.String(), "Undone. ", "Take the undoing back")
	undo.Set("id", "another form")
	if w := b.submit("/prices/undo", undo); w.Code != http.StatusConflict {
		t.Errorf("an undo of what counts no more: %d", w.Code)
	}
}

// TestListInAnotherCurrency: it is said that it does not count.
func TestListInAnotherCurrency(t *testing.T) {
	b := newBench(t, "metric")
	b.charging()
	text := priceHead + "1,Oil,engine-oil,L,9.80,,\n"
	b.goes("/prices", b.confirming(b.sendFile("l.csv", text).Body.String(), text))
	f := fieldsOf(b.page("/terms").Body.String())
	for name, value := range map[string]string{"currency": "JPY", "hour-rate": "9000", "visit-cost": "0", "round": "", "sundries-most": ""} {
		f.Set(name, value)
	}
	b.goes("/terms", f)
	wants(t, b.page("/prices").Body.String(), "The list that was saved last is in EUR", "9\u202f000\u00a0JPY an hour")
	wants(t, b.sendFile("j.csv", "number,name,unit,price\n1,A,m,1200\n").Body.String(), "9.80\u00a0EUR", "1\u202f200\u00a0JPY")
	wants(t, b.sendFile("j.csv", "number,name,unit,price\n1,A,m,12.5\n").Body.String(), "at most 0 decimals")
}

func TestImportOfWhatIsNoText(t *testing.T) {
	b := newBench(t, "metric")
	b.charging()
	w := b.sendFile("prices.xlsx", "PK\x03\x04\x00\x00\xff\xfe")
	wants(t, w.Body.String(), "not UTF-8", "Choose the mended file")
	lacks(t, w.Body.String(), "Mend the lines here")
	if w := b.sendFile("big.csv", strings.Repeat("x", shop.MostPriceBytes+1)); w.Code != 422 || !strings.Contains(w.Body.String(), "larger than 1024 kB") || strings.Contains(w.Body.String(), "Mend the lines here") {
		t.Errorf("%d", w.Code)
	}
	if w := b.sendFile("huge.csv", strings.Repeat("x", priceFormLimit+1)); w.Code != http.StatusRequestEntityTooLarge {
		t.Errorf("%d", w.Code)
	}
}
