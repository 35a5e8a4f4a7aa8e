package web

import (
	"errors"
	"fmt"
	"net/http"

	"witnessmark/shop"
)

// Errors that only the pages know.
var (
	errMethod      = errors.New("method not allowed")
	errPanic       = errors.New("panic")
	errCrossOrigin = errors.New("form sent from another site")
)

// userError is a bad request with a sentence for the person who made it.
type userError struct {
	status int
	title  string
	text   string
}

// Error gives the sentence.
func (e userError) Error() string { return e.text }

// badRequest is an error of the person's making; text says what to do.
func badRequest(text string, args ...any) error {
	return userError{http.StatusBadRequest, "That can't be done as asked", fmt.Sprintf(text, args...)}
}

// badForm says why a body could not be read as a form.
func badForm(err error) error {
	if tooBig := (*http.MaxBytesError)(nil); errors.As(err, &tooBig) {
		return userError{http.StatusRequestEntityTooLarge, "That is too large",
			fmt.Sprintf("At most %s can be sent at once. Nothing was stored. Go back and send less.", size(tooBig.Limit))}
	}
	return badRequest("What was sent could not be read as a form. Nothing was stored. Go back and send it again.")
}

// size writes a number of bytes for a person.
func size(n int64) string {
	if n >= 1<<20 {
		return fmt.Sprintf("%d MB", n>>20)
	}
	return fmt.Sprintf("%d kB", n>>10)
}

// fail answers with a page that says what happened and what to do. Nothing of the error itself is shown unless it was
// written for the reader.
func (s *server) fail(w http.ResponseWriter, r *http.Request, err error) {
	u := explain(err)
	if u.status >= 500 {
		s.log.Error("request failed", "method", r.Method, "route", r.Pattern, "err", err)
	}
	p := page{Title: u.title, Data: u.text, Public: isPublic(r)}
	if u.status == http.StatusGone {
		w.Header().Set("X-Robots-Tag", "noindex, nofollow")
		p.Public, p.NoIndex = true, true
	}
	s.render(w, r, u.status, "error", p)
}

// explain finds the words for an error.
func explain(err error) userError {
	var u userError
	tooBig := (*http.MaxBytesError)(nil)
	var invalid shop.Invalid
	switch {
	case errors.As(err, &u):
		return u
	case errors.As(err, &tooBig):
		return badForm(err).(userError)
	case errors.As(err, &invalid):
		return userError{http.StatusUnprocessableEntity, "That could not be stored", invalid.Error()}
	case errors.Is(err, shop.ErrWithdrawn):
		return userError{http.StatusNotFound, "These readings were taken back", "The close-out that they came from was taken back, so they count nowhere. Nothing was stored. The car's page shows what counts."}
	case errors.Is(err, shop.ErrNotFound):
		return userError{http.StatusNotFound, "There is nothing here", "The address may be mistyped. Look the car up from today's list."}
	case errors.Is(err, shop.ErrGone):
		return userError{http.StatusGone, "This link is no longer valid", "Links end after a while, or are taken back. Ask the workshop for a new one."}
	case errors.Is(err, shop.ErrConflict):
		return userError{http.StatusConflict, "Somebody else changed this first", "Nothing of yours was stored and nothing of theirs was lost. Go back, open the page again and enter your change once more."}
	case errors.Is(err, errMethod):
		return userError{http.StatusMethodNotAllowed, "This address doesn't take that", "Go back and use the buttons on the page."}
	case errors.Is(err, errCrossOrigin):
		return userError{http.StatusForbidden, "This form came from another site", "Nothing was stored. Open the page here and send the form from it."}
	}
	return userError{http.StatusInternalServerError, "Something went wrong on our side", "Nothing was lost that was saved before. Go back and try again; if it happens again, tell whoever looks after this program the time."}
}
