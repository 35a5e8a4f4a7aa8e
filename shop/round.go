package shop

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"witnessmark/core/facet"
	"witnessmark/core/point"
	"witnessmark/core/round"
	"witnessmark/core/unit"
)

// RoundInput begins a round, as typed.
type RoundInput struct {
	ID, CarID, Depth, On, Km, Ambient string
	EngineHot                         bool
	// KmNote says why the odometer shows less than before: it was changed.
	KmNote, By string
	Confirmed  bool
}

// StartRound begins a round. Its odometer reading counts among the car's distances.
func (s *Shop) StartRound(ctx context.Context, in RoundInput) (RoundFact, error) {
	f := RoundFact{ID: in.ID, CarID: in.CarID, Depth: in.Depth, On: strings.TrimSpace(in.On), Km: -1, EngineHot: in.EngineHot, By: squeeze(in.By), ReceivedAt: ms(s.now())}
	if f.On == "" {
		f.On = s.today()
	}
	err := s.store.Update(ctx, func(w Writer) error {
		if old, err := w.Round(ctx, in.ID); err == nil {
			f = old // the same form again
			return nil
		} else if !errors.Is(err, ErrNotFound) {
			return err
		}
		c, err := w.Car(ctx, in.CarID)
		if err != nil {
			return err
		}
		bad, err := s.fillFact(ctx, w, in, &f, system(c))
		if err != nil {
			return err
		}
		if stopped(bad, in.Confirmed) {
			return bad
		}
		if _, err = w.Put(ctx, Fact{Round: &f}); err != nil || f.Km < 0 || kmNote(in.KmNote) == "" {
			return err
		}
		_, err = w.Put(ctx, Fact{Odometer: &OdometerFact{ID: odometerID(f.ID), CarID: f.CarID, On: f.On, Km: f.Km, Note: kmNote(in.KmNote), By: f.By, ReceivedAt: f.ReceivedAt}})
		return err
	})
	return f, err
}

// fillFact reads the typed entries into the round's fact.
func (s *Shop) fillFact(ctx context.Context, w Writer, in RoundInput, f *RoundFact, sys unit.System) (Invalid, error) {
	var bad Invalid
	if !validDepth(in.Depth) {
		bad = append(bad, FieldError{Field: "depth", Text: "Choose full, quick look or driveway."})
	}
	bad = s.checkDay(f.On, "on", bad)
	if strings.TrimSpace(in.Ambient) != "" {
		x, err := parseNumber(in.Ambient, "degC", sys, 0, 1)
		switch {
		case err != nil:
			bad = append(bad, FieldError{Field: "ambient", Text: upperFirst(err.Error()) + "."})
		case x < -60 || x > 60:
			bad = append(bad, FieldError{Field: "ambient", Text: "The air is hardly that cold or hot."})
		default:
			f.AmbientC = &x
		}
	}
	if strings.TrimSpace(in.Km) != "" {
		history, err := distances(ctx, w, in.CarID)
		if err != nil {
			return nil, err
		}
		o, faults := s.odometerFact(OdometerInput{ID: in.ID, CarID: in.CarID, On: f.On, Km: in.Km, Note: kmNote(in.KmNote), By: in.By}, sys, history, "km", "on")
		bad = append(bad, faults...)
		f.Km = o.Km
	}
	return bad, nil
}

func validDepth(d string) bool {
	for _, x := range point.Depths {
		if string(x) == d {
			return true
		}
	}
	return false
}

// RoundView is a round as it is walked.
type RoundView struct {
	Car    CarVersion
	Facets facet.Set
	Round  RoundFact
	Steps  []StepView
	Absent []round.Absent
	// Looks are what settles a cause: points of the walk that were asked for, and checks that have no point.
	Looks                   []RoundLook
	Places, Looked, Skipped int
}

// StepView is one point of a round with what is known of it now.
type StepView struct {
	Point *point.Point
	Slots []string
	Hint  string
	// Current holds the reading that counts by position; First the first entry where it was corrected.
	Current map[string]ReadingFact
	First   map[string]ReadingFact
	// Last holds the newest reading of an earlier round by position.
	Last map[string]LastReading
	// Photos attached to the point in this round.
	Photos   []PhotoFact
	Method   string
	Cautions []string
	// Specs are figures that the point's limits need and the car lacks.
	Specs []*point.Spec
}

// LastReading is a reading of an earlier round with its day and distance.
type LastReading struct {
	Reading ReadingFact
	On      string
	Km      float64
}

// Done reports whether every place of the step has a reading or a reason. A reading for the whole point speaks for
// all its places.
func (v StepView) Done() bool {
	for _, at := range v.Slots {
		if !v.answered(at) {
			return false
		}
	}
	return true
}

func (v StepView) answered(at string) bool {
	if _, ok := v.Current[at]; ok {
		return true
	}
	if _, ok := v.Current[""]; ok {
		return true
	}
	base, place := point.SplitAt(at)
	if place != "" {
		_, ok := v.Current[base]
		return ok
	}
	return at == "" && len(v.Current) > 0
}

// Round gives a round with its steps in walking order.
func (s *Shop) Round(ctx context.Context, roundID string) (*RoundView, error) {
	var v RoundView
	err := s.store.View(ctx, func(r Reader) error {
		var err error
		if v.Round, err = roundOf(ctx, r, roundID); err != nil {
			return err
		}
		f, err := s.facts(ctx, r, v.Round.CarID)
		if err != nil {
			return err
		}
		v.Car = f.car()
		photos, err := r.Photos(ctx, roundID)
		if err != nil {
			return err
		}
		looks, err := r.Looks(ctx, roundID)
		if err != nil {
			return err
		}
		v.Looks = s.roundLooks(looks)
		s.fillRound(&v, f.history, f.rounds, photosNow(photos))
		return nil
	})
	if err != nil {
		return nil, err
	}
	return &v, nil
}

// roundOf gives a round that counts; ErrWithdrawn for one that was taken back.
func roundOf(ctx context.Context, r Reader, roundID string) (RoundFact, error) {
	rd, err := r.Round(ctx, roundID)
	if err == nil && rd.Withdrawn {
		err = ErrWithdrawn
	}
	return rd, err
}

func (s *Shop) fillRound(v *RoundView, history []ReadingFact, rounds []RoundFact, photos []PhotoFact) {
	v.Facets = s.FacetsOf(v.Car)
	car := s.judgedCar(v.Car, v.Round.Km, nil)
	specs := round.WithFamilies(s.cat, v.Facets, car.Specs)
	depth := point.Depth(v.Round.Depth)
	mine, last := splitHistory(v.Round, history, rounds)
	steps, absent := s.walk(v, depth)
	if v.Round.Baseline() {
		steps, absent = s.readSteps(v, mine), nil
	}
	v.Absent = absent
	index := map[string]int{}
	for i, st := range steps {
		index[st.Point.ID] = i
		v.Steps = append(v.Steps, StepView{Point: st.Point, Slots: st.Slots, Hint: st.Hint, Current: map[string]ReadingFact{}, First: map[string]ReadingFact{},
			Last: last[st.Point.ID], Method: method(st.Point, depth), Cautions: s.cautionTexts(st.Point.Cautions), Specs: s.lacking(st, specs, v.Facets)})
	}
	for _, f := range mine {
		i, ok := index[f.Point]
		if !ok {
			continue
		}
		st := &v.Steps[i]
		if _, has := st.First[f.At]; !has {
			st.First[f.At] = f
		}
		if f.Withdrawn {
			delete(st.Current, f.At)
		} else {
			st.Current[f.At] = f
		}
	}
	for _, p := range photos {
		if i, ok := index[p.Point]; ok {
			v.Steps[i].Photos = append(v.Steps[i].Photos, p)
		}
	}
	v.count()
	v.answerLooks()
}

// count counts places, and drops first entries that were never corrected.
func (v *RoundView) count() {
	for i := range v.Steps {
		st := &v.Steps[i]
		for at, f := range st.First {
			if now, ok := st.Current[at]; !ok || now.ID == f.ID {
				delete(st.First, at)
			}
		}
		v.Places += len(st.Slots)
		for _, at := range st.Slots {
			if !st.answered(at) {
				continue
			}
			if f, ok := st.Current[at]; ok && f.Skipped != "" {
				v.Skipped++
			} else if f, ok := st.Current[""]; ok && f.Skipped != "" {
				v.Skipped++
			} else {
				v.Looked++
			}
		}
	}
}

// splitHistory separates a round's own readings from the newest of earlier rounds, by point and position.
func splitHistory(this RoundFact, history []ReadingFact, rounds []RoundFact) ([]ReadingFact, map[string]map[string]LastReading) {
	earlier := map[string]*RoundFact{}
	for i := range rounds {
		if r := &rounds[i]; r.ID != this.ID && (r.On < this.On || r.On == this.On && r.ReceivedAt <= this.ReceivedAt) {
			earlier[r.ID] = r
		}
	}
	var mine []ReadingFact
	for i := range history {
		if history[i].RoundID == this.ID {
			mine = append(mine, history[i])
		}
	}
	return mine, lastReadings(history, earlier)
}

// lastReadings finds the newest reading of each point and position. It goes back from the newest arrival: of one place in one
// round only the last entry counts, and most of a long history lies before what is found already.
func lastReadings(history []ReadingFact, rounds map[string]*RoundFact) map[string]map[string]LastReading {
	last := map[string]map[string]LastReading{}
	type entry struct{ round, point, at string }
	seen := map[entry]bool{}
	for i := len(history) - 1; i >= 0; i-- {
		f := &history[i]
		r := rounds[f.RoundID]
		if r == nil {
			continue
		}
		places := last[f.Point]
		old, has := places[f.At]
		if has && (r.On < old.On || r.On == old.On && f.Seq < old.Reading.Seq) {
			continue
		}
		k := entry{f.RoundID, f.Point, f.At}
		if seen[k] {
			continue
		}
		seen[k] = true
		if f.Withdrawn || f.Skipped != "" {
			continue
		}
		if places == nil {
			places = map[string]LastReading{}
			last[f.Point] = places
		}
		places[f.At] = LastReading{Reading: *f, On: r.On, Km: r.Km}
	}
	return last
}

func method(p *point.Point, d point.Depth) string {
	if d == point.Driveway && p.DrivewayMethod != "" {
		return p.DrivewayMethod
	}
	return p.Method
}

func (s *Shop) cautionTexts(ids []string) []string {
	var out []string
	for _, id := range ids {
		if c := s.cat.Cautions[id]; c != nil {
			out = append(out, c.Say)
		}
	}
	return out
}

// lacking lists the specifications that a step's limits need and that nobody entered.
func (s *Shop) lacking(st round.Step, specs map[string]round.Spec, facets facet.Set) []*point.Spec {
	var out []*point.Spec
	seen := map[string]bool{}
	for i := range st.Point.Limits {
		l := &st.Point.Limits[i]
		if ok, _ := l.When.Holds(facets); !ok || l.Optional {
			continue
		}
		id := l.Spec
		if t := s.cat.Tables[l.Table]; t != nil && t.Words != nil {
			id = l.By
		}
		d := s.cat.Specs[id]
		if d == nil || seen[id] || d.Default != nil {
			continue
		}
		seen[id] = true
		if e, ok := specs[id]; !ok || !d.Text() && !covers(e, st.Slots) {
			out = append(out, d)
		}
	}
	if st.Point.Derive == "pressure-against-placard" {
		id := "tyre-pressure-placard-bar"
		if d := s.cat.Specs[id]; d != nil && !seen[id] && !covers(specs[id], st.Slots) {
			out = append(out, d)
		}
	}
	return out
}

func covers(e round.Spec, slots []string) bool {
	for _, at := range slots {
		if _, ok := e.At(at); !ok {
			return false
		}
	}
	return true
}

// ReadingInput is one reading as typed. Numbers are by value name, with or without a unit.
type ReadingInput struct {
	ID, RoundID, Point, At, State, Code string
	Numbers                             map[string]string
	Skipped, Note, By                   string
	TakenAt                             int64
	Confirmed                           bool
}

// Record stores readings, all or none. Fields of errors are "AT" for a state or code and "AT|value" for a number. A number outside
// all that was to be expected is asked about, and stored once it is confirmed.
func (s *Shop) Record(ctx context.Context, ins []ReadingInput) error {
	expected := s.expectedFor(ctx, ins)
	return s.store.Update(ctx, func(w Writer) error {
		var bad Invalid
		var facts []Fact
		confirmed := true
		for _, in := range ins {
			f, faults, err := s.readingFact(ctx, w, in, expected)
			if err != nil {
				return err
			}
			bad = append(bad, faults...)
			facts = append(facts, Fact{Reading: &f})
			confirmed = confirmed && in.Confirmed
		}
		if stopped(bad, confirmed) {
			return bad
		}
		for _, f := range facts {
			if _, err := w.Put(ctx, f); err != nil {
				return err
			}
		}
		return nil
	})
}

func (s *Shop) readingFact(ctx context.Context, r Reader, in ReadingInput, expected map[Place]Expected) (ReadingFact, Invalid, error) {
	rd, err := roundOf(ctx, r, in.RoundID)
	if err != nil {
		return ReadingFact{}, nil, err
	}
	c, err := r.Car(ctx, rd.CarID)
	if err != nil {
		return ReadingFact{}, nil, err
	}
	f, bad := s.readingOf(rd, c, in, expected)
	return f, bad, nil
}

// readingOf reads one reading of a round as typed.
func (s *Shop) readingOf(rd RoundFact, c CarVersion, in ReadingInput, expected map[Place]Expected) (ReadingFact, Invalid) {
	f := ReadingFact{ID: in.ID, RoundID: rd.ID, CarID: rd.CarID, Point: in.Point, At: in.At, State: in.State, Code: strings.TrimSpace(in.Code),
		Skipped: squeeze(in.Skipped), Note: squeeze(in.Note), By: squeeze(in.By), TakenAt: in.TakenAt, ReceivedAt: ms(s.now())}
	if f.TakenAt == 0 {
		f.TakenAt = f.ReceivedAt
	}
	p := s.cat.Point(in.Point)
	if p == nil {
		return f, Invalid{{Field: in.At, Text: fmt.Sprintf("There is no point %q in the catalogue.", in.Point)}}
	}
	facets := s.FacetsOf(c)
	if ok, why := p.Applies.Holds(facets); !ok {
		return f, Invalid{{Field: in.At, Text: fmt.Sprintf("%s does not apply to this car: %s.", p.Name, why)}}
	}
	var bad Invalid
	for name, typed := range in.Numbers {
		if strings.TrimSpace(typed) == "" {
			continue
		}
		x, err := s.number(c, p, name, typed)
		if err != nil {
			bad = append(bad, FieldError{Field: in.At + "|" + name, Text: upperFirst(err.Error()) + "."})
			continue
		}
		if f.Values == nil {
			f.Values = map[string]float64{}
		}
		f.Values[name] = x
	}
	if len(bad) > 0 {
		return f, bad
	}
	for _, fault := range round.Check(p, reading(f), facets) {
		field := in.At
		if p.ValueByName(fault.Field) != nil || fault.Field == "fraction" {
			field += "|" + fault.Field
		}
		bad = append(bad, FieldError{Field: field, Text: s.faultWords(c, p, fault, f) + "."})
	}
	if len(bad) == 0 {
		bad = s.unexpected(c, p, f, expected)
	}
	return f, bad
}

// faultWords says a fault in the words of the page: the value's label, and numbers the user's way.
func (s *Shop) faultWords(c CarVersion, p *point.Point, fault round.Fault, f ReadingFact) string {
	v := p.ValueByName(fault.Field)
	if x, ok := f.Values[fault.Field]; ok && v != nil && (x < v.Min || x > v.Max) {
		return fmt.Sprintf("%s: %s can't be right; expected %s to %s", upperFirst(v.Label), s.Display(c, v.Name, x, p), s.Display(c, v.Name, v.Min, p), s.Display(c, v.Name, v.Max, p))
	}
	return upperFirst(fault.Text)
}

// number reads one value of a point as typed.
func (s *Shop) number(c CarVersion, p *point.Point, name, typed string) (float64, error) {
	u, ok := unit.ValueUnit(name)
	if !ok {
		return 0, fmt.Errorf("%s is no value of a reading", name)
	}
	return parseNumber(typed, u.String(), system(c), typical(p, name), step(p, name))
}

// Withdraw takes a place's reading back. The reading itself stays in the history.
func (s *Shop) Withdraw(ctx context.Context, in ReadingInput) error {
	return s.store.Update(ctx, func(w Writer) error {
		r, err := roundOf(ctx, w, in.RoundID)
		if err != nil {
			return err
		}
		now := ms(s.now())
		_, err = w.Put(ctx, Fact{Reading: &ReadingFact{ID: in.ID, RoundID: r.ID, CarID: r.CarID, Point: in.Point, At: in.At, Withdrawn: true, By: squeeze(in.By),
			TakenAt: now, ReceivedAt: now}})
		return err
	})
}

// EndRound finishes a round. Readings may still be corrected after.
func (s *Shop) EndRound(ctx context.Context, roundID, id, by string) error {
	return s.put(ctx, Fact{RoundEnd: &RoundEnd{ID: id, RoundID: roundID, Catalogue: s.cat.Version, By: squeeze(by), ReceivedAt: ms(s.now())}})
}
