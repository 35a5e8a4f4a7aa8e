package web

import (
	"net/http"
	"strings"

	"witnessmark/shop"
)

// todayData is what today's page shows.
type todayData struct {
	Form   *form
	Query  string
	Day    string
	Today  []shop.CarRow
	Others []shop.CarRow
	Total  int
	Empty  bool
}

// todayShow lists the cars with a round today and the ones seen last, or what a search finds.
func (s *server) todayShow(w http.ResponseWriter, r *http.Request) error {
	ctx := r.Context()
	d := todayData{Form: newForm(nil), Query: strings.TrimSpace(r.FormValue("q")), Day: s.shop.Now().Format("2006-01-02")}
	d.Form.Set("q", d.Query)
	var err error
	if d.Query == "" {
		if d.Today, _, err = s.shop.FindCars(ctx, shop.CarFilter{Day: d.Day, Limit: 100}); err != nil {
			return err
		}
	}
	found, total, err := s.shop.FindCars(ctx, shop.CarFilter{Text: d.Query, Limit: 50})
	if err != nil {
		return err
	}
	seen := map[string]bool{}
	for _, row := range d.Today {
		seen[row.Car.CarID] = true
	}
	for _, row := range found {
		if !seen[row.Car.CarID] {
			d.Others = append(d.Others, row)
		}
	}
	d.Total, d.Empty = total, total == 0 && d.Query == ""
	s.render(w, r, http.StatusOK, "today_show", page{Title: "Today's cars", Data: d})
	return nil
}
