package web

import (
	"bytes"
	"fmt"
	"io"
	"net/http"
	"strings"

	"witnessmark/shop"
)

// reportPDF gives the report on paper to the adviser.
func (s *server) reportPDF(w http.ResponseWriter, r *http.Request) error {
	rep, err := s.shop.Report(r.Context(), r.PathValue("id"))
	if err != nil {
		return err
	}
	return s.writePDF(w, rep, func(hash string) (io.ReadCloser, error) {
		f, _, err := s.shop.PhotoFile(r.Context(), hash)
		return f, err
	})
}

// writePDF builds the whole paper before it sends the first byte, so that a failure is still a page.
func (s *server) writePDF(w http.ResponseWriter, rep *shop.Report, photo func(string) (io.ReadCloser, error)) error {
	if s.cfg.ReportPDF == nil {
		return shop.ErrNotFound
	}
	var b bytes.Buffer
	if err := s.cfg.ReportPDF(&b, rep, photo); err != nil {
		return fmt.Errorf("report as PDF: %w", err)
	}
	name := fileName("report-" + rep.Car.Plate + "-" + rep.Round.On)
	w.Header().Set("Content-Type", "application/pdf")
	w.Header().Set("Content-Disposition", `inline; filename="`+name+`.pdf"`)
	w.Header().Set("Content-Length", fmt.Sprint(b.Len()))
	_, _ = b.WriteTo(w)
	return nil
}

// fileName keeps letters, digits and hyphens.
func fileName(s string) string {
	return strings.Trim(strings.Map(func(c rune) rune {
		switch {
		case c >= 'a' && c <= 'z', c >= 'A' && c <= 'Z', c >= '0' && c <= '9':
			return c
		}
		return '-'
	}, s), "-")
}
