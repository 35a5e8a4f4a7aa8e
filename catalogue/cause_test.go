package catalogue

import (
	"strings"
	"testing"
	"testing/fstest"

	"witnessmark/core/point"
)

// goodCauses lie on top of lawBase: a state sign, measured ones, one that is told, and one with a check of its own.
const goodCauses = `signs:
  - {id: oil-dark, name: Oil dark, point: oil, states: [dark], leak: 0.05}
  - {id: pad-thin, name: Pad thin, point: pad, value: mm, most: 4, leak: 0.02}
  - {id: charge-weak, name: Charge weak, point: charge, verdict: due, side: below, faint: {watch: 2}, leak: 0.02}
  - {id: rattles, name: It rattles, point: rattle, told: ["it rattles"], leak: 0.05}
  - {id: smells, name: It smells, check: "Smell it.", minutes: 2, cautions: [mind-nose], leak: 0.02}
  - {id: trim-old, name: Trim faded, point: trim, leak: 0.05}
causes:
  - id: oil-old
    name: Oil old
    says: It has aged.
    prior: 0.2
    when: {fuel: petrol}
    jobs: [renew-oil]
    minutes: 30
    money: 50
    cautions: [mind-nose]
    unless: [pad-thin]
    explains: {oil-dark: 0.9, smells: 0.4, rattles: 0.1}
  - id: worn
    name: Worn
    says: It has worn.
    prior: 0.1
    jobs: [renew-oil]
    minutes: 10
    money: 5
    explains:
      pad-thin: 0.8
      charge-weak: 0.7
      trim-old: 0.3
complaints:
  - {id: oil-bad, name: Oil bad, asks: "Why?", raised: [oil-dark, smells]}
  - {id: wear, name: Wear, asks: "Why?", raised: [pad-thin, charge-weak, trim-old], also: [rattles], causes: [worn]}
cautions:
  - {id: mind-nose, say: "Do not breathe in."}
family: {id: f, name: F, when: {fuel: diesel}, causes: [{cause: worn, times: 3}]}
`

func loadCauses(text string) (*point.Catalogue, error) {
	return Load(Layer{Name: "small", Files: fstest.MapFS{"b.yaml": {Data: []byte(lawBase)}}}, Layer{Name: "shop", Files: fstest.MapFS{"x.yaml": {Data: []byte(text)}}})
}

func TestCauses(t *testing.T) {
	cat, err := loadCauses(goodCauses)
	if err != nil {
		t.Fatal(err)
	}
	k := cat.Cause("oil-old")
	if k == nil || k.Prior != 0.2 || len(k.Explains) != 3 || k.Explains[1] != (point.Explains{Sign: "smells", Q: 0.4}) || k.Source.From != "practice" || k.Unless[0] != "pad-thin" {
		t.Errorf("oil-old: %+v", k)
	}
	bad := cat.Complaint("oil-bad")
	if strings.Join(bad.Causes, " ") != "oil-old" || strings.Join(bad.Also, " ") != "rattles" {
		t.Errorf("oil-bad is completed to causes %v, signs %v", bad.Causes, bad.Also)
	}
	if cat.Sign("charge-weak").Side != "below" || cat.Sign("nothing") != nil || cat.Cause("nothing") != nil || cat.Complaint("nothing") != nil {
		t.Error("look-ups")
	}
	if f := cat.Families[0]; len(f.Causes) != 1 || f.Causes[0] != (point.FamilyCause{Cause: "worn", Times: 3}) {
		t.Errorf("family %+v", f.Causes)
	}
	if open := Unexplained(cat); len(open) != 0 {
		t.Errorf("leads nowhere: %v", open)
	}
}

// TestCauseErrors: every fault names the file and the line, and says what was expected.
func TestCauseErrors(t *testing.T) {
	tests := []struct{ name, old, new, want string }{
		{"key", "prior: 0.2", "priro: 0.2", `shop/x.yaml:12: unknown key "priro"; expected one of id, name, says, prior,`},
		{"sign's point", "point: oil, states: [dark]", "point: ooil, states: [dark]", `shop/x.yaml:2: sign oil-dark: there is no point "ooil"`},
		{"sign's state", "states: [dark]", "states: [black]", `sign oil-dark: states names "black", which is no state of oil`},
		{"every state", "states: [dark]", "states: [dark, clear]", "sign oil-dark: every state of oil shows it"},
		{"faint state", "states: [dark]", "states: [dark], faint: {grey: 2}", `sign oil-dark: faint names "grey", which is no state of oil`},
		{"faint and shown", "states: [dark]", "states: [dark], faint: {dark: 2}", "sign oil-dark: state dark shows it and is faint or open"},
		{"faint ratio", "states: [dark]", "states: [dark], faint: {clear: -2}", "sign oil-dark: faint clear is -2; expected how many times likelier"},
		{"open state", "states: [dark]", "states: [dark], open: [grey]", `sign oil-dark: open names "grey"`},
		{"no leak", "states: [dark], leak: 0.05", "states: [dark]", "sign oil-dark: leak is 0; expected the probability"},
		{"leak", "states: [dark], leak: 0.05", "states: [dark], leak: 1", "sign oil-dark: leak is 1; expected"},
		{"leak that is none", "states: [dark], leak: 0.05", "states: [dark], leak: .nan", "sign oil-dark: leak is NaN; expected"},
		{"no name", "name: Oil dark", `name: ""`, "sign oil-dark: name is missing"},
		{"neither point nor words", `check: "Smell it.", minutes: 2, cautions: [mind-nose], `, "", "shop/x.yaml:6: sign smells: it has no point; expected point, told or check"},
		{"check without minutes", "minutes: 2, ", "", "sign smells: a check needs minutes"},
		{"endless check", "minutes: 2", "minutes: 20000", "sign smells: minutes 20000, money 0; expected up to"},
		{"states without a point", `check: "Smell it."`, `check: "Smell it.", states: [dark]`, "sign smells: what a reading shows needs a point"},
		{"caution", "cautions: [mind-nose], leak", "cautions: [mind-ears], leak", `sign smells: there is no caution "mind-ears"`},
		{"wordless words", `told: ["it rattles"]`, `told: ["..."]`, `sign rattles: told "..." holds no word`},
		{"measured point with states", "value: mm, most: 4", "states: [thin]", "sign pad-thin: point pad is measured; expected one of verdict, least and most, or pair"},
		{"value", "value: mm, most", "value: inch, most", `sign pad-thin: value names "inch", which is no value of pad`},
		{"nothing between", "most: 4", "most: 4, least: 5", "sign pad-thin: least and most leave nothing between them"},
		{"two ways", "most: 4", "most: 4, verdict: due", "sign pad-thin: point pad is measured; expected one of"},
		{"pair that is none", "value: mm, most: 4", "pair: left-right", `sign pad-thin: pair is "left-right", which pad does not compare`},
		{"verdict", "verdict: due", "verdict: bad", `sign charge-weak: verdict is "bad"; expected watch, due, overdue or unsafe`},
		{"side", "side: below", "side: left", `sign charge-weak: side is "left"; expected below or above`},
		{"faint verdict", "faint: {watch: 2}", "faint: {grey: 2}", `sign charge-weak: faint names "grey"; expected a milder verdict`},
		{"axle", "value: mm, most: 4", "value: mm, most: 4, axle: R", `sign pad-thin: axle is "R"; expected F or R, and a point with positions there`},
		{"sides", "states: [dark]", "states: [dark], sides: both", "sign oil-dark: sides needs a point with corners"},
		{"sides' word", "value: mm, most: 4", "value: mm, most: 4, sides: three", `sign pad-thin: sides is "three"; expected both or one`},
		{"nobody explains", "trim-old: 0.3\n", "pad-thin2: 0.3\n", "sign trim-old: no cause explains it"},
		{"unknown sign", "smells: 0.4", "stinks: 0.4", `shop/x.yaml:19: cause oil-old: there is no sign "stinks"`},
		{"probability", "charge-weak: 0.7", "charge-weak: 1.7", "shop/x.yaml:29: cause worn: charge-weak is 1.7; expected a probability above 0 and below 1"},
		{"sure", "charge-weak: 0.7", "charge-weak: 1", "cause worn: charge-weak is 1; expected a probability"},
		{"no number", "charge-weak: 0.7", "charge-weak: often", `shop/x.yaml:29: cause worn: charge-weak is "often"; expected a probability`},
		{"explains nothing", "    explains: {oil-dark: 0.9, smells: 0.4, rattles: 0.1}\n", "", "cause oil-old: it explains nothing"},
		{"explains in a list", "{oil-dark: 0.9, smells: 0.4, rattles: 0.1}", "[oil-dark]", "shop/x.yaml:19: cause oil-old: expected explains: {SIGN: PROBABILITY, …}"},
		{"prior", "prior: 0.2", "prior: 20", "cause oil-old: prior is 20; expected a probability above 0 and below 1"},
		{"no prior", "    prior: 0.2\n", "", "cause oil-old: prior is 0; expected"},
		{"job", "jobs: [renew-oil]\n    minutes: 30", "jobs: [change-oil]\n    minutes: 30", `cause oil-old: there is no job "change-oil"`},
		{"no job", "    jobs: [renew-oil]\n    minutes: 30", "    minutes: 30", "cause oil-old: jobs are missing"},
		{"no cost", "    minutes: 10\n    money: 5\n", "", "cause worn: minutes and money are missing"},
		{"no sentence", "says: It has aged.", `says: ""`, "cause oil-old: name and says are needed"},
		{"condition", "when: {fuel: petrol}", "when: {fuel: coal}", "condition: facet fuel is \"coal\""},
		{"unless", "unless: [pad-thin]", "unless: [pad-thick]", `cause oil-old: unless names "pad-thick", which is no sign`},
		{"nobody weighs it", "causes: [worn]}", "causes: [oil-old]}", "cause worn: no complaint weighs it"},
		{"complaint's sign", "raised: [oil-dark, smells]", "raised: [oil-black]", `shop/x.yaml:32: complaint oil-bad: there is no sign "oil-black"`},
		{"complaint's other sign", "also: [rattles]", "also: [rumbles]", `complaint wear: there is no sign "rumbles"`},
		{"complaint's cause", "causes: [worn]}", "causes: [worn, torn]}", `complaint wear: there is no cause "torn"`},
		{"complaint without causes", "raised: [pad-thin, charge-weak, trim-old], also: [rattles], causes: [worn]", "raised: [sea]", "complaint wear: no cause explains what raises it"},
		{"raised in vain", "raised: [pad-thin,", "raised: [oil-dark, pad-thin,", "complaint wear: none of its causes explains oil-dark, which raises it"},
		{"complaint without signs", "raised: [oil-dark, smells]", "raised: []", "complaint oil-bad: raised is missing"},
		{"complaint without a question", `name: Oil bad, asks: "Why?"`, "name: Oil bad", "complaint oil-bad: name and asks are needed"},
		{"family's cause", "{cause: worn, times: 3}", "{cause: torn, times: 3}", `family f: there is no cause "torn"`},
		{"family's times", "{cause: worn, times: 3}", "{cause: worn, times: 0}", "family f: worn is 0 times likelier; expected 0.01 to 100"},
		{"quiet without a reason", "cautions:\n", "quiet: [{id: q, points: [trim]}]\ncautions:\n", "quiet q: because is missing"},
		{"quiet about nothing", "cautions:\n", "quiet: [{id: q, because: It is so.}]\ncautions:\n", "quiet q: expected either group or points"},
		{"quiet's group", "cautions:\n", "quiet: [{id: q, group: noises, because: It is so.}]\ncautions:\n", `quiet q: group is "noises"; expected one of papers,`},
		{"quiet's point", "cautions:\n", "quiet: [{id: q, points: [sea], because: It is so.}]\ncautions:\n", `quiet q: there is no point "sea"`},
		{"quiet's state", "cautions:\n", "quiet: [{id: q, points: [trim], state: torn, because: It is so.}]\ncautions:\n", `quiet q: "torn" is no state of trim`},
		{"quiet without need", "cautions:\n", "quiet: [{id: q, points: [oil], because: It is so.}]\ncautions:\n", "quiet q: everything that oil can show leads to a cause already"},
		{"sign without an id", "{id: oil-dark, name", "{name", "a sign needs an id"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if !strings.Contains(goodCauses, tt.old) {
				t.Fatalf("the good causes have no %q to replace", tt.old)
			}
			cat, err := loadCauses(strings.Replace(goodCauses, tt.old, tt.new, 1))
			if err == nil || cat != nil {
				t.Fatal("accepted")
			}
			if !strings.Contains(err.Error(), tt.want) || !strings.Contains(err.Error(), "shop/x.yaml:") {
				t.Errorf("got %v\nwant %s", err, tt.want)
			}
		})
	}
}

// TestUnexplained: a state, a limit and a difference that lead nowhere are named; a quiet entry accounts for them.
func TestUnexplained(t *testing.T) {
	text := strings.Replace(goodCauses, "trim-old: 0.3", "oil-dark: 0.3", 1)
	text = strings.Replace(text, "  - {id: trim-old, name: Trim faded, point: trim, leak: 0.05}\n", "", 1)
	text = strings.Replace(text, "charge-weak, trim-old]", "charge-weak]", 1)
	text = strings.Replace(text, "verdict: due, side: below, faint: {watch: 2}", "verdict: overdue, side: below", 1)
	cat, err := loadCauses(text)
	if err != nil {
		t.Fatal(err)
	}
	got := strings.Join(Unexplained(cat), "\n")
	for _, want := range []string{"point trim, state faded: no sign leads", "point charge, limit 1 (below, due): no sign leads"} {
		if !strings.Contains(got, want) {
			t.Errorf("got %s\nwant %s", got, want)
		}
	}
	cat, err = loadCauses(text + "quiet:\n  - {id: q, points: [trim], state: faded, because: It is so.}\n  - {id: r, group: electrics, because: It is so.}\n")
	if err != nil {
		t.Fatal(err)
	}
	if open := Unexplained(cat); len(open) != 0 {
		t.Errorf("leads nowhere: %v", open)
	}
}

// TestCausesOfOverlay: a workshop changes a figure, adds a cause to a complaint that takes all, and adds what a family is weak in.
func TestCausesOfOverlay(t *testing.T) {
	cat, err := overlay(`causes:
  - {id: marten, name: A marten bit the hose, says: It bites at night., prior: 0.01, jobs: [renew-coolant-hoses], minutes: 60, money: 45,
     explains: {coolant-low: 0.5, bite-marks: 0.9}}
signs:
  - {id: bite-marks, name: Bite marks, check: "Look for bite marks and paws.", minutes: 2, leak: 0.01}
change:
  - {id: head-gasket, kind: cause, set: {prior: 0.01}}
  - {id: coolant-low, kind: sign, set: {leak: 0.02}}
`)
	if err != nil {
		t.Fatal(err)
	}
	loss := strings.Join(cat.Complaint("coolant-loss").Causes, " ")
	if !strings.Contains(loss, "marten") || cat.Cause("head-gasket").Prior != 0.01 || cat.Sign("coolant-low").Leak != 0.02 {
		t.Errorf("causes %s, prior %g, leak %g", loss, cat.Cause("head-gasket").Prior, cat.Sign("coolant-low").Leak)
	}
	if base(t).Cause("head-gasket").Prior == 0.01 {
		t.Error("the base was changed")
	}
	if _, err := overlay("change:\n  - {id: head-gasket, kind: cause, set: {prior: 10}}\n"); err == nil || !strings.HasPrefix(err.Error(), "shop/x.yaml:2: cause head-gasket: prior is 10") {
		t.Errorf("change to nonsense: %v", err)
	}
}
