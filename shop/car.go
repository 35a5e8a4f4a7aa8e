package shop

import (
	"context"
	"errors"
	"fmt"
	"net/mail"
	"slices"
	"sort"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"witnessmark/core/odometer"
	"witnessmark/core/point"
	"witnessmark/core/unit"
	"witnessmark/core/vin"
)

// CarInput is what a form says of a car. CarID and VersionID are made by the form; Base is the version that was
// edited, empty for a new car.
type CarInput struct {
	CarID, VersionID, Base             string
	Plate, VIN, Description            string
	OwnerName, OwnerPhone, OwnerEmail  string
	FirstRegistered, Units             string
	Facets                             map[string]string
	Specs                              map[string]SpecInput
	Odometer, OdometerOn, OdometerNote string
	By                                 string
	Confirmed                          bool
}

// SpecInput is a specification as typed.
type SpecInput struct {
	Text    string
	Numbers map[string]string
	Origin  string
}

// FindCars lists cars.
func (s *Shop) FindCars(ctx context.Context, f CarFilter) (rows []CarRow, n int, err error) {
	err = s.store.View(ctx, func(r Reader) error {
		rows, n, err = r.Cars(ctx, f)
		return err
	})
	return rows, n, err
}

// Car gives a car's current version.
func (s *Shop) Car(ctx context.Context, carID string) (c CarVersion, err error) {
	err = s.store.View(ctx, func(r Reader) error {
		c, err = r.Car(ctx, carID)
		return err
	})
	return c, err
}

// SaveCar stores a new car or a new version of one, with an odometer reading if one was typed. It is ErrConflict when
// the car was changed after the form was opened; Invalid when entries are bad, and then nothing is stored.
func (s *Shop) SaveCar(ctx context.Context, in CarInput) (CarVersion, error) {
	c, bad := s.carVersion(in)
	err := s.store.Update(ctx, func(w Writer) error {
		old, err := w.Car(ctx, in.CarID)
		switch {
		case errors.Is(err, ErrNotFound):
			if in.Base != "" {
				return ErrNotFound
			}
		case err != nil:
			return err
		case old.ID == in.VersionID:
			c = old // the same form again
			return nil
		case old.ID != in.Base:
			return ErrConflict
		}
		facts := []Fact{{Car: &c}}
		if strings.TrimSpace(in.Odometer) != "" {
			history, err := distances(ctx, w, in.CarID)
			if err != nil {
				return err
			}
			o, faults := s.odometerFact(OdometerInput{ID: s.newID(), CarID: in.CarID, On: in.OdometerOn, Km: in.Odometer, Note: in.OdometerNote, By: in.By},
				system(c), history, "odometer", "odometer-on")
			bad = append(bad, faults...)
			facts = append(facts, Fact{Odometer: &o})
		}
		if stopped(bad, in.Confirmed) {
			return bad
		}
		for _, f := range facts {
			if _, err := w.Put(ctx, f); err != nil {
				return err
			}
		}
		return nil
	})
	return c, err
}

// stopped reports whether bad entries keep the rest from being stored; doubtful ones don't once they are confirmed.
func stopped(bad Invalid, confirmed bool) bool {
	return len(bad) > 0 && !(confirmed && bad.OnlyAsks())
}

func (s *Shop) carVersion(in CarInput) (CarVersion, Invalid) {
	var bad Invalid
	c := CarVersion{ID: in.VersionID, CarID: in.CarID, Plate: squeeze(in.Plate), Description: squeeze(in.Description), Units: in.Units, By: squeeze(in.By),
		Owner:           Owner{Name: squeeze(in.OwnerName), Phone: squeeze(in.OwnerPhone), Email: strings.TrimSpace(in.OwnerEmail)},
		FirstRegistered: strings.TrimSpace(in.FirstRegistered), ReceivedAt: ms(s.now())}
	if c.Plate == "" {
		bad = append(bad, FieldError{Field: "plate", Text: "Enter the plate, or a word by which you find the car."})
	}
	for _, f := range [...][2]string{{"plate", c.Plate}, {"description", c.Description}, {"owner-name", c.Owner.Name}, {"owner-phone", c.Owner.Phone}} {
		if utf8.RuneCountInString(f[1]) > 120 {
			bad = append(bad, FieldError{Field: f[0], Text: "This is longer than 120 characters."})
		}
	}
	if c.Owner.Email != "" {
		if a, err := mail.ParseAddress(c.Owner.Email); err != nil || a.Name != "" || a.Address != c.Owner.Email {
			bad = append(bad, FieldError{Field: "owner-email", Text: "This is not a mail address such as name@example.org."})
		}
	}
	if c.Units == "" {
		c.Units = "metric"
	}
	if c.Units != "metric" && c.Units != "us" {
		bad = append(bad, FieldError{Field: "units", Text: "Choose metric or US units."})
	}
	c.VIN, bad = checkVIN(in.VIN, bad)
	bad = s.checkRegistered(c.FirstRegistered, bad)
	c.Facets, bad = s.facetsFrom(in.Facets, bad)
	c.Specs, bad = s.specsFrom(in.Specs, system(c), bad)
	sort.SliceStable(bad, func(i, j int) bool { return bad[i].Field < bad[j].Field })
	return c, bad
}

// checkVIN refuses what is no VIN. A check digit that does not fit is an error only where the law asks for it.
func checkVIN(text string, bad Invalid) (string, Invalid) {
	if strings.TrimSpace(text) == "" {
		return "", bad
	}
	v, err := vin.Parse(text)
	if err != nil {
		return strings.TrimSpace(text), append(bad, FieldError{Field: "vin", Text: upperFirst(err.Error()) + "."})
	}
	c := v.Check()
	if c.OK || !c.Binding {
		return v.String(), bad
	}
	f := FieldError{Field: "vin", Ask: true, Text: fmt.Sprintf("The check digit should be %s. Look at the plate again; confirm if it really reads so.", c.Digit)}
	if slips := vin.Slips(text); len(slips) > 0 {
		f.Likely = slips[0]
		f.Text = fmt.Sprintf("The check digit does not fit. Did you mean %s? Confirm if it really reads as typed.", strings.Join(slips[:min(3, len(slips))], " or "))
	}
	return v.String(), append(bad, f)
}

func (s *Shop) checkRegistered(text string, bad Invalid) Invalid {
	if text == "" {
		return bad
	}
	t, err := time.Parse("2006-01", text)
	switch {
	case err != nil:
		return append(bad, FieldError{Field: "first-registered", Text: "Enter year and month, such as 2009-04."})
	case t.Year() < 1900 || t.After(s.now()):
		return append(bad, FieldError{Field: "first-registered", Text: "This lies in the future, or before there were cars."})
	}
	return bad
}

func (s *Shop) facetsFrom(given map[string]string, bad Invalid) (map[string]string, Invalid) {
	out := map[string]string{}
	for id, v := range given {
		v = strings.TrimSpace(v)
		if v == "" {
			continue
		}
		d := s.cat.Facets[id]
		if d == nil {
			bad = append(bad, FieldError{Field: "facet." + id, Text: "The catalogue has no such question."})
			continue
		}
		if err := d.Check(v); err != nil {
			bad = append(bad, FieldError{Field: "facet." + id, Text: upperFirst(err.Error()) + "."})
			continue
		}
		out[id] = v
	}
	return out, bad
}

func (s *Shop) specsFrom(given map[string]SpecInput, sys unit.System, bad Invalid) (map[string]SpecEntry, Invalid) {
	out := map[string]SpecEntry{}
	for id, in := range given {
		d := s.cat.Specs[id]
		if d == nil {
			bad = append(bad, FieldError{Field: "spec." + id, Text: "The catalogue has no such figure."})
			continue
		}
		e := SpecEntry{Text: strings.TrimSpace(in.Text), Origin: squeeze(in.Origin)}
		if len(d.Values) == 0 && utf8.RuneCountInString(e.Text) > 80 {
			bad = append(bad, FieldError{Field: "spec." + id, Text: "This is longer than 80 characters."})
		}
		if e.Text != "" && len(d.Values) > 0 && !slices.Contains(d.Values, e.Text) {
			bad = append(bad, FieldError{Field: "spec." + id, Text: "Choose one of " + strings.Join(d.Values, ", ") + "."})
		}
		for at, typed := range in.Numbers {
			if strings.TrimSpace(typed) == "" {
				continue
			}
			field := "spec." + id
			if at != "" {
				field += "." + at
			}
			x, err := parseNumber(typed, d.Unit, sys, typicalSpec(d), 0)
			if err == nil {
				err = specRange(d, x)
			}
			if err != nil {
				bad = append(bad, FieldError{Field: field, Text: upperFirst(err.Error()) + "."})
				continue
			}
			if e.Numbers == nil {
				e.Numbers = map[string]float64{}
			}
			e.Numbers[at] = x
		}
		if e.Text != "" || len(e.Numbers) > 0 {
			out[id] = e
		}
	}
	return out, bad
}

// typicalSpec gives a figure of the usual size.
func typicalSpec(d *point.Spec) float64 {
	if d.Min != nil && d.Max != nil {
		return (*d.Min + *d.Max) / 2
	}
	return 0
}

func specRange(d *point.Spec, x float64) error {
	if d.Min != nil && x < *d.Min || d.Max != nil && x > *d.Max {
		return fmt.Errorf("%g %s can't be right for %s", x, d.Unit, strings.ToLower(d.Name))
	}
	return nil
}

// OdometerInput is an odometer reading as typed.
type OdometerInput struct {
	ID, CarID, On, Km, Note, By string
	Confirmed                   bool
}

// AddOdometer stores an odometer reading. One that runs back or implies an absurd distance is questioned.
func (s *Shop) AddOdometer(ctx context.Context, in OdometerInput) error {
	return s.store.Update(ctx, func(w Writer) error {
		c, err := w.Car(ctx, in.CarID)
		if err != nil {
			return err
		}
		history, err := distances(ctx, w, in.CarID)
		if err != nil {
			return err
		}
		for _, h := range history {
			if h.ID == in.ID {
				return nil // the same form again
			}
		}
		f, bad := s.odometerFact(in, system(c), history, "km", "on")
		if stopped(bad, in.Confirmed) {
			return bad
		}
		_, err = w.Put(ctx, Fact{Odometer: &f})
		return err
	})
}

// distances gives every distance that is known of a car, by day: odometer readings of their own, and those of rounds. A
// car that does not exist yet has none.
func distances(ctx context.Context, r Reader, carID string) ([]OdometerFact, error) {
	own, err := r.Odometer(ctx, carID)
	if err != nil && !errors.Is(err, ErrNotFound) {
		return nil, err
	}
	rounds, err := r.Rounds(ctx, carID)
	if err != nil && !errors.Is(err, ErrNotFound) {
		return nil, err
	}
	return joinDistances(own, rounds), nil
}

func joinDistances(own []OdometerFact, rounds []RoundFact) []OdometerFact {
	out := slices.Clone(own)
	for _, r := range rounds {
		if r.Km >= 0 {
			out = append(out, OdometerFact{ID: r.ID, CarID: r.CarID, On: r.On, Km: r.Km, Note: "round", By: r.By, ReceivedAt: r.ReceivedAt})
		}
	}
	sort.SliceStable(out, func(i, j int) bool {
		if out[i].On != out[j].On {
			return out[i].On < out[j].On
		}
		return out[i].Km < out[j].Km
	})
	return out
}

// odometerFact checks an odometer reading against the history; the fields are named as the form names them.
func (s *Shop) odometerFact(in OdometerInput, sys unit.System, history []OdometerFact, kmField, onField string) (OdometerFact, Invalid) {
	var bad Invalid
	f := OdometerFact{ID: in.ID, CarID: in.CarID, On: strings.TrimSpace(in.On), Note: squeeze(in.Note), By: squeeze(in.By), ReceivedAt: ms(s.now())}
	if f.On == "" {
		f.On = s.today()
	}
	bad = s.checkDay(f.On, onField, bad)
	km, err := parseNumber(in.Km, "km", sys, 0, 0)
	if err != nil {
		return f, append(bad, FieldError{Field: kmField, Text: upperFirst(err.Error()) + "."})
	}
	f.Km = km
	if len(bad) == 0 {
		bad = append(bad, question(sys, history, f, kmField)...)
	}
	return f, bad
}

// kmNote is what was typed of a changed odometer, in a form that has more than the odometer in it.
func kmNote(typed string) string { return bounded(squeeze(typed), 200) }

// question asks about an odometer reading that does not fit the car's history.
func question(sys unit.System, history []OdometerFact, f OdometerFact, field string) Invalid {
	past := make([]odometer.Reading, 0, len(history))
	for _, h := range history {
		past = append(past, odometer.Reading{On: day(h.On), KM: h.Km})
	}
	q := odometer.CheckIn(sys, past, odometer.Reading{On: day(f.On), KM: f.Km})
	if q == nil {
		return nil
	}
	fe := FieldError{Field: field, Text: upperFirst(q.Message), Ask: q.Severity == odometer.Ask || f.Note != "" && q.Kind != odometer.Impossible}
	if q.Likely > 0 {
		likely := q.Likely
		if sys == unit.US {
			likely /= 1.609344
		}
		fe.Likely = fmt.Sprintf("%.0f", likely)
	}
	return Invalid{fe}
}

// checkDay refuses what is no day or lies in the future.
func (s *Shop) checkDay(text, field string, bad Invalid) Invalid {
	t, err := time.Parse(dayLayout, text)
	switch {
	case err != nil:
		return append(bad, FieldError{Field: field, Text: "Enter a day such as 2026-03-21."})
	case t.Format(dayLayout) > s.today():
		return append(bad, FieldError{Field: field, Text: "This day lies in the future."})
	case t.Year() < 1950:
		return append(bad, FieldError{Field: field, Text: "This day lies too far back."})
	}
	return bad
}

// squeeze trims a text and folds the white space inside. Of which nothing would be seen is empty.
func squeeze(s string) string {
	s = strings.Join(strings.Fields(strings.Map(visible, s)), " ")
	if !strings.ContainsFunc(s, leavesMark) {
		return ""
	}
	return s
}

// leavesMark reports whether a character is seen: blanks, joiners and fillers don't.
func leavesMark(r rune) bool {
	const emptyBraille = '\u2800'
	return unicode.IsGraphic(r) && !unicode.IsSpace(r) && r != emptyBraille &&
		!unicode.In(r, unicode.Zs, unicode.Other_Default_Ignorable_Code_Point, unicode.Variation_Selector)
}

// visible drops what can't be seen but changes how the text around it is shown: control characters, and marks that turn the
// direction of writing. Joiners stay, words and pictures need them.
func visible(r rune) rune {
	if unicode.IsControl(r) && !unicode.IsSpace(r) || r >= 0x202A && r <= 0x202E || r >= 0x2066 && r <= 0x2069 {
		return -1
	}
	return r
}

func upperFirst(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	if n == 0 {
		return s
	}
	return string(unicode.ToUpper(r)) + s[n:]
}
