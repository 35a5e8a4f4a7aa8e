package sheet

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
)

// keys lists what each object of a sheet may hold; an object that is not here is free, and checked later. The decoder
// alone would take "VIN" for "vin".
var keys = map[string][]string{
	"":          {"vehicle", "renewed", "taken_on", "ambient_degC", "readings"},
	"vehicle":   {"vin", "odometer_km", "first_registered", "facets", "specs"},
	"renewed[]": {"item", "at", "odometer_km", "date"},
}

// structure checks what the decoder lets pass - a key that is unknown or stands twice in one object, text after the
// sheet, null where something must stand - and gives the line of every place.
func structure(text []byte) (map[string]int, error) {
	w := &walker{text: text, dec: json.NewDecoder(bytes.NewReader(text)), lines: map[string]int{}, line: 1}
	w.dec.UseNumber()
	if err := w.value("", "", 0); err != nil {
		return nil, err
	}
	if _, err := w.dec.Token(); !errors.Is(err, io.EOF) {
		return nil, fmt.Errorf("line %d: there is something after the end of the sheet", w.at())
	}
	return w.lines, nil
}

// walker reads a sheet token by token and counts lines as it goes.
type walker struct {
	text  []byte
	dec   *json.Decoder
	lines map[string]int
	line  int
	done  int
}

// maxDepth is far deeper than any sheet.
const maxDepth = 20

// maxPlaces bounds the places that are remembered; a sheet has a few hundred.
const maxPlaces = 100_000

// at gives the line of what was read last.
func (w *walker) at() int {
	to := max(w.done, min(int(w.dec.InputOffset()), len(w.text)))
	w.line += bytes.Count(w.text[w.done:to], []byte("\n"))
	w.done = to
	return w.line
}

// value walks one value. Its place is written as a person would find it (readings[3].state), its kind with [] for any
// index, to look up what it may hold.
func (w *walker) value(where, kind string, depth int) error {
	tok, err := w.dec.Token()
	if err != nil {
		return w.broken(err)
	}
	if len(w.lines) < maxPlaces && where != "" && w.lines[where] == 0 {
		w.lines[where] = w.at()
	}
	d, nested := tok.(json.Delim)
	switch {
	case depth == 0 && d != '{':
		return fmt.Errorf("line %d: expected a sheet, an object with %s", w.at(), strings.Join(keys[""], ", "))
	case !nested && tok == nil && keys[kind] != nil:
		return fmt.Errorf("line %d: %s: expected an object, not null", w.at(), where)
	case !nested:
		return nil
	case depth > maxDepth:
		return fmt.Errorf("line %d: nested too deeply", w.at())
	}
	seen := map[string]bool{}
	for i := 0; w.dec.More(); i++ {
		inner, innerKind := fmt.Sprintf("%s[%d]", where, i), kind+"[]"
		if d == '{' {
			key, err := w.key(seen, where, kind)
			if err != nil {
				return err
			}
			inner, innerKind = strings.TrimPrefix(where+"."+key, "."), strings.TrimPrefix(kind+"."+key, ".")
		}
		if err := w.value(inner, innerKind, depth+1); err != nil {
			return err
		}
	}
	if _, err := w.dec.Token(); err != nil {
		return w.broken(err)
	}
	return nil
}

// key reads a key and refuses it when it stands twice or is not one of those that the object may hold.
func (w *walker) key(seen map[string]bool, where, kind string) (string, error) {
	tok, err := w.dec.Token()
	if err != nil {
		return "", w.broken(err)
	}
	k, _ := tok.(string)
	if seen[k] {
		return "", fmt.Errorf("line %d: the key %q stands twice in one object", w.at(), shorten(k))
	}
	seen[k] = true
	if known := keys[kind]; known != nil && !slices.Contains(known, k) {
		if where != "" {
			where += ": "
		}
		return "", fmt.Errorf("line %d: %sunknown key %q; expected one of %s", w.at(), where, shorten(k), strings.Join(known, ", "))
	}
	return k, nil
}

// broken puts the line before a syntax error.
func (w *walker) broken(err error) error {
	if errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
		return fmt.Errorf("line %d: the sheet ends too early", w.at())
	}
	return place(w.text, w.dec.InputOffset(), err)
}
