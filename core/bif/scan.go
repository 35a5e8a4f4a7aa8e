package bif

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// token is a word, a quoted word, one of the marks {}()[]|,; or the end of the text.
type token struct {
	text string
	kind kind
	line int
}

type kind int

const (
	word kind = iota
	quoted
	mark
	end
)

const marks = "{}()[]|,;"

// Error is a place in the text where something else was expected.
type Error struct {
	Line int
	Text string
}

// Error gives line and reason.
func (e *Error) Error() string { return fmt.Sprintf("line %d: %s", e.Line, e.Text) }

func wrong(line int, format string, args ...any) error {
	return &Error{line, fmt.Sprintf(format, args...)}
}

// scanner cuts the text into tokens; // and /* */ are comments.
type scanner struct {
	rest string
	line int
}

func (s *scanner) skip() error {
	for s.rest != "" {
		r, n := utf8.DecodeRuneInString(s.rest)
		switch {
		case r == '\n':
			s.line++
			s.rest = s.rest[n:]
		case unicode.IsSpace(r):
			s.rest = s.rest[n:]
		case strings.HasPrefix(s.rest, "//"):
			_, after, found := strings.Cut(s.rest, "\n")
			s.rest = after
			if found {
				s.line++
			}
		case strings.HasPrefix(s.rest, "/*"):
			inside, after, ok := strings.Cut(s.rest[2:], "*/")
			if !ok {
				return wrong(s.line, "a comment that begins with /* does not end")
			}
			s.line += strings.Count(inside, "\n")
			s.rest = after
		default:
			return nil
		}
	}
	return nil
}

func (s *scanner) next() (token, error) {
	if err := s.skip(); err != nil {
		return token{}, err
	}
	t := token{line: s.line, kind: end}
	if s.rest == "" {
		return t, nil
	}
	if strings.IndexByte(marks, s.rest[0]) >= 0 {
		t.kind, t.text, s.rest = mark, s.rest[:1], s.rest[1:]
		return t, nil
	}
	if s.rest[0] == '"' {
		text, after, ok := strings.Cut(s.rest[1:], `"`)
		if !ok || strings.Contains(text, "\n") || text == "" {
			return t, wrong(s.line, "a name in quotes is empty or does not end on its line")
		}
		if !utf8.ValidString(text) {
			return t, wrong(s.line, "%q is not UTF-8", text)
		}
		t.kind, t.text, s.rest = quoted, text, after
		return t, nil
	}
	n := strings.IndexFunc(s.rest, ends)
	if n < 0 {
		n = len(s.rest)
	}
	if c := commentIn(s.rest[:n]); c >= 0 {
		n = c
	}
	t.kind, t.text, s.rest = word, s.rest[:n], s.rest[n:]
	if !utf8.ValidString(t.text) {
		return t, wrong(s.line, "%q is not UTF-8", t.text)
	}
	return t, nil
}

// ends says whether a rune ends a bare word.
func ends(r rune) bool { return unicode.IsSpace(r) || r == '"' || strings.ContainsRune(marks, r) }

// commentIn is where a comment begins within a word, or -1.
func commentIn(w string) int {
	for i := 1; i < len(w); i++ {
		if w[i-1] == '/' && (w[i] == '/' || w[i] == '*') {
			return i - 1
		}
	}
	return -1
}

// property reads up to the next semicolon as it stands: what a property says is no matter of ours.
func (s *scanner) property() (string, error) {
	text, after, ok := strings.Cut(s.rest, ";")
	if !ok {
		return "", wrong(s.line, "a property does not end with ;")
	}
	if !utf8.ValidString(text) {
		return "", wrong(s.line, "a property is not UTF-8")
	}
	s.line += strings.Count(text, "\n")
	s.rest = after
	return strings.Join(strings.Fields(text), " "), nil
}
