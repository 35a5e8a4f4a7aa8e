package web

import (
	"io"
	"net/http"
)

// photoShow gives a photo to the workshop. Its address is the hash of its content, so it never changes.
func (s *server) photoShow(w http.ResponseWriter, r *http.Request) error {
	f, _, err := s.shop.PhotoFile(r.Context(), r.PathValue("hash"))
	if err != nil {
		return err
	}
	w.Header().Set("Cache-Control", "private, max-age=86400, immutable")
	return sendPhoto(w, f)
}

// sendPhoto copies a JPEG to the answer and closes it.
func sendPhoto(w http.ResponseWriter, f io.ReadCloser) error {
	defer func() { _ = f.Close() }()
	w.Header().Set("Content-Type", "image/jpeg")
	_, _ = io.Copy(w, f)
	return nil
}
