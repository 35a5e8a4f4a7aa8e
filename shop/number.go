package shop

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"witnessmark/core/point"
	"witnessmark/core/unit"
)

// parseNumber reads a number as typed, with or without a unit, into the canonical unit. A bare number is in the unit
// that the user is shown: kilometres, or under US units miles, 32nds of an inch for small lengths, psi, degrees F.
//
// Typical is a value of the usual size, which decides between 32nds and inches; step is the gauge's graduation.
func parseNumber(typed, canonical string, sys unit.System, typical, step float64) (float64, error) {
	typed = strings.TrimSpace(typed)
	if canonical == "fraction" {
		return parseFraction(typed)
	}
	u, ok := unit.ByName(canonical)
	if !ok {
		return parsePlain(typed, canonical)
	}
	if q, err := unit.Parse(typed); err == nil && q.Unit != unit.None {
		x, err := unit.Convert(q.Value, q.Unit, u)
		if err != nil {
			return 0, fmt.Errorf("%q is in the wrong unit; expected %s", typed, u.Symbol())
		}
		return finite(x, typed)
	}
	shown, _ := unit.Show(typical, u, sys, unit.Decimals(step))
	if shown == unit.In32 && ofAnInch(typed) {
		shown = unit.Inch
	}
	q, err := unit.ParseAs(typed, shown)
	if err != nil {
		return 0, err
	}
	x, err := unit.Convert(q.Value, shown, u)
	if err != nil {
		return 0, err
	}
	return finite(x, typed)
}

// ofAnInch reports whether a bare number is a fraction as it stands on an inch rule: who writes 3/32 in a field of 32nds
// means three of them, not three 32nds of one.
func ofAnInch(typed string) bool {
	_, denominator, ok := strings.Cut(typed, "/")
	return ok && slices.Contains([]string{"8", "16", "32", "64"}, strings.TrimSpace(denominator))
}

// parsePlain reads a number in a unit that nobody converts, such as kg; the unit may stand behind it.
func parsePlain(typed, canonical string) (float64, error) {
	digits := strings.TrimSpace(strings.TrimSuffix(typed, canonical))
	digits = strings.ReplaceAll(strings.ReplaceAll(digits, " ", ""), ",", ".")
	x, err := strconv.ParseFloat(digits, 64)
	if err != nil || strings.ContainsAny(digits, "eExXpP_") {
		return 0, fmt.Errorf("%q is not a number of %s", typed, canonical)
	}
	return finite(x, typed)
}

func finite(x float64, typed string) (float64, error) {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return 0, fmt.Errorf("%q is not a number", typed)
	}
	return x, nil
}

// parseFraction reads a share of the band: 0.4, 0,4 or 40 %.
func parseFraction(typed string) (float64, error) {
	if q, err := unit.ParseAs(typed, unit.Fraction); err == nil {
		return finite(q.Value, typed)
	}
	return 0, fmt.Errorf("%q is not a share such as 0.4 or 40%%", typed)
}

// Display writes a value of a reading the user's way: "4.5 mm", "28 psi".
func (s *Shop) Display(c CarVersion, valueName string, v float64, p *point.Point) string {
	u, ok := unit.ValueUnit(valueName)
	if !ok {
		return fmt.Sprintf("%g", v)
	}
	return unit.Format(v, u, system(c), decimals(p, valueName))
}

// UnitLabel gives the unit that a bare number is taken in: "mm", "/32 in", "psi".
func (s *Shop) UnitLabel(c CarVersion, valueName string, p *point.Point) string {
	u, ok := unit.ValueUnit(valueName)
	if !ok {
		return ""
	}
	shown, _ := unit.Show(typical(p, valueName), u, system(c), decimals(p, valueName))
	return shown.Symbol()
}

// decimals gives the digits after the point that the gauge has.
func decimals(p *point.Point, valueName string) int {
	return unit.Decimals(step(p, valueName))
}

func step(p *point.Point, valueName string) float64 {
	if p != nil {
		if v := p.ValueByName(valueName); v != nil {
			return v.Step
		}
	}
	return 0
}

// typical gives a value in the middle of what can be typed.
func typical(p *point.Point, valueName string) float64 {
	if p != nil {
		if v := p.ValueByName(valueName); v != nil {
			return (v.Min + v.Max) / 2
		}
	}
	return 0
}

// Describe says what a reading says: "Opaque", "4.5 mm", "made 2017-W12", "not looked at: wheel bolt seized".
func (s *Shop) Describe(c CarVersion, p *point.Point, r ReadingFact) string {
	if r.Skipped != "" {
		return "not looked at: " + r.Skipped
	}
	var parts []string
	if r.State != "" {
		say := r.State
		if st := p.StateByID(r.State); st != nil {
			say = st.Say
		}
		parts = append(parts, say)
	}
	if r.Code != "" {
		parts = append(parts, r.Code)
	}
	for i := range p.Values {
		if x, ok := r.Values[p.Values[i].Name]; ok {
			text := s.Display(c, p.Values[i].Name, x, p)
			if p.Values[i].Companion {
				text = strings.ToLower(p.Values[i].Label[:1]) + p.Values[i].Label[1:] + " " + text
			}
			parts = append(parts, text)
		}
	}
	if x, ok := r.Values["fraction"]; ok && p.ValueByName("fraction") == nil {
		parts = append(parts, fmt.Sprintf("%.0f %% of the band", 100*x))
	}
	return strings.Join(parts, ", ")
}
