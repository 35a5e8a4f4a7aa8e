package shop

import (
	"errors"
	"fmt"
	"strings"
)

// Errors that callers tell apart.
var (
	// ErrNotFound says that what was asked for does not exist.
	ErrNotFound = errors.New("not found")
	// ErrConflict says that somebody else changed the same thing first, or that an id was used for something else.
	ErrConflict = errors.New("changed by somebody else in the meantime")
	// ErrWithdrawn says that a round was taken back with the close-out that it came from. It is an ErrNotFound: nothing counts it any more.
	ErrWithdrawn = fmt.Errorf("this round was taken back: %w", ErrNotFound)
	// ErrGone says that a link has expired, was revoked or never existed; callers can't tell which.
	ErrGone = errors.New("this link is no longer valid")
)

// FieldError is one bad entry: which field, and a sentence in the words of its label.
type FieldError struct {
	Field string
	Text  string
	// Ask is true when the entry is only doubtful: it is taken when it is sent again as confirmed.
	Ask bool
	// Likely is what was probably meant, as text for the field; empty if nothing is known.
	Likely string
}

// Unsaid is what was probably meant, where the sentence does not name it already; thousands may be set off in it.
func (e FieldError) Unsaid() string {
	if strings.Contains(strings.NewReplacer(" ", "", "\u00a0", "", "\u202f", "").Replace(e.Text), strings.ReplaceAll(e.Likely, " ", "")) {
		return ""
	}
	return e.Likely
}

// Invalid is a list of bad entries. Nothing was stored.
type Invalid []FieldError

// Error joins the sentences.
func (v Invalid) Error() string {
	parts := make([]string, len(v))
	for i, f := range v {
		parts[i] = f.Field + ": " + f.Text
	}
	return strings.Join(parts, "; ")
}

// OnlyAsks reports whether every entry is merely doubtful.
func (v Invalid) OnlyAsks() bool {
	for _, f := range v {
		if !f.Ask {
			return false
		}
	}
	return len(v) > 0
}
