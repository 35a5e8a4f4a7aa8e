package web

import (
	"net/http"
	"slices"

	"witnessmark/shop"
)

// reportData is the owner's report as a page.
type reportData struct {
	Report *shop.Report
	// PhotoBase stands before a photo's hash, PDF is where the paper is; PDF is empty when none can be made.
	PhotoBase, PDF string
	// Preview is true on the adviser's side.
	Preview bool
	RoundID string
	Until   string
}

// Ahead is what is to be expected of what no section speaks of.
func (d reportData) Ahead() aheadView { return aheadOf(d.Report.AheadElse(), d.Report.Round.On) }

// Cautions lists what can hurt in any of the work that the report names, each once: an owner reads the page as a whole,
// and the same sentence under every heading would soon be read under none.
func (d reportData) Cautions() []string {
	var out []string
	for _, sec := range d.Report.Sections {
		for _, c := range sec.Cautions {
			if !slices.Contains(out, c) {
				out = append(out, c)
			}
		}
	}
	return out
}

// reportShow shows the adviser what the owner will see.
func (s *server) reportShow(w http.ResponseWriter, r *http.Request) error {
	id := r.PathValue("id")
	rep, err := s.shop.Report(r.Context(), id)
	if err != nil {
		return err
	}
	d := reportData{Report: rep, PhotoBase: "/photos/", Preview: true, RoundID: id}
	if s.cfg.ReportPDF != nil {
		d.PDF = "/rounds/" + id + "/report.pdf"
	}
	s.render(w, r, http.StatusOK, "report_show", page{Title: "Report for " + carName(rep.Car), Data: d, Back: "/rounds/" + id + "/findings", BackWords: "Findings"})
	return nil
}
