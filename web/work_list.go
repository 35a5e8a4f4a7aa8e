package web

import (
	"net/http"

	"witnessmark/shop"
)

// workListData is the day's work.
type workListData struct {
	Waiting, InWork, Closed []workRow
	Empty                   bool
}

// workRow is one car with agreed work.
type workRow struct {
	Path, Plate, Car, Owner, Visit, State string
	Items                                 []string
}

// workList shows what is agreed, what is in work and what was closed out today.
func (s *server) workList(w http.ResponseWriter, r *http.Request) error {
	b, err := s.shop.Work(r.Context())
	if err != nil {
		return err
	}
	d := workListData{Waiting: s.workRows(b.Waiting), InWork: s.workRows(b.InWork), Closed: s.workRows(b.Closed)}
	d.Empty = len(d.Waiting)+len(d.InWork)+len(d.Closed) == 0
	s.render(w, r, http.StatusOK, "work_list", page{Title: "Work", Data: d})
	return nil
}

func (s *server) workRows(list []*shop.WorkOrder) []workRow {
	var out []workRow
	for _, o := range list {
		row := workRow{Path: workPath(o.Decision.ID), Plate: o.Car.Plate, Car: o.Car.Description, Owner: o.Car.Owner.Name, Visit: o.Draft.Said.Estimate.VisitOn}
		for _, it := range o.Items {
			row.Items = append(row.Items, it.Name)
		}
		if o.Close != nil {
			row.Path += "/done"
			done := 0
			for _, it := range o.Close.Said.Items {
				if it.Done {
					done++
				}
			}
			row.State = number(float64(done)) + " of " + countOf(len(o.Close.Said.Items), "item") + " done"
		} else if o.Begun() {
			sheet := s.shop.Sheet(o)
			row.State = "nothing of it can be done"
			if sheet.Steps > 0 {
				row.State = number(float64(sheet.Ticked)) + " of " + countOf(sheet.Steps, "step") + " ticked"
			}
		}
		out = append(out, row)
	}
	return out
}
