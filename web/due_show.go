package web

import (
	"cmp"
	"fmt"
	"net/http"
	"net/url"
	"path"
	"slices"
	"time"

	"witnessmark/shop"
)

// Bounds of the page.
const (
	dueWeeks = 6   // are shown unless one is asked for
	dueRows  = 60  // of a week among others
	dueMost  = 500 // of a week that was asked for
)

// dueKindNames are the kinds' names, in the order of shop.DueKinds.
var dueKindNames = map[string]string{shop.DueFinding: "Found, not answered", shop.DueVisit: "Agreed visits", shop.DueFollowUp: "Looks after work", shop.DuePutOff: "Put off by the owner", shop.DueNotDone: "Agreed, not done",
	shop.DueLook: "Next looks", shop.DueForecast: "Forecasts"}

// dueKindName names one line's kind.
var dueKindName = map[string]string{shop.DueFinding: "found, not answered", shop.DueVisit: "agreed visit", shop.DueFollowUp: "look after work", shop.DuePutOff: "put off", shop.DueNotDone: "agreed, not done",
	shop.DueLook: "next look", shop.DueForecast: "forecast"}

// dueData is the page of what is due.
type dueData struct {
	Form   *form
	Kinds  []option
	Weeks  []option
	Groups []dueGroup
	// Working says how far it is worked out; empty when it is.
	Working, Asleep, More string
	// First is true until every car was worked out once: only then the page looks again by itself.
	First   bool
	Settled bool
	// Undo is the line that was just taken off or put back.
	Undo *dueUndo
	Back string
}

type dueUndo struct {
	ID, Car, Due, What string
	// Put is true when it was put back.
	Put bool
}

// dueGroup are the lines of one week.
type dueGroup struct {
	Title, Anchor string
	Rows          []dueRow
	Left          int
}

// dueRow is one line.
type dueRow struct {
	shop.DueRow
	ID, Kind, When, Range, Dist string
	By, Reason                  string
	// Link leads on, with its word: to the work of an agreed visit, else to the car's plan.
	Link, LinkWord string
	// Same is true when the car is the one of the line before.
	Same bool
}

// dueShow lists what the cars are due for, week by week.
func (s *server) dueShow(w http.ResponseWriter, r *http.Request) error {
	q := r.URL.Query()
	d := dueData{Form: newForm(nil), Settled: q.Get("settled") != "", Back: dueQuery(q)}
	d.Form.Set("kind", q.Get("kind"))
	d.Form.Set("week", q.Get("week"))
	f := shop.DueFilter{Kind: q.Get("kind"), Settled: d.Settled}
	if _, ok := dueKindNames[f.Kind]; !ok {
		f.Kind = ""
	}
	today := s.shop.Now()
	d.Kinds, d.Weeks = dueChoices(today)
	switch monday, err := time.Parse("2006-01-02", q.Get("week")); {
	case q.Get("week") == "all":
	case q.Get("week") == "now":
		f.To = today.Format("2006-01-02")
	case err == nil:
		f.From, f.To = monday.Format("2006-01-02"), monday.AddDate(0, 0, 6).Format("2006-01-02")
	default:
		f.To = mondayOf(today).AddDate(0, 0, 7*dueWeeks+6).Format("2006-01-02")
		d.More = "/due?week=all"
		if f.Kind != "" {
			d.More += "&kind=" + f.Kind
		}
	}
	list, err := s.shop.Due(r.Context(), f)
	if err != nil {
		return err
	}
	d.First = !list.Ready
	switch {
	case !list.Ready && list.Total == 0:
		d.Working = "The list is being worked out."
	case list.Done < list.Total && list.Ready:
		d.Working = fmt.Sprintf("%d of %d cars are brought up to date.", list.Done, list.Total)
	case list.Done < list.Total:
		d.Working = fmt.Sprintf("%d of %d cars are worked out.", list.Done, list.Total)
	}
	if list.Asleep > 0 {
		d.Asleep = fmt.Sprintf("%s not seen for %d years and left off.", cars(list.Asleep), shop.DueAsleep)
	}
	most := dueRows
	if f.From != "" || q.Get("week") == "now" {
		most = dueMost
	}
	d.Groups = s.dueGroups(list, most)
	if due := q.Get("did"); due != "" {
		d.Undo = s.dueUndoOf(r, q.Get("car"), due, q.Get("what") == "back")
	}
	s.render(w, r, http.StatusOK, "due_show", page{Title: "What is due", Wide: true, Data: d})
	return nil
}

func cars(n int) string {
	if n == 1 {
		return "1 car was"
	}
	return fmt.Sprintf("%d cars were", n)
}

// dueQuery keeps what narrows the list.
func dueQuery(q url.Values) string {
	keep := url.Values{}
	for _, name := range [...]string{"kind", "week", "settled"} {
		if v := q.Get(name); v != "" {
			keep.Set(name, v)
		}
	}
	return keep.Encode()
}

// dueChoices are the answers of the two filters.
func dueChoices(today time.Time) (kinds, weeks []option) {
	kinds = []option{{Value: "", Label: "Everything"}}
	for _, k := range shop.DueKinds {
		kinds = append(kinds, option{Value: k, Label: dueKindNames[k]})
	}
	weeks = []option{{Value: "", Label: fmt.Sprintf("The next %d weeks", dueWeeks)}, {Value: "now", Label: "Now or past"}}
	for m := mondayOf(today); m.Before(today.AddDate(0, 0, 84)); m = m.AddDate(0, 0, 7) {
		weeks = append(weeks, option{Value: m.Format("2006-01-02"), Label: "Week of " + m.Format("2 January")})
	}
	return kinds, append(weeks, option{Value: "all", Label: "All that is foreseen"})
}

// mondayOf is the first day of a day's week.
func mondayOf(t time.Time) time.Time {
	return time.Date(t.Year(), t.Month(), t.Day(), 0, 0, 0, 0, time.UTC).AddDate(0, 0, -(int(t.Weekday())+6)%7)
}

// dueGroups puts lines together by week, what is due today or was before first, and in a week by car: the car with the most urgent line
// first. Under "now" what must not wait and what was found comes before what is foreseen, however old that is.
func (s *server) dueGroups(list *shop.DueList, most int) []dueGroup {
	var out []dueGroup
	rows := map[string][]shop.DueRow{}
	for _, row := range list.Rows {
		title, anchor := "Now or past", "now"
		if row.On > list.Today {
			on, err := time.Parse("2006-01-02", row.On)
			if err != nil {
				continue
			}
			anchor = mondayOf(on).Format("2006-01-02")
			title = "Week of " + mondayOf(on).Format("2 January 2006")
		}
		if rows[anchor] == nil {
			out = append(out, dueGroup{Title: title, Anchor: anchor})
		}
		rows[anchor] = append(rows[anchor], row)
	}
	for i := range out {
		g := &out[i]
		for _, row := range byCar(rows[g.Anchor], g.Anchor == "now") {
			if len(g.Rows) == most {
				g.Left++
				continue
			}
			r := s.dueRowOf(row)
			r.Same = len(g.Rows) > 0 && g.Rows[len(g.Rows)-1].CarID == row.CarID
			g.Rows = append(g.Rows, r)
		}
	}
	return out
}

// byCar brings the lines of each car together, in the order of the cars' first lines.
func byCar(rows []shop.DueRow, now bool) []shop.DueRow {
	if now {
		slices.SortStableFunc(rows, func(a, b shop.DueRow) int {
			return cmp.Or(cmp.Compare(asNumber(b.Must), asNumber(a.Must)), cmp.Compare(slices.Index(shop.DueKinds, a.Kind), slices.Index(shop.DueKinds, b.Kind)))
		})
	}
	at := map[string]int{}
	for i, row := range rows {
		if _, ok := at[row.CarID]; !ok {
			at[row.CarID] = i
		}
	}
	slices.SortStableFunc(rows, func(a, b shop.DueRow) int { return cmp.Compare(at[a.CarID], at[b.CarID]) })
	return rows
}

func asNumber(yes bool) int {
	if yes {
		return 1
	}
	return 0
}

func (s *server) dueRowOf(row shop.DueRow) dueRow {
	out := dueRow{DueRow: row, ID: s.shop.NewID(), Kind: dueKindName[row.Kind], When: shortDay(row.On)}
	out.Link, out.LinkWord = carPath(row.CarID)+"/plan", "Plan"
	if row.Kind == shop.DueVisit {
		out.Link, out.LinkWord = path.Join("/bay", url.PathEscape(row.Decision)), "Work"
	}
	if row.Km > 0 {
		out.Dist = s.km(*row.Car, row.Km)
	}
	switch {
	case row.From != "" && row.To != "" && row.From != row.To:
		out.Range = shortDay(row.From) + " – " + shortDay(row.To)
	case row.From != "" && row.To == "":
		out.Range = "from " + shortDay(row.From)
	}
	if k := row.Settled; k != nil {
		out.By, out.Reason = k.By, k.Said.Why
	}
	return out
}

// dueUndoOf offers to take back what was just done; nil when the line is not known any more.
func (s *server) dueUndoOf(r *http.Request, car, due string, put bool) *dueUndo {
	list, err := s.shop.Due(r.Context(), shop.DueFilter{CarID: car, Settled: !put})
	if err != nil {
		return nil
	}
	i := slices.IndexFunc(list.Rows, func(l shop.DueRow) bool { return l.DueLine.ID == due })
	if i < 0 {
		return nil
	}
	l := list.Rows[i]
	return &dueUndo{ID: s.shop.NewID(), Car: car, Due: due, What: l.Car.Plate + ": " + l.What, Put: put}
}

// dueSettle takes a line off the list, or puts it back.
func (s *server) dueSettle(w http.ResponseWriter, r *http.Request) error {
	f, car := newForm(r.PostForm), r.PathValue("id")
	id, back := s.idOf(f), f.Get("back") != ""
	err := s.again(&id, func() error { return s.shop.Settle(r.Context(), id, car, f.Get("due"), f.Get("why"), by(w, r), back) })
	if err != nil {
		return err
	}
	q, err := url.ParseQuery(f.Get("list"))
	if err != nil {
		q = url.Values{}
	}
	q, _ = url.ParseQuery(dueQuery(q))
	q.Set("did", f.Get("due"))
	q.Set("car", car)
	if back {
		q.Set("what", "back")
	}
	return see(w, r, "/due?"+q.Encode())
}
