package web

import (
	"bytes"
	"encoding/json"
	"net/http"
	"strings"

	"witnessmark/core/money"
	"witnessmark/shop"
)

// workDoneData is closed-out work.
type workDoneData struct {
	Path, CarPath string
	Order         *shop.WorkOrder
	Summary       *shop.Summary
	Km            string
	Items         []doneItem
	Baseline      string
	Follows       []shop.Follow
	// Shared is what was charged once for several items, or for one as its preparation; the items' amounts and these make up the sum.
	Shared []askLine
	Sum    sumView
	// F is the form that takes the close-out back, ID its id; Held says why it can't be.
	F        *form
	ID, Held string
	AskBy    bool
	By       string
	Back     []workBackLine
}

// doneItem is how an agreed item ended.
type doneItem struct {
	Name, Why, Minutes, Amount string
	// Back is true of what was not done and comes back: no other estimate's work did it.
	Done, Back bool
	Fitted     []doneFitted
}

// doneFitted is a part as it was fitted, with how much in words.
type doneFitted struct {
	shop.Fitted
	Much string
}

// workDone shows closed-out work: what it comes to, and what comes next.
func (s *server) workDone(w http.ResponseWriter, r *http.Request) error {
	return s.renderDone(w, r, newForm(nil), http.StatusOK)
}

func (s *server) renderDone(w http.ResponseWriter, r *http.Request, f *form, status int) error {
	o, err := s.shop.WorkOrder(r.Context(), r.PathValue("decision"))
	if err != nil {
		return err
	}
	if o.Close == nil {
		return see(w, r, workPath(o.Decision.ID))
	}
	d := workDoneData{Path: workPath(o.Decision.ID), CarPath: "/cars/" + o.Car.CarID, Order: o, Km: s.km(o.Car, o.Close.Said.Km), Follows: o.Close.Said.Follows,
		F: f, ID: s.idOf(f), AskBy: initials(r) == "", By: f.Get("by"), Back: backLines(o)}
	if d.Held, err = s.shop.CloseOutHeld(r.Context(), o); err != nil {
		return err
	}
	f.Labels = func(name string) string { return map[string]string{"why": "Why"}[name] }
	if o.Close.Said.RoundID != "" {
		d.Baseline = roundPath(o.Close.Said.RoundID) + "/findings"
	}
	totals, err := shop.DoneTotals(o)
	if err != nil {
		return err
	}
	cur := o.Draft.Said.Estimate.Terms.Currency
	d.Sum = newSum(o.Draft.Said.Estimate, totals)
	for i, t := range totals.Shared {
		if t.On && t.Amount != 0 {
			d.Shared = append(d.Shared, askLine{Name: o.Draft.Said.Estimate.Shared[i].Name, Amount: money.Format(cur, t.Amount)})
		}
	}
	sheet := s.shop.Sheet(o)
	for _, it := range o.Close.Said.Items {
		item := doneItem{Why: it.WhyNot, Done: it.Done, Back: !it.Done}
		for i := range it.Fitted {
			item.Fitted = append(item.Fitted, doneFitted{it.Fitted[i], sheet.FittedMuch(&it.Fitted[i])})
		}
		for _, st := range sheet.States {
			item.Back = item.Back && !(st.ID == it.Item && len(st.Elsewhere) > 0 && st.Elsewhere[0].DoneOn != "")
		}
		if x := o.Item(it.Item); x != nil {
			item.Name = x.Name
		}
		if it.Minutes > 0 {
			item.Minutes = countOf(it.Minutes, "minute")
		}
		for _, t := range totals.Items {
			if t.ID == it.Item && it.Done {
				item.Amount = money.Format(cur, t.Amount)
			}
		}
		d.Items = append(d.Items, item)
	}
	p := page{Title: "Work closed out: " + o.Car.Plate, Form: f, Data: d, Back: "/bay", BackWords: "Work"}
	if r.URL.Query().Get("did") == "closed" {
		p.Notice = "Closed out. The renewals and first readings are on the car's page."
	}
	s.render(w, r, status, "work_done", p)
	return nil
}

// workSummaryCSV and workSummaryJSON give the summary for the invoice.
func (s *server) workSummaryCSV(w http.ResponseWriter, r *http.Request) error {
	return s.workSummary(w, r, "csv", func(m *shop.Summary, b *bytes.Buffer) error { return m.WriteCSV(b) })
}

func (s *server) workSummaryJSON(w http.ResponseWriter, r *http.Request) error {
	return s.workSummary(w, r, "json", func(m *shop.Summary, b *bytes.Buffer) error {
		e := json.NewEncoder(b)
		e.SetIndent("", "  ")
		return e.Encode(m)
	})
}

func (s *server) workSummary(w http.ResponseWriter, r *http.Request, kind string, write func(m *shop.Summary, b *bytes.Buffer) error) error {
	m, err := s.shop.Summary(r.Context(), r.PathValue("decision"))
	if err != nil {
		return err
	}
	var b bytes.Buffer
	if err := write(m, &b); err != nil {
		return err
	}
	types := map[string]string{"csv": "text/csv; charset=utf-8; header=present", "json": "application/json"}
	w.Header().Set("Content-Type", types[kind])
	w.Header().Set("Content-Disposition", `attachment; filename="summary-`+fileWord(m.Estimate.Number)+"."+kind+`"`)
	_, _ = b.WriteTo(w)
	return nil
}

// fileWord keeps letters, digits and hyphens of a number, for a file's name.
func fileWord(text string) string {
	return strings.Map(func(c rune) rune {
		if c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= '0' && c <= '9' || c == '-' {
			return c
		}
		return '-'
	}, text)
}
