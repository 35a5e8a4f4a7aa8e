// Package sheet reads a round on paper - the JSON sheet described in docs/formats/sheet.md - into the core's types, and
// writes findings. Every fault names its place in the sheet and what was expected.
package sheet

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"sort"
	"strconv"
	"strings"
	"time"
)

// MaxBytes bounds a sheet. A hundred and fifty readings need about 30 kB.
const MaxBytes = 8 << 20

// maxReadings bounds the readings of one sheet.
const maxReadings = 5000

// Sheet is the sheet as it stands in the file.
type Sheet struct {
	Vehicle     Vehicle   `json:"vehicle"`
	Renewed     []Renewed `json:"renewed"`
	TakenOn     string    `json:"taken_on"`
	AmbientDegC *float64  `json:"ambient_degC"`
	Readings    []Reading `json:"readings"`
}

// Vehicle is what the sheet says of the car.
type Vehicle struct {
	VIN             string          `json:"vin"`
	OdometerKm      *float64        `json:"odometer_km"`
	FirstRegistered string          `json:"first_registered"`
	Facets          map[string]Word `json:"facets"`
	Specs           map[string]Spec `json:"specs"`
}

// Renewed says when an item was last renewed.
type Renewed struct {
	Item       string   `json:"item"`
	OdometerKm *float64 `json:"odometer_km"`
	Date       string   `json:"date"`
}

// Word is a facet's value: a word, a number or true/false, kept as text.
type Word string

// UnmarshalJSON takes a string, a whole number or a boolean ("yes", "no").
func (w *Word) UnmarshalJSON(b []byte) error {
	var s string
	switch {
	case json.Unmarshal(b, &s) == nil:
		*w = Word(s)
	case string(b) == "true":
		*w = "yes"
	case string(b) == "false":
		*w = "no"
	default:
		var n float64
		if err := json.Unmarshal(b, &n); err != nil || n != math.Trunc(n) {
			return fmt.Errorf("expected a word or a whole number, not %s", shorten(string(b)))
		}
		*w = Word(strconv.FormatFloat(n, 'f', -1, 64))
	}
	return nil
}

// Spec is a figure, a word, or figures by position.
type Spec struct {
	Text    string
	Numbers map[string]float64
}

// UnmarshalJSON takes a number, a string or an object of numbers by position.
func (s *Spec) UnmarshalJSON(b []byte) error {
	var n float64
	switch {
	case json.Unmarshal(b, &n) == nil:
		s.Numbers = map[string]float64{"": n}
	case json.Unmarshal(b, &s.Text) == nil:
	default:
		if err := json.Unmarshal(b, &s.Numbers); err != nil || s.Numbers == nil {
			return fmt.Errorf("expected a number, a word or numbers by position, not %s", shorten(string(b)))
		}
	}
	return nil
}

// Reading is one reading: known keys, and numbers under their value names.
type Reading struct {
	Point, At, State, Code, Skipped, Note string
	Values                                map[string]float64
}

// UnmarshalJSON takes the known keys as strings and every other key as a number; which names a point takes is checked
// against the catalogue.
func (r *Reading) UnmarshalJSON(b []byte) error {
	var raw map[string]json.RawMessage
	if err := json.Unmarshal(b, &raw); err != nil || raw == nil {
		return fmt.Errorf("expected an object, not %s", shorten(string(b)))
	}
	texts := map[string]*string{"point": &r.Point, "at": &r.At, "state": &r.State, "code": &r.Code, "skipped": &r.Skipped, "note": &r.Note}
	keys := make([]string, 0, len(raw))
	for k := range raw {
		keys = append(keys, k)
	}
	sort.Strings(keys)
	for _, k := range keys {
		if t := texts[k]; t != nil {
			if err := json.Unmarshal(raw[k], t); err != nil {
				return fmt.Errorf("%s: expected a text, not %s", k, shorten(string(raw[k])))
			}
			if *t == "" && k != "at" && k != "note" {
				return fmt.Errorf("%s is empty", k)
			}
			continue
		}
		var n float64
		if err := json.Unmarshal(raw[k], &n); err != nil || string(raw[k]) == "null" {
			return fmt.Errorf("%s: expected a number, not %s", shorten(k), shorten(string(raw[k])))
		}
		if r.Values == nil {
			r.Values = map[string]float64{}
		}
		r.Values[k] = n
	}
	return nil
}

// Read parses a sheet. Unknown keys, repeated keys, anything after the sheet and a file that is too large are errors;
// they name the line.
func Read(in io.Reader) (*Sheet, error) {
	text, err := io.ReadAll(io.LimitReader(in, MaxBytes+1))
	if err != nil {
		return nil, err
	}
	if len(text) > MaxBytes {
		return nil, fmt.Errorf("the sheet is larger than %d MB; expected one round of one car", MaxBytes>>20)
	}
	if err := structure(text); err != nil {
		return nil, err
	}
	var s Sheet
	dec := json.NewDecoder(bytes.NewReader(text))
	dec.DisallowUnknownFields()
	if err := dec.Decode(&s); err != nil {
		return nil, place(text, dec.InputOffset(), err)
	}
	if len(s.Readings) > maxReadings {
		return nil, fmt.Errorf("readings: %d of them; expected %d at the most", len(s.Readings), maxReadings)
	}
	return &s, nil
}

// place puts the line before a decoder's error.
func place(text []byte, offset int64, err error) error {
	msg := strings.TrimPrefix(err.Error(), "json: ")
	switch e := err.(type) {
	case *json.SyntaxError:
		offset = e.Offset
	case *json.UnmarshalTypeError:
		offset = e.Offset
		msg = fmt.Sprintf("%s: expected a %s, not a %s", e.Field, kindWord(e.Type.String()), e.Value)
	}
	if strings.HasPrefix(msg, "unknown field ") {
		msg = "unknown key " + strings.TrimPrefix(msg, "unknown field ")
	}
	return fmt.Errorf("line %d: %s", lineAt(text, offset), msg)
}

func lineAt(text []byte, offset int64) int {
	offset = max(0, min(offset, int64(len(text))))
	return 1 + bytes.Count(text[:offset], []byte("\n"))
}

func kindWord(goType string) string {
	switch {
	case strings.HasPrefix(goType, "[]"):
		return "list"
	case strings.Contains(goType, "float64") && !strings.Contains(goType, "map"):
		return "number"
	case goType == "string":
		return "text"
	}
	return "object"
}

func shorten(s string) string {
	if len(s) > 40 {
		return s[:37] + "..."
	}
	return s
}

// Date reads a day as 2026-03-21.
func Date(s string) (time.Time, error) {
	t, err := time.Parse("2006-01-02", s)
	if err != nil {
		return t, fmt.Errorf("%q is not a date; expected one such as 2026-03-21", shorten(s))
	}
	return t, nil
}

// Month reads a month as 2009-04, or a day in it.
func Month(s string) (time.Time, error) {
	if t, err := time.Parse("2006-01", s); err == nil {
		return t, nil
	}
	t, err := time.Parse("2006-01-02", s)
	if err != nil {
		return t, fmt.Errorf("%q is not a month; expected one such as 2009-04", shorten(s))
	}
	return time.Date(t.Year(), t.Month(), 1, 0, 0, 0, 0, time.UTC), nil
}
