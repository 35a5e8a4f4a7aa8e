package web

import (
	"fmt"
	"html/template"
	"net/http"
	"strings"
	"time"

	"witnessmark/core/money"
	"witnessmark/core/verdict"
	"witnessmark/shop"
)

// planData is the page of a car's plan.
type planData struct {
	Car          shop.CarVersion
	Form         *form
	Head         template.HTML
	Visits       []planVisitView
	Unplaced     []shop.UnplacedWant
	Notes        []string
	Status       string
	TermsSet     bool
	Currency     string
	EstimatePath string
	Asked        int
	// Budget is the bound of this plan as it was typed, empty for none; what is done on the page is done in that plan.
	Budget string
}

// planVisitView is one visit.
type planVisitView struct {
	ID, On, Name, Day string
	Rows              []planRowView
	Brackets          []planBracketView
	Draw              template.HTML
	Time, Cost        string
	Unknown, Lacks    string
	EstimateID        string
}

// planRowView is one want at a visit.
type planRowView struct {
	shop.PlannedWant
	Verdict verdict.Verdict
	Word    string
	Line    template.HTML
	Due     string
	Took    string
	Days    []option
	PlaceID string
}

// planBracketView is a preparation that several jobs share.
type planBracketView struct{ Mark, Words string }

// planShow shows at which visit what is best done, and why.
func (s *server) planShow(w http.ResponseWriter, r *http.Request) error {
	f := newForm(r.URL.Query())
	return s.renderPlan(w, r, http.StatusOK, f, planNotice(f.Get("did")))
}

func planNotice(did string) string {
	switch did {
	case "placed":
		return "It stands where you put it. The rest is planned around it."
	case "released":
		return "It is planned anew with the rest."
	}
	return ""
}

// renderPlan draws the page; f holds the budget, and problems of a placement.
func (s *server) renderPlan(w http.ResponseWriter, r *http.Request, status int, f *form, notice string) error {
	id := r.PathValue("id")
	budget, err := s.planBudget(r, f)
	if err != nil {
		return err
	}
	p, err := s.shop.PlanWithin(r.Context(), id, budget)
	if err != nil {
		return err
	}
	d := planData{Car: p.Car, Form: f, Unplaced: p.Unplaced, Notes: p.Notes, Status: planStatus(p), TermsSet: p.TermsSet, Currency: p.Terms.Estimate.Currency.Code,
		EstimatePath: draftsPath(p.Car.CarID)}
	if p.Budget > 0 {
		d.Budget = f.Get("budget")
	}
	a := planAxis(p)
	d.Head = a.head(s, p.Car)
	for i := range p.Visits {
		d.Visits = append(d.Visits, s.planVisit(p, &p.Visits[i], a, i))
		d.Asked += len(p.Visits[i].Wants)
	}
	d.Asked += len(p.Unplaced)
	s.render(w, r, status, "plan_show", page{Title: "Plan of visits, " + carName(p.Car), Notice: notice, Form: f, Data: d, Wide: true,
		Back: "/cars/" + p.Car.CarID, BackWords: carName(p.Car)})
	return nil
}

// planBudget reads the most that the owner spends at a visit, 0 for no bound. What is no amount becomes a problem of the form.
func (s *server) planBudget(r *http.Request, f *form) (money.Amount, error) {
	text := strings.TrimSpace(f.Get("budget"))
	if text == "" {
		return 0, nil
	}
	t, set, err := s.shop.Terms(r.Context())
	if err != nil || !set {
		return 0, err
	}
	a, err := money.Parse(t.Estimate.Currency, text)
	if err == nil && a <= 0 {
		err = fmt.Errorf("the amount must be more than 0")
	}
	if err != nil {
		f.refused(shop.Invalid{{Field: "budget", Text: capital(err.Error()) + "."}})
		return 0, nil
	}
	return a, nil
}

// planStatus says how good the plan is.
func planStatus(p *shop.CarPlan) string {
	switch {
	case len(p.Visits) == 0:
		return "What keeps each from a visit stands below."
	case p.Proven:
		return "No plan that weighs less exists (proven)."
	case p.Gap >= 1:
		return "The best plan could not be found in time: this one holds the limits, and a better one may exist."
	}
	return fmt.Sprintf("The search ended early: the best plan weighs at most %.1f %% less.", 100*p.Gap)
}

// planVisit puts a visit into words and lines.
func (s *server) planVisit(p *shop.CarPlan, v *shop.PlannedVisit, a axis, n int) planVisitView {
	x := planVisitView{ID: "v-" + v.On, On: v.On, Name: v.Name, Day: day(v.On), Time: labour(v.Minutes), Unknown: strings.Join(v.Unknown, ", "), Lacks: strings.Join(v.Lacks, ", "),
		EstimateID: s.shop.NewID()}
	if p.TermsSet {
		x.Cost = money.Format(p.Terms.Estimate.Currency, v.Cost)
	}
	at, _ := time.Parse("2006-01-02", v.On)
	for i := range v.Wants {
		w := &v.Wants[i]
		row := planRowView{PlannedWant: *w, Verdict: w.Verdict, Word: string(w.Verdict), Line: a.planLine(w, at), PlaceID: s.shop.NewID()}
		switch {
		case w.From == shop.FromFollowUp:
			row.Word = "to look at"
		case w.From == shop.FromOutlook && w.Verdict == verdict.Sound:
			row.Word = "foreseen"
		}
		if w.Minutes > 0 {
			row.Took = hours(w.Minutes)
		}
		row.Due = dueWords(w, p.Today)
		for _, d := range p.Days {
			if d.On != v.On && d.On >= w.NotBefore && (w.HardOn == "" || d.On <= max(w.HardOn, p.Today)) {
				row.Days = append(row.Days, option{Value: d.On, Label: d.Name})
			}
		}
		x.Rows = append(x.Rows, row)
	}
	x.Draw = brackets(v)
	for _, u := range v.Setups {
		if len(u.Of) > 1 {
			x.Brackets = append(x.Brackets, planBracketView{bracketMark(len(x.Brackets)), fmt.Sprintf("%s, once for %d jobs: saves %d minutes", u.Name, len(u.Of), u.Saved)})
		}
	}
	return x
}

// dueWords says when a want falls due.
func dueWords(w *shop.PlannedWant, today string) string {
	switch {
	case w.Must:
		return "must not wait"
	case w.HardOn != "":
		return "by " + shortDay(max(w.HardOn, today)) + " at the latest"
	case w.NotBefore > today:
		return "put off until " + shortDay(w.NotBefore)
	case w.DueOn <= today:
		return "due now"
	}
	return "due " + shortDay(w.DueOn)
}

// labour writes a visit's labour.
func labour(minutes int) string {
	if minutes == 0 {
		return "Time not known"
	}
	return hours(minutes) + " of labour"
}

// hours writes minutes.
func hours(minutes int) string {
	if minutes < 60 {
		return fmt.Sprintf("%d min", minutes)
	}
	return fmt.Sprintf("%d h %02d min", minutes/60, minutes%60)
}
