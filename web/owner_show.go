package web

import (
	"io"
	"net/http"
	"time"
)

// ownerShow shows an owner the report under its link. A link that has expired, was revoked or never existed gets the
// same page.
func (s *server) ownerShow(w http.ResponseWriter, r *http.Request) error {
	token := r.PathValue("token")
	rep, share, err := s.shop.OpenShare(r.Context(), token)
	if err != nil {
		return err
	}
	d := reportData{Report: rep, PhotoBase: "/r/" + token + "/photos/", Until: time.UnixMilli(share.ExpiresAt).Format("2 January 2006")}
	if s.cfg.ReportPDF != nil {
		d.PDF = "/r/" + token + "/report.pdf"
	}
	s.render(w, r, http.StatusOK, "report_show", page{Title: "What we found on your car", Public: true, Report: true, NoIndex: true, Data: d})
	return nil
}

// ownerPDF gives an owner the report on paper.
func (s *server) ownerPDF(w http.ResponseWriter, r *http.Request) error {
	token := r.PathValue("token")
	rep, _, err := s.shop.OpenShare(r.Context(), token)
	if err != nil {
		return err
	}
	return s.writePDF(w, rep, func(hash string) (io.ReadCloser, error) { return s.shop.SharedPhoto(r.Context(), token, hash) })
}

// ownerPhoto gives an owner a photo of the report. It is never cached, because a link can be revoked.
func (s *server) ownerPhoto(w http.ResponseWriter, r *http.Request) error {
	f, err := s.shop.SharedPhoto(r.Context(), r.PathValue("token"), r.PathValue("hash"))
	if err != nil {
		return err
	}
	return sendPhoto(w, f)
}
