package script

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Word is one word of a line; Quoted when it stood between double quotes.
type Word struct {
	Text   string
	Quoted bool
}

// String writes the word as it is read: quoted when it was.
func (w Word) String() string {
	if w.Quoted {
		return `"` + w.Text + `"`
	}
	return w.Text
}

// words splits a line at commas into parts, and each part at blanks into words. A # outside quotes starts a comment.
func words(line string) (parts [][]Word, err error) {
	if !utf8.ValidString(line) {
		return nil, fmt.Errorf("the line is not UTF-8 text")
	}
	var part []Word
	for line = strings.TrimSpace(line); line != ""; line = strings.TrimSpace(line) {
		switch line[0] {
		case '#':
			line = ""
		case ',':
			if len(part) == 0 {
				return nil, fmt.Errorf("there is nothing before a comma")
			}
			parts, part, line = append(parts, part), nil, line[1:]
			if strings.TrimSpace(line) == "" {
				return nil, fmt.Errorf("there is nothing after the last comma")
			}
		case '"':
			text, rest, ok := strings.Cut(line[1:], `"`)
			if !ok {
				return nil, fmt.Errorf("a quotation mark is not closed")
			}
			if strings.TrimSpace(text) == "" {
				return nil, fmt.Errorf("there is nothing between the quotation marks")
			}
			part, line = append(part, Word{text, true}), rest
		default:
			n := strings.IndexFunc(line, func(r rune) bool { return unicode.IsSpace(r) || r == ',' || r == '"' || r == '#' })
			if n < 0 {
				n = len(line)
			}
			part, line = append(part, Word{line[:n], false}), line[n:]
		}
	}
	if len(part) > 0 {
		parts = append(parts, part)
	} else if len(parts) > 0 {
		return nil, fmt.Errorf("there is nothing after the last comma")
	}
	return parts, nil
}
