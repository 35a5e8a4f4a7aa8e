package sums

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"witnessmark/core/unit"
)

// contract is the table of what scripts rely on: the keys and the fields of every sum that is required by name.
var contract = []struct{ name, keys, fields string }{
	{"coolant-freeze", "glycol volume mass", "freeze_degC"},
	{"coolant-mix", "glycol capacity now drain target", "concentrate_L water_L drains reached_degC"},
	{"fluid-exchange", "capacity drain times wanted", "old_share times litres"},
	{"brake-fluid", "class boiling water", "verdict dry_min_degC wet_min_degC"},
	{"oil-viscosity", "v40 v100 at", "kinematic_mm2_s viscosity_index grade"},
	{"battery-charge", "type volts at", "charge_percent"},
	{"tyre-age", "code on", "made years"},
	{"tyre-pressure", "set at now", "bar"},
	{"tread", "depth season", "mm in_32nds verdict"},
	{"toe", "mm diameter", "degrees minutes"},
	{"steering-play", "wheel play", "limit_mm verdict"},
	{"vin", "vin", "well_formed check_digit check_ok years"},
}

func TestContract(t *testing.T) {
	for _, c := range contract {
		s, ok := Find(c.name)
		if !ok {
			t.Errorf("%s is missing", c.name)
			continue
		}
		for _, key := range strings.Fields(c.keys) {
			if s.key(key) == nil {
				t.Errorf("%s has no key %s", c.name, key)
			}
		}
		for _, k := range s.Keys { // whatever else there is may be left out
			if !slices.Contains(strings.Fields(c.keys), k.Name) && !k.Optional && k.Default == "" {
				t.Errorf("%s asks for %s, which nobody was told", c.name, k.Name)
			}
		}
		r, err := s.Run(example(s))
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
		}
		for _, f := range strings.Fields(c.fields) {
			if r.Value(f) == nil || r.Map()[f] == nil {
				t.Errorf("%s does not answer %s: %+v", c.name, f, r)
			}
		}
		if r.Map()["source"] == "" {
			t.Errorf("%s names no source", c.name)
		}
	}
}

// example reads a sum's own example, where quotes hold spaces together.
func example(s Sum) map[string]string {
	var words []string
	quoted := false
	for _, part := range strings.FieldsFunc(s.Example, func(r rune) bool {
		if r == '"' {
			quoted = !quoted
		}
		return r == ' ' && !quoted
	}) {
		words = append(words, strings.ReplaceAll(part, `"`, ""))
	}
	args := map[string]string{}
	for _, w := range words {
		key, value, _ := strings.Cut(w, "=")
		args[key] = value
	}
	return args
}

func TestEverySumIsComplete(t *testing.T) {
	seen := map[string]bool{}
	for _, s := range All() {
		if seen[s.Name] || s.Name != strings.ToLower(s.Name) || s.Title == "" || s.Source == "" || s.Caution == "" || len(s.Outputs) == 0 {
			t.Errorf("%s is incomplete or there twice", s.Name)
		}
		seen[s.Name] = true
		for _, k := range s.Keys {
			if k.Title == "" || (k.Kind == Quantity || k.Kind == List) != (len(k.Units) > 0) || (k.Kind == Choice) != (len(k.Choices) > 1) || k.Kind != Choice && k.Example == "" {
				t.Errorf("%s: key %s is incomplete", s.Name, k.Name)
			}
			if k.Kind == Choice && k.Default != "" && !slices.Contains(k.Choices, k.Default) {
				t.Errorf("%s: the default of %s is none of its choices", s.Name, k.Name)
			}
			for _, text := range []string{k.Example, k.Default} {
				in := &input{typed: map[string]string{}, nums: map[string]float64{}, lists: map[string][]float64{}}
				if err := in.take(&k, text); text != "" && err != nil {
					t.Errorf("%s: %s=%s is not read: %v", s.Name, k.Name, text, err)
				}
			}
		}
		r, err := s.Run(example(s))
		if err != nil {
			t.Errorf("%s %s: %v", s.Name, s.Example, err)
		}
		last := -1
		for _, f := range r.Fields {
			at := slices.IndexFunc(s.Outputs, func(o Output) bool { return o.Name == f.Name })
			if at <= last && s.Name != "coolant-reading" && s.Name != "coolant-freeze" {
				t.Errorf("%s answers %s, which is not declared or out of order", s.Name, f.Name)
			}
			if at < 0 {
				t.Errorf("%s answers %s, which is not declared", s.Name, f.Name)
			}
			last = at
		}
	}
	if len(seen) < 20 {
		t.Errorf("only %d sums", len(seen))
	}
	if _, ok := Find("no-such-sum"); ok {
		t.Error("a sum that does not exist is found")
	}
}

func TestErrorsNameTheKey(t *testing.T) {
	for _, c := range []struct{ line, key, want string }{
		{"coolant-mix glycol=ethylene capacity=7.5 now=-20C drain=4L target=-37C", "capacity", "the unit is missing"},
		{"coolant-mix glycol=ethylene capacity=7.5L now=-20 drain=4L target=-37C", "now", "expected a number in °C or °F, such as -20C"},
		{"coolant-mix glycol=ethylene capacity=7.5L now=-20C drain=4L", "target", "this is missing"},
		{"coolant-mix glycol=ethylene capacity=7.5bar now=-20C drain=4L target=-37C", "capacity", "they measure different things"},
		{"coolant-mix glycol=ethylene capacity=7.5L now=-20C drain=9L target=-37C", "drain", "cannot be drained"},
		{"coolant-mix glycol=ethylene capacity=7.5L now=5C drain=4L target=-37C", "now", "not a mixture"},
		{"coolant-mix glycol=glycerine capacity=7.5L now=5C drain=4L target=-37C", "glycol", "expected ethylene or propylene"},
		{"coolant-freeze glycol=ethylene volume=0.5", "volume", "the unit is missing"},
		{"coolant-freeze glycol=ethylene", "", "exactly one"},
		{"coolant-freeze glycol=ethylene volume=50% mass=50%", "", "exactly one"},
		{"coolant-freeze glycol=ethylene colour=blue", "colour", "there is no such key"},
		{"coolant-reading glycol=ethylene ethylene_scale=-30C", "ethylene_scale", "needs no correction"},
		{"fluid-exchange capacity=9L drain=4L times=2.5", "times", "whole number"},
		{"fluid-exchange capacity=9L drain=4L times=3L", "times", "not a plain number"},
		{"brake-fluid class=DOT_9 boiling=150C", "class", "is not a class"},
		{"brake-fluid class=mineral boiling=150C", "class", "no limits"},
		{"brake-fluid class=DOT_4", "", "at least one"},
		{"brake-fluid class=DOT_4 boiling=20C", "boiling", "80 to 330"},
		{"oil-viscosity v40=8.86 v100=73.3 at=40C", "v100", "exchanged"},
		{"oil-viscosity v40=73.3 v100=8.86 at=70", "at", "the unit is missing"},
		{"oil-start lowest=-50C", "lowest", "preheat"},
		{"battery-charge type=lithium volts=12.4V", "type", "expected flooded, agm or gel"},
		{"battery-charge type=agm volts=24.8V", "volts", "8 to 15 V"},
		{"tyre-age code=1217 on=21.3.2026", "on", "expected a day"},
		{"tyre-age code=1230 on=2026-03-21", "code", "read it again"},
		{"tyre-pressure set=2.3 at=20C now=0C", "set", "the unit is missing"},
		{"tyre-load service=91V axle=1050 top=205km/h", "axle", "the unit is missing"},
		{"tyre-load service=91V axle=1050kg top=205mm", "top", "is not known"},
		{"tyre-size own=205 other=225/45_R17", "own", "no tyre size"},
		{"tread depth=5 season=summer", "depth", "the unit is missing"},
		{"tread depth=9mm season=summer new=8mm", "depth", "deeper than when new"},
		{"toe mm=2 diameter=400", "diameter", "the unit is missing"},
		{"toe-mm angle=1 diameter=400mm", "angle", "the unit is missing"},
		{"steering-play wheel=40mm play=3mm", "wheel", "250 to 600"},
		{"wheel-angles toe=6';6';18'", "toe", "expected four"},
		{"brake-disc readings=24mm minimum=22mm", "readings", "two or more"},
		{"brake-disc readings=24mm;24mm minimum=22mm outer=23mm", "outer", "both"},
		{"brake-efficiency forces=2500N;-2400N mass=1600kg registered=2014", "forces", "below 0"},
		{"vin", "vin", "this is missing"},
	} {
		words := strings.Fields(c.line)
		s, _ := Find(words[0])
		r, err := s.Run(arguments(words[1:]))
		var e *Error
		if !errors.As(err, &e) || e.Key != c.key || e.Sum != words[0] || !strings.Contains(err.Error(), c.want) || len(r.Fields) != 0 {
			t.Errorf("%s: %v, %v; want key %q and %q", c.line, r.Fields, err, c.key, c.want)
		}
	}
}

// The same quantity in another unit gives the same answer.
func TestUnitsMakeNoDifference(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		write := func(v float64, from, to unit.Unit) string {
			x, err := unit.Convert(v, from, to)
			if err != nil {
				t.Fatal(err)
			}
			return fmt.Sprintf("%.12f%s", x, to)
		}
		v := rapid.Float64Range(3, 15).Draw(t, "capacity")
		d := v * rapid.Float64Range(0.4, 0.9).Draw(t, "part")
		now, target := rapid.Float64Range(-20, -1).Draw(t, "now"), rapid.Float64Range(-45, -21).Draw(t, "target")
		run := func(l, c unit.Unit) float64 {
			s, _ := Find("coolant-mix")
			r, err := s.Run(map[string]string{"glycol": "ethylene", "capacity": write(v, unit.L, l), "drain": write(d, unit.L, l), "now": write(now, unit.DegC, c), "target": write(target, unit.DegC, c)})
			if err != nil {
				t.Fatal(err)
			}
			return r.Value("concentrate_L").(float64)
		}
		a := run(unit.L, unit.DegC)
		for _, l := range []unit.Unit{unit.Quart, unit.Gallon, unit.ML} {
			if b := run(l, unit.DegF); math.Abs(a-b) > 0.0011 {
				t.Fatalf("%v L of concentrate, in %s %v", a, l, b)
			}
		}
	})
}

func TestRound(t *testing.T) {
	for _, c := range []struct {
		v      float64
		places int
		want   float64
	}{{1.2345, 2, 1.23}, {-0.001, 1, 0}, {12.5, 0, 13}, {math.NaN(), 2, 0}, {math.Inf(1), 2, 0}} {
		if got := round(c.v, c.places); got != c.want || math.Signbit(got) != math.Signbit(c.want) {
			t.Errorf("round(%v, %d) = %v, want %v", c.v, c.places, got, c.want)
		}
	}
	for v, want := range map[float64]float64{148.6123: 148.6, 20.9234: 20.92, 12345.6: 12350, 0: 0, 2.00049: 2} {
		if got := significant(v, 4); math.Abs(got-want) > 1e-9 {
			t.Errorf("significant(%v) = %v, want %v", v, got, want)
		}
	}
	for deg, want := range map[float64]string{0.2865: "0° 17.2'", 0.99999: "1° 0.0'", -0.25: "-0° 15.0'", 1.5: "1° 30.0'", 0: "0° 0.0'"} {
		if got := inMinutes(deg); got != want {
			t.Errorf("%v is %q, want %q", deg, got, want)
		}
	}
}

// Whatever is typed is answered or refused with the key's name; numbers of an answer are numbers.
func FuzzRun(f *testing.F) {
	for i, s := range All() {
		for _, k := range s.Keys {
			f.Add(i, k.Name, k.Example)
		}
	}
	f.Fuzz(func(t *testing.T, i int, key, value string) {
		list := All()
		s := list[((i%len(list))+len(list))%len(list)]
		args := example(s)
		args[key] = value
		r, err := s.Run(args)
		var e *Error
		if err != nil {
			if !errors.As(err, &e) || len(r.Fields) != 0 {
				t.Fatalf("%s %s=%q: %v, %v", s.Name, key, value, r, err)
			}
			return
		}
		for _, field := range r.Fields {
			if v, ok := field.Value.(float64); ok && (math.IsNaN(v) || math.IsInf(v, 0)) {
				t.Fatalf("%s %s=%q: %s is %v", s.Name, key, value, field.Name, v)
			}
		}
	})
}

// Reading the arguments costs more than any sum: some 25 microseconds in all, which is no hot path.
func BenchmarkRun(b *testing.B) {
	s, _ := Find("coolant-mix")
	args := example(s)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := s.Run(args); err != nil {
			b.Fatal(err)
		}
	}
}
