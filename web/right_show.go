package web

import (
	"cmp"
	"context"
	"fmt"
	"html/template"
	"math"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"witnessmark/core/score"
	"witnessmark/core/unit"
	"witnessmark/shop"
)

// rightData is the page *Are we right?*: past forecasts against what came, and what was learned.
type rightData struct {
	// Lead says how right the forecasts were, Means what follows from it, Rest the same of what is looked at.
	Lead, Means, Rest, RestMeans string
	Plot                         template.HTML
	// Scored says of how many cars and years; Little why less can be said than one would like.
	Scored, Little string
	Years          []rightYear
	// Measured are items with ranges, Looked those with chances, Good what of these came as was said; Few have too little history.
	Measured, Looked, Good []rightRow
	Few                    []string

	Work    *rightWork
	Empty   bool // nothing was ever looked at
	Failed  string
	Learned learnedData
	Initial string // who presses the button
}

// rightWork is what is being worked out now.
type rightWork struct {
	Says  string
	Share int // percent
}

// rightYear is one past year.
type rightYear struct {
	Year                 int
	Known, Within, Turns string
}

// rightRow is one item.
type rightRow struct {
	Name, N, Said, Error, Means string
	Small, Large                template.HTML
	About                       string // under the large drawing
}

// rightShow shows how right past forecasts were, and what was learned.
func (s *server) rightShow(w http.ResponseWriter, r *http.Request) error {
	d, err := s.right(r.Context())
	if err != nil {
		return err
	}
	d.Initial = initials(r)
	notice := ""
	switch r.FormValue("did") {
	case "begun":
		notice = "Learning has begun."
	case "busy":
		notice = "It was under way already."
	}
	if d.Work != nil || notice != "" && d.Failed != "" {
		notice = ""
	}
	s.render(w, r, http.StatusOK, "right_show", page{Title: "Are we right?", Notice: notice, Data: d, Back: "/", BackWords: "Today's cars"})
	return nil
}

// right gathers the page.
func (s *server) right(ctx context.Context) (*rightData, error) {
	sc, err := s.shop.Scores(ctx)
	if err != nil {
		return nil, err
	}
	st, err := s.shop.LearnState(ctx)
	if err != nil {
		return nil, err
	}
	d := &rightData{Failed: st.LastError, Work: workOf(st)}
	d.Empty = st.Last == nil && st.New == 0 && d.Work == nil
	if d.Learned, err = s.learned(ctx, st); err != nil {
		return nil, err
	}
	if sc.Ready {
		d.scored(sc)
	}
	return d, nil
}

// workOf says what runs: "Working: 120 of 400 cars are read."
func workOf(st shop.LearnState) *rightWork {
	if !st.Running {
		return nil
	}
	w := &rightWork{Says: fmt.Sprintf("Learning: %s of %s cars are read.", number(float64(st.Done)), number(float64(st.Total)))}
	if st.Total > 0 && st.Done >= st.Total {
		w.Says = fmt.Sprintf("Learning: all %s cars are read; what is usual for each item is worked out from them.", number(float64(st.Total)))
	}
	if st.What == "scoring" {
		w.Says = fmt.Sprintf("Holding past forecasts against what came: %d of %d years done.", st.Done, st.Total)
	}
	if st.Total > 0 {
		w.Share = 100 * min(st.Done, st.Total) / st.Total
	}
	return w
}

// scored puts the scores into words, rows and drawings.
func (d *rightData) scored(sc *shop.Scores) {
	d.Little = sc.TooLittle
	if c := sc.All.Ranges; c.N > 0 {
		d.Lead = fmt.Sprintf("Of %s forecasts with an 80\u00a0%% range, %s held.", number(float64(c.N)), wholePercent(c.Within))
		d.Means = rangeMeans(c)
		d.Plot = calibration(c.Points, plotLarge, "All forecasts of what is measured")
	}
	if c := sc.All.Chances; c.N > 0 {
		d.Rest = fmt.Sprintf("Of %s looks at what turns, %s found it turned; our chances had said %s.", number(float64(c.N)), number(float64(c.Happened)), number(math.Round(c.Expected)))
		d.RestMeans = chanceMeans(c)
	}
	if sc.Cars > 0 {
		d.Scored = fmt.Sprintf("Each year's forecasts are made again from what was known before it. %s of %s cars, as of %s.", number(float64(sc.Cars)), number(float64(sc.OfCars)), day(sc.On))
	}
	for _, y := range sc.Years {
		d.Years = append(d.Years, rightYear{Year: y.Year, Known: fmt.Sprintf("%s looks at %s cars", number(float64(y.Looks)), number(float64(y.Cars))), Within: heldOf(y.Ranges), Turns: turnsOf(y.Chances)})
	}
	for i := range sc.Laws {
		l := &sc.Laws[i]
		if l.TooLittle {
			d.Few = append(d.Few, fmt.Sprintf("%s (%d)", l.Name, l.Ranges.N+l.Chances.N))
			continue
		}
		switch row := rowOf(l); {
		case l.Ranges.N > 0:
			d.Measured = append(d.Measured, row)
		case row.Means == asItShould:
			d.Good = append(d.Good, row)
		default:
			d.Looked = append(d.Looked, row)
		}
	}
	slices.SortStableFunc(d.Measured, func(a, b rightRow) int { // what is off first
		return cmp.Compare(boolRank(a.Means == asItShould), boolRank(b.Means == asItShould))
	})
}

// rowOf puts one item's scores into a row.
func rowOf(l *shop.LawScore) rightRow {
	row := rightRow{Name: l.Name}
	if c := l.Ranges; c.N > 0 {
		row.N, row.Said, row.Means = number(float64(c.N)), wholePercent(c.Within)+" held", rangeMeans(c)
		row.Error = amountWords(c.MedianError, l.Unit)
		row.Small, row.Large = calibration(c.Points, plotSmall, l.Name), calibration(c.Points, plotLarge, l.Name)
		row.About = "For each forecast we said below which figure the reading would lie with so many chances in a hundred. A dot on the line says that it did as often as was said."
		return row
	}
	c := l.Chances
	row.N, row.Said, row.Means = number(float64(c.N)), turnsOf(c), chanceMeans(c)
	row.Small, row.Large = calibration(c.Points, plotSmall, l.Name), calibration(c.Points, plotLarge, l.Name)
	row.About = "Forecasts with about the same chance are put together. A dot on the line says that it happened as often as was said; large dots stand for many forecasts."
	return row
}

// heldOf says how many ranges held.
func heldOf(c score.Coverage) string {
	if c.N == 0 {
		return "none"
	}
	return fmt.Sprintf("%s of %s", wholePercent(c.Within), number(float64(c.N)))
}

// turnsOf says how often something had turned against what was said.
func turnsOf(c score.Calibration) string {
	if c.N == 0 {
		return "none"
	}
	return fmt.Sprintf("%s turned, %s said", number(float64(c.Happened)), number(math.Round(c.Expected)))
}

// asItShould is what a score means that lies within what chance alone allows.
const asItShould = "As it should be."

func boolRank(b bool) int {
	if b {
		return 1
	}
	return 0
}

// Beyond so many standard errors chance alone hardly explains the difference (one in eighty).
const beyondChance = 2.5

// rangeMeans says what the share of ranges that held means.
func rangeMeans(c score.Coverage) string {
	switch {
	case c.N == 0:
		return ""
	case c.Within < 0.8-beyondChance*c.SE:
		return "Surer than we should be: the ranges are too narrow."
	case c.Within > 0.8+beyondChance*c.SE:
		return "More careful than need be: the ranges are too wide."
	}
	return asItShould
}

// chanceMeans says what the number of things that had turned means.
func chanceMeans(c score.Calibration) string {
	switch {
	case c.N == 0:
		return ""
	case float64(c.Happened) > c.Expected+beyondChance*c.SE+0.5:
		return "Things turned more often than we said."
	case float64(c.Happened) < c.Expected-beyondChance*c.SE-0.5:
		return "Things turned less often than we said."
	}
	return asItShould
}

// wholePercent writes a share as a whole percentage.
func wholePercent(p float64) string { return fmt.Sprintf("%.0f\u00a0%%", 100*p) }

// amountWords writes a figure to two digits with its unit.
func amountWords(x float64, in string) string {
	text := number(x)
	if x > 0 && x < 1e6 {
		places := max(0, 1-int(math.Floor(math.Log10(x))))
		scale := math.Pow(10, float64(1-int(math.Floor(math.Log10(x)))))
		x = math.Round(x*scale) / scale
		if text = number(x); places > 2 && x < 0.1 {
			text = strconv.FormatFloat(x, 'f', min(places, 6), 64)
		}
	}
	label := in
	if u, ok := unit.ByName(in); ok {
		label = u.Symbol()
	}
	return strings.TrimSpace(text + "\u00a0" + label)
}
