package web

import (
	"errors"
	"slices"
	"strings"

	"witnessmark/core/point"
	"witnessmark/shop"
)

// rename gives the problems of a point's readings the names of the form's fields and the words of their labels:
// "FL/outer|mm" becomes "num|tyre-tread|FL/outer|mm", and its sentence begins with "Front left, outer".
func (s *server) rename(c shop.CarVersion, err error, step shop.StepView) error {
	var inv shop.Invalid
	if !errors.As(err, &inv) {
		return err
	}
	p := step.Point
	var out shop.Invalid
	for _, f := range inv {
		at, value, isNumber := strings.Cut(f.Field, "|")
		label := capital(p.Where(at, s.shop.FacetsOf(c)))
		v := valueOf(p, value)
		switch {
		case strings.Contains(f.Text, "note is longer"): // it is asked once, for every place
			f.Field, label = "note", ""
		case isNumber && v != nil && v.Companion:
			f.Field, label = fieldName("with", p.ID, "", value), v.Label
		case isNumber:
			f.Field = fieldName("num", p.ID, at, value)
			if v != nil && (label == "" || len(ownValues(p)) > 1) {
				label = strings.TrimPrefix(label+", "+v.Label, ", ")
			}
		case p.Kind == point.Code && slices.Contains(step.Slots, at):
			f.Field = fieldName("code", p.ID, at)
		case slices.Contains(step.Slots, at):
			f.Field = fieldName("state", p.ID, at)
		}
		if isNumber && v != nil && strings.Contains(f.Text, "; expected ") {
			f.Text = "expected " + s.shop.Display(c, v.Name, v.Min, p) + " to " + s.shop.Display(c, v.Name, v.Max, p) + "."
		}
		if p.Kind == point.Code && strings.HasPrefix(f.Field, "code|") {
			f.Text = codeText(p, f.Text)
		}
		if label != "" {
			f.Text = capital(label) + ": " + f.Text
		}
		if !slices.ContainsFunc(out, func(o shop.FieldError) bool { return o.Field == f.Field && o.Text == f.Text }) {
			out = append(out, f)
		}
	}
	return out
}

// valueOf finds a value that is asked at the point, the share of the band of a level too.
func valueOf(p *point.Point, name string) *point.Value {
	if v := p.ValueByName(name); v != nil {
		return v
	}
	own := ownValues(p)
	if i := slices.IndexFunc(own, func(v point.Value) bool { return v.Name == name }); i >= 0 {
		return &own[i]
	}
	return nil
}

// codeText says what is wrong with a code and how one is written; a pattern means nothing to a person.
func codeText(p *point.Point, text string) string {
	if strings.Contains(text, " matches ") {
		text = "that is not how the code is written."
	}
	text = strings.ReplaceAll(text, "?.", "?")
	if p.Derive == "tyre-age" {
		return text + " Write week and year, such as 1217 for week 12 of 2017."
	}
	return text + " Copy it as it stands on the part."
}
