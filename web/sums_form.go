package web

import (
	"net/url"
	"slices"
	"strings"

	"witnessmark/core/sums"
	"witnessmark/shop"
)

// sumPart is a run of a form's fields; those of which one or some are wanted stand in a fieldset with a legend.
type sumPart struct {
	Legend string
	Fields []fieldView
}

// choiceWords are the words for choices whose own are short.
var choiceWords = map[string]string{
	"ethylene": "Ethylene", "propylene": "Propylene", "flooded": "Flooded, liquid acid", "agm": "AGM, glass mat", "gel": "Gel", "eu": "European Union", "us": "United States",
	"en": "EN", "sae": "SAE (CCA)", "din": "DIN", "iec": "IEC", "summer": "Summer", "winter": "Winter", "all-season": "All seasons", "front": "Front", "rear": "Rear",
}

// sumArgs takes the sum's own entries out of a query; asked is false when it has none of them.
func sumArgs(s sums.Sum, q url.Values) (args map[string]string, asked bool) {
	args = map[string]string{}
	for _, k := range s.Keys {
		if q.Has(k.Name) {
			args[k.Name], asked = q.Get(k.Name), true
		}
	}
	return args, asked
}

// sumForm fills the form with what was typed, and with defaults and today where nothing was sent.
func (s *server) sumForm(sum sums.Sum, args map[string]string, problems shop.Invalid) *form {
	f := newForm(nil)
	for _, k := range sum.Keys {
		v, sent := args[k.Name]
		switch {
		case sent:
		case k.Default != "":
			v = k.Default
		case k.Kind == sums.Date:
			v = s.shop.Now().Format("2006-01-02")
		}
		f.Set(k.Name, v)
	}
	f.Problems = problems
	f.Labels = func(name string) string { return keyTitle(sum, name) }
	return f
}

// sumParts lays the fields out in the order of the keys.
func sumParts(sum sums.Sum, f *form) []sumPart {
	var out []sumPart
	for _, k := range sum.Keys {
		legend := ""
		switch {
		case slices.Contains(sum.OneOf, k.Name):
			legend = "One of these"
		case slices.Contains(sum.AnyOf, k.Name):
			legend = "At least one of these"
		}
		if len(out) == 0 || out[len(out)-1].Legend != legend {
			out = append(out, sumPart{Legend: legend})
		}
		last := &out[len(out)-1]
		last.Fields = append(last.Fields, sumField(k, f, legend != ""))
	}
	return out
}

func sumField(k sums.Key, f *form, inSet bool) fieldView {
	label := k.Title
	if k.Optional && !inSet {
		label += " (may stay empty)"
	}
	v := field(f, k.Name, label, "hint="+sumHint(k))
	v.Required = !k.Optional && k.Default == ""
	switch k.Kind {
	case sums.Choice:
		v.Hint = ""
		for _, c := range k.Choices {
			v.Options = append(v.Options, option{Value: c, Label: orWord(choiceWords[c], capital(c))})
		}
	case sums.Date:
		v.Type, v.Hint = "date", ""
	}
	return v
}

func orWord(word, other string) string {
	if word == "" {
		return other
	}
	return word
}

// sumHint says what may be typed, with the units as the keyboard has them.
func sumHint(k sums.Key) string {
	var text string
	switch k.Kind {
	case sums.Quantity, sums.List:
		names := make([]string, len(k.Units))
		for i, u := range k.Units {
			names[i] = typedUnit(u)
		}
		text = "For example " + k.Example
		if k.Bare {
			text += "; a bare number is in " + names[0]
		} else if len(names) > 1 {
			text += " (" + strings.Join(names, ", ") + ")"
		}
	case sums.Mass:
		text = "For example " + k.Example + " (kg, t, lb)"
	case sums.Speed:
		text = "For example " + k.Example + " (km/h, mph)"
	default:
		text = "For example " + k.Example
	}
	return text
}
