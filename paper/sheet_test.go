package paper

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"
	"testing"

	"witnessmark/core/point"

	"pgregory.net/rapid"
)

func sheetPDF(t testing.TB, s *SheetData) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := Sheet(&b, s); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func states(says ...string) (out []point.StateOf) {
	for i, s := range says {
		out = append(out, point.StateOf{ID: fmt.Sprint("s", i), Say: s})
	}
	return out
}

// sampleSheet has a point of every kind and every arrangement of positions.
func sampleSheet() *SheetData {
	corners := []string{"FL", "FR", "RL", "RR"}
	var places []string
	for _, c := range corners {
		places = append(places, c+"/inner", c+"/outer")
	}
	return &SheetData{
		Workshop: "Quarry Lane Garage", Car: sampleCar(), Depth: point.Full, Date: "2026-03-21", Catalogue: "7d02c4e19a55",
		Cautions: map[string]string{"fluid": "Brake fluid hurts eyes and skin.", "lift": "Rock the car when it is a hand high, before going under."},
		Steps: []SheetStep{
			{Station: "paperwork", Slots: []string{""}, Last: map[string]string{"": "MP-1234"},
				Point: &point.Point{ID: "belt-code", Name: "Belt's number", Ask: "Which number stands on the belt?", Kind: point.Code}},
			{Station: "engine-cold", Slots: []string{""}, Last: map[string]string{"": "Clear and pale"}, Hint: "The cap of this engine hides the lower mark.",
				Point: &point.Point{ID: "fluid-look", Name: "Brake fluid, look", Ask: "What does a drop look like?", Kind: point.State, States: states("Clear and pale", "Darkened", "Opaque"), Cautions: []string{"fluid"}}},
			{Station: "engine-cold", Slots: []string{""},
				Point: &point.Point{ID: "fluid-level", Name: "Brake fluid, level", Ask: "Where does it stand?", Kind: point.Level, States: states("Below MIN", "Between the marks"), Cautions: []string{"fluid"}}},
			{Station: "on-the-lift", Slots: corners, Last: map[string]string{"FL": "Whole", "FR": "Whole", "RL": "Cracked"},
				Point: &point.Point{ID: "boot", Name: "Boots", Ask: "Whole and dry?", Kind: point.State, States: states("Whole", "Cracked", "Split"), Cautions: []string{"lift", "unknown"}}},
			{Station: "wheels-off", Slots: places, Last: map[string]string{"FL/outer": "4.5 mm"},
				Point: &point.Point{ID: "pad", Name: "Pad lining thickness", Ask: "How much lining is left?", Kind: point.Measure, Values: []point.Value{{Name: "mm", Label: "lining left"}}}},
			{Station: "wheels-off", Slots: []string{"1", "2", "3", "4", "5", "6", "7", "8"},
				Point: &point.Point{ID: "plug", Name: "Spark plugs", Kind: point.State, States: states("Tan", "Sooty", "Wet")}},
			{Station: "road", Slots: []string{""}, Point: &point.Point{ID: "battery", Name: "Battery", Kind: point.Measure,
				Values: []point.Value{{Name: "A", Label: "current that it can give"}, {Name: "rated_A", Label: "rated current", Optional: true}}}},
		},
	}
}

func TestSheetReadsAsItShould(t *testing.T) {
	golden(t, "sheet.txt", strings.Join(pages(t, sheetPDF(t, sampleSheet())), "--- next page\n"))
}

func TestSheetIsReproducible(t *testing.T) {
	first := sheetPDF(t, sampleSheet())
	for range 4 {
		if !bytes.Equal(first, sheetPDF(t, sampleSheet())) {
			t.Fatal("the same sheet gave other bytes")
		}
	}
}

func TestSheetHasRoomForEverything(t *testing.T) {
	text := flat(t, sheetPDF(t, sampleSheet()))
	for what, want := range map[string]int{
		"not looked at:": 7, "initials": 1, "odometer": 1, "outside air": 1, "MIN": 3, // on the scale, in a state, and in the key
		"Under the bonnet, engine cold": 1, "Wheels off": 1, "last: MP-1234": 1, "4.5 mm": 1, "FL, FR Whole; RL Cracked": 1, "Brake fluid hurts eyes": 1, "rated current (if known)": 1,
	} {
		if got := strings.Count(text, what); got < want || want == 1 && got > 1 {
			t.Errorf("%q stands %d times, expected %d", what, got, want)
		}
	}
}

func TestSheetForADriverGivesTheMethod(t *testing.T) {
	s := sampleSheet()
	s.Steps[1].Point.DrivewayMethod = "Look through the side of the reservoir; leave the cap on."
	for depth, want := range map[point.Depth]bool{point.Full: false, point.Driveway: true} {
		s.Depth = depth
		if got := strings.Contains(flat(t, sheetPDF(t, s)), "leave the cap on"); got != want {
			t.Errorf("%s: the method is there: %v", depth, got)
		}
	}
}

func TestSheetInUSUnits(t *testing.T) {
	s := sampleSheet()
	s.Car.Units = "us"
	text := flat(t, sheetPDF(t, s))
	for _, want := range []string{"mi", "°F", "/32 in"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is missing", want)
		}
	}
	if strings.Contains(text, "°C") {
		t.Error("degrees Celsius on a sheet in US units")
	}
}

func TestSheetWithNothingOnIt(t *testing.T) {
	s := &SheetData{Steps: []SheetStep{{Station: "road"}}}
	for _, s := range []*SheetData{{}, s} {
		if text := flat(t, sheetPDF(t, s)); !strings.Contains(text, "Notes, with the number of the point") {
			t.Errorf("got %q", text)
		}
	}
}

// TestCautionsStandOnEveryPageThatNeedsThem: once on a page, before the first point that can hurt.
func TestCautionsStandOnEveryPageThatNeedsThem(t *testing.T) {
	s := &SheetData{Cautions: map[string]string{"fluid": "Brake fluid hurts eyes and skin."}}
	for i := range 60 {
		s.Steps = append(s.Steps, SheetStep{Station: "engine-cold", Slots: []string{""},
			Point: &point.Point{Name: fmt.Sprint("thing-", i), Kind: point.State, States: states("Good", "Bad"), Cautions: []string{"fluid"}}})
	}
	all := pages(t, sheetPDF(t, s))
	if len(all) < 3 {
		t.Fatalf("%d pages are too few for the test", len(all))
	}
	for i, p := range all {
		want := min(1, strings.Count(p, "thing-"))
		if got := strings.Count(p, "Brake fluid hurts"); got != want {
			t.Errorf("page %d says the caution %d times, expected %d", i+1, got, want)
		}
		if strings.Index(p, "Brake fluid hurts") > strings.Index(p, "thing-") {
			t.Errorf("page %d says the caution after the point", i+1)
		}
	}
}

// TestSheetTakesAnyPoint: whatever a point is called and however it is arranged, it is drawn above the title block.
func TestSheetTakesAnyPoint(t *testing.T) {
	text := anyText(600)
	kind := rapid.SampledFrom([]point.Kind{point.State, point.Level, point.Measure, point.Code})
	rapid.Check(t, func(rt *rapid.T) {
		s := sampleSheet()
		for range 3 {
			p := &point.Point{Name: text.Draw(rt, "name"), Ask: text.Draw(rt, "ask"), Kind: kind.Draw(rt, "kind"), Cautions: []string{"fluid", "any"}}
			p.States = states(rapid.SliceOfN(text, 0, 8).Draw(rt, "states")...)
			if p.Kind == point.Measure {
				p.Values = []point.Value{{Name: text.Draw(rt, "value"), Label: text.Draw(rt, "label"), Optional: true}}
			}
			slots := rapid.SliceOfNDistinct(rapid.SampledFrom([]string{"", "F", "R", "FL", "FR", "RL/inner", "RR/outer", "1", "2", "spare"}), 0, 9, rapid.ID[string]).Draw(rt, "slots")
			s.Steps = append(s.Steps, SheetStep{Station: point.Station(text.Draw(rt, "station")), Point: p, Slots: slots, Hint: text.Draw(rt, "hint"), Last: map[string]string{"FL": text.Draw(rt, "last"), "": text.Draw(rt, "last")}})
		}
		s.Cautions["any"] = text.Draw(rt, "caution")
		d := laySheet(s)
		if err := d.pdf.Output(io.Discard); err != nil {
			rt.Fatal(err)
		}
		if d.lowest > blockTop {
			rt.Fatalf("text at %.1f mm runs into the title block", d.lowest)
		}
	})
}

func TestSheetPassesOnAFullDisk(t *testing.T) {
	full := errors.New("disk full")
	if err := Sheet(failing{full}, sampleSheet()); !errors.Is(err, full) {
		t.Errorf("%v, expected the writer's error", err)
	}
}

// Budget, on a core with nothing else to do: 150 ms for a round of 240 points.
func BenchmarkSheet(b *testing.B) {
	s := sampleSheet()
	for len(s.Steps) < 240 {
		s.Steps = append(s.Steps, s.Steps[len(s.Steps)%6])
	}
	for b.Loop() {
		if err := Sheet(io.Discard, s); err != nil {
			b.Fatal(err)
		}
	}
}
