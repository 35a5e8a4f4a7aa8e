package storetest

import (
	"context"
	"encoding/json"
	"strings"
	"testing"

	"witnessmark/core/estimate"
	"witnessmark/core/money"
	"witnessmark/shop"
)

// record is a document whose body is written as the program writes it.
func record(id, kind, carID, ref, once string, body any) shop.Fact {
	data, err := json.Marshal(body)
	if err != nil {
		panic(err) // a sample that can't be written is a slip in this file
	}
	return shop.Fact{Record: &shop.Record{ID: id, Kind: kind, CarID: carID, Ref: ref, Once: once, Body: data, By: "kim", ReceivedAt: 1_700_000_000_014}}
}

func sampleTerms() shop.Terms {
	return shop.Terms{Estimate: estimate.Terms{Currency: money.Currency{Code: "EUR", Exponent: 2}, Taxes: []estimate.Tax{{ID: "full", Name: "Tax <full>", Rate: 200_000}}},
		Address: []string{"Millrace Garage", "Wehrgäßchen 3"}, HourRate: 8400, LabourTax: "full", PartsTax: "full", ValidDays: 14, VisitMinutes: 480, RemindDays: 21}
}

func sampleEstimate() estimate.Estimate {
	return estimate.Estimate{Number: "2026-001", Version: 1, Workshop: []string{"Millrace Garage"}, Car: []string{"AB-12 CD"}, Owner: "Ännchen O'Tuul-Brook",
		VisitOn: "2026-04-02", ValidUntil: "2026-04-16", Terms: sampleTerms().Estimate,
		Items: []estimate.Item{{ID: "i1", Job: "renew-pads", At: "F", Name: "Brake pads, front", Lines: []estimate.Line{
			{ID: "l1", Kind: estimate.Part, Name: "Brake pads of one axle", Number: "P-1", Milli: 1000, Unit: "set", Price: 4590, Tax: "full", Part: "pad-set"}}}}}
}

// hashed stands for a SHA-256 in hex.
var hashed = strings.Repeat("5e", 32)

// everyRecord is one record of each kind, in an order in which they can be put. They need the car c1.
func everyRecord() []shop.Fact {
	return []shop.Fact{
		record("terms", shop.KindTerms, "", "", "", sampleTerms()),
		record("prices", shop.KindPrices, "", "", "", shop.PriceList{Currency: "EUR", Source: "liste – März.csv",
			Prices: []shop.Price{{Number: "P-1", Name: "Brake pads of one axle", Part: "pad-set", Unit: "set", Price: 4590, Tax: "full", For: "plate:AB-12 CD"}}}),
		record("placed", shop.KindPlaced, "c1", "", "", shop.Placed{Job: "renew-pads", At: "F", On: "2026-04-02"}),
		record("estimate", shop.KindEstimate, "c1", "", "estimate/2026-001/1", shop.EstimateDraft{Estimate: sampleEstimate(), Did: "made"}),
		record("offer", shop.KindOffer, "c1", "estimate", "offer/"+hashed, shop.Offer{TokenHash: hashed, Digest: hashed, ExpiresAt: 1_700_000_900_000}),
		record("offer-end", shop.KindOfferEnd, "c1", "offer", "", shop.OfferEnd{Why: "the wrong axle"}),
		record("decision", shop.KindDecision, "c1", "offer", "decision/offer", shop.Decision{How: shop.BySign, Name: "Ä. O'Tuul-Brook", Digest: hashed,
			Answers: []estimate.Answer{{Item: "i1", Answer: estimate.Accept}}}),
		record("work", shop.KindWork, "c1", "decision", "", shop.WorkNote{Item: "i1", What: "done"}),
		record("close-out", shop.KindCloseOut, "c1", "decision", "closeout/decision", shop.CloseOut{On: "2026-04-02", Km: 123_456.7,
			Items: []shop.ItemDone{{Item: "i1", Done: true, Minutes: 55}}}),
		record("close-out-end", shop.KindCloseOutEnd, "c1", "close-out", "closeout-end/close-out", shop.CloseOutEnd{Why: "the wrong – sheet"}),
		record("close-out-2", shop.KindCloseOut, "c1", "decision", "closeout/decision/1", shop.CloseOut{On: "2026-04-02", Km: 123_456.7, Again: 1,
			Items: []shop.ItemDone{{Item: "i1", WhyNot: "no pads in stock"}}}),
		record("settled", shop.KindSettled, "c1", "", "", shop.Settled{Due: "decision/i1", Why: "done elsewhere"}),
		record("consent", shop.KindConsent, "c1", "", "", shop.Consent{Email: "a.tuul@example.org", Token: strings.Repeat("c", 26), How: "said at the desk"}),
		record("stop", shop.KindStop, "c1", "consent", "", shop.Stop{How: "link"}),
		record("mail", shop.KindMail, "c1", "", "mail/c1/2026-04-02", shop.Mail{Consent: "consent", Consents: []string{"consent"}, To: "a.tuul@example.org", Subject: "S", Text: "T", Dues: []string{"decision/i1"}}),
		record("mail-step", shop.KindMailStep, "c1", "mail", "", shop.MailStep{Step: shop.MailSent}),
		record("feed", shop.KindFeed, "", "", "", shop.Feed{TokenHash: hashed, Name: "Workshop"}),
		record("feed-end", shop.KindFeedEnd, "", "feed", "", shop.FeedEnd{}),
	}
}

// testEveryRecord: each kind's body is as the program wants it, comes back as it was and is found by all that it is looked for by.
func testEveryRecord(t *testing.T, open func(*testing.T) shop.Store) {
	ctx, s := context.Background(), open(t)
	all := everyRecord()
	for _, f := range all {
		if err := f.Check(); err != nil {
			t.Errorf("the sample of %s: %v", f.Record.Kind, err)
		}
	}
	put(t, s, car("v1", "c1", "AB-12 CD"))
	put(t, s, all...)
	want(t, "the export", export(t, s)[1:], all)
	for _, f := range all {
		got := ask(t, s, func(r shop.Reader) (shop.Record, error) { return r.Record(ctx, f.Record.ID) })
		want(t, f.Record.Kind, got, *f.Record)
		list := find(t, s, shop.RecordFilter{Kind: f.Record.Kind, CarID: f.Record.CarID, Ref: f.Record.Ref, Once: f.Record.Once})
		want(t, f.Record.Kind+" by its columns", list, []shop.Record{*f.Record})
	}
	for _, f := range all {
		created, err := tryPut(s, f)
		if created || err != nil {
			t.Errorf("%s put again: created %v, error %v", f.Record.Kind, created, err)
		}
		later, other := *f.Record, *f.Record
		later.ReceivedAt, later.Seq, other.By = later.ReceivedAt+1, 77, "sam"
		if created, err := tryPut(s, shop.Fact{Record: &later}); created || err != nil {
			t.Errorf("%s put again later: created %v, error %v", f.Record.Kind, created, err)
		}
		_, err = tryPut(s, shop.Fact{Record: &other})
		wantError(t, f.Record.Kind+" that says something else", err, shop.ErrConflict)
	}
	want(t, "the export afterwards", export(t, s)[1:], all)
}

// find lists records.
func find(t tester, s shop.Store, f shop.RecordFilter) []shop.Record {
	t.Helper()
	return ask(t, s, func(r shop.Reader) ([]shop.Record, error) { return r.Records(context.Background(), f) })
}

// testRecordFilters: every column narrows, alone and together; the order is that of arrival, or turned round.
func testRecordFilters(t *testing.T, open func(*testing.T) shop.Store) {
	s := open(t)
	consent := func(id, carID string) shop.Fact {
		return record(id, shop.KindConsent, carID, "", "", shop.Consent{Email: "a@example.org", Token: id, How: "said"})
	}
	stop := func(id, carID, ref, once string) shop.Fact {
		return record(id, shop.KindStop, carID, ref, once, shop.Stop{How: "link"})
	}
	put(t, s, car("v1", "c1", "AB-12 CD"), car("v2", "c2", "XX 99"), consent("z1", "c1"), consent("y2", "c2"), stop("x3", "c1", "z1", "k"),
		consent("w4", "c1"), stop("v5", "c1", "w4", ""), stop("u6", "c1", "z1", ""))
	all := find(t, s, shop.RecordFilter{})
	seq := func(i int) int64 { return all[i].Seq }
	for _, c := range []struct {
		filter   shop.RecordFilter
		expected []string
	}{
		{shop.RecordFilter{}, []string{"z1", "y2", "x3", "w4", "v5", "u6"}},
		{shop.RecordFilter{Last: true}, []string{"u6", "v5", "w4", "x3", "y2", "z1"}},
		{shop.RecordFilter{Limit: 2}, []string{"z1", "y2"}},
		{shop.RecordFilter{Last: true, Limit: 1}, []string{"u6"}},
		{shop.RecordFilter{Kind: shop.KindConsent}, []string{"z1", "y2", "w4"}},
		{shop.RecordFilter{Kind: shop.KindConsent, Last: true, Limit: 1}, []string{"w4"}},
		{shop.RecordFilter{Kind: shop.KindConsent, CarID: "c1"}, []string{"z1", "w4"}},
		{shop.RecordFilter{CarID: "c1"}, []string{"z1", "x3", "w4", "v5", "u6"}},
		{shop.RecordFilter{CarID: "c2"}, []string{"y2"}},
		{shop.RecordFilter{Ref: "z1"}, []string{"x3", "u6"}},
		{shop.RecordFilter{Ref: "z1", Last: true, Limit: 1}, []string{"u6"}},
		{shop.RecordFilter{Ref: "z1", Kind: shop.KindConsent}, []string{}},
		{shop.RecordFilter{Once: "k"}, []string{"x3"}},
		{shop.RecordFilter{Once: "K"}, []string{}},
		{shop.RecordFilter{Once: "k", CarID: "c2"}, []string{}},
		{shop.RecordFilter{After: seq(2)}, []string{"w4", "v5", "u6"}},
		{shop.RecordFilter{After: seq(2), Kind: shop.KindStop, CarID: "c1", Last: true}, []string{"u6", "v5"}},
		{shop.RecordFilter{After: seq(5)}, []string{}},
		{shop.RecordFilter{Kind: "no such kind"}, []string{}},
		{shop.RecordFilter{Kind: shop.KindStop, CarID: "c1", Ref: "z1", Once: "k", After: seq(0), Last: true, Limit: 9}, []string{"x3"}},
	} {
		want(t, "what is found", ids(find(t, s, c.filter), func(r shop.Record) string { return r.ID }), c.expected)
	}
}

// testRecordRefused: a record that refers to nothing, to another car's or another kind's, whose key is taken, or that can't be kept.
func testRecordRefused(t *testing.T, open func(*testing.T) shop.Store) {
	ctx, s := context.Background(), open(t)
	consent := shop.Consent{Email: "a@example.org", Token: "t", How: "said"}
	put(t, s, car("v1", "c1", "AB-12 CD"), car("v2", "c2", "XX 99"), record("k1", shop.KindConsent, "c1", "", "once", consent),
		record("p1", shop.KindPlaced, "c1", "", "", shop.Placed{Job: "j"}), record("f1", shop.KindFeed, "", "", "", shop.Feed{TokenHash: "h"}))
	before := export(t, s)
	for name, f := range map[string]shop.Fact{
		"no car":                     record("n", shop.KindConsent, "c9", "", "", consent),
		"refers to nothing":          record("n", shop.KindStop, "c1", "k9", "", shop.Stop{}),
		"refers to no id":            record("n", shop.KindStop, "c1", "", "", shop.Stop{}),
		"refers to another kind":     record("n", shop.KindStop, "c1", "p1", "", shop.Stop{}),
		"refers to another car's":    record("n", shop.KindStop, "c2", "k1", "", shop.Stop{}),
		"refers to a car, has none":  record("n", shop.KindStop, "", "k1", "", shop.Stop{}),
		"refers to no car, has one":  record("n", shop.KindFeedEnd, "c1", "f1", "", shop.FeedEnd{}),
		"refers to a car's own id":   record("n", shop.KindStop, "c1", "c1", "", shop.Stop{}),
		"refers to what comes later": record("n", shop.KindStop, "c1", "n", "", shop.Stop{}),
	} {
		created, err := tryPut(s, f)
		wantError(t, name, err, shop.ErrNotFound)
		want(t, name, created, false)
	}
	_, err := tryPut(s, record("n", shop.KindConsent, "c2", "", "once", consent))
	wantError(t, "a key that is taken", err, shop.ErrConflict)
	_, err = tryPut(s, record("n", shop.KindPlaced, "c1", "", "once", shop.Placed{Job: "j"}))
	wantError(t, "a key that another kind has taken", err, shop.ErrConflict)
	nul, bytes := record("n", shop.KindConsent, "c1", "", "", consent), record("n", shop.KindConsent, "c1", "", "", consent)
	nul.Record.Body, bytes.Record.Body = json.RawMessage("{\"how\":\"a\x00\"}"), json.RawMessage("{\"how\":\"\xff\"}")
	cut := record("n", shop.KindConsent, "c1", "", "", consent)
	cut.Record.Body = cut.Record.Body[:9]
	for _, c := range []struct {
		fact  shop.Fact
		field string
	}{{nul, "body"}, {bytes, "body"}, {cut, "body"}, {record("n", "gossip", "", "", "", consent), "kind"}, {record("", shop.KindConsent, "c1", "", "", consent), "id"},
		{record("n", shop.KindConsent, "c1", "", "\xff", consent), "once"}} {
		_, err := tryPut(s, c.fact)
		wantInvalid(t, c.field, err, c.field)
	}
	_, err = tryAsk(s, func(r shop.Reader) (shop.Record, error) { return r.Record(ctx, "n") })
	wantError(t, "a record that was refused", err, shop.ErrNotFound)
	want(t, "the export", export(t, s), before)
	// An id, or a key, that a transaction gave up is free again.
	err = s.Update(ctx, func(w shop.Writer) error {
		if _, err := w.Put(ctx, record("n", shop.KindConsent, "c1", "", "again", consent)); err != nil {
			t.Error(err)
		}
		return errStop
	})
	wantError(t, "given up", err, errStop)
	put(t, s, record("m", shop.KindConsent, "c1", "", "again", consent))
}
