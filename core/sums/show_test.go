package sums

import (
	"testing"
)

func TestOutputsCarryTheirUnits(t *testing.T) {
	for name, want := range map[string]string{
		"freeze_degC": "°C", "concentrate_L": "L", "drains": "", "kinematic_mm2_s": "mm²/s", "most_litres_per_1000km": "L per 1000 km",
		"in_32nds": "/32 in", "psi": "psi", "thrust_minutes": "′", "front_cross_camber_degrees": "°", "old_share": "", "least_V": "V",
		"load_A": "A", "true_kmh": "km/h", "lasts_km": "km", "need_kg": "kg", "charge_percent": "%", "verdict": "", "years": "",
		"slip_ft_per_mile": "ft per mile", "slip_m_per_km": "m/km", "own_rolling_mm": "mm", "check_digit": "", "least_index": "",
	} {
		if got := (Output{Name: name}).Unit(); got != want {
			t.Errorf("%s is in %q, want %q", name, got, want)
		}
	}
}

func TestValuesAsWords(t *testing.T) {
	for _, c := range []struct {
		name string
		v    any
		want string
	}{
		{"freeze_degC", -37.0, "−37 °C"}, {"uncertainty_degC", 2.2, "± 2.2 °C"}, {"degrees", 0.2865, "0.2865°"}, {"in_32nds", 5.0, "5/32 in"},
		{"old_share", 0.1715, "0.1715 (17.15 %)"}, {"passed", false, "no"}, {"well_formed", true, "yes"}, {"years", []int{1989, 2019}, "1989, 2019"},
		{"years", []int{}, "none"}, {"grades", []string{"0W", "5W"}, "0W, 5W"}, {"drains", 2, "2"}, {"made", "2017-W12", "2017-W12"},
	} {
		if got := (Output{Name: c.name}).WithUnit(c.v); got != c.want {
			t.Errorf("%s %v is %q, want %q", c.name, c.v, got, c.want)
		}
	}
}

func TestExamplesKeepTheirOrderAndSpaces(t *testing.T) {
	s, _ := Find("tyre-size")
	got := s.Arguments()
	if len(got) != 3 || got[0] != (Argument{"own", "205/55 R16"}) || got[2] != (Argument{"shown", "100km/h"}) {
		t.Errorf("%q", got)
	}
	for _, s := range All() {
		args := map[string]string{}
		for _, a := range s.Arguments() {
			args[a.Key] = a.Value
		}
		if _, err := s.Run(args); err != nil {
			t.Errorf("%s: %v", s.Name, err)
		}
	}
}

func TestGivenIsInTheFirstUnit(t *testing.T) {
	s, _ := Find("tread")
	got, _ := s.Given(map[string]string{"depth": "1in", "season": "summer"})
	if got["depth"] != 25.4 {
		t.Errorf("%v", got)
	}
	if got, _ := s.Given(map[string]string{"depth": "5"}); got != nil {
		t.Errorf("what is refused gives %v", got)
	}
	p, _ := Find("tyre-pressure")
	if got, _ := p.Given(map[string]string{"set": "2.3bar", "at": "68F", "now": "0C"}); got["at"] < 19.99 || got["at"] > 20.01 || got["now_altitude"] != 0 {
		t.Errorf("%v", got)
	}
	f, _ := Find("brake-efficiency")
	if _, lists := f.Given(map[string]string{"forces": "2kN; 1500N", "mass": "1t", "registered": "2014"}); len(lists["forces"]) != 2 || lists["forces"][0] != 2000 {
		t.Errorf("%v", lists)
	}
}
