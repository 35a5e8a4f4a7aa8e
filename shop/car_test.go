package shop_test

import (
	"errors"
	"strings"
	"testing"

	"witnessmark/shop"
)

func TestSaveCarRefuses(t *testing.T) {
	for _, tc := range []struct {
		name   string
		change func(*shop.CarInput)
		field  string
		text   string
		ask    bool
	}{
		{"no plate", func(in *shop.CarInput) { in.Plate = " " }, "plate", "Enter the plate", false},
		{"VIN with O", func(in *shop.CarInput) { in.VIN = "1M8GDM9AXKPO42788" }, "vin", "O", false},
		{"VIN too short", func(in *shop.CarInput) { in.VIN = "1M8GDM9" }, "vin", "17", false},
		{"VIN check digit", func(in *shop.CarInput) { in.VIN = "1M8GDM9A1KP042788" }, "vin", "Did you mean", true},
		{"mail", func(in *shop.CarInput) { in.OwnerEmail = "alma at example" }, "owner-email", "mail address", false},
		{"month", func(in *shop.CarInput) { in.FirstRegistered = "April 2009" }, "first-registered", "2009-04", false},
		{"month to come", func(in *shop.CarInput) { in.FirstRegistered = "2031-01" }, "first-registered", "future", false},
		{"units", func(in *shop.CarInput) { in.Units = "imperial" }, "units", "metric", false},
		{"facet word", func(in *shop.CarInput) { in.Facets = map[string]string{"fuel": "coal"} }, "facet.fuel", "petrol", false},
		{"facet unknown", func(in *shop.CarInput) { in.Facets = map[string]string{"wings": "2"} }, "facet.wings", "no such question", false},
		{"spec unit", func(in *shop.CarInput) {
			in.Specs = map[string]shop.SpecInput{"disc-thickness-min-mm": {Numbers: map[string]string{"FL": "22.4 bar"}}}
		}, "spec.disc-thickness-min-mm.FL", "wrong unit", false},
		{"spec word", func(in *shop.CarInput) {
			in.Specs = map[string]shop.SpecInput{"brake-fluid-class": {Text: "DOT 9"}}
		}, "spec.brake-fluid-class", "DOT 4", false},
		{"odometer", func(in *shop.CarInput) { in.Odometer = "many" }, "odometer", "", false},
		{"odometer day to come", func(in *shop.CarInput) { in.OdometerOn = "2026-03-22" }, "odometer-on", "future", false},
	} {
		t.Run(tc.name, func(t *testing.T) {
			b := newBench(t)
			in := shop.CarInput{CarID: b.id(), VersionID: b.id(), Plate: "WM-4K 217", Odometer: "171200", OdometerOn: "2025-09-12"}
			tc.change(&in)
			_, err := b.SaveCar(ctx, in)
			var bad shop.Invalid
			if !errors.As(err, &bad) {
				t.Fatalf("got %v, want entries refused", err)
			}
			if bad[0].Field != tc.field || !strings.Contains(bad[0].Text, tc.text) || bad[0].Ask != tc.ask {
				t.Errorf("got %+v, want field %s, text with %q, ask %v", bad[0], tc.field, tc.text, tc.ask)
			}
			if _, n, _ := b.FindCars(ctx, shop.CarFilter{}); n != 0 {
				t.Errorf("%d cars were stored", n)
			}
			if tc.ask {
				in.Confirmed = true
				if _, err := b.SaveCar(ctx, in); err != nil {
					t.Errorf("confirmed: %v", err)
				}
			}
		})
	}
}

func TestEuropeanCheckDigitIsNoError(t *testing.T) {
	b := newBench(t)
	c := b.car(t, func(in *shop.CarInput) { in.VIN = "WZZ3K2B14RN004211" })
	if c.VIN != "WZZ3K2B14RN004211" {
		t.Errorf("VIN is %q", c.VIN)
	}
}

func TestSaveCarTwiceStoresOnce(t *testing.T) {
	b := newBench(t)
	in := shop.CarInput{CarID: b.id(), VersionID: b.id(), Plate: "WM-4K 217", Odometer: "171200", OdometerOn: "2025-09-12"}
	for range 2 {
		if _, err := b.SaveCar(ctx, in); err != nil {
			t.Fatal(err)
		}
	}
	p, err := b.CarPage(ctx, in.CarID)
	if err != nil || len(p.Odometer) != 1 {
		t.Errorf("got %d odometer readings, %v; want one", len(p.Odometer), err)
	}
}

func TestSecondEditorIsTold(t *testing.T) {
	b := newBench(t)
	c := b.car(t, nil)
	edit := func(base, description string) error {
		_, err := b.SaveCar(ctx, shop.CarInput{CarID: c.CarID, VersionID: b.id(), Base: base, Plate: c.Plate, Description: description})
		return err
	}
	if err := edit(c.ID, "first editor"); err != nil {
		t.Fatal(err)
	}
	if err := edit(c.ID, "second editor"); !errors.Is(err, shop.ErrConflict) {
		t.Errorf("got %v, want a conflict", err)
	}
	if now, _ := b.Car(ctx, c.CarID); now.Description != "first editor" {
		t.Errorf("description is %q", now.Description)
	}
	if _, err := b.SaveCar(ctx, shop.CarInput{CarID: "nobody", VersionID: b.id(), Base: "x", Plate: "A"}); !errors.Is(err, shop.ErrNotFound) {
		t.Errorf("editing a car that is not there: %v", err)
	}
}

func TestOdometerIsQuestioned(t *testing.T) {
	b := newBench(t)
	c := b.car(t, nil) // 171 200 km in September
	add := func(km, note string, confirmed bool) error {
		return b.AddOdometer(ctx, shop.OdometerInput{ID: b.id(), CarID: c.CarID, Km: km, Note: note, Confirmed: confirmed})
	}
	var bad shop.Invalid
	if err := add("18240", "", false); !errors.As(err, &bad) || bad[0].Likely != "182400" {
		t.Errorf("a digit lost: got %v, want the question whether 182400 was meant", err)
	}
	if err := add("150000", "", true); !errors.As(err, &bad) {
		t.Errorf("running back was taken: %v", err)
	}
	if err := add("150000", "meter changed", true); err != nil {
		t.Errorf("running back with a reason: %v", err)
	}
}

// A meter in miles is asked about in miles, and a digit slips in what it shows. What the sentence names is not said a second time.
func TestOdometerInMilesIsQuestioned(t *testing.T) {
	b := newBench(t)
	c := b.car(t, func(in *shop.CarInput) { in.Units, in.Odometer = "us", "106 379" })
	add := func(miles string) (bad shop.Invalid) {
		if err := b.AddOdometer(ctx, shop.OdometerInput{ID: b.id(), CarID: c.CarID, Km: miles}); !errors.As(err, &bad) {
			t.Fatalf("%s miles: %v", miles, err)
		}
		return bad
	}
	bad := add("10700")
	if !strings.Contains(bad[0].Text, "10 700 mi is less than the 106 379 mi read on") || !strings.Contains(bad[0].Text, "Was it 107 000 mi?") || bad[0].Likely != "107000" || bad[0].Unsaid() != "" {
		t.Errorf("%+v", bad)
	}
	if bad = add("9 700 000"); !strings.Contains(bad[0].Text, " mi") || strings.Contains(bad[0].Text, " km") {
		t.Errorf("%+v", bad)
	}
}

func TestUSUnits(t *testing.T) {
	b := newBench(t)
	c := b.car(t, func(in *shop.CarInput) { in.Units, in.Odometer = "us", "106 379" })
	p, err := b.CarPage(ctx, c.CarID)
	if err != nil {
		t.Fatal(err)
	}
	if km := p.NowKm; km < 171_199 || km > 171_202 {
		t.Errorf("106 379 miles are %v km", km)
	}
	r := b.round2(t, c.CarID, "113300")
	err = b.Record(ctx, []shop.ReadingInput{{ID: b.id(), RoundID: r.ID, Point: "tyre-tread", At: "FL/outer", Numbers: map[string]string{"mm": "2"}}})
	if err != nil {
		t.Fatal(err)
	}
	v, _ := b.Round(ctx, r.ID)
	for _, st := range v.Steps {
		if st.Point.ID == "tyre-tread" {
			if mm := st.Current["FL/outer"].Values["mm"]; mm < 1.587 || mm > 1.588 {
				t.Errorf("2/32 in is %v mm", mm)
			}
			if got := b.Describe(c, st.Point, st.Current["FL/outer"]); got != "2/32 in" {
				t.Errorf("shown as %q", got)
			}
		}
	}
}

// round2 begins a round with an odometer entry of its own.
func (b *bench) round2(t testing.TB, carID, km string) shop.RoundFact {
	t.Helper()
	r, err := b.StartRound(ctx, shop.RoundInput{ID: b.id(), CarID: carID, Depth: "full", Km: km})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func TestRenewal(t *testing.T) {
	b := newBench(t)
	c := b.car(t, nil)
	ok := shop.RenewalInput{ID: b.id(), CarID: c.CarID, Item: "brake-fluid", On: "2023-08-21", Km: "150 000"}
	if err := b.AddRenewal(ctx, ok); err != nil {
		t.Fatal(err)
	}
	for field, in := range map[string]shop.RenewalInput{
		"item": {ID: "x", CarID: c.CarID, Item: "unicorn", On: "2023-08-21"},
		"on":   {ID: "x", CarID: c.CarID, Item: "brake-fluid", On: "2031-01-01"},
		"km":   {ID: "x", CarID: c.CarID, Item: "brake-fluid", On: "2023-08-21", Km: "3 bar"},
	} {
		var bad shop.Invalid
		if err := b.AddRenewal(ctx, in); !errors.As(err, &bad) || bad[0].Field != field {
			t.Errorf("%s: got %v", field, err)
		}
	}
	r := b.round(t, c.CarID)
	b.see(t, r.ID, "brake-fluid-look", "", "clear-pale")
	j, err := b.Findings(ctx, r.ID)
	if err != nil || len(j.Result.Findings) != 1 {
		t.Fatalf("%v, %d findings", err, len(j.Result.Findings))
	}
	if f := j.Result.Findings[0]; f.Verdict != "due" || !strings.Contains(f.Why, "months ago") {
		t.Errorf("clear fluid after 31 months: %s, %q", f.Verdict, f.Why)
	}
}

func TestRenewalAtAPlace(t *testing.T) {
	b := newBench(t)
	c := b.car(t, nil)
	if got := strings.Join(b.PlacesOf("pads", b.FacetsOf(c)), " "); got != "F R FL FR RL RR" {
		t.Errorf("pads have the places %q", got)
	}
	if got := b.PlacesOf("engine-oil", b.FacetsOf(c)); len(got) != 0 {
		t.Errorf("engine oil has the places %v", got)
	}
	for _, tc := range []struct{ item, at, want string }{
		{"pads", "F", ""}, {"pads", "", ""}, {"pads", "front", "Choose a place"}, {"tyres", "RL", ""}, {"engine-oil", "", ""},
		{"engine-oil", "F", "Engine oil has no place of its own"}, {"nothing", "F", "Choose what was renewed"},
	} {
		err := b.AddRenewal(ctx, shop.RenewalInput{ID: b.id(), CarID: c.CarID, Item: tc.item, At: tc.at, On: "2026-01-05"})
		if tc.want == "" && err != nil || tc.want != "" && (err == nil || !strings.Contains(err.Error(), tc.want)) {
			t.Errorf("%s at %q: %v, want %q", tc.item, tc.at, err, tc.want)
		}
	}
	p, err := b.CarPage(ctx, c.CarID)
	if err != nil || len(p.Renewals) != 4 || p.Renewals[0].At != "F" || p.Renewals[2].At != "RL" {
		t.Errorf("%+v, %v", p.Renewals, err)
	}
}
