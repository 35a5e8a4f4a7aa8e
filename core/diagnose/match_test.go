package diagnose_test

import (
	"strings"
	"testing"

	"witnessmark/core/diagnose"
)

func TestMatch(t *testing.T) {
	cat := base(t)
	tests := []struct {
		words string
		want  string // sign that must be proposed
		not   string // sign that must not be
	}{
		{"It pulls to the left when I brake.", "brakes-pull", ""},
		{"there's a humming noise, it gets louder with speed", "hum", ""},
		{"White smoke from the exhaust in the morning", "white-sweet-smoke", "blue-smoke"},
		{"The battery is flat after the weekend", "flat-after-standing", ""},
		{"squeals when started cold", "belt-squeals", ""},
		{"The brake pedal goes to the floor!", "pedal-sinks", ""},
		{"It leaves spots on the drive", "drips-under", ""},
		{"The carpet is wet", "floor-damp", ""},
		{"The steering wheel shakes when braking", "judder", ""},
		{"No white smoke, but it uses oil", "oil-low", "white-sweet-smoke"},
		{"The engine does not start", "start-none", ""},
		{"nothing to complain about", "", "hum"},
		{"", "", "hum"},
	}
	for _, tt := range tests {
		t.Run(tt.words, func(t *testing.T) {
			var ids []string
			for _, m := range diagnose.Match(cat, tt.words) {
				ids = append(ids, m.Sign.ID)
				if m.Fit <= 0 || m.Fit > 1 || m.Phrase == "" {
					t.Errorf("%+v", m)
				}
			}
			all := " " + strings.Join(ids, " ") + " "
			if tt.want != "" && !strings.Contains(all, " "+tt.want+" ") {
				t.Errorf("may mean%s; want %s", all, tt.want)
			}
			if tt.not != "" && strings.Contains(all, " "+tt.not+" ") {
				t.Errorf("may mean%s; not %s", all, tt.not)
			}
		})
	}
}

// TestPhrasesMeanThemselves: whatever the catalogue says that owners say is recognised.
func TestPhrasesMeanThemselves(t *testing.T) {
	cat := base(t)
	n := 0
	for _, s := range cat.Signs {
		for _, phrase := range s.Told {
			n++
			found := false
			for _, m := range diagnose.Match(cat, "Since last week it "+phrase+".") {
				found = found || m.Sign == s
			}
			if !found {
				t.Errorf("%q does not mean %s", phrase, s.ID)
			}
		}
	}
	if n < 80 {
		t.Errorf("only %d phrases", n)
	}
}

// FuzzMatch: any words give proposals within bounds, never a panic.
func FuzzMatch(f *testing.F) {
	cat := base(f)
	for _, s := range []string{"", "it pulls", "\xff\xfe", "not no never", strings.Repeat("knock ", 3000), "ÄÖÜ ſ ﬁ"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, words string) {
		for _, m := range diagnose.Match(cat, words) {
			if !(m.Fit > 0 && m.Fit <= 1) {
				t.Fatalf("%+v", m)
			}
		}
	})
}
