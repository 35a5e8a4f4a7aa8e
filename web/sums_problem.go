package web

import (
	"errors"
	"slices"
	"strings"

	"witnessmark/core/sums"
	"witnessmark/core/unit"
	"witnessmark/shop"
)

// sumWhole is the field that stands for the sum as a whole, where no one entry is to blame.
const sumWhole = "sum"

// sumRun answers a sum from what was typed. The register stops at the first bad entry; to tell them all at once, an
// entry that cannot be read is replaced by its key's example and the sum is tried again. What an example leads to is
// nobody's mistake, so a problem of the values themselves is told only when everything could be read.
func sumRun(s sums.Sum, typed map[string]string) (sums.Result, shop.Invalid) {
	args := map[string]string{}
	for k, v := range typed {
		args[k] = v
	}
	var out shop.Invalid
	for {
		r, err := s.Run(args)
		if err == nil {
			if len(out) > 0 {
				return sums.Result{}, out
			}
			return r, nil
		}
		var e *sums.Error
		if !errors.As(err, &e) {
			return sums.Result{}, append(out, shop.FieldError{Field: sumWhole, Text: err.Error()})
		}
		k, unread := unreadKey(s, e)
		group := sumSet(s, typed)
		if e.Key == "" && group != nil {
			return sums.Result{}, append(out, *group)
		}
		if !unread || args[e.Key] == sumStandIn(k) {
			if len(out) == 0 {
				out = append(out, sumProblem(s, e))
			}
			return sums.Result{}, out
		}
		out = append(out, sumProblem(s, e))
		args[e.Key] = sumStandIn(k)
	}
}

// unreadKey finds the key whose entry is missing or cannot be read at all.
func unreadKey(s sums.Sum, e *sums.Error) (sums.Key, bool) {
	i := slices.IndexFunc(s.Keys, func(k sums.Key) bool { return k.Name == e.Key })
	if i < 0 {
		return sums.Key{}, false
	}
	return s.Keys[i], strings.HasSuffix(e.Problem, "; expected "+s.Keys[i].Expected())
}

func sumStandIn(k sums.Key) string {
	if k.Kind == sums.Choice {
		return k.Choices[0]
	}
	return k.Example
}

// sumSet says in the form's words which of several entries are wanted; nil where the right number is there.
func sumSet(s sums.Sum, typed map[string]string) *shop.FieldError {
	given := func(names []string) (n int) {
		for _, name := range names {
			if strings.TrimSpace(typed[name]) != "" {
				n++
			}
		}
		return n
	}
	switch {
	case len(s.OneOf) > 0 && given(s.OneOf) > 1:
		return &shop.FieldError{Field: s.OneOf[0], Text: "Only one of these can be used at a time: " + keyTitles(s, s.OneOf) + ". Empty the others."}
	case len(s.OneOf) > 0 && given(s.OneOf) == 0:
		return &shop.FieldError{Field: s.OneOf[0], Text: "One of these is needed: " + keyTitles(s, s.OneOf) + "."}
	case len(s.AnyOf) > 0 && given(s.AnyOf) == 0:
		return &shop.FieldError{Field: s.AnyOf[0], Text: "At least one of these is needed: " + keyTitles(s, s.AnyOf) + "."}
	}
	return nil
}

func keyTitles(s sums.Sum, names []string) string {
	words := make([]string, len(names))
	for i, name := range names {
		words[i] = "“" + keyTitle(s, name) + "”"
	}
	return strings.Join(words, ", ")
}

// keyTitle gives the label of a key; empty for what is none.
func keyTitle(s sums.Sum, name string) string {
	for _, k := range s.Keys {
		if k.Name == name {
			return k.Title
		}
	}
	return ""
}

// sumProblem turns the register's message into a sentence under a label.
func sumProblem(s sums.Sum, e *sums.Error) shop.FieldError {
	k, unread := unreadKey(s, e)
	f := shop.FieldError{Field: e.Key, Text: capital(e.Problem) + "."}
	switch {
	case e.Key == "":
		f.Field = sumWhole
	case unread && e.Value == "":
		f.Text = "This is missing. Expected " + k.Expected() + "."
	case unread && strings.Contains(e.Problem, "the unit is missing"):
		f.Text = "“" + e.Value + "” lacks its unit. Write it behind: " + withUnits(k, e.Value) + "."
	case unread:
		f.Text = "“" + e.Value + "” can't be read. Expected " + k.Expected() + "."
	}
	return f
}

// withUnits shows what was typed with each unit that the key takes.
func withUnits(k sums.Key, value string) string {
	var names []string
	switch k.Kind {
	case sums.Mass:
		names = []string{"kg", "t", "lb"}
	case sums.Speed:
		names = []string{"km/h", "mph"}
	case sums.List:
		return "each as in " + k.Example
	}
	for _, u := range k.Units {
		names = append(names, typedUnit(u))
	}
	for i, n := range names {
		names[i] = value + n
	}
	if len(names) == 1 {
		return names[0]
	}
	return strings.Join(names[:len(names)-1], ", ") + " or " + names[len(names)-1]
}

// typedUnit is the unit as a keyboard has it.
func typedUnit(u unit.Unit) string {
	switch u {
	case unit.DegC:
		return "C"
	case unit.DegF:
		return "F"
	case unit.MM2PerS:
		return "mm2/s"
	case unit.Degrees:
		return "deg"
	}
	return u.Symbol()
}
