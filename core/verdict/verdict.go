// Package verdict knows the five words that a finding can end in, their order, and the one word for "not judged".
package verdict

import "fmt"

// Verdict is a word on the scale from sound to unsafe, or Unjudged, which lies beside the scale.
type Verdict string

// The verdicts, best first. Unsafe is kept for findings that a regulation calls dangerous, or that can strand or
// hurt someone on the next drive. Unjudged says that no verdict is possible, never that all is well.
const (
	Sound    Verdict = "sound"
	Watch    Verdict = "watch"
	Due      Verdict = "due"
	Overdue  Verdict = "overdue"
	Unsafe   Verdict = "unsafe"
	Unjudged Verdict = "unjudged"
)

// Scale lists the verdicts that have a place on the scale, best first.
var Scale = [...]Verdict{Sound, Watch, Due, Overdue, Unsafe}

// Place gives the verdict's place on the scale, 0 (sound) to 4 (unsafe), and -1 for unjudged or an unknown word.
func (v Verdict) Place() int {
	for i, s := range Scale {
		if v == s {
			return i
		}
	}
	return -1
}

// Urgency orders findings for a reader, highest first: unsafe 5 ... watch 2, unjudged 1, sound 0. An unjudged
// finding comes before the sound ones because it asks for something.
func (v Verdict) Urgency() int {
	switch v {
	case Unsafe:
		return 5
	case Overdue:
		return 4
	case Due:
		return 3
	case Watch:
		return 2
	case Unjudged:
		return 1
	}
	return 0
}

// Worse reports whether v is further from sound than w. Unjudged is never worse than a verdict on the scale.
func (v Verdict) Worse(w Verdict) bool { return v.Place() > w.Place() }

// AtLeast gives the worse of v and w.
func (v Verdict) AtLeast(w Verdict) Verdict {
	if w.Worse(v) {
		return w
	}
	return v
}

// Parse reads a verdict's word; the error lists the words that exist.
func Parse(s string) (Verdict, error) {
	switch v := Verdict(s); v {
	case Sound, Watch, Due, Overdue, Unsafe, Unjudged:
		return v, nil
	}
	return "", fmt.Errorf("%q is not a verdict; expected sound, watch, due, overdue, unsafe or unjudged", s)
}
