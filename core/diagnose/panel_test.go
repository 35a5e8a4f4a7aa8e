package diagnose_test

import (
	"encoding/json"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"witnessmark/core/cause"
	"witnessmark/core/diagnose"
	"witnessmark/core/facet"
	"witnessmark/core/judge"
	"witnessmark/core/point"
	"witnessmark/core/round"
	"witnessmark/core/verdict"
)

// toy is a catalogue of two causes and three signs, small enough to work by hand.
func toy() *point.Catalogue {
	p := &point.Point{ID: "level", Name: "Level", Station: "engine-cold", States: []point.StateOf{{ID: "ok", Say: "Right", Verdict: verdict.Sound, Why: "w"},
		{ID: "low", Say: "Low", Verdict: verdict.Due, Why: "w"}, {ID: "dim", Say: "Dim", Verdict: verdict.Watch, Why: "w"}}}
	q := &point.Point{ID: "damper", Name: "Damper", Station: "on-the-lift", States: p.States,
		Positions: point.Positions{Groups: []point.PositionGroup{{At: point.Corners}}}}
	c := &point.Catalogue{Points: []*point.Point{p, q},
		Signs: []*point.Sign{
			{ID: "both", Name: "Both", Point: "damper", States: []string{"low"}, Sides: "both", Leak: 0.1},
			{ID: "low", Name: "Low", Point: "level", States: []string{"low"}, Faint: map[string]float64{"dim": 4}, Leak: 0.05},
			{ID: "one", Name: "One", Point: "damper", States: []string{"low"}, Sides: "one", Leak: 0.1},
			{ID: "rear", Name: "Rear", Point: "damper", States: []string{"low"}, Axle: "R", Leak: 0.1},
			{ID: "smell", Name: "Smell", Told: []string{"it smells"}, Check: "Smell it.", Minutes: 1, Leak: 0.02},
		},
		Causes: []*point.Cause{
			{ID: "a", Name: "A", Prior: 0.1, Jobs: []string{"x"}, Minutes: 100, Explains: []point.Explains{{Sign: "low", Q: 0.8}, {Sign: "smell", Q: 0.9}, {Sign: "rear", Q: 0.5}, {Sign: "both", Q: 0.5}, {Sign: "one", Q: 0.5}}},
			{ID: "b", Name: "B", Prior: 0.05, Jobs: []string{"y"}, Minutes: 100, Explains: []point.Explains{{Sign: "low", Q: 0.6}}, Unless: []string{"smell"}},
		},
		Complaints: []*point.Complaint{{ID: "q", Name: "Q", Raised: []string{"low", "rear", "both", "one"}, Also: []string{"smell"}, Causes: []string{"a", "b"}}}}
	return c.New()
}

// reads makes findings of "POINT AT STATE" with the state's verdict.
func reads(c *point.Catalogue, lines ...string) *judge.Result {
	r := &judge.Result{}
	for _, l := range lines {
		f := strings.Fields(l)
		at, state := "", f[len(f)-1]
		if len(f) == 3 {
			at = f[1]
		}
		p := c.Point(f[0])
		r.Findings = append(r.Findings, judge.Finding{Point: p, At: at, Verdict: p.StateByID(state).Verdict, Reading: &round.Reading{Point: p.ID, At: at, State: state}})
	}
	return r
}

// TestByHand: the posterior of two causes of one sign, by enumeration: P(a | low) = (0.1*0.95*(1-0.95*0.2) + 0.1*0.05*(1-0.95*0.2*0.4)) / P(low).
func TestByHand(t *testing.T) {
	c := toy()
	ps := diagnose.Panels(c, diagnose.Input{Result: reads(c, "level low")})
	if len(ps) != 1 || len(ps[0].Causes) != 2 {
		t.Fatalf("%d panels", len(ps))
	}
	show := func(a, b bool) float64 {
		no := 0.95
		if a {
			no *= 0.2
		}
		if b {
			no *= 0.4
		}
		return 1 - no
	}
	joint := func(a, b bool) float64 {
		p := 0.9
		if a {
			p = 0.1
		}
		if b {
			return p * 0.05 * show(a, b)
		}
		return p * 0.95 * show(a, b)
	}
	all := joint(true, true) + joint(true, false) + joint(false, true) + joint(false, false)
	want := (joint(true, true) + joint(true, false)) / all
	p := ps[0]
	if got := p.Causes[0]; got.Cause.ID != "a" || math.Abs(got.P-want) > 1e-12 {
		t.Errorf("%s %.15g, want a %.15g", got.Cause.ID, got.P, want)
	}
	if want := joint(false, false) / all; math.Abs(p.Other-want) > 1e-12 {
		t.Errorf("none of them %.15g, want %.15g", p.Other, want)
	}
	if m := p.Causes[0].For; len(m) != 1 || math.Abs(m[0].From-0.1) > 1e-12 || m[0].Reading != "Level: Low" {
		t.Errorf("moved by %+v", m)
	}
	if len(p.Looks) == 0 || p.Looks[0].Sign.ID != "smell" || !strings.HasPrefix(p.Looks[0].Why, "costs a minute, splits a from b ") {
		t.Errorf("looks %+v", p.Looks)
	}
}

func TestEvidence(t *testing.T) {
	c := toy()
	tests := []struct {
		name    string
		in      diagnose.Input
		sign    string
		show    diagnose.Show
		at      string
		panels  int
		trouble string
	}{
		{"nothing looked at", diagnose.Input{}, "", "", "", 0, ""},
		{"looked at and not there", diagnose.Input{Result: reads(c, "level ok", "damper RL low")}, "low", diagnose.NotShown, "", 1, ""},
		{"faint raises when it is strong", diagnose.Input{Result: reads(c, "level dim")}, "low", diagnose.Faint, "", 1, ""},
		{"told", diagnose.Input{Told: []string{"low"}}, "low", diagnose.Shown, "", 1, ""},
		{"told against the reading", diagnose.Input{Result: reads(c, "level ok"), Told: []string{"low"}}, "low", diagnose.Silent, "", 1, ""},
		{"an axle", diagnose.Input{Result: reads(c, "damper RL low", "damper RR ok")}, "rear", diagnose.Shown, "RL", 1, ""},
		{"one side", diagnose.Input{Result: reads(c, "damper RL low", "damper RR ok")}, "one", diagnose.Shown, "RL", 1, ""},
		{"one side is not both", diagnose.Input{Result: reads(c, "damper RL low", "damper RR ok")}, "both", diagnose.NotShown, "RL RR", 1, ""},
		{"both sides", diagnose.Input{Result: reads(c, "damper FL low", "damper FR low")}, "both", diagnose.Shown, "FL FR", 1, ""},
		{"the other axle", diagnose.Input{Result: reads(c, "damper FL low", "damper RR ok", "level low")}, "rear", diagnose.NotShown, "RR", 1, ""},
		{"one corner alone says nothing of sides", diagnose.Input{Result: reads(c, "damper FL low", "level low")}, "one", "", "", 1, ""},
		{"its own check wins", diagnose.Input{Result: reads(c, "level low"), Checked: map[string]bool{"smell": true}}, "smell", diagnose.Shown, "", 1, ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			ps := diagnose.Panels(c, tt.in)
			if len(ps) != tt.panels {
				t.Fatalf("%d panels, want %d", len(ps), tt.panels)
			}
			if tt.panels == 0 {
				return
			}
			i := slices.IndexFunc(ps[0].Evidence, func(e diagnose.Piece) bool { return e.Sign.ID == tt.sign })
			if tt.show == "" {
				if i >= 0 {
					t.Errorf("evidence %+v", ps[0].Evidence[i])
				}
				return
			}
			if i < 0 || ps[0].Evidence[i].Show != tt.show || strings.Join(ps[0].Evidence[i].At, " ") != tt.at {
				t.Errorf("evidence %+v", ps[0].Evidence)
			}
		})
	}
}

// TestRuledOut: what rules a cause out, what confirms one, and evidence that can't be true together.
func TestRuledOut(t *testing.T) {
	c := toy()
	in := diagnose.Input{Result: reads(c, "level low"), Checked: map[string]bool{"smell": true}}
	p := diagnose.Panels(c, in)[0]
	if b := p.Causes[1]; b.Cause.ID != "b" || b.P != 0 || len(b.Against) == 0 || b.Against[0].Sign.ID != "smell" {
		t.Errorf("b is %+v", b)
	}
	in.Confirmed = map[string]bool{"a": false, "b": true}
	if p = diagnose.Panels(c, in)[0]; p.Causes[0].Cause.ID != "b" || p.Causes[0].Word != "certain" || p.Other != 0 {
		t.Errorf("confirmed: %+v, other %g", p.Causes[0], p.Other)
	}
	sure := toy()
	sure.Signs[1].Leak = 0
	in = diagnose.Input{Result: reads(sure, "level low"), Confirmed: map[string]bool{"a": false, "b": false}}
	p = diagnose.Panels(sure, in)[0]
	if !strings.Contains(p.Trouble, "can't be true together") || !strings.Contains(p.Trouble, "Level: Low") || !strings.Contains(p.Trouble, "not: A") {
		t.Errorf("trouble %q", p.Trouble)
	}
}

// TestFamilyMovesOdds: a family's weak spot multiplies the odds: 0.1/0.9 * 3 = 1/3, a probability of 1/4.
func TestFamilyMovesOdds(t *testing.T) {
	c := toy()
	c.Families = []*point.Family{{ID: "f", When: facet.When{All: []facet.Test{{Facet: "engine-family", Is: []string{"f"}}}}, Causes: []point.FamilyCause{{Cause: "a", Times: 3}}}}
	in := diagnose.Input{Facets: facet.Set{"engine-family": {Value: "f"}}, Result: reads(c, "level low")}
	p := diagnose.Panels(c, in)[0]
	if from := p.Causes[0].For[0].From; math.Abs(from-0.25) > 1e-12 {
		t.Errorf("without the reading %g, want 0.25", from)
	}
	in.Families = []string{}
	if from := diagnose.Panels(c, in)[0].Causes[0].For[0].From; math.Abs(from-0.1) > 1e-12 {
		t.Errorf("of no family %g, want 0.1", from)
	}
}

// TestAgainstOneNetwork: grouping causes that no evidence ties together changes nothing: the same posteriors as one network of everything.
func TestAgainstOneNetwork(t *testing.T) {
	cat, in := car(t, 6)
	ps := diagnose.Panels(cat, in)
	if len(ps) < 5 {
		t.Fatalf("only %d panels", len(ps))
	}
	whole := wholeNetwork(t, cat, in)
	n := 0
	for _, p := range ps {
		for _, r := range p.Causes {
			want, err := whole.P(r.Cause.ID, cause.Present)
			if err != nil {
				t.Fatal(err)
			}
			if n++; math.Abs(r.P-want) > 1e-9 {
				t.Errorf("%s: %s is %.12g, in one network %.12g", p.Complaint.ID, r.Cause.ID, r.P, want)
			}
		}
	}
	if n < 50 {
		t.Errorf("only %d causes compared", n)
	}
}

// wholeNetwork builds every cause and every observed state sign of the car into one network, apart from the code under test.
func wholeNetwork(t *testing.T, cat *point.Catalogue, in diagnose.Input) *cause.Belief {
	t.Helper()
	var b cause.Builder
	links := map[string][]cause.Link{}
	for _, k := range cat.Causes {
		if ok, _ := k.When.Holds(in.Facets); ok {
			b.AddCause(k.ID, k.Prior)
			for _, e := range k.Explains {
				links[e.Sign] = append(links[e.Sign], cause.Link{Cause: k.ID, Q: e.Q})
			}
		}
	}
	seen := cause.Evidence{}
	for _, p := range diagnose.Pieces(cat, in) {
		if len(links[p.Sign.ID]) == 0 {
			continue
		}
		b.AddFinding("s/"+p.Sign.ID, p.Sign.Leak, links[p.Sign.ID])
		switch p.Show {
		case diagnose.Shown:
			seen["s/"+p.Sign.ID] = cause.Is(cause.Present)
		case diagnose.NotShown:
			seen["s/"+p.Sign.ID] = cause.Is(cause.Absent)
		case diagnose.Faint:
			seen["s/"+p.Sign.ID] = cause.Looks(p.Ratio, 1)
		}
	}
	n, err := b.Build()
	if err != nil {
		t.Fatal(err)
	}
	post, err := n.Posterior(seen)
	if err != nil {
		t.Fatal(err)
	}
	return post
}

// TestAnyReadings: whatever is read, told and checked, the answer is made of probabilities, is the same for the same input, and
// changes nothing that was given.
func TestAnyReadings(t *testing.T) {
	cat := base(t)
	rapid.Check(t, func(t *rapid.T) {
		facets := round.Resolve(cat, map[string]string{"fan-drive": rapid.SampledFrom([]string{"electric", "engine"}).Draw(t, "fan"),
			"fuel": rapid.SampledFrom([]string{"petrol", "diesel", "electric"}).Draw(t, "fuel")}, "", noDay)
		res := &judge.Result{}
		for range rapid.IntRange(0, 25).Draw(t, "readings") {
			p := cat.Points[rapid.IntRange(0, len(cat.Points)-1).Draw(t, "point")]
			if slots := p.Positions.Slots(facets); len(p.States) > 0 && len(slots) > 0 {
				s := p.States[rapid.IntRange(0, len(p.States)-1).Draw(t, "state")]
				at := rapid.SampledFrom(slots).Draw(t, "at")
				res.Findings = append(res.Findings, judge.Finding{Point: p, At: at, Verdict: s.Verdict, Why: s.Why, Reading: &round.Reading{Point: p.ID, At: at, State: s.ID}})
			}
		}
		in := diagnose.Input{Facets: facets, Result: res, Checked: map[string]bool{}, Rate: rapid.Float64().Draw(t, "rate")}
		for range rapid.IntRange(0, 5).Draw(t, "checks") {
			in.Checked[cat.Signs[rapid.IntRange(0, len(cat.Signs)-1).Draw(t, "sign")].ID] = rapid.Bool().Draw(t, "found")
		}
		before, _ := json.Marshal(in)
		one := diagnose.Panels(cat, in)
		for _, p := range one {
			sane(t, p)
		}
		a, err := json.Marshal(one)
		if err != nil {
			t.Fatal(err)
		}
		if b, _ := json.Marshal(diagnose.Panels(cat, in)); string(a) != string(b) {
			t.Fatal("two answers to one question")
		}
		if after, _ := json.Marshal(in); string(after) != string(before) {
			t.Fatal("the input was changed")
		}
	})
}

func sane(t *rapid.T, p diagnose.Panel) {
	is := func(x float64) bool { return x >= 0 && x <= 1 }
	if !is(p.Other) || len(p.Causes) == 0 || p.Trouble == "" && p.Next.Says == "" {
		t.Fatalf("%s: other %g, %d causes, next %q", p.Complaint.ID, p.Other, len(p.Causes), p.Next.Says)
	}
	for i, r := range p.Causes {
		if !is(r.P) || r.Word == "" || i > 0 && r.P > p.Causes[i-1].P {
			t.Fatalf("%s: %s %g", p.Complaint.ID, r.Cause.ID, r.P)
		}
		for _, m := range append(slices.Clone(r.For), r.Against...) {
			if !is(m.From) || !is(m.To) || m.Reading == "" {
				t.Fatalf("%s: %s moved %+v", p.Complaint.ID, r.Cause.ID, m)
			}
		}
	}
	for _, l := range p.Looks {
		if math.IsNaN(l.Saves) || math.IsInf(l.Saves, 0) || l.Why == "" || strings.Contains(l.Why, "NaN") || l.Minutes <= 0 {
			t.Fatalf("%s: look %+v", p.Complaint.ID, l)
		}
	}
}
