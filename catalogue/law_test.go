package catalogue

import (
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"witnessmark/core/point"
	"witnessmark/core/verdict"
)

// lawBase is a base with a point of each kind that laws speak of.
const lawBase = `jobs: [{id: renew-oil, name: Renew the oil, does: "Renew it.", renews: [oil, pads, battery]}]
facets:
  - {id: fuel, name: Fuel, values: [petrol, diesel], default: petrol}
  - {id: filters, name: Filters, number: {min: 1, max: 2}, default: 1}
specs:
  - {id: pad-new-mm, name: New pad, unit: mm}
  - {id: rated-A, name: Rated, unit: A}
  - {id: oil-grade, name: Grade}
risks:
  - {id: people, accept: 0.01, source: {from: practice}}
  - {id: machine, accept: 0.05, source: {from: practice}}
points:
  - {id: oil, name: Oil, station: engine-cold, group: fluids, depths: [full], ask: "How?", method: "Look.", kind: state, consequence: machine,
     source: {from: practice}, jobs: [renew-oil], means: "It is old.", wait: "It wears.",
     states: [{id: clear, say: Clear, verdict: sound, why: "It is clear."}, {id: dark, say: Dark, verdict: due, why: "It is dark."}]}
  - {id: trim, name: Trim, station: road, group: road, depths: [full], ask: "How?", method: "Look.", kind: state, consequence: machine,
     source: {from: practice}, means: "It is old.", wait: "It fades.",
     states: [{id: new, say: New, verdict: sound, why: "It is new."}, {id: faded, say: Faded, verdict: watch, why: "It is faded."}]}
  - {id: rattle, name: Rattle, station: road, group: road, depths: [full], ask: "How?", method: "Listen.", kind: state, consequence: comfort,
     source: {from: practice}, jobs: [renew-oil], means: "It is old.", wait: "It rattles.",
     states: [{id: quiet, say: Quiet, verdict: sound, why: "It is quiet."}, {id: loud, say: Loud, verdict: due, why: "It is loud."}]}
  - {id: pad, name: Pad, station: wheels-off, group: brakes, depths: [full], ask: "How?", method: "Measure.", kind: measure, consequence: people,
     positions: [FL, FR], values: [{name: mm, label: lining, min: 0, max: 25, step: 0.5}, {name: disc_mm, label: disc, min: 0, max: 50, step: 0.1, companion: true}],
     jobs: [renew-oil], means: "It is thin.", wait: "It grinds.",
     limits: [{is: at-or-below, value: 3, verdict: due, source: {from: practice}}]}
  - {id: charge, name: Charge, station: engine-cold, group: electrics, depths: [full], ask: "How?", method: "Measure.", kind: measure, consequence: machine,
     values: [{name: A, label: current, min: 0, max: 2000, step: 5}, {name: rated_A, label: rated, min: 100, max: 2000, step: 5, companion: true}],
     derive: share-of-rating, jobs: [renew-oil], means: "It is weak.", wait: "It fails.",
     limits: [{is: below, of: derived, value: 60, verdict: due, source: {from: practice}}]}
`

const goodLaws = `laws:
  - id: oil
    item: oil
    unit: km
    by: fuel
    cap: {km: 30000, months: 24}
    step: 500
    weight: 6
    planned: 1
    failed: 5
    source: {from: practice}
    life: {model: weibull, median: 14000, spread: 1.4, shape: 3, shape-spread: 1.5, medians: {diesel: 12000}, turned: [dark],
           sensitivity: 0.9, specificity: 0.95}
  - id: pad/F
    item: pads
    unit: km
    step: 1000
    weight: 6
    source: {from: practice}
    wear: {value: mm, new: 12, new-sd: 1, new-spec: pad-new-mm, rate: 0.2, spread: 1.3, noise: 0.2, limit: 3}
  - id: charge
    item: battery
    unit: months
    step: 1
    weight: 6
    risk: 0.2
    source: {from: practice}
    wear: {value: derived, new: 105, new-sd: 5, rate: 0.5, spread: 1.3, noise: 3, step: 2}
`

func loadLaws(text string) (*point.Catalogue, error) {
	return Load(Layer{Name: "small", Files: fstest.MapFS{"b.yaml": {Data: []byte(lawBase)}}}, Layer{Name: "shop", Files: fstest.MapFS{"x.yaml": {Data: []byte(text)}}})
}

func TestLaws(t *testing.T) {
	cat, err := loadLaws(goodLaws)
	if err != nil {
		t.Fatal(err)
	}
	ids := make([]string, len(cat.Laws))
	for i, l := range cat.Laws {
		ids[i] = l.ID
	}
	if !slices.Equal(ids, []string{"charge", "oil", "pad/F"}) {
		t.Fatalf("laws %v", ids)
	}
	charge, oil, pad := cat.Laws[0], cat.Laws[1], cat.Laws[2]
	if oil.Point != "oil" || oil.Axle != "" || oil.Cap.In("km") != 30000 || oil.Life.Medians["diesel"] != 12000 || oil.Wear != nil || oil.Failed != 5 {
		t.Errorf("oil: %+v", oil)
	}
	if pad.Point != "pad" || pad.Axle != "F" || pad.Life != nil || pad.Wear.Step != 0.5 || pad.Cap != nil {
		t.Errorf("pad: %+v, the gauge's step %g", pad, pad.Wear.Step)
	}
	if charge.Risk != 0.2 || charge.Wear.Value != "derived" || charge.Wear.Step != 2 {
		t.Errorf("charge: %+v %+v", charge, charge.Wear)
	}
	if cat.Risks[point.People] != 0.01 || cat.Risks[point.Machine] != 0.05 {
		t.Errorf("risks %v", cat.Risks)
	}
}

// TestLawErrors: every fault names the file and the line, and says what was expected.
func TestLawErrors(t *testing.T) {
	tests := []struct{ name, old, new, want string }{
		{"point", "id: oil\n", "id: ooil\n", `shop/x.yaml:2: law ooil: there is no point "ooil"; expected POINT, or POINT/AXLE`},
		{"id", "id: oil\n", "id: Old oil\n", `shop/x.yaml:2: id "Old oil": expected lower-case words`},
		{"twice", "id: charge\n", "id: oil\n", "shop/x.yaml:21: law oil is defined already at shop/x.yaml:2; to change it use change:"},
		{"axle and every axle", "  - id: charge\n", "  - {id: pad, unit: km, step: 1, weight: 1, source: {from: practice}, wear: {new: 12, new-sd: 1, rate: 1, spread: 2, noise: 1}}\n  - id: charge\n",
			"shop/x.yaml:14: law pad/F: the law at shop/x.yaml:21 speaks of every axle of pad already"},
		{"axle's word", "id: pad/F", "id: pad/FL", `law pad/FL: axle is "FL"; expected F or R`},
		{"axle without a word", "id: pad/F", "id: pad/", `law pad/: axle is ""; expected F or R`},
		{"axle without corners", "id: oil\n", "id: oil/F\n", "law oil/F: point oil has no positions on axle F"},
		{"axle that the point has not", "id: pad/F", "id: pad/R", "law pad/R: point pad has no positions on axle R"},
		{"key", "weight: 6", "wieght: 6", `shop/x.yaml:8: unknown key "wieght"; expected one of id, item, unit,`},
		{"key in life", "spread: 1.4,", "spraed: 1.4,", `shop/x.yaml:12: unknown key "spraed"; expected one of model, median,`},
		{"item", "item: oil", "item: old-oil", `law oil: item is "old-oil"; expected what a job renews`},
		{"unit", "unit: km", "unit: miles", `law oil: unit is "miles"; expected km or months`},
		{"no unit", "    unit: km\n", "", `law oil: unit is ""; expected km or months`},
		{"step", "step: 500", "step: 0", "law oil: step is 0; expected above 0 and at most"},
		{"step that is none", "step: 500", "step: .nan", "law oil: step is NaN; expected above 0"},
		{"weight", "weight: 6", "weight: -1", "law oil: weight is -1; expected above 0 and at most 1000"},
		{"risk", "risk: 0.2", "risk: 20", "law charge: risk is 20; expected above 0 and at most 0.5"},
		{"negative risk", "risk: 0.2", "risk: -0.2", "law charge: risk is -0.2; expected above 0"},
		{"no risk accepted", "id: oil\n", "id: rattle\n", "law rattle: no risk is accepted for comfort; expected it under risks:"},
		{"failure that costs less", "failed: 5", "failed: 0.5", "law oil: planned 1, failed 0.5; expected failed above planned above 0, or neither"},
		{"failure alone", "    planned: 1\n", "", "law oil: planned 0, failed 5; expected failed above planned"},
		{"empty cap", "{km: 30000, months: 24}", "{}", "law oil: cap is 0 km, 0 months; expected km up to"},
		{"negative cap", "km: 30000", "km: -3", "law oil: cap is -3 km"},
		{"cap below the step", "km: 30000", "km: 300", "law oil: cap 300 is below the step 500"},
		{"no source", "    source: {from: practice}\n    life", "    life", "law oil: source is missing"},
		{"source", "source: {from: practice}", "source: {from: grandfather}", `law oil: there is no source "grandfather"`},
		{"facet", "by: fuel", "by: colour", `law oil: there is no facet "colour"`},
		{"facet without words", "by: fuel", "by: filters", "law oil: facet filters has no list of values to divide cars by"},
		{"neither", "    wear: {value: derived, new: 105, new-sd: 5, rate: 0.5, spread: 1.3, noise: 3, step: 2}\n", "", "law charge: expected either life or wear"},
		{"both", "    wear: {value: derived", "    life: {model: weibull}\n    wear: {value: derived", "law charge: expected either life or wear"},
		{"life of a measured point", "wear: {value: derived, new: 105, new-sd: 5, rate: 0.5, spread: 1.3, noise: 3, step: 2}", "life: {model: weibull}",
			"shop/x.yaml:28: law charge: point charge is of kind measure and has no states to turn; expected wear"},
		{"wear of a state point", "id: charge", "id: trim", "shop/x.yaml:28: law trim: point trim is of kind state; expected life"},
		{"model", "model: weibull", "model: normal", `law oil: model is "normal"; expected weibull or lognormal`},
		{"shape of the other model", "model: weibull", "model: lognormal", ""},
		{"sigma of the other model", "model: weibull, median: 14000, spread: 1.4, shape: 3,", "model: lognormal, median: 14000, spread: 1.4, shape: 4,", "shape is 4; expected above 0.02 and at most 3"},
		{"median", "median: 14000", "median: 0", "law oil: median is 0; expected above 0"},
		{"median in metres", "median: 14000", "median: 14000000", "law oil: median is 1.4e+07; expected above 0 and at most 2e+06"},
		{"spread as a share", "spread: 1.4", "spread: 0.4", "shop/x.yaml:12: law oil: spread is 0.4; expected above 1 and at most 10"},
		{"shape", "shape: 3,", "shape: 30,", "law oil: shape is 30; expected above 0.3 and at most 20"},
		{"spread of the shape", "shape-spread: 1.5", "shape-spread: 1", "law oil: shape-spread is 1; expected above 1"},
		{"sensitivity", "sensitivity: 0.9", "sensitivity: 0.5", "law oil: sensitivity is 0.5; expected above 0.5 and at most 1"},
		{"specificity", "specificity: 0.95", "specificity: 95", "law oil: specificity is 95; expected above 0.5 and at most 1"},
		{"class", "medians: {diesel", "medians: {coal", `law oil: there is no class "coal"; expected one of petrol, diesel`},
		{"class without facet", "    by: fuel\n", "", "law oil: medians by class need by:"},
		{"class's median", "diesel: 12000", "diesel: .inf", "law oil: median of diesel is +Inf; expected above 0"},
		{"state", "turned: [dark]", "turned: [black]", `law oil: turned names "black", which is no state of oil`},
		{"every state", "turned: [dark]", "turned: [dark, clear]", "law oil: every state counts as turned"},
		{"no state turns", "id: oil\n", "id: trim\n", `law trim: turned names "dark", which is no state of trim`},
		{"value", "value: mm", "value: inch", `law pad/F: value names "inch", which is no value of pad`},
		{"companion", "value: mm", "value: disc_mm", "law pad/F: value disc_mm is a companion; expected the figure that is read"},
		{"nothing derived", "value: mm", "value: derived", "law pad/F: point pad derives no value"},
		{"new", "new: 12,", "new: 120,", "law pad/F: new is 120; expected 0 to 25"},
		{"new without spread", "new-sd: 1,", "", "law pad/F: new-sd is 0; expected above 0"},
		{"specification", "pad-new-mm,", "pad-mm,", `law pad/F: there is no specification "pad-mm"`},
		{"specification's unit", "pad-new-mm,", "rated-A,", "law pad/F: specification rated-A is in A; expected mm"},
		{"specification's text", "pad-new-mm,", "oil-grade,", "law pad/F: specification oil-grade is a text; expected a figure"},
		{"rate", "rate: 0.2", "rate: -0.2", "law pad/F: rate is -0.2; expected above 0"},
		{"rate per km", "rate: 0.2", "rate: 200", "law pad/F: rate is 200; expected above 0 and at most 25"},
		{"wear's spread", "spread: 1.3", "spread: 13", "law pad/F: spread is 13; expected above 1 and at most 10"},
		{"noise", "noise: 0.2", "noise: 0", "law pad/F: noise is 0; expected above 0"},
		{"gauge", "noise: 3, step: 2", "noise: 3, step: -2", "law charge: step is -2; expected 0 to"},
		{"runs away from the limit", "limit: 3}", "limit: 13, rises: true}", "law pad/F: the figure rises, but the limits of pad lie below it; expected rises: false"},
		{"limit above a falling figure", "limit: 3}", "limit: 13}", "law pad/F: limit is 13 and new is 12, but the figure falls"},
		{"no limit on the value", "value: derived, new: 105", "value: A, new: 105", "law charge: point charge has no limit on this value; expected limit"},
		{"whose risk", goodLaws, "risks: [{id: beauty, accept: 0.1, source: {from: practice}}]\n", `shop/x.yaml:1: risk "beauty"; expected people, machine or comfort`},
		{"how much risk", goodLaws, "risks: [{id: comfort, accept: 20, source: {from: practice}}]\n", "shop/x.yaml:1: risk comfort: accept is 20; expected a probability above 0 and at most 0.5"},
		{"risk without source", goodLaws, "risks: [{id: comfort, accept: 0.2}]\n", "risk comfort: source is missing"},
		{"risk twice", goodLaws, "risks: [{id: people, accept: 0.2, source: {from: practice}}]\n", "risk people is defined already at small/b.yaml:10"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if !strings.Contains(goodLaws, tt.old) {
				t.Fatalf("the good laws have no %q to replace", tt.old)
			}
			cat, err := loadLaws(strings.Replace(goodLaws, tt.old, tt.new, 1))
			if tt.want == "" {
				if err != nil {
					t.Errorf("refused: %v", err)
				}
				return
			}
			if err == nil || cat != nil {
				t.Fatal("accepted")
			}
			if !strings.Contains(err.Error(), tt.want) || !strings.HasPrefix(err.Error(), "shop/x.yaml:") {
				t.Errorf("got %v\nwant %s", err, tt.want)
			}
		})
	}
}

// TestLawsOfOverlay: a workshop adds laws and changes those of the base, and accepts another risk.
func TestLawsOfOverlay(t *testing.T) {
	cat, err := overlay(good + `laws:
  - {id: trim-rattle, unit: km, step: 5000, weight: 3, source: {from: practice},
     life: {model: lognormal, median: 90000, spread: 1.5, shape: 0.5, shape-spread: 1.4, sensitivity: 0.9, specificity: 0.9}}
change:
  - {id: brake-fluid-look, kind: law, set: {cap: {months: 36}, weight: 9}}
  - {id: comfort, kind: risk, set: {accept: 0.3}}
`)
	if err != nil {
		t.Fatal(err)
	}
	law := func(c *point.Catalogue, id string) *point.Law {
		i := slices.IndexFunc(c.Laws, func(l *point.Law) bool { return l.ID == id })
		if i < 0 {
			t.Fatalf("there is no law %s", id)
		}
		return c.Laws[i]
	}
	now, old := law(cat, "brake-fluid-look"), law(base(t), "brake-fluid-look")
	if now.Cap.Months != 36 || now.Weight != 9 || now.Life.Median != old.Life.Median || old.Cap.Months != 48 {
		t.Errorf("changed law %+v, base %+v", now, old)
	}
	if law(cat, "trim-rattle").Life.Model != "lognormal" || len(cat.Laws) != len(base(t).Laws)+1 {
		t.Error("the law of the overlay is missing")
	}
	if cat.Risks[point.Comfort] != 0.3 || base(t).Risks[point.Comfort] != 0.2 {
		t.Errorf("risk of comfort %g, in the base %g", cat.Risks[point.Comfort], base(t).Risks[point.Comfort])
	}
	if _, err := overlay("change:\n  - {id: brake-fluid-look, kind: law, set: {unit: miles}}\n"); err == nil || !strings.HasPrefix(err.Error(), `shop/x.yaml:2: law brake-fluid-look: unit is "miles"`) {
		t.Errorf("change to nonsense: %v", err)
	}
}

// TestFluidsHaveLaws: what is renewed by the calendar or the distance has a law to learn a better interval from.
func TestFluidsHaveLaws(t *testing.T) {
	cat := base(t)
	has := map[string]bool{}
	for _, l := range cat.Laws {
		has[l.Point] = true
	}
	n := 0
	for _, p := range cat.Points {
		if p.Renewal == nil {
			continue
		}
		n++
		if !has[p.ID] {
			t.Errorf("point %s is renewed after %g km or %g months but has no law", p.ID, p.Renewal.Km, p.Renewal.Months)
		}
	}
	if n < 10 {
		t.Errorf("only %d points with a renewal", n)
	}
}

// TestLawsAgree: a law starts from what the points say. Its item is what the point's own work or renewal renews, and the
// interval that common practice gives lies within reach of the law.
func TestLawsAgree(t *testing.T) {
	cat := base(t)
	for _, l := range cat.Laws {
		p := cat.Point(l.Point)
		if l.Source.From != "practice" {
			t.Errorf("law %s has source %q", l.ID, l.Source.From)
		}
		if own := itemsOf(cat, p); l.Item != "" && !slices.Contains(own, l.Item) {
			// Play of the linkage is looked into first; what is renewed then is a joint.
			if !(l.ID == "steering-linkage-play" && l.Item == "track-rod-ends") {
				t.Errorf("law %s counts from %s, but the point's work renews %v", l.ID, l.Item, own)
			}
		} else if l.Item == "" && len(own) > 0 && !slices.Contains([]string{"coolant-traces", "rust-outside", "floor-and-sills", "jacking-points"}, l.ID) {
			t.Errorf("law %s counts from the first registration, but the point's work renews %v", l.ID, own)
		}
		if r := p.Renewal; r != nil && l.Life != nil {
			usual, cap := (&point.Schedule{Km: r.Km, Months: r.Months}).In(l.Unit), l.Cap.In(l.Unit)
			if r.Item != l.Item || cap == 0 || usual > cap || usual > 2*l.Life.Median {
				t.Errorf("law %s: usual interval %g of %s, cap %g, median %g", l.ID, usual, r.Item, cap, l.Life.Median)
			}
		}
	}
}

// itemsOf lists what the point's renewal and the jobs of its findings renew.
func itemsOf(cat *point.Catalogue, p *point.Point) []string {
	var out []string
	if p.Renewal != nil {
		out = append(out, p.Renewal.Item)
	}
	jobs := slices.Clone(p.Jobs)
	for _, s := range p.States {
		jobs = append(jobs, s.Jobs...)
	}
	for _, l := range p.Limits {
		jobs = append(jobs, l.Jobs...)
	}
	for _, id := range jobs {
		out = append(out, cat.Jobs[id].Renews...)
	}
	return out
}

// TestConsequences: the accepted risk follows from who is hurt: what stops the car or turns it hurts people (but a darkened fluid only
// asks for a change, its water is what counts), oil and coolant the
// machine, a cabin filter comfort.
func TestConsequences(t *testing.T) {
	cat := base(t)
	want := map[string]float64{"engine-oil-look": 0.05, "coolant-look": 0.05, "air-filter": 0.05, "drive-belt": 0.05, "gearbox-fluid-look": 0.05,
		"battery-cranking-current": 0.05, "cabin-filter": 0.20, "key-battery": 0.20, "brake-fluid-look": 0.20, "brake-fluid-water": 0.01,
		"pad-thickness/F": 0.01, "disc-thickness/R": 0.01, "tyre-tread/F": 0.01, "brake-hoses": 0.01, "ball-joint": 0.01, "leak-steering": 0.01}
	for _, l := range cat.Laws {
		got := l.Risk
		if got == 0 {
			got = cat.Risks[cat.Point(l.Point).Consequence]
		}
		if w, ok := want[l.ID]; ok && got != w {
			t.Errorf("law %s accepts %g, want %g", l.ID, got, w)
		}
		delete(want, l.ID)
	}
	for id := range want {
		t.Errorf("there is no law %s", id)
	}
	for _, p := range cat.Points {
		worst := verdict.Sound
		for _, s := range p.States {
			if s.Verdict.Worse(worst) {
				worst = s.Verdict
			}
		}
		if p.Group == "brakes" && p.Consequence != point.People && worst == verdict.Unsafe {
			t.Errorf("%s can be unsafe, but hurts %s", p.ID, p.Consequence)
		}
	}
}
