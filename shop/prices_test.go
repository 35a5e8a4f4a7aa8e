package shop_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"witnessmark/core/money"
	"witnessmark/shop"
)

// rules are those of a workshop that charges in a currency, with one more tax.
func rules(t testing.TB, s *bench, code string) shop.PriceRules {
	t.Helper()
	x := euros()
	x.Estimate.Currency, _ = money.Known(code)
	x.Estimate.Taxes = append(x.Estimate.Taxes, x.Estimate.Taxes[0])
	x.Estimate.Taxes[1].ID, x.Estimate.Taxes[1].Rate = "low", 50_000
	if err := s.SaveTerms(ctx, s.id(), "", x); err != nil {
		t.Fatal(err)
	}
	r, err := s.PriceRules(ctx)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func read(t testing.TB, text string, r shop.PriceRules) (shop.PriceList, string) {
	t.Helper()
	list, faults, err := shop.ReadPrices(strings.NewReader(text), r)
	if err != nil {
		t.Fatal(err)
	}
	var lines []string
	for _, f := range faults {
		lines = append(lines, f.String())
	}
	return list, strings.Join(lines, "\n")
}

func TestPriceRulesNeedTerms(t *testing.T) {
	if _, err := newBench(t).PriceRules(ctx); !errors.Is(err, shop.ErrNoTerms) {
		t.Errorf("got %v", err)
	}
}

// TestReadPrices: what programs write is read, exactly; a mark before the text, line ends, empty lines and the order of the columns don't
// matter.
func TestReadPrices(t *testing.T) {
	s := newBench(t)
	r := rules(t, s, "EUR")
	want := []shop.Price{
		{Number: "L-1", Name: "Oil, thin", Part: "engine-oil", Unit: "L", Price: 1290},
		{Number: "P 2", Name: `Pads "quiet"`, Part: "pad-set", Unit: "set", Price: 104550, Tax: "low", For: "orrin-22"},
		{Number: "X", Name: "Sticker", Unit: "piece", Price: 0, For: "plate:AB-12 CD"},
	}
	for name, text := range map[string]string{
		"commas": "number,name,part,unit,price,tax,for\nL-1,\"Oil, thin\",engine-oil,L,12.90,,\nP 2,\"Pads \"\"quiet\"\"\",pad-set,set,1045.5,low,orrin-22\nX,Sticker,,piece,0,,plate:AB-12 CD\n",
		"semicolons": "\ufeffNumber;Name;Part;Unit;Price;Tax;For\r\nL-1;Oil, thin;engine-oil;L;12,90;;\r\n;;;;;;\r\nP 2;\"Pads \"\"quiet\"\"\";pad-set;set;1 045,5;low;orrin-22\r\n\r\n" +
			"X;  Sticker ;;piece;0,00;;plate:AB-12 CD",
		"tabs":          "number\tname\tpart\tunit\tprice\ttax\tfor\r\nL-1\tOil, thin\tengine-oil\tL\t12,90\t\t\r\nP 2\t\"Pads \"\"quiet\"\"\"\tpad-set\tset\t1 045,5\tlow\torrin-22\r\nX\tSticker\t\tpiece\t0\t\tplate:AB-12 CD\r\n",
		"another order": "for,price,unit,name,number,part,tax\n,12.9,L,\"Oil, thin\",L-1,engine-oil,\norrin-22,1045.50,set,\"Pads \"\"quiet\"\"\",P 2,pad-set,low\nplate:AB-12 CD,0.00,piece,Sticker,X,,\n",
	} {
		list, faults := read(t, text, r)
		if faults != "" || !slices.Equal(list.Prices, want) || list.Currency != "EUR" {
			t.Errorf("%s: %s\n%+v", name, faults, list)
		}
	}
	if list, faults := read(t, "number;name;unit;price\n1;A;m;2.5\n", r); faults != "" || list.Prices[0].Price != 250 {
		t.Errorf("a point between semicolons: %s %+v", faults, list)
	}
	for _, c := range []struct {
		code, text string
		want       money.Amount
	}{{"JPY", "1250", 1250}, {"KWD", "1.250", 1250}, {"KWD", "12.5", 12500}} {
		list, faults := read(t, "number,name,unit,price\n1,A,piece,"+c.text+"\n", rules(t, s, c.code))
		if faults != "" || list.Prices[0].Price != c.want {
			t.Errorf("%s %s: %s %+v", c.code, c.text, faults, list)
		}
	}
}

// TestPriceFaults: everything that is wrong is told at once with its line and column, and nothing of the file counts.
func TestPriceFaults(t *testing.T) {
	s := newBench(t)
	r := rules(t, s, "EUR")
	const head = "number,name,part,unit,price,tax,for\n"
	for text, want := range map[string]string{
		"":                                    "Line 1: the file is empty",
		"\n\n":                                "Line 1: the file is empty",
		"number,name,unit,price,colour\n":     "Line 1: column 5 is called \"colour\"",
		"number,name,unit\n":                  "Line 1, price: the column is missing",
		"number,name,unit,price,Name\n":       "Line 1, name: the column stands there twice",
		head + "1,A,,piece,1\n":               "Line 2: 5 columns; expected 7",
		head + ",A,,piece,1,,\n":              "Line 2, number: it is empty",
		head + "1,,,piece,1,,\n":              "Line 2, name: it is empty",
		head + "1,A,no-part,piece,1,,\n":      "Line 2, part: \"no-part\" is no part of the catalogue",
		head + "1,A,engine-oil,piece,1,,\n":   "Line 2, unit: \"piece\"; the catalogue counts engine-oil by L",
		head + "1,A,,gallon,1,,\n":            "Line 2, unit: \"gallon\"; expected one of piece, set, L, kg, m",
		head + "1,A,,piece,,,\n":              "Line 2, price: it is empty; expected an amount such as 12.50",
		head + "1,A,,piece,free,,\n":          "Line 2, price: \"free\" is no amount in EUR",
		head + "1,A,,piece,1.005,,\n":         "Line 2, price: \"1.005\" is no amount in EUR: expected at most 2 decimals",
		head + "1,A,,piece,\"1,50\",,\n":      "Line 2, price: \"1,50\" has a comma; where commas part the columns",
		head + "1,A,,piece,-1,,\n":            "Line 2, price: it is below 0",
		head + "1,A,,piece,1e9,,\n":           "Line 2, price: \"1e9\" is no amount",
		head + "1,A,,piece,100000001,,\n":     "Line 2, price: it is larger than any price here",
		head + "1,A,,piece,1,vat,\n":          "Line 2, tax: \"vat\" is none of the workshop's taxes",
		head + "1,A,,piece,1,,tarn-61\n":      "Line 2, for: \"tarn-61\" is no family of the catalogue",
		head + "1,A,,piece,1,,plate: -\n":     "Line 2, for: the plate is missing",
		head + "=1+1,A,,piece,1,,\n":          "Line 2, number: \"=1+1\" begins with a sign that makes a spreadsheet compute",
		head + "1,@SUM,,piece,1,,\n":          "Line 2, name: \"@SUM\" begins with a sign",
		head + "1,A,,piece,1,,\n1,B,,m,2,,\n": "Line 3, number: line 2 has \"1\" for the same part and cars already",
		head + "1,A,,piece,1,,plate:AB 1\n1,A,,piece,1,,plate:ab1\n": "Line 3, number: line 2 has",
		head + "1,A\"B,,piece,1,,\n":                                 "Line 2: the quotation marks don't fit together",
		head + "1,\"A,,piece,1,,\n":                                  "Line 2: the quotation marks don't fit together",
		head + "1,A\xff,,piece,1,,\n":                                "Line 2: the text is not UTF-8",
		head + "1,A\x00,,piece,1,,\n":                                "Line 2: the text is not UTF-8",
		"number;name;unit;price\n1;A;piece;1,5\n2;B;piece;2.5\n":     "Line 3, price: \"2.5\"; earlier lines have decimals behind \",\"",
		strings.Repeat("x", shop.MostPriceBytes+1):                   "The file is larger than 1024 kB.",
	} {
		list, faults := read(t, text, r)
		if !strings.HasPrefix(faults, want) || strings.Contains(faults, "\n") {
			t.Errorf("%.60q gives\n%s\nexpected %s", text, faults, want)
		}
		if len(list.Prices) > 0 {
			t.Errorf("%.60q gives prices in spite of it", text)
		}
	}
	_, faults := read(t, head+"1,A,nothing,piece,x,none,\n2,B,,piece,2,,\n3,C,,inch,3,,\n4,\"D\"x,,piece,4,,\n5,,,piece,-5,,\n", r)
	for _, want := range []string{"Line 2, part", "Line 2, price", "Line 2, tax", "Line 4, unit", "Line 5:", "Line 6, name", "Line 6, price"} {
		if !strings.Contains(faults, want) {
			t.Errorf("all at once lacks %s:\n%s", want, faults)
		}
	}
	if n := strings.Count(faults, "\n") + 1; n != 7 {
		t.Errorf("%d faults:\n%s", n, faults)
	}
}

func TestTooManyPrices(t *testing.T) {
	s := newBench(t)
	r := rules(t, s, "EUR")
	var b strings.Builder
	b.WriteString("number,name,unit,price\n")
	for i := range shop.MostPrices + 1 {
		fmt.Fprintf(&b, "%d,A,m,1\n", i)
	}
	if _, faults := read(t, b.String(), r); faults != "Line 20002: more than 20000 prices" {
		t.Error(faults)
	}
}

// FuzzReadPrices: what is accepted is written and read back as it was, and written again to the same bytes.
func FuzzReadPrices(f *testing.F) {
	for _, text := range []string{"number,name,part,unit,price,tax,for\nL-1,\"Oil, thin\",engine-oil,L,12.90,low,orrin-22\n",
		"\ufeffnumber;name;unit;price\r\n1;Ä \"b\";m;1'000,5\r\n;;;\r\n", "number,name,unit,price,for\n1,\"a\nb\",m,3,plate:A-1\n", "number,name,unit,price\n\",\",a,m,1\n"} {
		f.Add([]byte(text))
	}
	s := newBench(f)
	r := rules(f, s, "EUR")
	f.Fuzz(func(t *testing.T, data []byte) {
		list, faults, err := shop.ReadPrices(bytes.NewReader(data), r)
		if err != nil {
			t.Fatal(err)
		}
		if len(faults) > 0 {
			if len(list.Prices) > 0 {
				t.Error("prices in spite of faults")
			}
			return
		}
		var first, second bytes.Buffer
		if err := shop.WritePrices(&first, r.Currency, &list); err != nil {
			t.Fatal(err)
		}
		again, faults, err := shop.ReadPrices(bytes.NewReader(first.Bytes()), r)
		if first.Len() > shop.MostPriceBytes {
			return // spelt out it may be larger than what can be read
		}
		if err != nil || len(faults) > 0 || !slices.Equal(again.Prices, list.Prices) {
			t.Fatalf("%q comes back as %+v, %v, %v", first.String(), again, faults, err)
		}
		if err := shop.WritePrices(&second, r.Currency, &again); err != nil || first.String() != second.String() {
			t.Fatalf("%q and %q, %v", first.String(), second.String(), err)
		}
		if err := s.SavePrices(context.Background(), "never", "", "no such list", list); !errors.Is(err, shop.ErrConflict) {
			t.Fatalf("what was read is not fit to be kept: %v", err)
		}
	})
}

func TestPriceFor(t *testing.T) {
	list := &shop.PriceList{Currency: "EUR", Prices: []shop.Price{
		{Number: "other", Part: "disc", Price: 9}, {Number: "all", Part: "pad-set", Price: 1}, {Number: "all2", Part: "pad-set", Price: 2},
		{Number: "b", Part: "pad-set", For: "b", Price: 3}, {Number: "a", Part: "pad-set", For: "a", Price: 4}, {Number: "own", Part: "pad-set", For: "plate:AB-12 CD", Price: 5},
	}}
	for _, c := range []struct {
		plate    string
		families []string
		want     string
	}{{"", nil, "all"}, {"X 1", []string{"c"}, "all"}, {"X 1", []string{"b"}, "b"}, {"X 1", []string{"a", "b"}, "a"}, {"ab 12cd", []string{"a"}, "own"}} {
		if got, ok := shop.PriceFor(list, "pad-set", shop.CarVersion{Plate: c.plate}, c.families); !ok || got.Number != c.want {
			t.Errorf("%+v gives %+v", c, got)
		}
	}
	for _, part := range []string{"", "drum"} {
		if got, ok := shop.PriceFor(list, part, shop.CarVersion{}, nil); ok {
			t.Errorf("%q has the price %+v", part, got)
		}
	}
	if _, ok := shop.PriceFor(nil, "disc", shop.CarVersion{}, nil); ok {
		t.Error("no list has a price")
	}
}

func TestComparePrices(t *testing.T) {
	old := &shop.PriceList{Currency: "EUR", Prices: []shop.Price{{Number: "1", Price: 1}, {Number: "2", Price: 2}, {Number: "3", Price: 3}, {Number: "3", For: "plate:AB 1", Price: 3}}}
	list := &shop.PriceList{Currency: "EUR", Prices: []shop.Price{{Number: "1", Price: 1}, {Number: "2", Price: 5}, {Number: "3", For: "plate:ab1", Price: 3}, {Number: "4", Price: 4}}}
	d := shop.ComparePrices(old, list)
	if len(d.New) != 1 || d.New[0].Number != "4" || len(d.Dropped) != 1 || d.Dropped[0].Number != "3" || d.Dropped[0].For != "" || d.Same != 1 ||
		len(d.Changed) != 2 || d.Changed[0].Old.Price != 2 || d.Changed[0].New.Price != 5 || d.Nothing() {
		t.Errorf("%+v", d)
	}
	if d := shop.ComparePrices(old, old); !d.Nothing() || d.Same != 4 {
		t.Errorf("the same list: %+v", d)
	}
	turned := &shop.PriceList{Currency: "EUR", Prices: slices.Clone(old.Prices)}
	slices.Reverse(turned.Prices)
	if d := shop.ComparePrices(old, turned); !d.Moved || d.Nothing() || d.Same != 4 {
		t.Errorf("turned round: %+v", d)
	}
	if d := shop.ComparePrices(old, &shop.PriceList{Currency: "JPY", Prices: old.Prices}); len(d.New) != 4 || len(d.Dropped) != 4 {
		t.Errorf("another currency: %+v", d)
	}
}

// TestPricesAreKept: the last list counts; the same form is stored once; who saved second is told; undo brings the earlier list back.
func TestPricesAreKept(t *testing.T) {
	s := newBench(t)
	rules(t, s, "EUR")
	list := func(price money.Amount) shop.PriceList {
		return shop.PriceList{Currency: "EUR", Source: "list.csv", Prices: []shop.Price{{Number: "1", Name: "Oil", Part: "engine-oil", Unit: "L", Price: price}}}
	}
	now := func() (id string, price money.Amount) {
		t.Helper()
		k, err := s.PricesNow(ctx)
		if err != nil {
			t.Fatal(err)
		}
		if l, err := s.Prices(ctx); err != nil || !slices.Equal(l.Prices, k.Said.Prices) {
			t.Fatalf("%+v, %v", l, err)
		}
		if len(k.Said.Prices) > 0 {
			price = k.Said.Prices[0].Price
		}
		return k.ID, price
	}
	expect := func(id string, price money.Amount) {
		t.Helper()
		if gotID, got := now(); gotID != id || got != price {
			t.Errorf("list %q with %d, expected %q with %d", gotID, got, id, price)
		}
	}
	expect("", 0)
	for _, err := range []error{s.SavePrices(ctx, "a", "An", "", list(1)), s.SavePrices(ctx, "a", "An", "", list(1)), s.SavePrices(ctx, "b", "An", "a", list(2)), s.SavePrices(ctx, "a", "An", "", list(1))} {
		if err != nil {
			t.Fatal(err)
		}
	}
	expect("b", 2)
	for name, err := range map[string]error{"second": s.SavePrices(ctx, "c", "Bo", "a", list(3)), "same id": s.SavePrices(ctx, "b", "An", "a", list(4)), "stale undo": s.UndoPrices(ctx, "u0", "", "a")} {
		if !errors.Is(err, shop.ErrConflict) {
			t.Errorf("%s: %v", name, err)
		}
	}
	expect("b", 2)
	for range 2 {
		if err := s.UndoPrices(ctx, "u1", "An", "b"); err != nil {
			t.Fatal(err)
		}
		expect("u1", 1)
	}
	if err := s.UndoPrices(ctx, "u2", "An", "u1"); err != nil {
		t.Fatal(err)
	}
	expect("u2", 2)
	if err := s.UndoPrices(ctx, "u3", "An", "no such"); !errors.Is(err, shop.ErrNotFound) {
		t.Errorf("got %v", err)
	}
	other := newBench(t)
	rules(t, other, "EUR")
	if err := errors.Join(other.SavePrices(ctx, "a", "", "", list(1)), other.UndoPrices(ctx, "u", "", "a")); err != nil {
		t.Fatal(err)
	}
	if l, err := other.Prices(ctx); err != nil || len(l.Prices) != 0 {
		t.Errorf("the first list undone: %+v, %v", l, err)
	}
}

// TestPricesRefused: a list that no estimate could use is not kept, and not imported from another workshop either.
func TestPricesRefused(t *testing.T) {
	s := newBench(t)
	rules(t, s, "EUR")
	good := shop.Price{Number: "1", Name: "A", Unit: "m", Price: 1}
	for want, spoil := range map[string]func(*shop.PriceList){
		"currency":       func(l *shop.PriceList) { l.Currency = "" },
		"below 0":        func(l *shop.PriceList) { l.Prices[0].Price = -1 },
		"unit":           func(l *shop.PriceList) { l.Prices[0].Unit = "inch" },
		"says the same":  func(l *shop.PriceList) { l.Prices = append(l.Prices, good) },
		"number":         func(l *shop.PriceList) { l.Prices[0].Number = "" },
		"needless space": func(l *shop.PriceList) { l.Prices[0].Name = "A " },
	} {
		list := shop.PriceList{Currency: "EUR", Source: "x", Prices: []shop.Price{good}}
		spoil(&list)
		if err := s.SavePrices(ctx, "x", "", "", list); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("expected %q, got %v", want, err)
		}
	}
	if k, _ := s.PricesNow(ctx); k.ID != "" {
		t.Error("something was stored")
	}
}

// TestDigestOfPrices: it moves with every price and with what the list was held against, not with the file's name.
func TestDigestOfPrices(t *testing.T) {
	a := shop.PriceList{Currency: "EUR", Source: "x", Prices: []shop.Price{{Number: "1", Price: 1}}}
	digest := func(l shop.PriceList, after string) string {
		d, err := l.Digest(after)
		if err != nil {
			t.Fatal(err)
		}
		return d
	}
	b, c := a, a
	b.Source = "y"
	c.Prices = []shop.Price{{Number: "1", Price: 2}}
	if digest(a, "k") != digest(b, "k") || digest(a, "k") == digest(c, "k") || digest(a, "k") == digest(a, "l") {
		t.Error("the digest does not tell lists apart")
	}
}

func TestUnpriced(t *testing.T) {
	s := newBench(t)
	all := len(s.Catalogue().Parts)
	list := &shop.PriceList{Prices: []shop.Price{{Number: "1", Part: "engine-oil"}, {Number: "2", Part: "disc", For: "orrin-22"}, {Number: "3"}}}
	if got := s.Unpriced(list); len(got) != all-1 || all < 20 {
		t.Errorf("%d of %d parts have no price", len(got), all)
	}
}

// BenchmarkReadPrices: a list of 20 000 lines is to be read in less than half a second, as somebody waits for the preview.
func BenchmarkReadPrices(b *testing.B) {
	s := newBench(b)
	r := rules(b, s, "EUR")
	var text strings.Builder
	text.WriteString("number,name,part,unit,price\n")
	for i := range shop.MostPrices {
		fmt.Fprintf(&text, "%d,Oil %d,engine-oil,L,%d.%02d\n", i, i, i, i%100)
	}
	for b.Loop() {
		if list, faults, err := shop.ReadPrices(strings.NewReader(text.String()), r); err != nil || len(faults) > 0 || len(list.Prices) != shop.MostPrices {
			b.Fatal(len(faults), err)
		}
	}
}
