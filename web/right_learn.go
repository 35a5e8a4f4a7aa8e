package web

import (
	"context"
	"errors"
	"net/http"
	"time"

	"witnessmark/shop"
)

// rightLearn learns from the workshop's history again, in the background. Pressed twice it runs once.
func (s *server) rightLearn(w http.ResponseWriter, r *http.Request) error {
	who, ctx := by(w, r), context.WithoutCancel(r.Context())
	begun, ended := make(chan struct{}), make(chan error, 1)
	go func() {
		first := true
		_, err := s.shop.Learn(ctx, who, func(int, int) {
			if first {
				first = false
				close(begun)
			}
		})
		ended <- err
	}()
	select { // the page that follows shall show that it runs
	case <-begun:
	case err := <-ended:
		return s.learnEnded(w, r, err)
	case <-time.After(2 * time.Second):
	}
	return see(w, r, "/right?did=begun#learned")
}

// learnEnded answers when learning ended at once: it was under way already, or there was little to read.
func (s *server) learnEnded(w http.ResponseWriter, r *http.Request, err error) error {
	switch {
	case errors.Is(err, shop.ErrBusy):
		return see(w, r, "/right?did=busy#learned")
	case err != nil:
		return err
	}
	return see(w, r, "/right?did=begun#learned")
}
