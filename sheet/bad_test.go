package sheet

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"witnessmark/catalogue"
	"witnessmark/core/point"
)

func base(t testing.TB) *point.Catalogue {
	t.Helper()
	cat, err := catalogue.Default()
	if err != nil {
		t.Fatal(err)
	}
	return cat
}

// readText reads and resolves a sheet and gives what is wrong with it.
func readText(cat *point.Catalogue, text string) error {
	s, err := Read(strings.NewReader(text))
	if err != nil {
		return err
	}
	_, _, err = s.Resolve(cat, time.Time{})
	return err
}

// whole is a good sheet; each bad one below is this one with a part of it replaced.
const whole = `{
 "vehicle": {"odometer_km": 182400, "first_registered": "2009-04",
  "facets": {"fuel": "petrol", "fan-drive": "electric"},
  "specs": {"disc-thickness-min-mm": {"FL": 22.4}, "brake-fluid-class": "DOT 4"}},
 "renewed": [{"item": "engine-oil", "odometer_km": 171200, "date": "2025-09-12"}],
 "taken_on": "2026-03-21", "ambient_degC": 11,
 "readings": [
  {"point": "horn", "state": "works"},
  {"point": "tyre-tread", "at": "FL/outer", "mm": 2.1},
  {"point": "tyre-date", "at": "FL", "code": "1217"}
 ]
}`

func TestGoodSheet(t *testing.T) {
	if err := readText(base(t), whole); err != nil {
		t.Fatal(err)
	}
}

func TestBadSheets(t *testing.T) {
	cat := base(t)
	long := strings.Repeat("x", 600)
	tests := []struct{ name, old, new, want string }{
		// Form.
		{"empty file", whole, ``, `line 1: the sheet ends too early`},
		{"no object", whole, `[1]`, `line 1: expected a sheet, an object with vehicle, renewed, taken_on, ambient_degC, readings`},
		{"a word", whole, `"sheet"`, `line 1: expected a sheet, an object with vehicle, renewed, taken_on, ambient_degC, readings`},
		{"cut off", "\n ]\n}", "\n", `line 10: the sheet ends too early`},
		{"missing comma", `"works"},`, `"works"}`, `line 9: invalid character '{' after array element`},
		{"trailing text", "\n ]\n}", "\n ]\n}\n{}", `line 13: there is something after the end of the sheet`},
		{"trailing word", "\n ]\n}", "\n ]\n} sheet", `line 12: there is something after the end of the sheet`},
		{"not UTF-8", `"works"`, "\"\xff\"", `the sheet is not UTF-8 text`},
		{"unknown key", `"ambient_degC": 11`, `"ambient_degF": 52`, `line 6: unknown key "ambient_degF"; expected one of vehicle, renewed, taken_on, ambient_degC, readings`},
		{"key in other case", `"taken_on"`, `"Taken_On"`, `line 6: unknown key "Taken_On"; expected one of vehicle, renewed, taken_on, ambient_degC, readings`},
		{"unknown key of the vehicle", `"odometer_km": 182400`, `"odometer": 182400`, `line 2: vehicle: unknown key "odometer"; expected one of vin, odometer_km, first_registered, facets, specs`},
		{"unknown key of a renewal", `"date": "2025-09-12"`, `"day": "2025-09-12"`, `line 5: renewed[0]: unknown key "day"; expected one of item, at, odometer_km, date`},
		{"key twice", `"at": "FL/outer",`, `"at": "FL/outer", "at": "FR/outer",`, `line 9: the key "at" stands twice in one object`},
		{"nested deeply", `"works"`, strings.Repeat("[", 30) + strings.Repeat("]", 30), `line 8: nested too deeply`},
		{"vehicle is null", `"vehicle": {`, `"vehicle": null, "renewed": [], "taken_on": "2026-03-21", "readings": [], "x": {`, `line 2: vehicle: expected an object, not null`},
		{"readings no list", `"readings": [`, `"readings": {"a": 1}, "x": [`, `line 7: unknown key "x"; expected one of vehicle, renewed, taken_on, ambient_degC, readings`},
		{"odometer a text", `182400`, `"far"`, `line 2: vehicle.odometer_km: expected a number, not a string`},
		{"number too large to write", `182400`, `1e999`, `line 2: vehicle.odometer_km: expected a number, not a number 1e999`},
		{"NaN", `182400`, `NaN`, `line 2: invalid character 'N' looking for beginning of value`},
		{"facets a list", `"facets": {"fuel": "petrol", "fan-drive": "electric"}`, `"facets": ["petrol"]`, `line 3: vehicle.facets: expected a object, not a array`},
		// The car.
		{"VIN too short", `"odometer_km": 182400`, `"vin": "WAB123", "odometer_km": 182400`, `line 2: vehicle.vin: `},
		{"odometer below 0", `182400`, `-5`, `line 2: vehicle.odometer_km: -5; expected 0 to 5000000`},
		{"odometer huge", `182400`, `1e300`, `line 2: vehicle.odometer_km: 1e+300; expected 0 to 5000000`},
		{"month", `"2009-04"`, `"April 2009"`, `line 2: vehicle.first_registered: "April 2009" is not a month; expected one such as 2009-04`},
		{"registered after the round", `"2009-04"`, `"2026-04"`, `line 6: taken_on: 2026-03-21 lies before the car's first registration`},
		{"unknown facet", `"fuel": "petrol"`, `"wheels": 4`, `line 3: vehicle.facets: there is no facet "wheels"; expected one of market, `},
		{"facet's word", `"petrol"`, `"coal"`, `line 3: vehicle.facets.fuel: facet fuel is "coal"; expected petrol, diesel, gas, hybrid, electric`},
		{"facet null", `"petrol"`, `null`, `line 3: vehicle.facets.fuel: expected a word or a whole number, not null`},
		{"facet a fraction", `"fuel": "petrol"`, `"air-filter-count": 1.5`, `line 3: vehicle.facets.air-filter-count: expected a word or a whole number, not 1.5`},
		{"facet's number", `"fuel": "petrol"`, `"air-filter-count": 3`, `line 3: vehicle.facets.air-filter-count: facet air-filter-count is 3; expected 1 to 2`},
		{"unknown specification", `"brake-fluid-class": "DOT 4"`, `"brake-fluid-colour": "red"`, `line 4: vehicle.specs.brake-fluid-colour: there is no such specification; expected one of axle-oil-change-L, `},
		{"specification's word", `"DOT 4"`, `"DOT 9"`, `line 4: vehicle.specs.brake-fluid-class: "DOT 9"; expected one of DOT 3, DOT 4, DOT 5.1, DOT 5`},
		{"number for a word", `"DOT 4"`, `4`, `line 4: vehicle.specs.brake-fluid-class: a number; expected one of DOT 3, DOT 4, DOT 5.1, DOT 5`},
		{"word for a number", `{"FL": 22.4}`, `"thick"`, `line 4: vehicle.specs.disc-thickness-min-mm: "thick"; expected a number in mm`},
		{"figure null", `{"FL": 22.4}`, `null`, `line 4: vehicle.specs.disc-thickness-min-mm: expected a number, a word or numbers by position, not null`},
		{"figure of a corner null", `22.4`, `null`, `line 4: vehicle.specs.disc-thickness-min-mm: position "FL": expected a number, not null`},
		{"figure out of range", `22.4`, `224`, `line 4: vehicle.specs.disc-thickness-min-mm: 224 mm is out of range; expected 3 to 50`},
		{"figure of 0", `22.4`, `0`, `line 4: vehicle.specs.disc-thickness-min-mm: 0 mm is out of range; expected 3 to 50`},
		{"figure's position", `"FL": 22.4`, `"front": 22.4`, `line 4: vehicle.specs.disc-thickness-min-mm: position "front"; expected FL, FR, RL, RR, F or R`},
		{"position of a figure of the whole car", `"brake-fluid-class": "DOT 4"`, `"steering-wheel-mm": {"FL": 380}`, `line 4: vehicle.specs.steering-wheel-mm: position "FL"; expected one figure for the whole car`},
		{"free text too long", `"brake-fluid-class": "DOT 4"`, `"coolant-type": "` + long + `"`, `line 4: vehicle.specs.coolant-type: expected a text of 1 to 80 letters`},
		// What was renewed, and when.
		{"unknown item", `"engine-oil"`, `"engine"`, `line 5: renewed[0].item: there is no item "engine"; expected one of `},
		{"renewed at no place", `"item": "engine-oil"`, `"item": "engine-oil", "at": "front"`, `line 5: renewed[0].at: there is no position "front"; expected a corner such as FL, an axle F or R, or a counted part such as 1`},
		{"renewed date", `"2025-09-12"`, `"12.9.2025"`, `line 5: renewed[0].date: "12.9.2025" is not a date; expected one such as 2026-03-21`},
		{"renewed without date", `, "date": "2025-09-12"`, ``, `line 5: renewed[0].date: it is missing; expected a date such as 2026-03-21`},
		{"renewed after the round", `"2025-09-12"`, `"2026-09-12"`, `line 5: renewed[0].date: 2026-09-12 lies after the day of the round`},
		{"odometer ran back", `171200`, `190000`, `line 5: renewed[0].odometer_km: 190000 is more than the car's odometer shows now (182400): the odometer would have run back`},
		{"renewed below 0", `171200`, `-1`, `line 5: renewed[0].odometer_km: -1; expected 0 to 5000000`},
		// The day.
		{"no day", `"taken_on": "2026-03-21", `, ``, `taken_on: it is missing; expected a date such as 2026-03-21`},
		{"day that is none", `"2026-03-21"`, `"2026-02-30"`, `line 6: taken_on: "2026-02-30" is not a date; expected one such as 2026-03-21`},
		{"day a number", `"2026-03-21"`, `20260321`, `line 6: taken_on: expected a text, not a number`},
		{"hot air", `"ambient_degC": 11`, `"ambient_degC": 111`, `line 6: ambient_degC: 111; expected -60 to 60`},
		// Readings.
		{"unknown point", `"horn", "state"`, `"hooter", "state"`, `line 8: readings[0].point: there is no point "hooter"`},
		{"nearly a point", `"tyre-tread"`, `"tyre-tred"`, `line 9: readings[1].point: there is no point "tyre-tred"; did you mean tyre-tread?`},
		{"no point", `"point": "horn", `, ``, `line 8: readings[0].point: it is missing; expected the id of a point`},
		{"reading null", `{"point": "horn", "state": "works"}`, `null`, `line 8: readings[0]: expected an object, not null`},
		{"reading a word", `{"point": "horn", "state": "works"}`, `"horn works"`, `line 8: readings[0]: expected an object, not "horn works"`},
		{"state out of list", `"works"`, `"loud"`, `line 8: readings[0].state: horn: state "loud" is not one of works, weak, silent`},
		{"state a number", `"works"`, `1`, `line 8: readings[0].state: expected a text, not 1`},
		{"state empty", `"works"`, `""`, `line 8: readings[0].state: it is empty`},
		{"no state", `, "state": "works"`, ``, `line 8: readings[0].state: horn: expected a state: works, weak, silent`},
		{"note for a reading", `"state": "works"`, `"note": "did not try"`, `line 8: readings[0].state: horn: expected a state: works, weak, silent`},
		{"state for a measure", `"mm": 2.1`, `"state": "worn"`, `line 9: readings[1].state: tyre-tread: it takes no state; expected a value: mm`},
		{"wrong unit", `"mm": 2.1`, `"inch": 0.08`, `line 9: readings[1].inch: tyre-tread: it takes no inch; expected a value: mm`},
		{"value a text", `2.1`, `"2.1 mm"`, `line 9: readings[1].mm: expected a number, not "2.1 mm"`},
		{"value null", `2.1`, `null`, `line 9: readings[1].mm: expected a number, not null`},
		{"value huge", `2.1`, `1e400`, `line 9: readings[1].mm: expected a number, not 1e400`},
		{"value out of range", `2.1`, `21.5`, `line 9: readings[1].mm: tyre-tread: mm is 21.5; expected 0 to 20`},
		{"value below 0", `2.1`, `-0.5`, `line 9: readings[1].mm: tyre-tread: mm is -0.5; expected 0 to 20`},
		{"no value", `, "mm": 2.1`, ``, `line 9: readings[1].mm: tyre-tread: expected a value: mm`},
		{"unknown position", `"FL/outer"`, `"front"`, `line 9: readings[1].at: tyre-tread: position "front": the car has FL, FR, RL, RR`},
		{"unknown place", `"FL/outer"`, `"FL/edge"`, `line 9: readings[1].at: tyre-tread: position "FL/edge": expected FL/inner, FL/middle, FL/outer`},
		{"position that the car lacks", `"point": "tyre-tread", "at": "FL/outer", "mm": 2.1`, `"point": "shoe-lining", "at": "RL", "mm": 2.1`, `line 9: readings[1].at: shoe-lining: position "RL": the car has no such position`},
		{"position of a point without", `"horn",`, `"horn", "at": "FL",`, `line 8: readings[0].at: horn: position "FL": this point has no positions`},
		{"code", `"1217"`, `"W12/17"`, `line 10: readings[2].code: tyre-date: the date code "W12/17" holds 'W'; it is four digits, week and year, such as 1217`},
		{"code for a state", `"state": "works"`, `"state": "works", "code": "1"`, `line 8: readings[0].code: horn: it takes no code; expected a state: works, weak, silent`},
		{"skipped and read", `"state": "works"`, `"state": "works", "skipped": "no key"`, `line 8: readings[0].skipped: horn: a point that was skipped has no reading; expected one or the other`},
		{"long reason", `"state": "works"`, `"skipped": "` + long + `"`, `line 8: readings[0].skipped: horn: the reason is longer than 500 characters`},
		{"read twice", `{"point": "horn", "state": "works"},`, `{"point": "horn", "state": "works"}, {"point": "horn", "state": "weak"},`, `line 8: readings[1]: horn was read already in readings[0]`},
		{"point that the car lacks", `{"point": "horn", "state": "works"}`, `{"point": "fan-rock", "state": "no-play"}`, `line 8: readings[0].point: fan-rock does not apply to this car: fan-drive is electric. Correct the facet or leave the reading out`},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if !strings.Contains(whole, tt.old) {
				t.Fatalf("the whole sheet has no %q to replace", tt.old)
			}
			err := readText(cat, strings.Replace(whole, tt.old, tt.new, 1))
			if err == nil {
				t.Fatal("accepted")
			}
			got := err.Error()
			// A want that ends in a blank is the beginning of a long list; any other is the whole text.
			if strings.HasSuffix(tt.want, " ") && strings.HasPrefix(got, tt.want) {
				return
			}
			if got != tt.want {
				t.Errorf("got  %s\nwant %s", got, tt.want)
			}
		})
	}
}

// All faults of a sheet are reported together, one a line.
func TestSeveralFaults(t *testing.T) {
	text := strings.NewReplacer(`"petrol"`, `"coal"`, `"works"`, `"loud"`, `2.1`, `210`, `"1217"`, `"12"`).Replace(whole)
	err := readText(base(t), text)
	if err == nil || strings.Count(err.Error(), "\n") != 3 {
		t.Errorf("want four faults, got %v", err)
	}
	for i, line := range strings.Split(fmt.Sprint(err), "\n") {
		if !strings.HasPrefix(line, "line ") {
			t.Errorf("fault %d names no line: %s", i, line)
		}
	}
}

func TestSheetTooLarge(t *testing.T) {
	cat := base(t)
	big := `{"taken_on": "2026-03-21", "readings": [` + strings.Repeat(`{"point": "horn", "state": "works"},`, MaxBytes/36) + `{}]}`
	if err := readText(cat, big); err == nil || err.Error() != "the sheet is larger than 8 MB; expected one round of one car" {
		t.Errorf("a sheet of %d bytes gives %v", len(big), err)
	}
	many := `{"taken_on": "2026-03-21", "readings": [` + strings.Repeat(`{"point": "horn", "state": "works"},`, maxReadings) + `{"point": "horn"}]}`
	if err := readText(cat, many); err == nil || err.Error() != "readings: 5001 of them; expected 5000 at the most" {
		t.Errorf("5001 readings give %v", err)
	}
	deep := strings.Repeat(`{"a":`, 1_000_000)
	if err := readText(cat, deep); err == nil {
		t.Error("a million levels are accepted")
	}
}
