package web

import (
	"strings"
	"testing"

	"witnessmark/catalogue"
	"witnessmark/core/point"
)

func TestPickState(t *testing.T) {
	p := &point.Point{Kind: point.State, States: []point.StateOf{{ID: "sound", Say: "Sound"}, {ID: "fine-cracks", Say: "Fine cracks"}, {ID: "frayed", Say: "Frayed"}, {ID: "oil-soaked", Say: "Soaked with oil"}}}
	for text, want := range map[string]string{"1": "sound", "2 Fine cracks": "fine-cracks", "2 fine": "fine-cracks", "fr": "frayed", "F": "", "f": "", "so": "", "sou": "sound", "oil": "oil-soaked",
		"soaked": "oil-soaked", "0": "", "5": "", "-1": "", "2 Frayed": "", "": "", "x": "", "frayed": "frayed", "FINE-CRACKS": "fine-cracks", "1.5": ""} {
		if got := pickState(p, text); got != want {
			t.Errorf("%q names %q, expected %q", text, got, want)
		}
	}
}

// Every state of the catalogue is found by what the sheet shows for it, by its words and by its id.
func TestPickStateFindsEveryState(t *testing.T) {
	cat, err := catalogue.Default()
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range cat.Points {
		for i, st := range p.States {
			e := entry{}
			e.step.Point = p
			now := e.step.Current[""]
			now.State = st.ID
			for _, text := range []string{e.textOf(now), st.Say, st.ID} {
				if got := pickState(p, text); got != st.ID {
					t.Errorf("%s: %q names %q, expected %q (state %d)", p.ID, text, got, st.ID, i+1)
				}
			}
		}
	}
}

// Whatever is typed names no state or one of the point's.
func FuzzPickState(f *testing.F) {
	for _, s := range []string{"1", "2 Darkened", "opa", "99999999999999999999", "１", "clear\x00", " "} {
		f.Add(s)
	}
	p := &point.Point{Kind: point.Level, States: []point.StateOf{{ID: "below-min", Say: "Below MIN"}, {ID: "low", Say: "Low"}, {ID: "in-band", Say: "Between the marks"}}}
	f.Fuzz(func(t *testing.T, text string) {
		id := pickState(p, text)
		if id == "" {
			return
		}
		st := p.StateByID(id)
		if st == nil {
			t.Fatalf("%q names %q, which the point does not have", text, id)
		}
		if digits, _, _ := strings.Cut(text, " "); strings.Trim(digits, "+0123456789") == "" {
			return
		}
		if !beginsWith(st.Say, text) && !beginsWith(st.ID, text) {
			t.Errorf("%q names %q without being its beginning", text, id)
		}
	})
}

func FuzzBareNumber(f *testing.F) {
	for _, s := range []string{"4.5 mm", "182 400 km", "-25 °C", "2.6/32 in", "33 psi", "", "−3", "é1é"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		if got := bareNumber(s); len(got) > len(s) {
			t.Errorf("%q became longer: %q", s, got)
		}
	})
}

func TestBareNumber(t *testing.T) {
	for s, want := range map[string]string{"4.5 mm": "4.5", "182 400 km": "182 400", "-25 °C": "-25", "2.6/32 in": "2.6", "0.984 in": "0.984", "0.5": "0.5", "1 month": "1"} {
		if got := bareNumber(s); got != want {
			t.Errorf("%q became %q, expected %q", s, got, want)
		}
	}
}
