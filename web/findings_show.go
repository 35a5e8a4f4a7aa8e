package web

import (
	"fmt"
	"html/template"
	"net/http"
	"slices"
	"strings"

	"witnessmark/core/judge"
	"witnessmark/core/point"
	"witnessmark/core/verdict"
	"witnessmark/shop"
)

// findingsData is the page on which a round's findings are read by the adviser.
type findingsData struct {
	Judged   *shop.Judged
	Depth    string
	Counts   []verdictCount
	Asks     []findingAsk
	Cautions []cautionView
	Unjudged []findingView
	Sound    []findingGroup
	SoundN   int
	Reasons  []reasonView
	NotLookN int // places
	Absent   []reasonView
	AbsentN  int
	CanPrint bool
	// NextLook and Ahead are what the owner is told of what comes.
	NextLook string
	Ahead    aheadView
	// Why is what may be behind it.
	Why whyView
}

// verdictCount is how many findings have a verdict.
type verdictCount struct {
	Verdict verdict.Verdict
	N       int
}

// findingView is one finding in words and lines.
type findingView struct {
	ID                 string
	Title, Where, Got  string
	Verdict            verdict.Verdict
	Why, Limit, Source string
	Scale              template.HTML
	Category           string
	Jobs, Cautions     []string
	Recheck            string
	Photos             []string
	Note               string
	Point, EditURL     string
	Axle               string
	// OwnLimit and OwnCategory stand in a row when the rows of its group differ in them.
	OwnLimit, OwnCategory string
}

// findingGroup is the findings of one group of points.
type findingGroup struct {
	Name     string
	Findings []findingView
}

// reasonView is a reason with what it holds for.
type reasonView struct {
	Reason string
	What   []string
}

// findingsShow shows what a round found, worst first.
func (s *server) findingsShow(w http.ResponseWriter, r *http.Request) error {
	j, err := s.shop.Findings(r.Context(), r.PathValue("id"))
	if err != nil {
		return err
	}
	d := findingsData{Judged: j, Depth: depthWords(j.Round.Depth), CanPrint: s.cfg.ReportPDF != nil}
	var asks []findingView
	sound := map[string][]findingView{}
	for i := range j.Result.Findings {
		f := &j.Result.Findings[i]
		v := s.findingView(j, f, i)
		switch f.Verdict {
		case verdict.Sound:
			sound[f.Point.Group] = append(sound[f.Point.Group], v)
			d.SoundN++
		case verdict.Unjudged:
			d.Unjudged = append(d.Unjudged, v)
		default:
			asks = append(asks, v)
		}
	}
	d.Asks = asksOf(asks)
	rep, err := s.shop.Report(r.Context(), j.Round.ID)
	if err != nil {
		return err
	}
	d.comes(rep)
	causes, err := s.shop.CausesOf(r.Context(), j)
	if err != nil {
		return err
	}
	d.Why = s.whyOf(causes)
	behind(d.Asks, causes)
	d.Cautions = cautionsOf(d.Asks)
	for _, g := range point.Groups {
		if len(sound[g]) > 0 {
			d.Sound = append(d.Sound, findingGroup{groupName(g), sound[g]})
		}
	}
	for _, v := range [...]verdict.Verdict{verdict.Unsafe, verdict.Overdue, verdict.Due, verdict.Watch, verdict.Unjudged, verdict.Sound} {
		d.Counts = append(d.Counts, verdictCount{v, j.Result.Count(v)})
	}
	facets := s.shop.FacetsOf(j.Car)
	for _, n := range j.Result.NotLooked {
		d.Reasons = addReason(d.Reasons, n.Reason, placed(n.Point.Name, n.Point.Where(n.At, facets)))
	}
	for _, n := range j.Result.NotApplicable {
		d.Absent = addReason(d.Absent, s.facetReason(n.Reason), n.Point.Name)
	}
	d.NotLookN, d.AbsentN = j.Result.Places-j.Result.Looked, len(j.Result.NotApplicable)
	title := "Findings of " + day(j.Round.On)
	notice := causesNotice(r.FormValue("did"))
	if r.FormValue("saved") != "" {
		notice = "The reading is stored and everything is judged again."
	}
	s.render(w, r, http.StatusOK, "findings_show", page{Title: title + ", " + carName(j.Car), Notice: notice, Data: d, Back: "/cars/" + j.Car.CarID, BackWords: carName(j.Car)})
	return nil
}

// comes fills in what is to be expected: beside what asks for something, and in a list of its own.
func (d *findingsData) comes(rep *shop.Report) {
	d.NextLook = rep.NextLook
	told := map[[2]string]bool{}
	for i := range d.Asks {
		a := &d.Asks[i]
		for _, l := range rep.Ahead {
			if slices.ContainsFunc(a.Rows, func(v findingView) bool { return v.Point == l.Point && v.Axle == axleOf(l.At) }) {
				a.Ahead = append(a.Ahead, l)
				told[[2]string{l.Point, l.At}] = true
			}
		}
	}
	rest := slices.DeleteFunc(slices.Clone(rep.Ahead), func(l shop.AheadLine) bool { return told[[2]string{l.Point, l.At}] })
	d.Ahead = aheadOf(rest, rep.Round.On)
}

// axleOf is the axle of a position, or the position itself where it has none.
func axleOf(at string) string {
	base, _ := point.SplitAt(at)
	return point.Axle(base)
}

// placed joins a name and a place in words.
func placed(name, where string) string {
	if where == "" {
		return name
	}
	return name + ", " + where
}

// addReason puts a thing under its reason, reasons in the order of first use.
func addReason(list []reasonView, reason, what string) []reasonView {
	for i := range list {
		if list[i].Reason == reason {
			if !slices.Contains(list[i].What, what) {
				list[i].What = append(list[i].What, what)
			}
			return list
		}
	}
	return append(list, reasonView{reason, []string{what}})
}

// findingView puts one finding into words.
func (s *server) findingView(j *shop.Judged, f *judge.Finding, i int) findingView {
	v := findingView{ID: fmt.Sprintf("finding-%d", i+1), Title: f.Point.Name, Where: f.Where, Verdict: f.Verdict, Why: f.Why,
		Source: f.Source, Recheck: f.Recheck, Point: f.Point.ID, Axle: axleOf(f.At), EditURL: pointPath(j.Round.ID, f.Point.ID) + "?from=findings"}
	if f.Category != "" {
		v.Category = strings.TrimPrefix(f.Regulation+": "+f.Category, ": ")
	}
	for _, id := range f.Jobs {
		v.Jobs = append(v.Jobs, s.shop.JobWords(*f, id))
	}
	v.Cautions = f.Cautions
	for _, ph := range j.Photos {
		if ph.Point == f.Point.ID && (ph.At == "" || f.At == "" || ph.At == f.At) {
			v.Photos = append(v.Photos, ph.Hash)
		}
	}
	if f.Reading != nil {
		fact := shop.ReadingFact{State: f.Reading.State, Code: f.Reading.Code, Values: f.Reading.Values}
		v.Got, v.Note = s.shop.Describe(j.Car, f.Point, fact), f.Reading.Note
	}
	if l := f.Limit; l != nil {
		v.Limit = s.shop.Display(j.Car, l.Unit, l.Value, f.Point)
		best := bestEnd([]float64{l.Got}, l.Value, l.Falls)
		sc := scale{At: []float64{along(l.Got, best, l.Value)}, Limit: true, Verdict: f.Verdict,
			Words: fmt.Sprintf("%s against a limit of %s", s.shop.Display(j.Car, l.Unit, l.Got, f.Point), v.Limit)}
		v.Scale = sc.draw()
		if l.Source != "" {
			v.Source = l.Source
		}
	}
	return v
}
