package catalogue

import (
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"witnessmark/core/point"
	"witnessmark/core/round"
)

// overlay loads the base with one file on top.
func overlay(text string) (*point.Catalogue, error) {
	return Load(Layer{Name: "catalogue", Files: Base()}, Layer{Name: "shop", Files: fstest.MapFS{"x.yaml": {Data: []byte(text)}}})
}

const good = `points:
  - id: trim-rattle
    name: Rattle of the trim
    station: road
    group: road
    depths: [full]
    ask: "Does the trim rattle?"
    method: "Listen."
    kind: state
    consequence: comfort
    source: {from: practice}
    jobs: [find-noise]
    means: "Something is loose."
    wait: "It will go on."
    states:
      - {id: quiet, say: Quiet, verdict: sound, why: "Nothing rattles."}
      - {id: rattles, say: Rattles, verdict: due, why: "The trim rattles."}
`

func TestOverlayAdds(t *testing.T) {
	cat, err := overlay(good)
	if err != nil {
		t.Fatal(err)
	}
	p := cat.Point("trim-rattle")
	if p == nil || p.Order != defaultOrder || p.OwnerName != p.Name || len(cat.Points) != len(base(t).Points)+1 {
		t.Errorf("added point: %+v", p)
	}
	if cat.Version == base(t).Version || base(t).Point("trim-rattle") != nil {
		t.Error("the overlay has not changed the version, or has changed the base")
	}
}

func TestOverlayChanges(t *testing.T) {
	cat, err := overlay(`change:
  - {id: brake-fluid-look, kind: point, set: {order: 7, renewal: {item: brake-fluid, months: 12, verdict: due, source: {from: practice}}}}
  - {id: renew-brake-fluid, kind: job, set: {name: Flush the brakes}}
  - {id: fan-drive, kind: facet, set: {default: engine}}
  - {id: coolant-freeze-target-degC, kind: spec, set: {default: -20}}
  - {id: used-oil, kind: caution, set: {say: "Wear gloves."}}
`)
	if err != nil {
		t.Fatal(err)
	}
	old := base(t).Point("brake-fluid-look")
	p := cat.Point("brake-fluid-look")
	if p.Order != 7 || p.Renewal.Months != 12 || len(p.States) != len(old.States) || p.Method != old.Method {
		t.Errorf("changed point: order %d, renewal %+v", p.Order, p.Renewal)
	}
	if old.Renewal.Months != 24 || base(t).Jobs["renew-brake-fluid"].Name == "Flush the brakes" {
		t.Error("the overlay has changed the base")
	}
	if cat.Jobs["renew-brake-fluid"].Name != "Flush the brakes" || *cat.Specs["coolant-freeze-target-degC"].Default != -20 || cat.Cautions["used-oil"].Say != "Wear gloves." {
		t.Error("job, figure or caution is not changed")
	}
	if got := round.Resolve(cat, nil, "", time.Time{})["fan-drive"]; got.Value != "engine" || got.Given {
		t.Errorf("the changed default is %+v", got)
	}
}

// small is a base that loads a hundred times as fast as the real one; the good overlay fits on it too.
const small = `sources: [{id: us-570, title: T}]
jobs: [{id: find-noise, name: Find the noise, does: "Find it."}]
facets:
  - {id: market, name: M, values: [eu, us], default: eu}
  - {id: fuel, name: Fuel, values: [petrol, diesel], default: petrol}
  - {id: engine-family, name: Family}
specs: [{id: timing-belt-interval-km, name: "Maker's distance", unit: km}]
regulations: [{id: eu, title: EU, items: [{id: "7.7", title: Horn, applies: M1, status: memory}]}]
points:
  - id: horn
    name: Horn
    station: cabin
    group: lamps
    depths: [full]
    ask: "Does it sound?"
    method: "Press."
    kind: state
    consequence: people
    source: {from: practice}
    jobs: [find-noise]
    means: "Nobody hears you."
    wait: "Nobody will."
    states:
      - {id: works, say: Works, verdict: sound, why: "It sounds."}
      - {id: silent, say: Silent, verdict: due, why: "It is silent."}
`

// TestOverlayErrors: every fault names the file and the line, and says what was expected.
func TestOverlayErrors(t *testing.T) {
	tests := []struct{ name, old, new, want string }{
		{"no YAML", good, "points: [", "shop/x.yaml:2: "},
		{"no list", good, "- a\n", "shop/x.yaml:1: expected lists such as points: or jobs:"},
		{"unknown list", good, "pionts: []\n", `shop/x.yaml:1: unknown list "pionts"; expected points, jobs,`},
		{"list that is none", good, "points: horn\n", "shop/x.yaml:1: expected a list after points:"},
		{"no id", "  - id: trim-rattle\n    name", "  - name", "shop/x.yaml:2: a point needs an id"},
		{"bad id", "id: trim-rattle", "id: Trim rattle!", `shop/x.yaml:2: id "Trim rattle!": expected lower-case words`},
		{"id of the base", "id: trim-rattle", "id: horn", "shop/x.yaml:2: point horn is defined already at small/b.yaml:"},
		{"unknown key", "station: road", "station: road\n    colour: red", `shop/x.yaml:5: unknown key "colour"; expected one of id, name,`},
		{"unknown key in a state", "say: Quiet,", "say: Quiet, tint: red,", `shop/x.yaml:16: unknown key "tint"; expected one of id, say,`},
		{"station", "station: road", "station: pit", `shop/x.yaml:2: point trim-rattle: station is "pit"; expected one of paperwork, cabin,`},
		{"group", "group: road", "group: noises", `point trim-rattle: group is "noises"; expected one of papers,`},
		{"kind", "kind: state", "kind: colour", `point trim-rattle: kind is "colour"; expected one of state, level, measure, code`},
		{"consequence", "consequence: comfort", "consequence: none", `consequence is "none"; expected one of people, machine, comfort`},
		{"depth", "depths: [full]", "depths: [deep]", `depth is "deep"; expected one of full, quick, driveway`},
		{"never looked at in full", "depths: [full]", "depths: [quick]", "depths must hold full"},
		{"no question", `ask: "Does the trim rattle?"`, `ask: ""`, "point trim-rattle: ask is missing"},
		{"no words for the owner", `means: "Something is loose."`, `means: ""`, "point trim-rattle: means is missing"},
		{"unknown job", "jobs: [find-noise]", "jobs: [find-quiet]", `point trim-rattle: there is no job "find-quiet"`},
		{"no job", "    jobs: [find-noise]\n", "", "shop/x.yaml:16: point trim-rattle, state rattles: verdict due needs a job"},
		{"unknown caution", "jobs: [find-noise]", "jobs: [find-noise]\n    cautions: [mind-ears]", `there is no caution "mind-ears"`},
		{"no source", "    source: {from: practice}\n", "", "point trim-rattle: source is missing; expected {from: practice} or a document"},
		{"unknown source", "{from: practice}", "{from: grandfather}", `point trim-rattle: there is no source "grandfather"`},
		{"source without status", "{from: practice}", "{from: us-570}", `source us-570 has status ""; expected verified or memory`},
		{"one state", `      - {id: rattles, say: Rattles, verdict: due, why: "The trim rattles."}` + "\n", "", "kind state needs two states or more, best first"},
		{"state twice", "id: rattles", "id: quiet", "shop/x.yaml:17: point trim-rattle, state quiet: a state needs an id of its own"},
		{"state without words", "say: Quiet", `say: ""`, "shop/x.yaml:16: point trim-rattle, state quiet: say and why are needed"},
		{"verdict", "verdict: due", "verdict: bad", `verdict is "bad"; expected sound, watch, due, overdue or unsafe`},
		{"unjudged is no verdict of a state", "verdict: due", "verdict: unjudged", `verdict is "unjudged"; expected sound`},
		{"class", "verdict: due,", "verdict: due, category: {eu: fatal},", "category {eu: fatal}; expected eu: minor, major or dangerous"},
		{"class graver than the verdict", "verdict: due,", "verdict: due, category: {eu: dangerous},", "category dangerous asks for verdict unsafe or worse, not due"},
		{"item of a regulation", "verdict: due,", `verdict: due, item: "eu:99",`, `item "eu:99" is no item of a regulation`},
		{"covers", "jobs: [find-noise]", `jobs: [find-noise]` + "\n    " + `covers: ["eu:99"]`, `covers "eu:99", which is no item of a regulation`},
		{"facet", "jobs: [find-noise]", "jobs: [find-noise]\n    applies: {sunroof: yes}", `condition: there is no facet "sunroof"`},
		{"facet's word", "jobs: [find-noise]", "jobs: [find-noise]\n    applies: {fuel: coal}", `condition: facet fuel is "coal"; expected petrol`},
		{"range of a word", "jobs: [find-noise]", "jobs: [find-noise]\n    applies: {fuel: {from: 3}}", "facet fuel is not a number, so it has no range"},
		{"condition that is none", "jobs: [find-noise]", "jobs: [find-noise]\n    applies: petrol", "expected a condition such as {fan-drive: engine}"},
		{"position", "jobs: [find-noise]", "jobs: [find-noise]\n    positions: [left]", `position "left"; expected FL FR RL RR, F R, spare or a number`},
		{"place", "jobs: [find-noise]", "jobs: [find-noise]\n    positions: [FL]\n    places: [edge]", `place "edge"; expected inner, middle or outer`},
		{"places alone", "jobs: [find-noise]", "jobs: [find-noise]\n    places: [inner]", "places need positions"},
		{"count", "jobs: [find-noise]", "jobs: [find-noise]\n    count: fuel", `count names "fuel", which is no number facet`},
		{"value without unit", "jobs: [find-noise]", "jobs: [find-noise]\n    values: [{name: loud, label: l, min: 0, max: 1}]", "value loud: the name must end in a unit"},
		{"value's range", "jobs: [find-noise]", "jobs: [find-noise]\n    values: [{name: mm, label: l, min: 1, max: 1}]", "value mm: expected min below max"},
		{"value's label", "jobs: [find-noise]", "jobs: [find-noise]\n    values: [{name: mm, min: 0, max: 1}]", "value mm: label is missing"},
		{"limit's comparison", "jobs: [find-noise]", "jobs: [find-noise]\n    values: [{name: mm, label: l, min: 0, max: 1}]\n    limits: [{is: under, value: 1, verdict: due, source: {from: practice}}]", `is "under"; expected below, at-or-below, above or at-or-above`},
		{"limit without figure", "jobs: [find-noise]", "jobs: [find-noise]\n    values: [{name: mm, label: l, min: 0, max: 1}]\n    limits: [{is: below, verdict: due, source: {from: practice}}]", "expected one of value, spec or table"},
		{"limit's specification", "jobs: [find-noise]", "jobs: [find-noise]\n    values: [{name: mm, label: l, min: 0, max: 1}]\n    limits: [{is: below, spec: rattle-mm, verdict: due, source: {from: car}}]", `there is no specification "rattle-mm"`},
		{"limit's table", "jobs: [find-noise]", "jobs: [find-noise]\n    values: [{name: mm, label: l, min: 0, max: 1}]\n    limits: [{is: below, table: noises, by: mm, verdict: due, source: {from: car}}]", `there is no table "noises"`},
		{"rule", "jobs: [find-noise]", "jobs: [find-noise]\n    rules: [{rule: of-thumb}]", `rule "of-thumb"; expected one of low-brake-fluid,`},
		{"rule of level without words", "jobs: [find-noise]", "jobs: [find-noise]\n    rules: [{rule: unreadable-when-low, level-point: sea, state: low}]", `there is no point "sea"`},
		{"pair", "jobs: [find-noise]", "jobs: [find-noise]\n    pairs: [{between: top-bottom, beyond: 1, verdict: due, why: x, source: {from: practice}}]", "expected between: left-right or inner-outer"},
		{"pair of a state", "jobs: [find-noise]", "jobs: [find-noise]\n    pairs: [{between: left-right, beyond: 1, verdict: due, why: x, source: {from: practice}}]", "pair: a difference needs a value"},
		{"renewal", "jobs: [find-noise]", "jobs: [find-noise]\n    renewal: {item: trim, verdict: due, source: {from: practice}}", "renewal: expected item, and months or km"},
		{"pattern", "kind: state", "kind: state\n    pattern: \"[\"", "pattern: error parsing regexp"},
		{"change of nothing", good, "change:\n  - {id: hooter, kind: point, set: {order: 1}}\n", `shop/x.yaml:2: change: there is no point "hooter" to change`},
		{"change without set", good, "change:\n  - {id: horn, kind: point}\n", "shop/x.yaml:2: change: expected set: with the keys to replace"},
		{"change of an id", good, "change:\n  - {id: horn, kind: point, set: {id: hooter}}\n", "shop/x.yaml:2: change: an id can't be changed"},
		{"change to nonsense", good, "change:\n  - id: horn\n    kind: point\n    set: {station: pit}\n", `shop/x.yaml:2: point horn: station is "pit"`},
		{"family's point", good, "family: {id: f, name: F, when: {engine-family: f}, weak-spots: [{point: sea, say: wet}]}\n", `family f: there is no point "sea"`},
		{"family's figure", good, "family: {id: f, name: F, when: {engine-family: f}, specs: [{id: timing-belt-interval-km, value: far, origin: o}]}\n", `family f: timing-belt-interval-km is "far"; expected a number`},
		{"family's facet", good, "family: {id: f, name: F, when: {engine-family: f}, facets: {fuel: coal}}\n", `family f: facet fuel is "coal"`},
		{"table falls", good, "tables:\n  - {id: x, by: mm, gives: mm, rows: [[2, 1], [1, 1]], source: {from: practice}}\n", "shop/x.yaml:2: table x: rows must rise, 1 comes after 2"},
		{"table of nothing", good, "tables:\n  - {id: x, by: mm, gives: mm, rows: [], source: {from: practice}}\n", "table x has no rows"},
		{"facet's default", good, "facets:\n  - {id: sunroof, name: S, values: [a], default: b}\n", `shop/x.yaml:2: default: facet sunroof is "b"; expected a`},
		{"job without words", good, "jobs:\n  - {id: x, name: X}\n", "shop/x.yaml:2: job x: name and does are needed"},
		{"caution without words", good, "cautions:\n  - {id: x}\n", "shop/x.yaml:2: caution x says nothing"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if !strings.Contains(good, tt.old) {
				t.Fatalf("the good overlay has no %q to replace", tt.old)
			}
			text := strings.Replace(good, tt.old, tt.new, 1)
			cat, err := Load(Layer{Name: "small", Files: fstest.MapFS{"b.yaml": {Data: []byte(small)}}}, Layer{Name: "shop", Files: fstest.MapFS{"x.yaml": {Data: []byte(text)}}})
			if err == nil || cat != nil {
				t.Fatal("accepted")
			}
			if !strings.Contains(err.Error(), tt.want) || !strings.HasPrefix(err.Error(), "shop/x.yaml:") {
				t.Errorf("got %v\nwant %s", err, tt.want)
			}
		})
	}
}

// FuzzLoad: whatever an overlay file holds, loading it gives a catalogue or a fault, never a panic.
func FuzzLoad(f *testing.F) {
	f.Add([]byte(good))
	f.Add([]byte(lawBase + goodLaws))
	f.Add([]byte(goodCauses))
	f.Add([]byte(jack))
	f.Add([]byte("signs: [{id: a, leak: .nan, faint: {b: .inf}}]\ncauses: [{id: a, explains: {a: 1, a: []}}]\ncomplaints: [{id: a, raised: [a]}]\nquiet: [{id: a}]"))
	f.Add([]byte("risks: [{id: people, accept: .nan}]\nlaws: [{id: a/F, life: null, wear: {new: .inf}}, {id: /}]"))
	for _, s := range []string{"", "points:\n- id: a\n  kind: state\n", "change: [{id: horn, kind: point, set: {states: []}}]", "family: {id: f}", "family: 3",
		"tables: [{id: steering-x, rows: [[a, 1], [1, b]]}]", "a: &a [*a]", "points: [{id: a, positions: [{at: [FL], when: {any: []}}]}]", "change: [{id: pad-thickness, kind: point, set: {values: []}}]"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		cat, err := Load(Layer{Name: "x", Files: fstest.MapFS{"x.yaml": {Data: text}}})
		if (cat == nil) != (err != nil) {
			t.Fatalf("catalogue %v with error %v", cat, err)
		}
	})
}
