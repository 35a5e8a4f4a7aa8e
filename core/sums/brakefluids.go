package sums

import (
	"fmt"

	"witnessmark/core/brakefluid"
	"witnessmark/core/verdict"
)

const (
	brakeSource  = "49 CFR 571.116 (FMVSS 116) S5.1; ISO 4925:2020 Table 1 from memory; margins are common practice"
	brakeCaution = "Brake fluid eats paint and skin, and a brake system opened by a hand that has not learned it can fail. What the maker and the law ask for goes before this answer."
)

var brakeFluidSums = []Sum{
	{
		Name: "brake-fluid", Title: "Brake fluid: boiling point and water", Source: brakeSource, Caution: brakeCaution, AnyOf: []string{"boiling", "water"},
		Keys: []Key{
			{Name: "class", Title: "Class on the cap", Kind: Code, Example: "DOT 4"},
			{Name: "boiling", Title: "Measured boiling point", Units: inDegrees, Optional: true, Example: "172C"},
			{Name: "water", Title: "Measured water", Units: inPercent, Optional: true, Example: "2%"},
		},
		Outputs: []Output{{"verdict", "Verdict"}, {"dry_min_degC", "Least boiling point, dry"}, {"wet_min_degC", "Least boiling point, wet"}, {"why", "Why"}},
		Example: `class="DOT 4" boiling=172C`, run: brakeFluid,
	},
	{
		Name: "brake-fluid-top-up", Title: "Brake fluid: may this bottle go into that car", Source: "49 CFR 571.116 S4, S5.1, S5.2.2; ISO 4925:2020 Table 1 from memory", Caution: brakeCaution,
		Keys: []Key{
			{Name: "cap", Title: "Class on the cap", Kind: Code, Example: "DOT 4"},
			{Name: "bottle", Title: "Class on the bottle", Kind: Code, Example: "DOT 5.1"},
		},
		Outputs: []Output{{"answer", "May it go in: allowed, lowers or never"}, {"why", "Why"}},
		Example: `cap="DOT 4" bottle="DOT 5.1"`, run: brakeFluidTopUp,
	},
}

func brakeFluid(in *input) (Result, error) {
	var r Result
	c, err := brakefluid.Parse(in.text("class"))
	if err != nil {
		return r, in.fail("class", err)
	}
	l, ok := c.Limits()
	if !ok {
		return r, in.fail("class", fmt.Errorf("no limits are known for %s", c))
	}
	f := brakefluid.Finding{Verdict: verdict.Unjudged}
	if in.has("water") {
		if f, err = brakefluid.JudgeWater(c, in.num("water")); err != nil {
			return r, in.fail("water", err)
		}
	}
	if in.has("boiling") {
		b, err := brakefluid.JudgeBoiling(c, in.num("boiling"))
		if err != nil {
			return r, in.fail("boiling", err)
		}
		f = brakefluid.Worse(b, f)
	}
	r.add("verdict", string(f.Verdict))
	r.add("dry_min_degC", l.Dry)
	r.add("wet_min_degC", l.Wet)
	r.add("why", f.Why)
	r.Source = l.Source + "; margins are common practice"
	if in.has("boiling") && in.has("water") {
		r.note("Where boiling point and water differ, trust the boiling point: water testers measure conductivity.")
	}
	return r, nil
}

func brakeFluidTopUp(in *input) (Result, error) {
	var r Result
	var classes [2]brakefluid.Class
	for i, key := range []string{"cap", "bottle"} {
		c, err := brakefluid.Parse(in.text(key))
		if err != nil {
			return r, in.fail(key, err)
		}
		classes[i] = c
	}
	answer, why := brakefluid.CanTopUp(classes[0], classes[1])
	r.add("answer", answer.String())
	r.add("why", why)
	return r, nil
}
