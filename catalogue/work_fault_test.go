package catalogue

import (
	"strings"
	"testing"
	"testing/fstest"
)

// jack is a workshop's own job, with a preparation, a part and the work, without a fault.
const jack = `setups:
  - {id: pit, name: Pit, does: "Drive over the pit.", undo: "Drive off.", minutes: 9, undo-minutes: 3, order: 200}
  - {id: pump-off, name: Pump off, does: "Take it off.", minutes: 9, order: 210, under: [pit]}
parts:
  - {id: jack-oil, name: Jack oil, unit: L, fluid: true, for: [jack oil]}
jobs:
  - {id: mend-jack, name: Mend the jack, does: "Mend it.", takes: [{what: brake fluid, spec: brake-fluid-change-L}]}
work:
  - id: mend-jack
    setups: [pit, pump-off, engine-warm]
    per: corner
    steps:
      - {say: "Mend it.", minutes: 5, cautions: [jack]}
    parts: [{part: jack-oil, amount: 0.125}]
    fields: [{name: Nuts, unit: Nm}]
    follows: [{say: "Look again.", point: horn, days: 7, km: 100, source: practice}]
    baselines: [horn]
`

// around is what jack refers to.
const around = `setups:
  - {id: engine-warm, name: Warm, does: "Run it.", minutes: 20, order: 300, last: true}
  - {id: road-drive, name: Road, does: "Drive it.", minutes: 20, order: 310, last: true}
parts:
  - {id: brake-fluid, name: Brake fluid, unit: L, fluid: true, for: [brake fluid]}
  - {id: jack-pad, name: Jack pad, unit: piece}
cautions:
  - {id: jack, say: "Never below it."}
specs:
  - {id: brake-fluid-change-L, name: Brake fluid, unit: L, min: 0.3, max: 3, ask: "How much?"}
  - {id: wheel-bolt-torque-Nm, name: Torque, unit: Nm, min: 50, max: 300, ask: "How tight?"}
`

// TestWorkFaults: every fault in a preparation, a part or the work names file and line and says what was expected.
func TestWorkFaults(t *testing.T) {
	tests := []struct{ name, old, new, want string }{
		{"preparation without words", `does: "Drive over the pit.", `, "", "shop/x.yaml:2: setup pit: name and does are needed"},
		{"preparation without time", "minutes: 9, undo-minutes: 3", "undo-minutes: 3", "shop/x.yaml:2: setup pit: minutes is 0; expected 1 to 240"},
		{"undoing takes all", "undo-minutes: 3", "undo-minutes: 9", "undo-minutes is 9; expected less than the 9 minutes"},
		{"undoing without words", `undo: "Drive off.", `, "", "setup pit: undo and undo-minutes come together"},
		{"an axle that is none", "order: 200", "order: 200, axle: left", `setup pit: axle is "left"; expected F or R`},
		{"what comes last has no axle", "order: 200", "order: 200, axle: F, last: true", "setup pit: what comes last concerns the whole car; expected no axle"},
		{"fills what nobody buys", "order: 200", "order: 200, fills: jack wine", `setup pit: fills is "jack wine"; expected a fluid that a part is bought for`},
		{"under an axle's", "order: 200", "order: 200, axle: F", "shop/x.yaml:3: setup pump-off: it comes under pit, which concerns axle F; expected the same axle"},
		{"under what comes later", "order: 210", "order: 190", "setup pump-off: order is 190; expected more than the 200 of pit, under which it comes"},
		{"under what comes last", "order: 200", "order: 200, last: true", "setup pump-off: it comes under pit; expected both to come last, or neither"},
		{"under nothing", "under: [pit]", "under: [ramp]", `setup pump-off: there is no setup "ramp"`},
		{"part's unit", "unit: L, fluid", "unit: can, fluid", `shop/x.yaml:5: part jack-oil: unit is "can"; expected one of piece, set, L, kg, m`},
		{"a fluid by the piece", "unit: L, fluid", "unit: piece, fluid", "part jack-oil: a fluid is counted in L or kg, not piece"},
		{"taken but not filled", "fluid: true, for", "for", "part jack-oil: for names what jobs take, which is filled; expected fluid: true"},
		{"a circuit of what thins", "fluid: true, for", "fluid: true, thins: true, circuit: jack, for", "part jack-oil: circuit or thins, not both, stand with a fluid"},
		{"a circuit of what is no fluid", "{part: jack-oil, amount: 0.125}", "{part: jack-oil, amount: 1}, {part: jack-pad, amount: 1, circuit: brakes}", "part jack-pad: circuit is what a fluid goes into; expected none"},
		{"work of no job", "  - id: mend-jack\n", "  - id: mend-jill\n", `shop/x.yaml:9: work mend-jill: there is no job "mend-jill"`},
		{"per", "per: corner", "per: wheel", `work mend-jack: per is "wheel"; expected axle, corner or piece`},
		{"no step", `    steps:` + "\n" + `      - {say: "Mend it.", minutes: 5, cautions: [jack]}` + "\n", "", "work mend-jack: expected a step or more"},
		{"a step without words", `say: "Mend it.", minutes`, "minutes", "shop/x.yaml:13: work mend-jack: a step says nothing"},
		{"a step without time", "minutes: 5, cautions", "cautions", "shop/x.yaml:13: work mend-jack: minutes is 0; expected 1 to 480"},
		{"a step at a preparation that does not come last", "cautions: [jack]", "in: pit", `work mend-jack: in is "pit"; expected one of the work's setups that come last`},
		{"a step at a preparation of others", "cautions: [jack]", "in: road-drive", `work mend-jack: in is "road-drive"; expected one of the work's setups`},
		{"unknown caution", "cautions: [jack]", "cautions: [jill]", `work mend-jack: there is no caution "jill"`},
		{"unknown preparation", "[pit, pump-off", "[pit, ramp, pump-off", `work mend-jack: there is no setup "ramp"`},
		{"a preparation twice", "[pit, pump-off", "[pit, pit, pump-off", "work mend-jack: setup pit stands twice"},
		{"without what it needs", "[pit, pump-off", "[pump-off", "work mend-jack: setup pump-off needs pit too; expected it in setups"},
		{"unknown part", "part: jack-oil", "part: jack", `shop/x.yaml:14: work mend-jack: there is no part "jack"`},
		{"a part twice", "{part: jack-oil, amount: 0.125}", "{part: jack-oil, amount: 1}, {part: jack-oil, amount: 2}", "work mend-jack: part jack-oil stands twice"},
		{"a part that the job takes", "{part: jack-oil, amount: 0.125}", "{part: brake-fluid, amount: 1}", "work mend-jack: part brake-fluid is taken already, by the job's takes"},
		{"a fourth decimal", "0.125", "0.1255", `part jack-oil: amount is "0.1255"; expected a number above 0`},
		{"none of a part", "0.125", "0", `amount is "0"; expected a number above 0`},
		{"less than none", "0.125", "-1", `amount is "-1"; expected a number above 0`},
		{"a power of ten", "0.125", "1e3", `amount is "1e3"; expected a number above 0`},
		{"too much", "0.125", "1000.5", `amount is "1000.5"; expected a number above 0, at most 1000`},
		{"a figure without a name", "{name: Nuts, unit: Nm}", "{unit: Nm}", "shop/x.yaml:15: work mend-jack: a field needs a name"},
		{"a figure's unit", "unit: Nm", "unit: stone", `work mend-jack: unit is "stone"; expected one of Nm, g,`},
		{"a figure of no specification", "unit: Nm", "unit: Nm, spec: nuts", `there is no specification "nuts"`},
		{"a figure in another unit", "unit: Nm", "unit: mm, spec: wheel-bolt-torque-Nm", `specification wheel-bolt-torque-Nm is in "Nm", not "mm"`},
		{"a look that says nothing", `say: "Look again.", `, "", "shop/x.yaml:16: work mend-jack: a follow-up look says nothing"},
		{"a look at nothing", "point: horn, days", "point: sea, days", `work mend-jack: there is no point "sea"`},
		{"a look too far off", "days: 7", "days: 401", "follow-up after 401 days, 100 km; expected 0 to 400 days"},
		{"a look from nowhere", ", source: practice}]", "}]", "source is missing; expected practice or a document"},
		{"a look from hearsay", "source: practice}]", "source: hearsay}]", `there is no source "hearsay"`},
		{"a baseline of nothing", "baselines: [horn]", "baselines: [sea]", `work mend-jack: there is no point "sea"`},
		{"a baseline twice", "baselines: [horn]", "baselines: [horn, horn]", "work mend-jack: baseline horn stands twice"},
	}
	load := func(text string) error {
		_, err := Load(Layer{Name: "small", Files: fstest.MapFS{"a.yaml": {Data: []byte(around)}, "b.yaml": {Data: []byte(small)}}}, Layer{Name: "shop", Files: fstest.MapFS{"x.yaml": {Data: []byte(text)}}})
		return err
	}
	if err := load(jack); err != nil {
		t.Fatalf("the text without a fault has one: %v", err)
	}
	for _, tt := range tests {
		if !strings.Contains(jack, tt.old) {
			t.Fatalf("%s: the text has no %q", tt.name, tt.old)
		}
		err := load(strings.Replace(jack, tt.old, tt.new, 1))
		if err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%s: %v; want %q", tt.name, err, tt.want)
		}
	}
}
