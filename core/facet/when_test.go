package facet

import "testing"

func TestWhen(t *testing.T) {
	two, from, to := 2, 2012, 1979
	car := Set{"fuel": {Value: "petrol", Given: true}, "fan": {Value: "electric"}, "year": {Value: "2012", Given: true}, "family": {}}
	is := func(id string, words ...string) When { return When{All: []Test{{Facet: id, Is: words}}} }
	tests := []struct {
		name string
		when When
		ok   bool
		why  string
		firm bool
	}{
		{"no condition", When{}, true, "", false},
		{"one of the words", is("fuel", "diesel", "petrol"), true, "", true},
		{"none of the words", is("fuel", "diesel"), false, "fuel is petrol", true},
		{"only a default speaks", is("fan", "engine"), false, "fan is electric", false},
		{"nothing known", is("family", "tarn"), false, "family is not known", false},
		{"from a year", When{All: []Test{{Facet: "year", Range: &Range{From: &from}}}}, true, "", true},
		{"to a year", When{All: []Test{{Facet: "year", Range: &Range{To: &to}}}}, false, "year is 2012", true},
		{"a word has no range", When{All: []Test{{Facet: "fuel", Range: &Range{From: &two}}}}, false, "fuel is petrol", true},
		{"any", When{Any: []When{is("fuel", "gas"), is("fan", "electric")}}, true, "", true},
		{"none of any", When{Any: []When{is("fuel", "gas"), is("fan", "engine")}}, false, "fuel is petrol, fan is electric", true},
		{"not", When{Not: &When{All: []Test{{Facet: "fuel", Is: []string{"petrol"}}}}}, false, "fuel is petrol", true},
		{"not what it is not", When{Not: &When{All: []Test{{Facet: "fuel", Is: []string{"gas"}}}}}, true, "", true},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			ok, why := tt.when.Holds(car)
			if ok != tt.ok || why != tt.why || tt.when.Firm(car) != tt.firm {
				t.Errorf("holds %v (%q), firm %v; want %v (%q), %v", ok, why, tt.when.Firm(car), tt.ok, tt.why, tt.firm)
			}
		})
	}
}
