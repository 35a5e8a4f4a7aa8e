package shop_test

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"testing"

	"witnessmark/core/diagnose"
	"witnessmark/shop"
)

// low begins a round with little coolant and traces of it.
func (b *bench) low(t testing.TB) shop.RoundFact {
	t.Helper()
	r := b.round(t, b.car(t, nil).CarID)
	b.see(t, r.ID, "coolant-level", "", "below")
	b.see(t, r.ID, "coolant-traces", "", "old-stain")
	return r
}

// panel gives the panel of a complaint.
func (b *bench) panel(t testing.TB, roundID, complaint string) *diagnose.Panel {
	t.Helper()
	c, err := b.Causes(ctx, roundID)
	if err != nil {
		t.Fatal(err)
	}
	p := c.Panel(complaint)
	if p == nil {
		t.Fatalf("no panel for %s", complaint)
	}
	return p
}

// p is the probability that a panel gives to a cause.
func p(t testing.TB, panel *diagnose.Panel, cause string) float64 {
	t.Helper()
	for _, r := range panel.Causes {
		if r.Cause.ID == cause {
			return r.P
		}
	}
	t.Fatalf("the panel has no cause %s", cause)
	return 0
}

// A look with no point of its own goes on the round's list, is answered there, moves the panel, and can be taken off again.
func TestLookOfItsOwn(t *testing.T) {
	b := newBench(t)
	r := b.low(t)
	before := p(t, b.panel(t, r.ID, "coolant-loss"), "hose-leaks")
	look := func(answer string) {
		t.Helper()
		if err := b.Look(ctx, shop.LookInput{ID: b.id(), RoundID: r.ID, Sign: "traces-at-hose", Answer: answer, By: "ab"}); err != nil {
			t.Fatal(err)
		}
	}
	state := func() (n int, done bool) {
		t.Helper()
		v, err := b.Round(ctx, r.ID)
		if err != nil {
			t.Fatal(err)
		}
		for _, l := range v.Looks {
			n, done = n+1, l.Done
		}
		return n, done
	}
	look(shop.LookWanted)
	if n, done := state(); n != 1 || done {
		t.Errorf("%d looks, done %v", n, done)
	}
	if now := p(t, b.panel(t, r.ID, "coolant-loss"), "hose-leaks"); now != before {
		t.Errorf("a look that was not made moved %g to %g", before, now)
	}
	look(shop.LookThere)
	there := p(t, b.panel(t, r.ID, "coolant-loss"), "hose-leaks")
	if _, done := state(); !done || there <= before {
		t.Errorf("found: done %v, %g to %g", done, before, there)
	}
	look(shop.LookNotThere)
	if not := p(t, b.panel(t, r.ID, "coolant-loss"), "hose-leaks"); not >= before {
		t.Errorf("not found: %g to %g", before, not)
	}
	look(shop.LookOpen)
	if open := p(t, b.panel(t, r.ID, "coolant-loss"), "hose-leaks"); open != before {
		t.Errorf("can't be told: %g to %g", before, open)
	}
	look(shop.LookOff)
	if n, _ := state(); n != 0 {
		t.Errorf("%d looks after it was taken off", n)
	}
}

// A look at a point beyond the round's depth brings the point into the round.
func TestLookAddsAPoint(t *testing.T) {
	b := newBench(t)
	car := b.car(t, nil)
	r, err := b.StartRound(ctx, shop.RoundInput{ID: b.id(), CarID: car.CarID, Depth: "driveway", Km: "182400", By: "ab"})
	if err != nil {
		t.Fatal(err)
	}
	has := func() (there, done bool) {
		v, err := b.Round(ctx, r.ID)
		if err != nil {
			t.Fatal(err)
		}
		for _, st := range v.Steps {
			there = there || st.Point.ID == "pump-bearing"
		}
		for _, l := range v.Looks {
			done = done || l.Done
		}
		return there, done
	}
	if there, _ := has(); there {
		t.Fatal("a driveway round asks for the pump anyway; the test needs another point")
	}
	if err := b.Look(ctx, shop.LookInput{ID: b.id(), RoundID: r.ID, Sign: "pump-weeps", By: "ab"}); err != nil {
		t.Fatal(err)
	}
	if there, done := has(); !there || done {
		t.Errorf("there %v, done %v", there, done)
	}
	b.see(t, r.ID, "pump-bearing", "", "weeping")
	if _, done := has(); !done {
		t.Error("the reading does not answer the look")
	}
}

func TestLookRefuses(t *testing.T) {
	b := newBench(t)
	r := b.low(t)
	for name, in := range map[string]shop.LookInput{
		"no such sign":       {Sign: "none"},
		"only told":          {Sign: "tops-up-coolant"},
		"no such answer":     {Sign: "traces-at-hose", Answer: "perhaps"},
		"answered elsewhere": {Sign: "pump-weeps", Answer: shop.LookThere},
	} {
		in.ID, in.RoundID = b.id(), r.ID
		var bad shop.Invalid
		if err := b.Look(ctx, in); !errors.As(err, &bad) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if err := b.Look(ctx, shop.LookInput{ID: b.id(), RoundID: "none", Sign: "traces-at-hose"}); !errors.Is(err, shop.ErrNotFound) {
		t.Errorf("no round: %v", err)
	}
	if v, _ := b.Round(ctx, r.ID); len(v.Looks) != 0 {
		t.Errorf("left behind: %+v", v.Looks)
	}
}

// The owner's words count as evidence once the adviser has matched them, and no longer when they are withdrawn.
func TestTold(t *testing.T) {
	b := newBench(t)
	r := b.round(t, b.car(t, nil).CarID)
	words := "It needs water all the time"
	found := b.MatchWords(words)
	if len(found) == 0 || found[0].Sign.ID != "tops-up-coolant" {
		t.Fatalf("matched %+v", found)
	}
	id := b.id()
	in := shop.TellInput{ID: id, RoundID: r.ID, Words: words, Signs: []string{"tops-up-coolant", "tops-up-coolant"}, By: "ab"}
	for range 2 { // a double click
		if err := b.Tell(ctx, in); err != nil {
			t.Fatal(err)
		}
	}
	c, err := b.Causes(ctx, r.ID)
	if err != nil || len(c.Told) != 1 || len(c.Told[0].Signs) != 1 || c.Panel("coolant-loss") == nil {
		t.Fatalf("%v, told %+v", err, c.Told)
	}
	if err := b.WithdrawTold(ctx, b.id(), r.ID, id, "ab"); err != nil {
		t.Fatal(err)
	}
	if c, _ = b.Causes(ctx, r.ID); len(c.Told) != 0 || c.Panel("coolant-loss") != nil {
		t.Errorf("after withdrawal: %+v", c.Told)
	}
	for name, in := range map[string]shop.TellInput{"no words": {Words: " "}, "no such sign": {Words: "x", Signs: []string{"none"}},
		"endless": {Words: string(bytes.Repeat([]byte("wet "), 900))}} {
		in.ID, in.RoundID = b.id(), r.ID
		var bad shop.Invalid
		if err := b.Tell(ctx, in); !errors.As(err, &bad) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if err := b.WithdrawTold(ctx, b.id(), r.ID, "none", "ab"); !errors.Is(err, shop.ErrNotFound) {
		t.Errorf("withdrawing what was never told: %v", err)
	}
}

// A confirmed cause moves the figures for other cars, not for its own round, and no longer once it is undone.
func TestConfirm(t *testing.T) {
	b := newBench(t)
	first, second := b.low(t), b.low(t)
	before := p(t, b.panel(t, second.ID, "coolant-loss"), "hose-leaks")
	own := p(t, b.panel(t, first.ID, "coolant-loss"), "hose-leaks")
	id := b.id()
	for range 2 { // a double click
		if err := b.Confirm(ctx, shop.ConfirmInput{ID: id, RoundID: first.ID, Complaint: "coolant-loss", Cause: "hose-leaks", Note: "at the clamp", By: "ab"}); err != nil {
			t.Fatal(err)
		}
	}
	if now := p(t, b.panel(t, second.ID, "coolant-loss"), "hose-leaks"); now <= before {
		t.Errorf("another car: %g to %g", before, now)
	}
	if now := p(t, b.panel(t, first.ID, "coolant-loss"), "hose-leaks"); now != own {
		t.Errorf("its own round moved from %g to %g", own, now)
	}
	l, err := b.LearnedCauses(ctx)
	if err != nil || len(l.Closed) != 1 || l.Cars != 1 || l.Lowered == 0 || l.Weights != diagnose.DefaultWeights {
		t.Fatalf("%v: %+v", err, l)
	}
	// The prior's weight is 200 cars: (200 p + 1) / 201. Gelman et al., Bayesian Data Analysis, 3rd ed., 2.4.
	var prior, level *shop.CauseChange
	for i := range l.Changes {
		switch c := &l.Changes[i]; {
		case c.Cause.ID != "hose-leaks":
			t.Errorf("a cause that was not confirmed: %+v", c)
		case c.Sign == nil:
			prior = c
		case c.Sign.ID == "coolant-low":
			level = c
		}
	}
	if prior == nil || math.Abs(prior.To-(200*prior.From+1)/201) > 1e-12 || prior.Seen != 1 || prior.Of != 1 {
		t.Errorf("prior %+v", prior)
	}
	if level == nil || level.Seen != 1 || level.Of != 1 || level.To <= level.From {
		t.Errorf("the level's figure %+v", level)
	}
	if err := b.WithdrawConfirmed(ctx, b.id(), first.ID, id, "ab"); err != nil {
		t.Fatal(err)
	}
	if now := p(t, b.panel(t, second.ID, "coolant-loss"), "hose-leaks"); now != before {
		t.Errorf("after undo %g, before %g", now, before)
	}
	if l, err := b.LearnedCauses(ctx); err != nil || len(l.Closed)+len(l.Changes)+l.Lowered != 0 {
		t.Errorf("after undo: %v, %+v", err, l)
	}
}

// A second confirmation of the same round and complaint takes the first one's place; undoing it brings the first back.
func TestConfirmAgain(t *testing.T) {
	b := newBench(t)
	r := b.low(t)
	confirm := func(id, cause string) {
		t.Helper()
		if err := b.Confirm(ctx, shop.ConfirmInput{ID: id, RoundID: r.ID, Complaint: "coolant-loss", Cause: cause, Note: "seen"}); err != nil {
			t.Fatal(err)
		}
	}
	now := func() string {
		t.Helper()
		c, err := b.Causes(ctx, r.ID)
		if err != nil || c.ConfirmedFor("coolant-loss") == nil {
			t.Fatalf("%v: nothing confirmed", err)
		}
		return c.ConfirmedFor("coolant-loss").Cause
	}
	confirm("one", "hose-leaks")
	confirm("two", shop.CauseElse)
	if got := now(); got != shop.CauseElse {
		t.Errorf("got %s", got)
	}
	if l, err := b.LearnedCauses(ctx); err != nil || len(l.Closed) != 1 || l.Cars != 1 || len(l.Changes) != 0 {
		t.Errorf("%v: %+v", err, l)
	}
	if err := b.WithdrawConfirmed(ctx, b.id(), r.ID, "two", ""); err != nil {
		t.Fatal(err)
	}
	if got := now(); got != "hose-leaks" {
		t.Errorf("after undo %s", got)
	}
}

func TestConfirmRefuses(t *testing.T) {
	b := newBench(t)
	r := b.low(t)
	for name, in := range map[string]shop.ConfirmInput{
		"nothing chosen":     {Complaint: "coolant-loss"},
		"another's cause":    {Complaint: "coolant-loss", Cause: "fan-dead"},
		"something, no word": {Complaint: "coolant-loss", Cause: shop.CauseElse},
	} {
		in.ID, in.RoundID = b.id(), r.ID
		var bad shop.Invalid
		if err := b.Confirm(ctx, in); !errors.As(err, &bad) {
			t.Errorf("%s: %v", name, err)
		}
	}
	for name, in := range map[string]shop.ConfirmInput{
		"no such complaint": {Complaint: "none", RoundID: r.ID, Cause: shop.CauseElse, Note: "x"},
		"no such round":     {Complaint: "coolant-loss", RoundID: "none", Cause: "hose-leaks"},
	} {
		in.ID = b.id()
		if err := b.Confirm(ctx, in); !errors.Is(err, shop.ErrNotFound) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if l, err := b.LearnedCauses(ctx); err != nil || len(l.Closed) != 0 {
		t.Errorf("left behind: %v, %+v", err, l)
	}
}

// What was told, looked for and confirmed goes with an export.
func TestCauseFactsTravel(t *testing.T) {
	b := newBench(t)
	r := b.low(t)
	must := func(err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	must(b.Tell(ctx, shop.TellInput{ID: "t", RoundID: r.ID, Words: "sweet smell", Signs: []string{"smells-sweet"}}))
	must(b.Look(ctx, shop.LookInput{ID: "l", RoundID: r.ID, Sign: "traces-at-hose", Answer: shop.LookThere}))
	must(b.Confirm(ctx, shop.ConfirmInput{ID: "c", RoundID: r.ID, Complaint: "coolant-loss", Cause: "hose-leaks", Note: "shaft seal"}))
	var out bytes.Buffer
	if _, err := b.Export(ctx, &out); err != nil {
		t.Fatal(err)
	}
	other := newBench(t)
	if _, err := other.Import(ctx, bytes.NewReader(out.Bytes())); err != nil {
		t.Fatal(err)
	}
	c, err := other.Causes(ctx, r.ID)
	must(err)
	if f := c.ConfirmedFor("coolant-loss"); len(c.Told) != 1 || c.Look("traces-at-hose") == nil || f == nil || f.Cause != "hose-leaks" || !f.Seen["traces-at-hose"] {
		t.Errorf("%+v", c)
	}
	for name, line := range map[string]string{
		"an unknown answer":  `{"look":{"id":"x","round":"` + r.ID + `","car":"c","sign":"s","answer":"perhaps","by":"","received_at":1}}`,
		"told without words": `{"told":{"id":"x","round":"` + r.ID + `","car":"c","by":"","received_at":1}}`,
		"withdrawn and more": `{"confirmed":{"id":"x","round":"` + r.ID + `","car":"c","cause":"hose-leaks","withdraws":"c","by":"","received_at":1}}`,
		"without its cause":  `{"confirmed":{"id":"x","round":"` + r.ID + `","car":"c","complaint":"coolant-loss","by":"","received_at":1}}`,
	} {
		file := `{"format":"witnessmark-facts-1","catalogue":""}` + "\n" + line + "\n"
		if _, err := other.Import(ctx, bytes.NewReader([]byte(file))); err == nil {
			t.Errorf("%s was taken", name)
		}
	}
}

// BenchmarkCauses: all panels of a car of which every state was looked at and every twelfth or sixth point is in its last state; the
// budget of the panels of a car is 30 ms.
func BenchmarkCauses(b *testing.B) {
	for _, every := range []int{12, 6} {
		b.Run(fmt.Sprintf("every %dth bad", every), func(b *testing.B) { benchCauses(b, every) })
	}
}

func benchCauses(bb *testing.B, every int) {
	b := newBench(bb)
	r := b.low(bb)
	v, err := b.Round(ctx, r.ID)
	if err != nil {
		bb.Fatal(err)
	}
	for i, st := range v.Steps {
		if len(st.Point.States) == 0 || len(st.Current) > 0 {
			continue
		}
		state := st.Point.States[0].ID
		if i%every == 0 {
			state = st.Point.States[len(st.Point.States)-1].ID
		}
		for _, at := range st.Slots {
			b.see(bb, r.ID, st.Point.ID, at, state)
		}
	}
	j, err := b.Findings(ctx, r.ID)
	if err != nil {
		bb.Fatal(err)
	}
	panels := 0
	for bb.Loop() {
		c, err := b.CausesOf(ctx, j)
		if err != nil {
			bb.Fatal(err)
		}
		panels = len(c.Panels)
	}
	bb.ReportMetric(float64(panels), "panels")
}
