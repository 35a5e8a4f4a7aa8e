package shop_test

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"witnessmark/core/estimate"
	"witnessmark/core/money"
	"witnessmark/core/work"
	"witnessmark/shop"
)

// priced saves terms and prices of a workshop.
func (b *bench) priced(t testing.TB, prices ...shop.Price) {
	t.Helper()
	if err := b.SaveTerms(ctx, b.id(), "ab", euros()); err != nil {
		t.Fatal(err)
	}
	b.prices(t, prices...)
}

func (b *bench) prices(t testing.TB, prices ...shop.Price) {
	t.Helper()
	now, err := b.PricesNow(ctx)
	if err != nil {
		t.Fatal(err)
	}
	if err := b.SavePrices(ctx, b.id(), "ab", now.ID, shop.PriceList{Currency: "EUR", Source: "list.csv", Replaces: now.ID, Prices: prices}); err != nil {
		t.Fatal(err)
	}
}

var rings = shop.Price{Number: "R-1", Name: "Seal ring", Part: "seal-ring", Unit: "piece", Price: 90}

// drafted makes an estimate of a car with leaking hoses at both ends and a leaking caliper.
func drafted(t testing.TB, b *bench) (shop.CarVersion, string) {
	t.Helper()
	b.priced(t, rings)
	car := b.car(t, nil)
	r := b.round(t, car.CarID)
	b.see(t, r.ID, "brake-hoses", "FL", "bulged-or-leaking")
	b.see(t, r.ID, "brake-hoses", "RR", "bulged-or-leaking")
	b.see(t, r.ID, "caliper-body", "FL", "leaking")
	number, err := b.MakeDraft(ctx, car.CarID, "make-1", "ab", "2026-04-02")
	if err != nil {
		t.Fatal(err)
	}
	return car, number
}

func (b *bench) draft(t testing.TB, number string) estimate.Estimate {
	t.Helper()
	d, err := b.Draft(ctx, number)
	if err != nil {
		t.Fatal(err)
	}
	return d.Said.Estimate
}

// line finds a line by a part of its id.
func line(t testing.TB, e estimate.Estimate, part string) estimate.Line {
	t.Helper()
	for l := range estimate.Lines(&e) {
		if strings.Contains(l.ID, part) {
			return *l
		}
	}
	t.Fatalf("no line %q in %+v", part, e.Items)
	return estimate.Line{}
}

// typed is a line as its form would send it back unchanged.
func typed(l estimate.Line) shop.LineChange {
	eur, _ := money.Known("EUR")
	c := shop.LineChange{Line: l.ID, Kind: l.Kind, Name: l.Name, Number: l.Number, Quantity: l.Milli.String(), Unit: l.Unit, Price: money.Plain(eur, l.Price), Tax: l.Tax}
	if l.Open {
		c.Price = ""
	}
	return c
}

func (b *bench) save(number string, base int, c shop.DraftChange) (shop.Kept[shop.EstimateDraft], error) {
	return b.SaveDraft(ctx, shop.DraftSave{Number: number, Base: base, ID: b.id(), By: "ab", Change: c})
}

func (b *bench) saved(t testing.TB, number string, base int, c shop.DraftChange) {
	t.Helper()
	if _, err := b.save(number, base, c); err != nil {
		t.Fatal(err)
	}
}

// TestDraftFromFindings: each job stands once a place, set-ups once with all who need them, times as core/work counts them, and what
// is unsafe is marked with its law and a warning.
func TestDraftFromFindings(t *testing.T) {
	b := newBench(t)
	car, number := drafted(t, b)
	d, err := b.Draft(ctx, number)
	if err != nil {
		t.Fatal(err)
	}
	e := d.Said.Estimate
	if number != "2026-0001" || e.Version != 1 || e.VisitOn != "2026-04-02" || e.ValidUntil != "2026-04-20" || e.Owner != "Alma Brook" || d.Said.RoundID == "" || d.CarID != car.CarID {
		t.Errorf("head: %s %+v", number, e)
	}
	var doings []work.Doing
	var minutes money.Milli
	for _, it := range e.Items {
		dg := work.Doing{Job: it.Job, At: it.At}
		if slices.Contains(doings, dg) {
			t.Errorf("%v stands twice", dg)
		}
		doings = append(doings, dg)
		if !it.Must || !strings.Contains(it.Warning, it.Category) || it.Category == "" || it.Why == "" {
			t.Errorf("%s: must %v, category %q, why %q, warning %q", it.Name, it.Must, it.Category, it.Why, it.Warning)
		}
	}
	for _, want := range []work.Doing{{Job: "renew-brake-hoses", At: "F"}, {Job: "renew-brake-hoses", At: "R"}, {Job: "renew-caliper", At: "F"}} {
		if !slices.Contains(doings, want) {
			t.Errorf("%v is missing in %v", want, doings)
		}
	}
	times := work.Minutes(b.Catalogue(), doings, b.FacetsOf(car))
	if len(e.Shared) != len(times.Setups) {
		t.Fatalf("%d preparations, expected %d", len(e.Shared), len(times.Setups))
	}
	for i, s := range e.Shared {
		if s.Setup != times.Setups[i].ID || len(s.Items) != len(times.Setups[i].Of) {
			t.Errorf("%s is needed by %v; expected %+v", s.Setup, s.Items, times.Setups[i])
		}
	}
	for l := range estimate.Lines(&e) {
		if l.Kind == estimate.Labour && !l.Open {
			minutes += l.Milli
		}
	}
	// each line is rounded to a thousandth of an hour
	if off := minutes*60 - money.Milli(times.Total)*1000; off > 30*money.Milli(len(doings)+len(times.Setups)) || off < -30*money.Milli(len(doings)+len(times.Setups)) {
		t.Errorf("%s h of labour, expected %d minutes", minutes, times.Total)
	}
}

// TestDraftParts: the amounts are those of the picking list, what has no price is open and keeps the estimate from the owner.
func TestDraftParts(t *testing.T) {
	b := newBench(t)
	car, number := drafted(t, b)
	e := b.draft(t, number)
	var doings []work.Doing
	for _, it := range e.Items {
		doings = append(doings, work.Doing{Job: it.Job, At: it.At})
	}
	got := map[string]money.Milli{}
	for l := range estimate.Lines(&e) {
		if l.Part != "" {
			got[l.Part] += l.Milli
			if l.Open != (l.Part != "seal-ring") || !l.Open && (l.Price != 90 || l.Number != "R-1") {
				t.Errorf("%+v", *l)
			}
		}
	}
	picked := 0
	for _, p := range work.Pick(b.Catalogue(), doings, b.FacetsOf(car)) {
		if kind := b.Catalogue().Parts[p.Part]; p.Maybe || kind.Sundry {
			continue
		}
		picked++
		if got[p.Part] != money.Milli(p.Milli) {
			t.Errorf("%s of %s, expected %s", got[p.Part], p.Part, money.Milli(p.Milli))
		}
	}
	if picked == 0 || len(got) != picked {
		t.Errorf("%d kinds of parts, %d in the picking list", len(got), picked)
	}
	if err := estimate.Ready(e, "2026-03-21"); err == nil || !strings.Contains(err.Error(), "its price is missing") {
		t.Errorf("ready without prices: %v", err)
	}
}

func TestDraftMadeOnce(t *testing.T) {
	b := newBench(t)
	car, number := drafted(t, b)
	again, err := b.MakeDraft(ctx, car.CarID, "make-1", "ab", "2026-04-02")
	if err != nil || again != number {
		t.Errorf("the same form again: %q, %v", again, err)
	}
	second, err := b.MakeDraft(ctx, car.CarID, "make-2", "ab", "")
	if err != nil || second != "2026-0002" {
		t.Errorf("another: %q, %v", second, err)
	}
	list, err := b.Drafts(ctx, car.CarID)
	if err != nil || len(list) != 2 || list[0].Said.Estimate.Number != second {
		t.Errorf("%d estimates, %v", len(list), err)
	}
	if _, err := b.MakeDraft(ctx, b.car(t, nil).CarID, "make-1", "ab", ""); !errors.Is(err, shop.ErrConflict) {
		t.Errorf("the same id for another car: %v", err)
	}
}

func TestDraftRefused(t *testing.T) {
	b := newBench(t)
	car := b.car(t, nil)
	if _, err := b.MakeDraft(ctx, car.CarID, "m", "ab", ""); !errors.Is(err, shop.ErrNoTerms) {
		t.Errorf("without terms: %v", err)
	}
	b.priced(t)
	var bad shop.Invalid
	if _, err := b.MakeDraft(ctx, car.CarID, "m", "ab", "1 April"); !errors.As(err, &bad) {
		t.Errorf("a day that is none: %v", err)
	}
	if _, err := b.MakeDraft(ctx, "nobody", "m", "ab", ""); !errors.Is(err, shop.ErrNotFound) {
		t.Errorf("no such car: %v", err)
	}
	if _, err := b.Draft(ctx, "2026-0001"); !errors.Is(err, shop.ErrNotFound) {
		t.Errorf("something was left behind: %v", err)
	}
	number, err := b.MakeDraft(ctx, car.CarID, "m", "ab", "")
	if e := b.draft(t, number); err != nil || len(e.Items) != 0 {
		t.Errorf("a car without a round: %v, %+v", err, e.Items)
	}
}

// TestDraftConflict: of two who change the same version the second is told what the first did, and nothing of either is lost.
func TestDraftConflict(t *testing.T) {
	b := newBench(t)
	_, number := drafted(t, b)
	c := typed(line(t, b.draft(t, number), "/labour"))
	c.Quantity = "2"
	b.saved(t, number, 1, c)
	_, err := b.save(number, 1, shop.HeadChange{Discount: "10", ValidUntil: "2026-05-01", VisitOn: "2026-04-02"})
	var taken *shop.DraftTaken
	if !errors.As(err, &taken) || !errors.Is(err, shop.ErrConflict) {
		t.Fatalf("%v", err)
	}
	if taken.Now.Said.Estimate.Version != 2 || len(taken.Changed) != 1 || !strings.Contains(taken.Changed[0], "2\u00a0h instead of") {
		t.Errorf("%+v", taken.Changed)
	}
	if e := b.draft(t, number); e.Version != 2 || e.Discount != 0 {
		t.Errorf("the loser was stored: %+v", e)
	}
	b.saved(t, number, 2, shop.HeadChange{Discount: "10", ValidUntil: "2026-05-01", VisitOn: "2026-04-02"})
	if e := b.draft(t, number); e.Version != 3 || e.Discount != 100_000 || line(t, e, "/labour").Milli != 2000 {
		t.Errorf("both changes: %+v", e)
	}
}

func TestDraftSavedOnce(t *testing.T) {
	b := newBench(t)
	_, number := drafted(t, b)
	in := shop.DraftSave{Number: number, Base: 1, ID: "form-1", By: "ab", Change: shop.ItemChange{Name: "Wash the car"}}
	for range 2 {
		if d, err := b.SaveDraft(ctx, in); err != nil || d.Said.Estimate.Version != 2 {
			t.Fatalf("%v, version %d", err, d.Said.Estimate.Version)
		}
	}
	in.ID, in.Base, in.Change = "form-2", 2, typed(line(t, b.draft(t, number), "/labour"))
	if d, err := b.SaveDraft(ctx, in); err != nil || d.Said.Estimate.Version != 2 {
		t.Errorf("a change that changes nothing: %v, version %d", err, d.Said.Estimate.Version)
	}
}

// TestDraftUndo: undo goes back change by change, and no version is ever altered.
func TestDraftUndo(t *testing.T) {
	b := newBench(t)
	_, number := drafted(t, b)
	for i, name := range []string{"Wash the car", "Polish the lamps"} {
		b.saved(t, number, i+1, shop.ItemChange{Name: name})
	}
	h, err := b.DraftHistory(ctx, number)
	if err != nil || len(h.Versions) != 3 || h.UndoTo != 2 || !strings.Contains(strings.Join(h.Steps[2].Changed, ";"), "Polish the lamps added") {
		t.Fatalf("%+v, %v", h, err)
	}
	same := func(a, b estimate.Estimate) bool {
		a.Version, b.Version = 1, 1
		return estimate.Digest(a) == estimate.Digest(b)
	}
	for base, to := range map[int]int{3: 2} {
		d, err := b.UndoDraft(ctx, number, base, b.id(), "ab")
		if err != nil || !same(d.Said.Estimate, h.Versions[to-1].Said.Estimate) {
			t.Fatalf("undo of %d: %v", base, err)
		}
	}
	d, err := b.UndoDraft(ctx, number, 4, b.id(), "ab")
	if err != nil || !same(d.Said.Estimate, h.Versions[0].Said.Estimate) {
		t.Fatalf("the second undo: %v, %+v", err, d.Said.Did)
	}
	var bad shop.Invalid
	if _, err := b.UndoDraft(ctx, number, 5, b.id(), "ab"); !errors.As(err, &bad) {
		t.Errorf("nothing is left to undo: %v", err)
	}
	if d, err = b.RestoreDraft(ctx, number, 5, 3, b.id(), "ab"); err != nil || !same(d.Said.Estimate, h.Versions[2].Said.Estimate) {
		t.Errorf("back to version 3: %v", err)
	}
	all, err := b.DraftVersions(ctx, number)
	if err != nil || len(all) != 6 {
		t.Fatalf("%d versions, %v", len(all), err)
	}
	for i, v := range h.Versions {
		if string(all[i].Body) != string(v.Body) {
			t.Errorf("version %d was altered", i+1)
		}
	}
}

// TestDraftOffered: what the owner was shown can't be undone and stays as it was; a change makes a new version.
func TestDraftOffered(t *testing.T) {
	b := newBench(t)
	car, number := drafted(t, b)
	b.saved(t, number, 1, shop.ItemChange{Name: "Wash the car"})
	shown, err := b.Draft(ctx, number)
	if err != nil {
		t.Fatal(err)
	}
	offer := shop.Record{ID: "offer-1", Kind: shop.KindOffer, CarID: car.CarID, Ref: shown.ID, Body: []byte(`{"token_hash":"x","digest":"y","expires_at":1}`)}
	if err := b.store.Update(ctx, func(w shop.Writer) error { _, err := w.Put(ctx, shop.Fact{Record: &offer}); return err }); err != nil {
		t.Fatal(err)
	}
	if _, err := b.UndoDraft(ctx, number, 2, b.id(), "ab"); !errors.Is(err, shop.ErrOffered) {
		t.Errorf("undo of what was shown: %v", err)
	}
	b.saved(t, number, 2, shop.ItemChange{Name: "Polish the lamps"})
	h, err := b.DraftHistory(ctx, number)
	if err != nil || len(h.Versions) != 3 || h.Shown() != 2 || h.Standing().Offered || !h.Steps[1].Offered || h.UndoTo != 2 {
		t.Fatalf("%+v, %v", h.Steps, err)
	}
	if string(h.Versions[1].Body) != string(shown.Body) {
		t.Error("what the owner was shown was altered")
	}
}

func TestDraftLineRefused(t *testing.T) {
	b := newBench(t)
	_, number := drafted(t, b)
	good := typed(line(t, b.draft(t, number), "/labour"))
	for field, change := range map[string]func(*shop.LineChange){
		"name": func(c *shop.LineChange) { c.Name = " " }, "quantity": func(c *shop.LineChange) { c.Quantity = "0" },
		"price": func(c *shop.LineChange) { c.Price = "-1" }, "unit": func(c *shop.LineChange) { c.Unit = "furlong" },
		"tax": func(c *shop.LineChange) { c.Tax = "none" }, "discount": func(c *shop.LineChange) { c.Discount = "101" },
		"number": func(c *shop.LineChange) { c.Number = strings.Repeat("x", 61) },
		"kind":   func(c *shop.LineChange) { c.Line, c.Kind = "", "gift"; c.Block = b.draft(t, number).Items[0].ID },
	} {
		c := good
		change(&c)
		var bad shop.Invalid
		if _, err := b.save(number, 1, c); !errors.As(err, &bad) || len(bad) != 1 || bad[0].Field != field {
			t.Errorf("%s: %v", field, err)
		}
	}
	item := b.draft(t, number).Items[0].ID
	if _, err := b.save(number, 1, shop.LineChange{Block: item, Remove: true}); !errors.Is(err, shop.ErrNotFound) {
		t.Errorf("a line that is none was taken out: %v", err)
	}
	if e := b.draft(t, number); e.Version != 1 {
		t.Error("something was stored")
	}
}

// TestDraftItemTakenOut: what only it needed falls away with it.
func TestDraftItemTakenOut(t *testing.T) {
	b := newBench(t)
	_, number := drafted(t, b)
	for {
		e := b.draft(t, number)
		if len(e.Items) == 0 {
			if len(e.Shared) != 0 {
				t.Errorf("nobody needs %+v", e.Shared)
			}
			return
		}
		b.saved(t, number, e.Version, shop.ItemChange{Item: e.Items[0].ID, Remove: true})
	}
}

// TestDraftRepriced: today's prices are shown beside the old ones, and only what was ticked takes them.
func TestDraftRepriced(t *testing.T) {
	b := newBench(t)
	_, number := drafted(t, b)
	dearer := rings
	dearer.Price = 110
	b.prices(t, dearer, shop.Price{Number: "H-1", Name: "Brake hose", Part: "brake-hose", Unit: "piece", Price: 2100})
	_, list, current, err := b.Reprice(ctx, number)
	if err != nil || !current || len(list) == 0 {
		t.Fatalf("%+v, %v, %v", list, current, err)
	}
	var take []string
	for _, r := range list {
		if r.WasOpen != (r.Line.Part == "brake-hose") || r.Line.Open || r.Block == "" {
			t.Errorf("%+v", r)
		}
		if r.Line.Part == "brake-hose" {
			take = append(take, r.Line.ID)
		}
	}
	b.saved(t, number, 1, shop.TodaysPrices{Lines: take, New: list})
	e := b.draft(t, number)
	for l := range estimate.Lines(&e) {
		if l.Part == "brake-hose" && (l.Open || l.Price != 2100) || l.Part == "seal-ring" && l.Price != 90 {
			t.Errorf("%+v", *l)
		}
	}
	with := euros()
	with.Estimate.Included = !with.Estimate.Included
	if err := b.SaveTerms(ctx, b.id(), "ab", with); err != nil {
		t.Fatal(err)
	}
	if _, list, current, err := b.Reprice(ctx, number); err != nil || current || len(list) != 0 {
		t.Errorf("prices with tax stand beside prices without: %v, %v, %v", list, current, err)
	}
}

// TestDeclineWarning: it says what was found and what the law calls it, and never that a car is safe.
func TestDeclineWarning(t *testing.T) {
	it := estimate.Item{Name: "Renew the hoses", Why: strings.Repeat("long ünd wide ", 200), Wait: "It can burst", Category: "dangerous", Must: true}
	got := shop.DeclineWarning(it)
	for _, want := range []string{"Renew the hoses.", "It can burst.", "dangerous.", "Do not drive the car"} {
		if !strings.Contains(got, want) {
			t.Errorf("%q lacks %q", got, want)
		}
	}
	if strings.Contains(strings.ReplaceAll(got, "unsafe", ""), "safe") || len(got) > estimate.MaxText {
		t.Errorf("%d bytes: %s", len(got), got)
	}
	it.Must = false
	if shop.DeclineWarning(it) != "" {
		t.Error("a warning for what can wait")
	}
}
