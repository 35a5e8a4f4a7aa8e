package storetest

import (
	"encoding/json"

	"witnessmark/shop"
)

// The samples are an invented car and all that can be said of it.

func car(id, carID, plate string) shop.Fact {
	return shop.Fact{Car: &shop.CarVersion{
		ID: id, CarID: carID, Plate: plate, VIN: "WMX0000000" + carID, Description: "Four-door, grey, 1.6 litres",
		Owner:           shop.Owner{Name: "Ännchen O'Tuul-Brook", Phone: "+00 (155) 501-23", Email: "a.tuul@example.org"},
		FirstRegistered: "2009-04", Units: "metric", Facets: map[string]string{"fuel": "petrol"},
		Specs: map[string]shop.SpecEntry{
			"tyre-pressure": {Numbers: map[string]float64{"": 2.2, "rear": 2.45}, Origin: "door sticker"},
			"oil":           {Text: "5W-30", Origin: "said by the owner"},
		},
		By: "kim", ReceivedAt: 1_700_000_000_000,
	}}
}

func odometer(id, carID, on string, km float64) shop.Fact {
	return shop.Fact{Odometer: &shop.OdometerFact{
		ID: id, CarID: carID, On: on, Km: km, Note: "read through dust", By: "kim", ReceivedAt: 1_700_000_000_001}}
}

func renewal(id, carID, item, on string) shop.Fact {
	return shop.Fact{Renewal: &shop.RenewalFact{
		ID: id, CarID: carID, Item: item, At: "F", On: on, Km: -1, Note: "from the service book", By: "kim", ReceivedAt: 1_700_000_000_002}}
}

func round(id, carID, on string) shop.Fact {
	ambient := -3.5
	return shop.Fact{Round: &shop.RoundFact{
		ID: id, CarID: carID, Depth: "full", On: on, Km: 123_456.7, AmbientC: &ambient, EngineHot: true, By: "kim",
		ReceivedAt: 1_700_000_000_003}}
}

func roundEnd(id, roundID string, at int64) shop.Fact {
	return shop.Fact{RoundEnd: &shop.RoundEnd{ID: id, RoundID: roundID, Catalogue: "2026.1", By: "kim", ReceivedAt: at}}
}

func reading(id, roundID, carID, point string, mm float64) shop.Fact {
	return shop.Fact{Reading: &shop.ReadingFact{
		ID: id, RoundID: roundID, CarID: carID, Point: point, At: "front-left", State: "measured", Code: "P0000",
		Values: map[string]float64{"": mm, "inner": mm + 0.1}, Skipped: "", Note: "“flush” — 5 µm", By: "kim",
		TakenAt: 1_700_000_000_004, ReceivedAt: 1_700_000_000_005}}
}

func photo(id, roundID, hash string, withdrawn bool) shop.Fact {
	return shop.Fact{Photo: &shop.PhotoFact{
		ID: id, RoundID: roundID, Point: "pads", At: "front-left", Hash: hash, Width: 1600, Height: 1200,
		Withdrawn: withdrawn, By: "kim", ReceivedAt: 1_700_000_000_006}}
}

func share(id, roundID, token string) shop.Fact {
	return shop.Fact{Share: &shop.ShareFact{
		ID: id, RoundID: roundID, TokenHash: token, ExpiresAt: 1_700_000_900_000, By: "kim", ReceivedAt: 1_700_000_000_007}}
}

func shareEnd(id, shareID string) shop.Fact {
	return shop.Fact{ShareEnd: &shop.ShareEnd{ID: id, ShareID: shareID, By: "kim", ReceivedAt: 1_700_000_000_008}}
}

func classes(id string, through int64) shop.Fact {
	return shop.Fact{Classes: &shop.ClassesFact{ID: id, Through: through, Catalogue: "2026.1", Cars: 1, Looks: 3,
		Fitted: json.RawMessage(`[{"Key":"pad-thickness/F","Note":"3 Räder <gut>"}]`), By: "kim", ReceivedAt: 1_700_000_000_010}}
}

func told(id, roundID, carID, withdraws string) shop.Fact {
	if withdraws != "" {
		return shop.Fact{Told: &shop.ToldFact{ID: id, RoundID: roundID, CarID: carID, Withdraws: withdraws, By: "kim", ReceivedAt: 1_700_000_000_011}}
	}
	return shop.Fact{Told: &shop.ToldFact{ID: id, RoundID: roundID, CarID: carID, Words: "It “needs water” all the time",
		Signs: []string{"tops-up-coolant", "coolant-low"}, By: "kim", ReceivedAt: 1_700_000_000_011}}
}

func look(id, roundID, carID, sign, answer string) shop.Fact {
	return shop.Fact{Look: &shop.LookFact{ID: id, RoundID: roundID, CarID: carID, Sign: sign, Answer: answer, By: "kim", ReceivedAt: 1_700_000_000_012}}
}

func confirmed(id, roundID, carID, withdraws string) shop.Fact {
	if withdraws != "" {
		return shop.Fact{Confirmed: &shop.ConfirmedFact{ID: id, RoundID: roundID, CarID: carID, Withdraws: withdraws, By: "kim", ReceivedAt: 1_700_000_000_013}}
	}
	return shop.Fact{Confirmed: &shop.ConfirmedFact{ID: id, RoundID: roundID, CarID: carID, Complaint: "coolant-loss", Cause: "pump-leaks",
		Seen: map[string]bool{"traces-at-pump": true, "coolant-oily": false}, Note: "shaft seal — split", By: "kim", ReceivedAt: 1_700_000_000_013}}
}

func withdrawal(id, carID, what, factID string) shop.Fact {
	return shop.Fact{Withdrawal: &shop.WithdrawalFact{ID: id, CarID: carID, What: what, FactID: factID, Why: "closed the “wrong” sheet", By: "kim",
		ReceivedAt: 1_700_000_000_014}}
}

// everyKind is one fact of each kind, in the order of an export.
func everyKind() []shop.Fact {
	return []shop.Fact{
		car("v1", "c1", "AB-12 CD"), odometer("o1", "c1", "2026-03-21", 123_456.7), renewal("n1", "c1", "timing-belt", "2024-01-02"),
		round("r1", "c1", "2026-03-21"), reading("m1", "r1", "c1", "pads", 4.5), photo("p1", "r1", "aa", false),
		roundEnd("e1", "r1", 1_700_000_000_009), share("s1", "r1", "tt"), shareEnd("z1", "s1"), classes("k1", 9),
		told("t1", "r1", "c1", ""), look("l1", "r1", "c1", "traces-at-pump", "there"), confirmed("f1", "r1", "c1", ""), withdrawal("w1", "c1", shop.OfRenewal, "n1"),
		record("d1", shop.KindPlaced, "c1", "", "placed/once", shop.Placed{Job: "renew-pads", At: "F", On: "2026-04-02"}),
	}
}

// later gives the same facts as the server would have them on another day.
func later(facts []shop.Fact) []shop.Fact {
	const day = 86_400_000
	c, o, n, r := *facts[0].Car, *facts[1].Odometer, *facts[2].Renewal, *facts[3].Round
	m, p, e, s, z := *facts[4].Reading, *facts[5].Photo, *facts[6].RoundEnd, *facts[7].Share, *facts[8].ShareEnd
	k, t, l, f := *facts[9].Classes, *facts[10].Told, *facts[11].Look, *facts[12].Confirmed
	w, d := *facts[13].Withdrawal, *facts[14].Record
	for _, at := range []*int64{&c.ReceivedAt, &o.ReceivedAt, &n.ReceivedAt, &r.ReceivedAt, &m.ReceivedAt, &p.ReceivedAt,
		&e.ReceivedAt, &s.ReceivedAt, &z.ReceivedAt, &k.ReceivedAt, &t.ReceivedAt, &l.ReceivedAt, &f.ReceivedAt, &w.ReceivedAt, &d.ReceivedAt} {
		*at += day
	}
	m.Seq, w.Seq, d.Seq = 77, 77, 77
	return []shop.Fact{{Car: &c}, {Odometer: &o}, {Renewal: &n}, {Round: &r}, {Reading: &m}, {Photo: &p}, {RoundEnd: &e},
		{Share: &s}, {ShareEnd: &z}, {Classes: &k}, {Told: &t}, {Look: &l}, {Confirmed: &f}, {Withdrawal: &w}, {Record: &d}}
}

// altered gives facts with the same ids that say something else.
func altered(facts []shop.Fact) []shop.Fact {
	all := later(facts)
	for _, by := range []*string{&all[0].Car.By, &all[1].Odometer.By, &all[2].Renewal.By, &all[3].Round.By, &all[4].Reading.By,
		&all[5].Photo.By, &all[6].RoundEnd.By, &all[7].Share.By, &all[8].ShareEnd.By, &all[9].Classes.By,
		&all[10].Told.By, &all[11].Look.By, &all[12].Confirmed.By, &all[13].Withdrawal.By, &all[14].Record.By} {
		*by = "sam"
	}
	return all
}
