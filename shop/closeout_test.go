package shop_test

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"witnessmark/core/estimate"
	"witnessmark/core/money"
	"witnessmark/core/work"
	"witnessmark/shop"
)

// agreed puts an estimate with three items before an owner who accepts some: pads of the front axle and brake fluid, which share the lift,
// and an item that the catalogue does not know.
func (b *bench) agreed(t testing.TB, carID, roundID string, accept ...string) string {
	t.Helper()
	eur, _ := money.Known("EUR")
	line := func(id, kind, name string, milli money.Milli, unit string, price money.Amount) estimate.Line {
		return estimate.Line{ID: id, Kind: kind, Name: name, Milli: milli, Unit: unit, Price: price, Tax: "n"}
	}
	e := estimate.Estimate{Number: "E-" + b.id(), Version: 1, VisitOn: "2026-03-21", ValidUntil: "2026-04-21", Workshop: []string{"Bench"}, Car: []string{"WM-4K 217"}, Owner: "Alma Brook",
		Terms: estimate.Terms{Currency: eur, Taxes: []estimate.Tax{{ID: "n", Name: "Tax", Rate: 200_000}}},
		Items: []estimate.Item{
			{ID: "pads", Job: "renew-pads", At: "F", Name: "Front brake pads", Lines: []estimate.Line{line("a", estimate.Labour, "Work", 1000, "h", 8000), line("b", estimate.Part, "Pad set", 1000, "set", 5990)}},
			{ID: "fluid", Job: "renew-brake-fluid", Name: "Brake fluid", Lines: []estimate.Line{line("c", estimate.Labour, "Work", 500, "h", 8000), line("d", estimate.Fluid, "Brake fluid", 1500, "L", 1200)}},
			{ID: "wash", Name: "=Wash the car", Lines: []estimate.Line{line("e", estimate.Labour, "Work", 250, "h", 8000)}}},
		Shared: []estimate.Shared{{Setup: "on-the-lift", Name: "On the lift", Items: []string{"pads", "fluid"}, Lines: []estimate.Line{line("f", estimate.Labour, "On the lift", 200, "h", 8000)}}}}
	d := shop.Decision{How: shop.BySpoken, Name: "Alma Brook", Digest: estimate.Digest(e)}
	for _, it := range e.Items {
		a := estimate.Answer{Item: it.ID, Answer: estimate.Decline}
		if slices.Contains(accept, it.ID) {
			a.Answer = estimate.Accept
		}
		d.Answers = append(d.Answers, a)
	}
	draft := b.put(t, shop.KindEstimate, carID, "", shop.EstimateDraft{Estimate: e, RoundID: roundID})
	offer := b.put(t, shop.KindOffer, carID, draft, shop.Offer{TokenHash: strings.Repeat("a", 64), Digest: d.Digest, ExpiresAt: b.now.Add(time.Hour).UnixMilli()})
	return b.put(t, shop.KindDecision, carID, offer, d)
}

// put stores a record as it is.
func (b *bench) put(t testing.TB, kind, carID, ref string, body any) string {
	t.Helper()
	rec := shop.Record{ID: b.id(), Kind: kind, CarID: carID, Ref: ref, Body: jsonOf(t, body), ReceivedAt: b.now.UnixMilli()}
	if err := b.store.Update(ctx, func(w shop.Writer) error { _, err := w.Put(ctx, shop.Fact{Record: &rec}); return err }); err != nil {
		t.Fatal(err)
	}
	return rec.ID
}

var all = []string{"pads", "fluid", "wash"}

// closing is a close-out in which some items were done.
func (b *bench) closing(decision string, done ...string) shop.CloseOutInput {
	in := shop.CloseOutInput{ID: b.id(), DecisionID: decision, On: "2026-03-21", Km: "182400", By: "ab"}
	for _, id := range all {
		it := shop.ItemInput{Item: id, Outcome: shop.ItemWasNot, WhyNot: "no time left", Minutes: "0"}
		if slices.Contains(done, id) {
			it = shop.ItemInput{Item: id, Outcome: shop.ItemWasDone, Minutes: "1:10"}
		}
		in.Items = append(in.Items, it)
	}
	return in
}

// padReadings reads every front pad.
func padReadings(mm string) []shop.ReadingInput {
	var out []shop.ReadingInput
	for _, at := range []string{"FL/inner", "FL/outer", "FR/inner", "FR/outer"} {
		out = append(out, shop.ReadingInput{Point: "pad-thickness", At: at, Numbers: map[string]string{"mm": mm}})
	}
	return out
}

func (b *bench) worn(t testing.TB, carID string) shop.RoundFact {
	t.Helper()
	r := b.round(t, carID)
	var ins []shop.ReadingInput
	for _, in := range padReadings("2.5") {
		in.ID, in.RoundID, in.By, in.Confirmed = b.id(), r.ID, "ab", true
		ins = append(ins, in)
	}
	if err := b.Record(ctx, ins); err != nil {
		t.Fatal(err)
	}
	if err := b.EndRound(ctx, r.ID, b.id(), "ab"); err != nil {
		t.Fatal(err)
	}
	return r
}

// TestCloseOutBaseline closes work out on the day and at the distance of the round that asked for it: the new reading is the last one, and
// the forecast begins anew from it.
func TestCloseOutBaseline(t *testing.T) {
	b := newBench(t)
	c := b.car(t, nil)
	r := b.worn(t, c.CarID)
	decision := b.agreed(t, c.CarID, r.ID, all...)
	in := b.closing(decision, "pads", "wash")
	in.Readings = padReadings("11.5")
	in.Parts = []shop.PartInput{{Step: "line/b", On: true, Number: "P 77", Batch: "@B1"}}
	if err := b.CloseOut(ctx, in); err != nil {
		t.Fatal(err)
	}
	if err := b.CloseOut(ctx, in); err != nil {
		t.Fatalf("the same form again: %v", err)
	}
	again := in
	again.ID = b.id()
	if err := b.CloseOut(ctx, again); !errors.Is(err, shop.ErrConflict) {
		t.Fatalf("a second close-out: %v", err)
	}
	p, err := b.CarPage(ctx, c.CarID)
	if err != nil {
		t.Fatal(err)
	}
	if len(p.Renewals) != 1 || p.Renewals[0].Item != "pads" || p.Renewals[0].At != "F" || p.Renewals[0].Km != 182400 {
		t.Errorf("renewals %+v", p.Renewals)
	}
	if len(p.Rounds) != 2 || !p.Rounds[0].Baseline() || p.Rounds[0].EndedAt == 0 {
		t.Fatalf("rounds %+v", p.Rounds)
	}
	for i := range p.Items {
		it := &p.Items[i]
		if it.Point.ID != "pad-thickness" {
			continue
		}
		if _, since := b.RenewedSince(p, it); since || it.Looks[len(it.Looks)-1].Value != 11.5 || it.Verdict != "sound" {
			t.Errorf("%s: renewed since %v, %s, looks %+v", it.At, since, it.Verdict, it.Looks)
		}
	}
	b.checkBaselineRound(t, p.Rounds[0].ID)
	b.checkNewCycle(t, c.CarID)
	b.now = b.now.AddDate(0, 6, 0)
	next, err := b.StartRound(ctx, shop.RoundInput{ID: b.id(), CarID: c.CarID, Depth: "full", Km: "188000", By: "ab"})
	if err != nil {
		t.Fatal(err)
	}
	v, err := b.Round(ctx, next.ID)
	if err != nil {
		t.Fatal(err)
	}
	i := slices.IndexFunc(v.Steps, func(s shop.StepView) bool { return s.Point.ID == "pad-thickness" })
	if got := v.Steps[i].Last["FL/outer"].Reading.Values["mm"]; got != 11.5 {
		t.Errorf("the next round shows %v as the last reading", got)
	}
}

func (b *bench) checkBaselineRound(t *testing.T, roundID string) {
	t.Helper()
	j, err := b.Findings(ctx, roundID)
	if err != nil {
		t.Fatal(err)
	}
	if len(j.Result.NotLooked) > 0 || len(j.Result.NotApplicable) > 0 || j.Result.Places != 4 || j.Result.Looked != 4 {
		t.Errorf("the baseline round misses %d, has %d of %d", len(j.Result.NotLooked), j.Result.Looked, j.Result.Places)
	}
	v, err := b.Round(ctx, roundID)
	if err != nil {
		t.Fatal(err)
	}
	if len(v.Steps) != 1 || v.Places != 4 || v.Looked != 4 || v.Steps[0].Last["FL/inner"].Reading.Values["mm"] != 2.5 {
		t.Errorf("the baseline round shows %+v", v.Steps)
	}
}

func (b *bench) checkNewCycle(t *testing.T, carID string) {
	t.Helper()
	o, err := b.Outlook(ctx, carID)
	if err != nil {
		t.Fatal(err)
	}
	found := 0
	for i := range o.Outlook.Items {
		it := &o.Outlook.Items[i]
		if it.Point.ID != "pad-thickness" || !strings.HasPrefix(it.At, "F") {
			continue
		}
		found++
		if it.Since.From != "renewed" || it.Past || it.Reach.Mid.Year() < 2027 || len(it.Shown) != 1 || it.Shown[0].Value != 11.5 || len(it.Earlier) != 1 {
			t.Errorf("%s: since %+v, reach %+v, shows %+v, earlier %+v", it.At, it.Since, it.Reach, it.Shown, it.Earlier)
		}
	}
	if found != 4 {
		t.Errorf("%d front pads have a forecast", found)
	}
}

// TestCloseOutRefuses sends what can't be; nothing of it stays.
func TestCloseOutRefuses(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*shop.CloseOutInput)
		field  string
	}{
		"a future day":         {func(in *shop.CloseOutInput) { in.On = "2026-03-22" }, "on"},
		"before the yes":       {func(in *shop.CloseOutInput) { in.On = "2026-03-20" }, "on"},
		"no distance":          {func(in *shop.CloseOutInput) { in.Km = " " }, "km"},
		"a distance gone back": {func(in *shop.CloseOutInput) { in.Km = "150000" }, "km"},
		"no outcome":           {func(in *shop.CloseOutInput) { in.Items[0].Outcome = "" }, "done|pads"},
		"an item not named":    {func(in *shop.CloseOutInput) { in.Items = in.Items[1:] }, "done|pads"},
		"another's item":       {func(in *shop.CloseOutInput) { in.Items = append(in.Items, shop.ItemInput{Item: "x"}) }, "done|x"},
		"no reason":            {func(in *shop.CloseOutInput) { in.Items[1].WhyNot = " " }, "why|fluid"},
		"no time":              {func(in *shop.CloseOutInput) { in.Items[0].Minutes = "-3" }, "minutes|pads"},
		"a reading beyond":     {func(in *shop.CloseOutInput) { in.Readings = padReadings("900") }, "reading|pad-thickness|FL/inner|mm"},
		"a reading elsewhere": {func(in *shop.CloseOutInput) {
			in.Readings = []shop.ReadingInput{{Point: "pad-thickness", At: "RL/inner", Numbers: map[string]string{"mm": "9"}}}
		}, "reading|pad-thickness|RL/inner"},
		"a part of nothing": {func(in *shop.CloseOutInput) { in.Parts = []shop.PartInput{{Step: "line/d", On: true}} }, "number|line/d"},
		"no amount":         {func(in *shop.CloseOutInput) { in.Parts = []shop.PartInput{{Step: "line/b", On: true, Amount: "0"}} }, "amount|line/b"},
		"too much of a part": {func(in *shop.CloseOutInput) {
			in.Parts = []shop.PartInput{{Step: "line/b", On: true, Amount: "9999999999999"}}
		}, "amount|line/b"},
		"a cause of no problem": {func(in *shop.CloseOutInput) {
			in.Causes = []shop.ConfirmInput{{Complaint: "brake-pull", Cause: "nonsense"}}
		}, "cause|"},
	} {
		t.Run(name, func(t *testing.T) {
			b := newBench(t)
			car := b.car(t, nil)
			r := b.worn(t, car.CarID)
			in := b.closing(b.agreed(t, car.CarID, r.ID, all...), "pads", "wash")
			if name == "a cause of no problem" {
				in.Causes = []shop.ConfirmInput{{Complaint: b.Catalogue().Complaints[0].ID, Cause: "nonsense"}}
			} else {
				c.change(&in)
			}
			before := b.facts(t)
			err := b.CloseOut(ctx, in)
			var inv shop.Invalid
			if !errors.As(err, &inv) || !slices.ContainsFunc(inv, func(f shop.FieldError) bool { return strings.HasPrefix(f.Field, c.field) }) {
				t.Errorf("expected a problem with %q, got %v", c.field, err)
			}
			if after := b.facts(t); !slices.Equal(before, after) {
				t.Errorf("something was stored: %d facts, then %d", len(before), len(after))
			}
		})
	}
}

// TestRenewalsExactly closes out any choice of done items: renewals are exactly those of the done ones, and what was not done comes back.
func TestRenewalsExactly(t *testing.T) {
	b := newBench(t)
	rapid.Check(t, func(rt *rapid.T) {
		c := b.car(t, nil)
		var done, agreed []string
		var doings []work.Doing
		for _, id := range all {
			if !rapid.Bool().Draw(rt, "agreed "+id) {
				continue
			}
			agreed = append(agreed, id)
			if rapid.Bool().Draw(rt, "done "+id) {
				done = append(done, id)
				switch id {
				case "pads":
					doings = append(doings, work.Doing{Job: "renew-pads", At: "F"})
				case "fluid":
					doings = append(doings, work.Doing{Job: "renew-brake-fluid"})
				}
			}
		}
		decision := b.agreed(t, c.CarID, "", agreed...)
		in := b.closing(decision, done...)
		in.Items = slices.DeleteFunc(in.Items, func(it shop.ItemInput) bool { return !slices.Contains(agreed, it.Item) })
		err := b.CloseOut(ctx, in)
		if len(agreed) == 0 {
			if !errors.Is(err, shop.ErrNotFound) {
				rt.Fatalf("work that nobody agreed to: %v", err)
			}
			return
		}
		if err != nil {
			rt.Fatal(err)
		}
		p, err := b.CarPage(ctx, c.CarID)
		if err != nil {
			rt.Fatal(err)
		}
		var want, got []shop.Renews
		for _, d := range doings {
			for _, item := range b.Catalogue().Jobs[d.Job].Renews {
				want = append(want, shop.Renews{Item: item, At: d.At})
			}
		}
		for _, n := range p.Renewals {
			got = append(got, shop.Renews{Item: n.Item, At: n.At})
		}
		if !slices.Equal(got, want) {
			rt.Fatalf("done %v: renewals %v, expected %v", done, got, want)
		}
		b.checkNotDone(rt, c.CarID, agreed, done)
	})
}

func (b *bench) checkNotDone(t *rapid.T, carID string, agreed, done []string) {
	var open []string
	err := b.store.View(ctx, func(r shop.Reader) error {
		list, err := b.NotDone(ctx, r, carID)
		for _, l := range list {
			if l.Open {
				open = append(open, l.Item.ID)
			}
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	want := slices.DeleteFunc(slices.Clone(agreed), func(id string) bool { return slices.Contains(done, id) })
	if fmt.Sprint(open) != fmt.Sprint(want) {
		t.Fatalf("comes back: %v, expected %v", open, want)
	}
}

// facts are all facts of the store as JSON.
func (b *bench) facts(t testing.TB) []string {
	t.Helper()
	var out []string
	if err := b.store.View(ctx, func(r shop.Reader) error {
		return r.Each(ctx, func(f shop.Fact) error { out = append(out, string(jsonOf(t, f))); return nil })
	}); err != nil {
		t.Fatal(err)
	}
	return out
}

// TestOdometerChanged closes work out, and begins a round, at less than was read before: refused until it is said that the odometer was
// changed, then asked about, then stored with what was said. What no odometer shows is refused whatever is said.
func TestOdometerChanged(t *testing.T) {
	for name, read := range map[string][]shop.ReadingInput{"with first readings": padReadings("11.5"), "without": nil} {
		t.Run(name, func(t *testing.T) {
			b := newBench(t)
			c := b.car(t, nil)
			in := b.closing(b.agreed(t, c.CarID, "", all...), "pads")
			in.Km, in.Readings = "900", read
			round := shop.RoundInput{ID: b.id(), CarID: c.CarID, Depth: "full", Km: "400", By: "ab"}
			old := b.facts(t)
			for _, x := range []struct {
				km, note  string
				confirmed bool
				asks      bool
			}{{"900", "", true, false}, {"900", " ", true, false}, {"900", "new  instrument", false, true}, {"99 999 999", "new instrument", true, false}} {
				in.Km, in.KmNote, in.Confirmed = x.km, x.note, x.confirmed
				round.Km, round.KmNote, round.Confirmed = x.km, x.note, x.confirmed
				_, err := b.StartRound(ctx, round)
				for _, err := range []error{b.CloseOut(ctx, in), err} {
					var inv shop.Invalid
					if !errors.As(err, &inv) || inv[0].Field != "km" || inv.OnlyAsks() != x.asks {
						t.Errorf("%+v: %v", x, err)
					}
				}
			}
			if now := b.facts(t); !slices.Equal(now, old) {
				t.Fatal("something was stored")
			}
			in.Km, in.KmNote, in.Confirmed = "900", "new  instrument", true
			for range 2 {
				if err := b.CloseOut(ctx, in); err != nil {
					t.Fatal(err)
				}
			}
			b.checkChanged(t, c.CarID, 900)
			if err := b.TakeBackCloseOut(ctx, b.back(in)); err != nil {
				t.Fatal(err)
			}
			p, err := b.CarPage(ctx, c.CarID)
			if err != nil || len(p.Odometer) != 1 || p.NowKm != 171_200 {
				t.Errorf("taken back: %+v, %v", p.Odometer, err)
			}
			round.Km, round.KmNote, round.Confirmed = "400", "new  instrument", true
			for range 2 {
				if _, err := b.StartRound(ctx, round); err != nil {
					t.Fatal(err)
				}
			}
			b.checkChanged(t, c.CarID, 400)
		})
	}
}

// checkChanged wants what was said of a changed odometer once on the car's page, which shows the new distance.
func (b *bench) checkChanged(t *testing.T, carID string, km float64) {
	t.Helper()
	p, err := b.CarPage(ctx, carID)
	if err != nil {
		t.Fatal(err)
	}
	said := 0
	for _, o := range p.Odometer {
		if o.Note == "new instrument" && o.Km == km {
			said++
		}
	}
	if said != 1 || p.NowKm != km {
		t.Errorf("now %g km, odometer %+v", p.NowKm, p.Odometer)
	}
}
