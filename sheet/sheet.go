// Package sheet reads a round on paper - the JSON sheet described in docs/formats/sheet.md - into the core's types, and
// writes findings. Every fault names its place in the sheet and what was expected.
package sheet

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"
	"time"
	"unicode/utf8"
)

// MaxBytes bounds a sheet. A hundred and fifty readings need about 30 kB.
const MaxBytes = 8 << 20

// maxReadings bounds the readings of one sheet.
const maxReadings = 5000

// Sheet is the sheet as it stands in the file.
type Sheet struct {
	Vehicle     Vehicle   `json:"vehicle"`
	Renewed     []Renewed `json:"renewed,omitempty"`
	TakenOn     string    `json:"taken_on"`
	AmbientDegC *float64  `json:"ambient_degC,omitempty"`
	Readings    []Reading `json:"readings"`

	// lines holds the line of each place in the file, for faults that are found later.
	lines map[string]int
}

// Vehicle is what the sheet says of the car.
type Vehicle struct {
	VIN             string          `json:"vin,omitempty"`
	OdometerKm      *float64        `json:"odometer_km,omitempty"`
	FirstRegistered string          `json:"first_registered,omitempty"`
	Facets          map[string]Word `json:"facets,omitempty"`
	Specs           map[string]Spec `json:"specs,omitempty"`
}

// Renewed says when an item was last renewed.
type Renewed struct {
	Item       string   `json:"item"`
	At         string   `json:"at,omitempty"` // a corner (FL), an axle (F), a counted part (1); empty is the whole car
	OdometerKm *float64 `json:"odometer_km,omitempty"`
	Date       string   `json:"date"`
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
	if !utf8.Valid(text) {
		return nil, errors.New("the sheet is not UTF-8 text")
	}
	lines, err := structure(text)
	if err != nil {
		return nil, err
	}
	s := Sheet{lines: lines}
	dec := json.NewDecoder(bytes.NewReader(text))
	dec.DisallowUnknownFields()
	if err := dec.Decode(&s); err != nil {
		return nil, place(text, dec.InputOffset(), err)
	}
	if len(s.Readings) > maxReadings {
		return nil, fmt.Errorf("readings: %d of them; expected %d at the most", len(s.Readings), maxReadings)
	}
	if faults := s.faulty(); len(faults) > 0 {
		return nil, errors.New(strings.Join(faults, "\n"))
	}
	return &s, nil
}

// faulty lists what the values that take several forms could not be read as, each with its line and place.
func (s *Sheet) faulty() []string {
	var out []string
	add := func(place, fault string) {
		if fault != "" {
			out = append(out, s.at(place)+fault)
		}
	}
	for _, id := range sortedKeys(s.Vehicle.Facets) {
		add("vehicle.facets."+id, s.Vehicle.Facets[id].fault)
	}
	for _, id := range sortedKeys(s.Vehicle.Specs) {
		add("vehicle.specs."+id, s.Vehicle.Specs[id].fault)
	}
	for i, r := range s.Readings {
		field := ""
		if r.faultAt != "" {
			field = "." + r.faultAt
		}
		add(fmt.Sprintf("readings[%d]%s", i, field), r.fault)
	}
	return out
}

// at writes a place with its line before it: "line 12: readings[3].state: ". A place that is not in the file, because it
// is missing, has the line of what it is missing in.
func (s *Sheet) at(place string) string {
	for p := place; p != ""; {
		if n := s.lines[p]; n > 0 {
			return fmt.Sprintf("line %d: %s: ", n, shortenTo(place, 120))
		}
		i := strings.LastIndexAny(p, ".[")
		if i < 0 {
			break
		}
		p = p[:i]
	}
	return shortenTo(place, 120) + ": "
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

func shorten(s string) string { return shortenTo(s, 40) }

// shortenTo cuts a text to n bytes at the most, never within a letter.
func shortenTo(s string, n int) string {
	if len(s) <= n {
		return s
	}
	s = s[:n-3]
	for !utf8.ValidString(s) {
		s = s[:len(s)-1]
	}
	return s + "..."
}

// Date reads a day as 2026-03-21.
func Date(s string) (time.Time, error) {
	if s == "" {
		return time.Time{}, errors.New("it is missing; expected a date such as 2026-03-21")
	}
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
