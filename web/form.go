package web

import (
	"errors"
	"net/url"
	"strings"

	"witnessmark/shop"
)

// form is what was typed, with what is wrong with it.
type form struct {
	Values   url.Values
	Problems shop.Invalid
	// Partly is true when what the problems do not name was stored all the same.
	Partly bool
	// Labels names a field for the summary at the top of the page; nil, or an empty name, shows only the sentence.
	Labels func(name string) string
}

// newForm starts a form from values; nil is an empty one.
func newForm(v url.Values) *form {
	if v == nil {
		v = url.Values{}
	}
	return &form{Values: v}
}

// refused puts the problems of err into the form and reports whether they are the form's; any other error is not.
func (f *form) refused(err error) bool {
	var inv shop.Invalid
	if !errors.As(err, &inv) {
		return false
	}
	f.Problems = append(f.Problems, inv...)
	return true
}

// Get gives what was typed in a field.
func (f *form) Get(name string) string { return f.Values.Get(name) }

// Set prefills a field.
func (f *form) Set(name, value string) { f.Values.Set(name, value) }

// AsksOfMeter reports whether the field beside a distance is shown in which one says that the meter was changed: the distance was refused
// unless that is said, or something was typed there.
func (f *form) AsksOfMeter(km string) bool {
	p := f.Problem(km)
	return f.Get(km+"-note") != "" || p != nil && strings.Contains(p.Text, "meter was changed")
}

// Problem gives what is wrong with a field, or nil.
func (f *form) Problem(name string) *shop.FieldError {
	for i := range f.Problems {
		if f.Problems[i].Field == name {
			return &f.Problems[i]
		}
	}
	return nil
}

// Bad reports whether anything is wrong, OnlyAsks whether it is merely doubtful.
func (f *form) Bad() bool { return f != nil && len(f.Problems) > 0 }

// OnlyAsks reports whether every problem goes away when it is confirmed.
func (f *form) OnlyAsks() bool { return f != nil && f.Problems.OnlyAsks() }

// Asks reports whether something is doubtful, and so can be confirmed.
func (f *form) Asks() bool {
	if f == nil {
		return false
	}
	for _, p := range f.Problems {
		if p.Ask {
			return true
		}
	}
	return false
}

// Confirmed reports whether doubtful entries were confirmed.
func (f *form) Confirmed() bool { return f.Values.Get("confirmed") != "" }

// FieldID gives the id of a field's control, for labels and the summary's links.
func FieldID(name string) string {
	return "f-" + strings.Map(func(c rune) rune {
		if c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= '0' && c <= '9' || c == '-' {
			return c
		}
		return '_'
	}, name)
}

// Label gives the label of a field for the summary, or nothing.
func (f *form) Label(name string) string {
	if f.Labels == nil {
		return ""
	}
	return f.Labels(name)
}

// ID is FieldID for templates.
func (f *form) ID(name string) string { return FieldID(name) }

// fieldView is one control with its label, hint and problem.
type fieldView struct {
	ID, Name, Label, Hint, Value string
	// Type is text unless said otherwise; Mode the keyboard; Unit stands behind the control.
	Type, Mode, Complete, Unit, Class, List string
	Max                                     string
	Required                                bool
	Error                                   *shop.FieldError
	Options                                 []option
}

// option is one answer of a choice.
type option struct{ Value, Label, Hint string }

// DescribedBy lists the ids of what explains the control.
func (v fieldView) DescribedBy() string {
	var ids []string
	if v.Hint != "" {
		ids = append(ids, v.ID+"-hint")
	}
	if v.Error != nil {
		ids = append(ids, v.ID+"-error")
	}
	return strings.Join(ids, " ")
}

// field builds a text control for {{template "field"}}. Extras are "key=value": hint, type, mode, complete, unit,
// class, list, max, or "required".
func field(f *form, name, label string, extras ...string) fieldView {
	v := fieldView{ID: FieldID(name), Name: name, Label: label, Value: f.Get(name), Type: "text", Error: f.Problem(name)}
	for _, e := range extras {
		key, val, _ := strings.Cut(e, "=")
		switch key {
		case "hint":
			v.Hint = val
		case "type":
			v.Type = val
		case "mode":
			v.Mode = val
		case "complete":
			v.Complete = val
		case "unit":
			v.Unit = val
		case "class":
			v.Class = val
		case "list":
			v.List = val
		case "max":
			v.Max = val
		case "required":
			v.Required = true
		}
	}
	return v
}

// choice builds a select ({{template "select"}}) or radios ({{template "radios"}}) with its options.
func choice(f *form, name, label string, options []option, extras ...string) fieldView {
	v := field(f, name, label, extras...)
	v.Options = options
	return v
}

// options builds the answers of a choice from values and labels in turn.
func options(pairs ...string) []option {
	var out []option
	for i := 0; i+1 < len(pairs); i += 2 {
		out = append(out, option{Value: pairs[i], Label: pairs[i+1]})
	}
	return out
}
