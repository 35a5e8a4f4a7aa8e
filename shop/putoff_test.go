package shop_test

import (
	"context"
	"encoding/json"
	"testing"
	"time"

	"witnessmark/shop"
)

func (b *bench) left(t testing.TB, of func(context.Context, shop.Reader, string) ([]shop.PutOffLine, error), carID string) (out []shop.PutOffLine) {
	t.Helper()
	if err := b.store.View(ctx, func(r shop.Reader) (err error) {
		out, err = of(ctx, r, carID)
		return err
	}); err != nil {
		t.Fatal(err)
	}
	return out
}

func (b *bench) settle(t testing.TB, carID, due string, back bool) {
	t.Helper()
	body, _ := json.Marshal(shop.Settled{Due: due, Back: back})
	b.putFact(t, shop.Fact{Record: &shop.Record{ID: b.id(), Kind: shop.KindSettled, CarID: carID, Body: body}})
}

func TestPutOffComesBack(t *testing.T) {
	b, car, token := offeredBench(t)
	id, err := b.Decide(ctx, token, accepting("f", asked("E-1", 1)))
	if err != nil {
		t.Fatal(err)
	}
	for _, whose := range []string{car.CarID, ""} {
		l := b.left(t, b.PutOffs, whose)
		if len(l) != 1 || l[0].Due != id+"/discs" || l[0].CarID != car.CarID || l[0].UntilOn != "2026-10-01" || l[0].UntilKm != 190_000 || !l[0].Kept || l[0].Declined || l[0].On != "2026-03-21" || l[0].Item.Job != "renew-discs" {
			t.Fatalf("%q: %+v", whose, l)
		}
	}
	if l := b.left(t, b.PutOffs, b.car(t, func(in *shop.CarInput) { in.Plate = "WM-9Q 001" }).CarID); len(l) != 0 {
		t.Errorf("another car's: %+v", l)
	}
}

func TestPutOffEnds(t *testing.T) {
	renewed := func(item, at, on string) func(*testing.T, *bench, shop.CarVersion, string) {
		return func(t *testing.T, b *bench, car shop.CarVersion, _ string) {
			b.putFact(t, shop.Fact{Renewal: &shop.RenewalFact{ID: b.id(), CarID: car.CarID, Item: item, At: at, On: on, Km: -1}})
		}
	}
	several := func(all ...func(*testing.T, *bench, shop.CarVersion, string)) func(*testing.T, *bench, shop.CarVersion, string) {
		return func(t *testing.T, b *bench, car shop.CarVersion, due string) {
			for _, f := range all {
				f(t, b, car, due)
			}
		}
	}
	settled := func(back bool) func(*testing.T, *bench, shop.CarVersion, string) {
		return func(t *testing.T, b *bench, car shop.CarVersion, due string) { b.settle(t, car.CarID, due, back) }
	}
	// The line is of the discs of the rear axle, whose job renews discs and pads.
	for name, c := range map[string]struct {
		then func(*testing.T, *bench, shop.CarVersion, string)
		gone string
	}{
		"nothing":                      {several(), ""},
		"renewed":                      {several(renewed("discs", "R", "2026-06-01"), renewed("pads", "R", "2026-06-01")), "renewed since"},
		"renewed on the same day":      {several(renewed("discs", "R", "2026-03-21"), renewed("pads", "R", "2026-03-21")), "renewed since"},
		"renewed for the car":          {several(renewed("discs", "", "2026-06-01"), renewed("pads", "", "2026-06-01")), "renewed since"},
		"renewed at both corners":      {several(renewed("discs", "RL", "2026-06-01"), renewed("discs", "RR", "2026-06-02"), renewed("pads", "R", "2026-06-02")), "renewed since"},
		"renewed on one side":          {several(renewed("discs", "RL", "2026-06-01"), renewed("pads", "R", "2026-06-01")), ""},
		"pads alone renewed":           {renewed("pads", "R", "2026-06-01"), ""},
		"the front renewed":            {several(renewed("discs", "F", "2026-06-01"), renewed("pads", "F", "2026-06-01")), ""},
		"an old renewal written later": {several(renewed("discs", "R", "2025-06-01"), renewed("pads", "R", "2025-06-01")), ""},
		"settled":                      {settled(false), "settled"},
		"settled and put back":         {several(settled(false), settled(true)), ""},
	} {
		b, car, token := offeredBench(t)
		id, err := b.Decide(ctx, token, accepting("f", asked("E-1", 1)))
		if err != nil {
			t.Fatal(err)
		}
		b.now = b.now.Add(100 * 24 * time.Hour)
		c.then(t, b, car, id+"/discs")
		if l := b.left(t, b.PutOffs, car.CarID); len(l) != 1 || l[0].Gone != c.gone || l[0].Kept != (c.gone == "") {
			t.Errorf("%s: %+v", name, l)
		}
	}
}

func TestPutOffAnsweredLater(t *testing.T) {
	for answer, gone := range map[string]string{"accept": "accepted later", "decline": "declined later", "put-off": "put off again"} {
		b, car, token := offeredBench(t)
		if _, err := b.Decide(ctx, token, accepting("f", asked("E-1", 1))); err != nil {
			t.Fatal(err)
		}
		// Another estimate asks the same job at the same place under another id, and one at another place.
		e := asked("E-2", 1)
		e.Items, e.Shared = e.Items[1:2:2], nil
		e.Items[0].ID = "i9"
		other := e.Items[0]
		other.ID, other.At, other.Lines = "i10", "F", asked("", 1).Items[2].Lines
		e.Items = append(e.Items, other)
		b.drawUp(t, car.CarID, e)
		in := accepting("g", e)
		in.Answers = []shop.AnswerInput{{Item: "i9", Answer: answer, UntilOn: "2026-11-01"}, {Item: "i10", Answer: "accept"}}
		if _, err := b.Decide(ctx, b.offer(t, "E-2"), in); err != nil {
			t.Fatal(err)
		}
		l := b.left(t, b.PutOffs, car.CarID)
		if l[0].Gone != gone || l[0].Kept {
			t.Errorf("%s: %+v", answer, l[0])
		}
		if n := len(l); answer == "put-off" && (n != 2 || !l[1].Kept || l[1].UntilOn != "2026-11-01") {
			t.Errorf("%s: %+v", answer, l)
		}
	}
}

// TestItemTakenOutStandsPutOff: a later version without the item answers nothing about it.
func TestItemTakenOutStandsPutOff(t *testing.T) {
	b, car, token := offeredBench(t)
	id, err := b.Decide(ctx, token, accepting("f", asked("E-1", 1)))
	if err != nil {
		t.Fatal(err)
	}
	e := asked("E-1", 2)
	e.Items = append(e.Items[:1:1], e.Items[2:]...)
	e.Shared[0].Items = []string{"pads"}
	b.drawUp(t, car.CarID, e)
	in := accepting("g", e)
	later, err := b.Decide(ctx, b.offer(t, "E-1"), in)
	if err != nil {
		t.Fatal(err)
	}
	if l := b.left(t, b.PutOffs, car.CarID); len(l) != 1 || !l[0].Kept {
		t.Errorf("%+v", l)
	}
	if l := b.left(t, b.DeclinedLines, car.CarID); len(l) != 2 || l[0].Kept || l[0].DecisionID != id || !l[1].Kept {
		t.Errorf("%+v", l)
	}
	all, err := b.Agreements(ctx, shop.RecordFilter{CarID: car.CarID})
	if err != nil || len(all) != 1 || all[0].Decision.ID != later || all[0].Draft.Said.Estimate.Version != 2 {
		t.Errorf("%+v %v", all, err)
	}
}
