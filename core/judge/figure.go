package judge

import (
	"fmt"
	"math"

	"witnessmark/core/battery"
	"witnessmark/core/point"
	"witnessmark/core/tyre"
)

// notRead marks a limit on a value that the reading does not carry; the limit then says nothing.
const notRead = "\x00"

// derivedValue is the name of a limit's value that is computed from the reading, placardRule the rule whose value lies
// on either side of a placard.
const (
	derivedValue = "derived"
	placardRule  = "pressure-against-placard"
)

// figure finds the number of a limit and the number to compare it with. A lack says in words what is not known.
func (j *judging) figure(f *Finding, l *point.Limit) (g figure, lack string) {
	g.limit = l
	if g.got, g.unit, lack = j.compared(f, l); lack != "" {
		return g, lack
	}
	switch {
	case l.Number != nil:
		g.value, g.source = *l.Number, j.cat.Cite(l.Source)
	case l.Spec != "":
		g.value, g.source, lack = j.spec(l.Spec, f.At, figureSource(l))
	default:
		g.value, g.source, lack = j.table(f, l)
	}
	g.value = g.value*l.Times + l.Plus
	return g, lack
}

// figureSource says where a limit's number comes from: practice that takes the car's figure as it is leaves the word to
// the figure itself.
func figureSource(l *point.Limit) point.Source {
	if l.Source.From == "practice" && l.Plus == 0 && l.Times == 1 {
		return point.Source{From: "car"}
	}
	return l.Source
}

// compared gives the value of the reading that the limit is on.
func (j *judging) compared(f *Finding, l *point.Limit) (x float64, unit, lack string) {
	if l.Of == derivedValue {
		return j.derive(f)
	}
	name := l.Of
	if name == "" && len(f.Point.Values) > 0 {
		name = f.Point.Values[0].Name
	}
	if name == "" && f.Point.Kind == point.Level {
		name = "fraction"
	}
	x, ok := f.Reading.Value(name)
	if !ok && l.Of == "" && f.Point.Derive != "" {
		return j.derive(f) // the tester's own figure was not typed, but what it is computed from may have been
	}
	if !ok {
		return 0, "", notRead
	}
	return x, unitOf(name), ""
}

// spec gives the car's own figure, or common practice's where the catalogue has one.
func (j *judging) spec(id, at string, src point.Source) (x float64, source, lack string) {
	d := j.cat.Specs[id]
	if s, ok := j.car.Specs[id]; ok {
		if x, ok := s.At(at); ok {
			if src.From == "car" || src.From == "" {
				source = d.Name
				if s.Origin != "" {
					source += ", " + s.Origin
				} else {
					source += ", entered for this car"
				}
				return x, source, ""
			}
			return x, j.cat.Cite(src), ""
		}
	}
	if d.Default != nil {
		return *d.Default, "common practice, until a figure is entered", ""
	}
	return 0, "", "no " + lowerFirst(d.Name) + " is entered for this car"
}

func (j *judging) table(f *Finding, l *point.Limit) (x float64, source, lack string) {
	t := j.cat.Tables[l.Table]
	source = j.cat.Cite(l.Source)
	if t.Words != nil {
		word := j.car.Specs[l.By].Text
		if word == "" {
			return 0, source, "no " + lowerFirst(j.cat.Specs[l.By].Name) + " is entered for this car"
		}
		x, ok := t.Words[word]
		if !ok {
			return 0, source, fmt.Sprintf("no limit is known for %s", word)
		}
		return x, source, ""
	}
	by, lack := j.companion(f, l.By)
	if lack != "" {
		return 0, source, lack
	}
	return t.At(by), source, ""
}

// companion finds a value that the reading needs beside it: in the reading, else remembered with the car.
func (j *judging) companion(f *Finding, name string) (float64, string) {
	if x, ok := f.Reading.Value(name); ok {
		return x, ""
	}
	if v := f.Point.ValueByName(name); v != nil {
		if v.Remember != "" {
			if x, ok := j.car.Specs[v.Remember].At(f.At); ok {
				return x, ""
			}
		}
		return 0, "the " + lowerFirst(v.Label) + " was not given"
	}
	if x, ok := j.car.Specs[name].At(f.At); ok {
		return x, ""
	}
	return 0, "the " + name + " was not given"
}

// derive computes the point's derived value from the reading.
func (j *judging) derive(f *Finding) (x float64, unit, lack string) {
	switch f.Point.Derive {
	case "tyre-age":
		return j.tyreAge(f)
	case "share-of-rating":
		return j.shareOfRating(f)
	case placardRule:
		return j.overPlacard(f)
	case "charge":
		return j.charge(f)
	case balanceRule:
		return j.balance(f)
	case efficiencyRule:
		return j.efficiency(f)
	}
	return 0, "", "no rule is known for this reading"
}

// tyreAge is the age in years by the date code (49 CFR 574.5).
func (j *judging) tyreAge(f *Finding) (float64, string, string) {
	made, err := tyre.ParseDate(f.Reading.Code)
	if err != nil {
		return 0, "", err.Error()
	}
	age, err := tyre.Age(made, j.taken.On)
	if err != nil {
		return 0, "", err.Error()
	}
	return math.Floor(age*10) / 10, "years", ""
}

func (j *judging) shareOfRating(f *Finding) (float64, string, string) {
	a, ok := f.Reading.Value("A")
	if !ok {
		return 0, "", notRead
	}
	rated, lack := j.companion(f, "rated_A")
	if lack != "" {
		return 0, "", lack
	}
	if rated <= 0 {
		return 0, "", "the rated current is not above 0"
	}
	return 100 * a / rated, "percent", ""
}

// placardDegC is the temperature at which a placard's cold pressure is meant (practice).
const placardDegC = 20

// overPlacard is the pressure above the placard's, brought to 20 degC by the ideal gas law on absolute pressures at
// constant volume. Without a temperature the air's is taken, without either none is corrected.
func (j *judging) overPlacard(f *Finding) (float64, string, string) {
	p, ok := f.Reading.Value("bar")
	if !ok {
		return 0, "", notRead
	}
	placard, _, lack := j.spec("tyre-pressure-placard-bar", f.At, point.Source{From: "car"})
	if lack != "" {
		return 0, "", lack
	}
	t, ok := f.Reading.Value("degC")
	if !ok && j.taken.AmbientC != nil {
		t, ok = *j.taken.AmbientC, true
	}
	if ok {
		var err error
		if p, err = tyre.PressureAt(p, tyre.Air{DegC: t}, tyre.Air{DegC: placardDegC}); err != nil {
			return 0, "", err.Error()
		}
	}
	return math.Round((p-placard)*100) / 100, "bar", ""
}

// charge is the state of charge in percent from the rest voltage, by the table of the battery's type.
func (j *judging) charge(f *Finding) (float64, string, string) {
	v, ok := f.Reading.Value("V")
	if !ok {
		return 0, "", notRead
	}
	kind := j.car.Facets["battery-type"].Value
	t := j.cat.Tables["charge-"+kind]
	if t == nil {
		return 0, "", fmt.Sprintf("no charge table is known for battery type %s", kind)
	}
	if c, ok := f.Reading.Value("degC"); ok {
		v = battery.Compensated(v, c)
	}
	return math.Round(t.At(v)), "percent", ""
}

// derivedWords says a derived value together with the reading that it was computed from.
func derivedWords(f *Finding, x float64) string {
	switch f.Point.Derive {
	case "tyre-age":
		made, err := tyre.ParseDate(f.Reading.Code)
		if err != nil {
			return ""
		}
		if made.Stated {
			return fmt.Sprintf("made in week %d of %d, %s years old", made.Week, made.Year, num(x))
		}
		return fmt.Sprintf("made in %s, at least %s years old", made, num(x))
	case "share-of-rating":
		a, _ := f.Reading.Value("A")
		return fmt.Sprintf("%s A, %s %% of the rating", num(a), num(math.Round(x)))
	case placardRule:
		bar, _ := f.Reading.Value("bar")
		side := "at the placard's"
		if x < 0 {
			side = f.amount(-x, "bar") + " below the placard's"
		} else if x > 0 {
			side = f.amount(x, "bar") + " above the placard's"
		}
		return fmt.Sprintf("%s, which at %s is %s", f.amount(bar, "bar"), f.amount(20, "degC"), side)
	case balanceRule:
		l, _ := f.Reading.Value("left_N")
		r, _ := f.Reading.Value("right_N")
		return fmt.Sprintf("%s left and %s right, %s %% of the stronger", f.amount(l, "N"), f.amount(r, "N"), num(x))
	case efficiencyRule:
		n, _ := f.Reading.Value("all_N")
		return fmt.Sprintf("%s in all, %s %% of the weight", f.amount(n, "N"), num(x))
	case "charge":
		v, _ := f.Reading.Value("V")
		return fmt.Sprintf("%s V at rest, about %s %% charged", num(v), num(x))
	}
	return ""
}
