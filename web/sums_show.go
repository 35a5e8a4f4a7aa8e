package web

import (
	"bytes"
	"fmt"
	"html/template"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"witnessmark/core/sums"
	"witnessmark/core/verdict"
	"witnessmark/shop"
)

// sumRow is one line of an answer or of what was asked.
type sumRow struct{ Name, Title, Value string }

// Long reports whether the value needs a line of its own.
func (r sumRow) Long() bool { return len(r.Value) > 26 }

// sumAnswer is what stands below the form. Its template is sent alone when the page asks for it while somebody types.
type sumAnswer struct {
	Sum     sums.Sum
	Asked   bool
	Alone   bool              // sent without the page, so that nothing else tells what is wrong
	Wrong   []shop.FieldError // entries that cannot be used
	Missing []shop.FieldError // entries that are still empty
	Lead    []sumRow
	Verdict verdict.Verdict
	Why     string
	Rows    []sumRow
	Inputs  []sumRow
	Notes   []string
	Source  string
	Drawing template.HTML
	Example string
	Day     string
}

// Label gives the label of an entry, ID the id of its field.
func (a sumAnswer) Label(name string) string { return keyTitle(a.Sum, name) }

// ID gives the id of an entry's field.
func (a sumAnswer) ID(name string) string { return FieldID(name) }

// OK reports whether there is an answer.
func (a sumAnswer) OK() bool { return len(a.Lead)+len(a.Rows) > 0 }

// Said is the answer in one sentence, for a reader who hears the page.
func (a sumAnswer) Said() string {
	text := ""
	if a.Verdict != "" {
		text = "Verdict: " + string(a.Verdict) + ". "
	}
	for _, r := range a.Lead {
		text += r.Title + ": " + r.Value + ". "
	}
	return text
}

// sumData is what a sum's page shows.
type sumData struct {
	Sum    sums.Sum
	Form   *form
	Parts  []sumPart
	Answer sumAnswer
}

// sumsShow shows one sum: its form, and the answer when something was asked. With part=answer only the answer is sent.
func (s *server) sumsShow(w http.ResponseWriter, r *http.Request) error {
	sum, ok := sums.Find(r.PathValue("name"))
	if !ok {
		return userError{http.StatusNotFound, "There is no such sum", "The address may be mistyped. “Sums” at the top lists all that there are."}
	}
	args, asked := sumArgs(sum, r.URL.Query())
	a, problems := answerSum(sum, args, asked)
	a.Day = day(s.shop.Now().Format("2006-01-02"))
	if r.URL.Query().Get("part") == "answer" {
		a.Alone = true
		return s.sumPartOnly(w, a)
	}
	f := s.sumForm(sum, args, problems)
	p := page{Title: sum.Title, Back: "/sums", BackWords: "Sums", Data: sumData{sum, f, sumParts(sum, f), a}}
	status := http.StatusOK
	if f.Bad() {
		p.Title, status = "Please look again: "+p.Title, http.StatusUnprocessableEntity
	}
	s.render(w, r, status, "sums_show", p)
	return nil
}

// sumPartOnly sends the answer without the page around it.
func (s *server) sumPartOnly(w http.ResponseWriter, a sumAnswer) error {
	var b bytes.Buffer
	if err := s.pages["sums_show"].ExecuteTemplate(&b, "sumanswer", a); err != nil {
		return fmt.Errorf("sum %s: %w", a.Sum.Name, err)
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	_, _ = b.WriteTo(w)
	return nil
}

// answerSum works the sum out and lays the answer ready for the page.
func answerSum(sum sums.Sum, args map[string]string, asked bool) (sumAnswer, shop.Invalid) {
	a := sumAnswer{Sum: sum, Asked: asked, Source: sum.Source, Example: exampleURL(sum)}
	if !asked {
		return a, nil
	}
	r, problems := sumRun(sum, args)
	for _, p := range problems {
		if args[p.Field] == "" && p.Field != sumWhole {
			a.Missing = append(a.Missing, p)
		} else {
			a.Wrong = append(a.Wrong, p)
		}
	}
	if problems != nil {
		return a, problems
	}
	a.take(r)
	a.Inputs = sumInputs(sum, args)
	if draw := sumDrawings[sum.Name]; draw != nil {
		numbers, lists := sum.Given(args)
		a.Drawing = draw(sketchOf{numbers, lists, args}, r)
	}
	return a, nil
}

// sumLeads are the fields that stand large, where that is not the first alone.
var sumLeads = map[string]string{
	"coolant-mix": "concentrate_L water_L drains", "fluid-exchange": "old_share times litres", "oil-viscosity": "kinematic_mm2_s viscosity_index grade",
	"battery-load": "load_A least_V passed", "tread": "mm in_32nds", "tyre-age": "made years", "tyre-pressure": "bar kPa psi", "tyre-load": "load_ok speed_ok",
	"tyre-size": "difference_percent true_kmh", "brake-balance": "weaker_percent imbalance_percent", "brake-efficiency": "efficiency_percent required_percent",
	"brake-disc": "thinnest_mm variation_mm", "steering-play": "limit_mm degrees", "toe": "degrees minutes", "toe-mm": "mm in",
	"wheel-angles": "thrust_minutes front_cross_camber_degrees rear_cross_camber_degrees", "vin": "well_formed check_ok years",
}

// take sorts the answer's fields into what stands large, the verdict and the rest.
func (a *sumAnswer) take(r sums.Result) {
	a.Source, a.Notes = r.Source, r.Notes
	large := strings.Fields(orWord(sumLeads[a.Sum.Name], a.Sum.Outputs[0].Name))
	for _, f := range r.Fields {
		o := a.Sum.Output(f.Name)
		row := sumRow{f.Name, o.Title, o.WithUnit(f.Value)}
		switch {
		case one(r, "drains") < 2 && strings.HasPrefix(f.Name, "last_"): // the last filling is the only one
		case f.Value == "": // a VIN that is none has no check digit
		case f.Name == "verdict":
			a.Verdict = verdict.Verdict(fmt.Sprint(f.Value))
		case f.Name == "why":
			a.Why = capital(row.Value)
		case slices.Contains(large, f.Name):
			a.Lead = append(a.Lead, row)
		default:
			a.Rows = append(a.Rows, row)
		}
	}
}

// sumInputs tells on the printed card what was asked, with what was taken for granted.
func sumInputs(sum sums.Sum, args map[string]string) []sumRow {
	var out []sumRow
	for _, k := range sum.Keys {
		v := args[k.Name]
		if v == "" && k.Default != "" {
			v = k.Default
		}
		if v == "" {
			continue
		}
		if k.Kind == sums.Choice {
			v = orWord(choiceWords[v], v)
		}
		out = append(out, sumRow{k.Name, k.Title, v})
	}
	return out
}

// exampleURL is the sum's page with its example filled in.
func exampleURL(sum sums.Sum) string {
	q := url.Values{}
	for _, a := range sum.Arguments() {
		q.Set(a.Key, a.Value)
	}
	return "/sums/" + sum.Name + "?" + q.Encode() + "#result"
}
