package judge

import (
	"fmt"
	"math"
	"strings"

	"witnessmark/core/point"
	"witnessmark/core/verdict"
)

// figure is a limit with its number for this car and reading.
type figure struct {
	limit *point.Limit
	got   float64
	value float64
	unit  string
	// source says where the number itself comes from.
	source string
}

// limits judges the reading's numbers against all limits that apply. The worst broken one gives the verdict. When none
// is broken and a figure that was needed is not known, the finding is unjudged: no guess.
func (j *judging) limits(f *Finding) {
	var broken, whole []figure
	var missing []lacking
	var unknown []string
	for i := range f.Point.Limits {
		l := &f.Point.Limits[i]
		if !l.Speaks(f.At) {
			continue
		}
		if ok, _ := l.When.Holds(j.car.Facets); !ok {
			unknown = append(unknown, j.unsaid(l)...)
			continue
		}
		g, lack := j.figure(f, l)
		switch {
		case lack == notRead:
		case lack != "":
			if l.Optional {
				unknown = append(unknown, lack)
			} else {
				missing = append(missing, lacking{lack, l.Verdict})
			}
		case l.Is.Broken(tidy(g.got), tidy(g.value)):
			broken = append(broken, g)
		default:
			whole = append(whole, g)
		}
	}
	switch {
	case len(broken) > 0:
		j.brokenLimit(f, broken, whole, missing)
	case len(missing) > 0:
		j.unknown(f, texts(missing))
	case len(whole) > 0:
		j.keptLimits(f, whole)
	case f.Verdict == verdict.Unjudged && len(unknown) > 0:
		j.unknown(f, unknown[:1])
	case f.Verdict == verdict.Unjudged && f.Why == "":
		f.Why = "No limit is known for this reading on this car."
	}
}

// lacking is a limit whose figure is not known, with the verdict that it would have given.
type lacking struct {
	text    string
	verdict verdict.Verdict
}

func texts(missing []lacking) []string {
	var out []string
	for _, m := range missing {
		if !contains(out, m.text) {
			out = append(out, m.text)
		}
	}
	return out
}

// unsaid lists what nobody has said of the car although the limit's condition asks for it.
func (j *judging) unsaid(l *point.Limit) []string {
	var out []string
	for _, id := range l.When.Facets() {
		if d := j.cat.Facets[id]; d != nil && j.car.Facets[id].Value == "" {
			out = append(out, "the "+lowerFirst(d.Name)+" is not known")
		}
	}
	return out
}

// tidy removes the noise of decimal fractions before a comparison, so that 3.0 typed and 3 stored are equal on every machine.
func tidy(x float64) float64 { return math.Round(x*1e6) / 1e6 }

// brokenLimit takes the verdict of the worst broken limit. A limit that only says "watch" shows the figure still ahead.
func (j *judging) brokenLimit(f *Finding, broken, whole []figure, missing []lacking) {
	worst := broken[0]
	for _, g := range broken[1:] {
		if g.limit.Verdict.Worse(worst.limit.Verdict) {
			worst = g
		}
	}
	shown := worst
	if worst.limit.Verdict == verdict.Watch {
		shown = nextAhead(worst, whole)
	}
	if !worst.limit.Verdict.Worse(f.Verdict) && f.Verdict != verdict.Unjudged {
		return // the state itself says worse
	}
	f.Verdict = worst.limit.Verdict
	f.Limit = &LimitShown{Value: tidy(shown.value), Unit: shown.unit, Source: shown.source, Falls: shown.limit.Is.Falls(), Got: tidy(shown.got)}
	f.Source = shown.source
	f.Jobs = worst.limit.Jobs
	f.Category, f.Regulation = "", ""
	j.class(f, worst.limit.Category, worst.limit.Item)
	f.Why = whyBroken(f, worst, shown)
	// A figure that is not known might have said worse: what is found is then only the least.
	var worse []lacking
	for _, m := range missing {
		if m.verdict.Worse(f.Verdict) {
			worse = append(worse, m)
		}
	}
	if len(worse) > 0 {
		f.Why = strings.TrimSuffix(f.Why, ".") + "; " + strings.Join(texts(worse), "; ") + ", so it may be worse."
	}
}

// nextAhead picks the nearest unbroken limit on the same value that is worse than g; g itself when there is none.
func nextAhead(g figure, whole []figure) figure {
	best := g
	for _, w := range whole {
		if w.limit.Of != g.limit.Of || w.limit.Is.Falls() != g.limit.Is.Falls() || !w.limit.Verdict.Worse(g.limit.Verdict) {
			continue
		}
		if best.limit == g.limit || math.Abs(w.got-w.value) < math.Abs(best.got-best.value) {
			best = w
		}
	}
	return best
}

func (j *judging) keptLimits(f *Finding, whole []figure) {
	near := whole[0]
	for _, g := range whole[1:] {
		if nearer(g, near) {
			near = g
		}
	}
	// The figure that counts is where something becomes due, not where one starts to watch it.
	shown := near
	if near.limit.Verdict == verdict.Watch {
		shown = nextAhead(near, whole)
	}
	f.Limit = &LimitShown{Value: tidy(shown.value), Unit: shown.unit, Source: shown.source, Falls: shown.limit.Is.Falls(), Got: tidy(shown.got)}
	if f.Verdict == verdict.Unjudged {
		f.Verdict = verdict.Sound
		f.Source = shown.source
		f.Why = whyKept(f, near, shown, whole)
	}
}

// nearer reports whether the value lies nearer to g than to h: by the distance when both are on the same value, else by
// the share of the limit.
func nearer(g, h figure) bool {
	if g.limit.Of == h.limit.Of {
		return math.Abs(g.got-g.value) < math.Abs(h.got-h.value)
	}
	return relative(g) < relative(h)
}

func relative(g figure) float64 {
	return math.Abs(g.got-g.value) / math.Max(1e-9, math.Abs(g.value))
}

// whyKept names the limit that was kept, or both ends where a value must lie between two.
func whyKept(f *Finding, near, shown figure, whole []figure) string {
	other := near
	for _, g := range whole {
		if g.limit.Of == near.limit.Of && g.limit.Is.Falls() != near.limit.Is.Falls() && (other.limit == near.limit || nearer(g, other)) {
			other = g
		}
	}
	said := upperFirst(quantity(f, shown))
	if other.limit == near.limit {
		return fmt.Sprintf("%s, limit %s.", said, f.amount(shown.value, shown.unit))
	}
	low, high := near, other
	if !near.limit.Is.Falls() {
		low, high = other, near
	}
	if f.Point.Derive == placardRule && near.limit.Of == derivedValue {
		return fmt.Sprintf("%s, within %s below and %s above.", said, f.amount(-low.value, low.unit), f.amount(high.value, high.unit))
	}
	return fmt.Sprintf("%s, between %s and %s.", said, f.amount(low.value, low.unit), f.amount(high.value, high.unit))
}

func (j *judging) unknown(f *Finding, missing []string) {
	if f.Verdict != verdict.Unjudged {
		// A state has spoken; what is missing is only a second opinion.
		f.Why = strings.TrimSuffix(f.Why, ".") + "; " + strings.Join(missing, "; ") + "."
		return
	}
	f.Why = upperFirst(strings.Join(missing, "; ")) + ", so no limit is known."
	if v := mainValue(f); v != nil {
		if x, ok := f.Reading.Value(v.Name); ok {
			f.Why = fmt.Sprintf("%s: %s, so no limit is known.", f.amount(x, unitOf(v.Name)), strings.Join(missing, "; "))
		}
	}
}

func whyBroken(f *Finding, g, shown figure) string {
	text := upperFirst(quantity(f, g))
	if f.Point.Derive == placardRule && g.limit.Of == derivedValue {
		// The words already say on which side of the placard it lies.
		text += ", more than " + f.amount(math.Abs(g.value), g.unit)
	} else {
		text += ", " + side(g.limit.Is) + " " + f.amount(g.value, g.unit)
	}
	if shown.limit != g.limit {
		ahead := shown.value
		if f.Point.Derive == placardRule && g.limit.Of == derivedValue {
			ahead = math.Abs(ahead)
		}
		text += "; the limit is " + f.amount(ahead, shown.unit)
	}
	if g.limit.Why != "" {
		return text + ": " + lowerFirst(strings.TrimSuffix(g.limit.Why, ".")) + "."
	}
	return text + "."
}

func side(i point.Is) string {
	switch i {
	case point.Below:
		return "below"
	case point.AtOrBelow:
		return "at or below"
	case point.Above:
		return "above"
	}
	return "at or above"
}

// computed reports whether the point's first value was not typed but computed from others.
func computed(f *Finding) bool {
	if f.Reading == nil || f.Point.Derive == "" || len(f.Point.Values) == 0 {
		return false
	}
	_, typed := f.Reading.Value(f.Point.Values[0].Name)
	return !typed
}

// quantity writes what was compared, with the reading it was computed from where those differ.
func quantity(f *Finding, g figure) string {
	if g.limit.Of == derivedValue || computed(f) {
		if said := derivedWords(f, g.got); said != "" {
			return said
		}
	}
	return f.amount(g.got, g.unit)
}

func upperFirst(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// mainValue is the first value of the point.
func mainValue(f *Finding) *point.Value {
	if len(f.Point.Values) == 0 {
		return nil
	}
	return &f.Point.Values[0]
}

// unitOf gives the unit that ends a value's name ("wheel_mm" is in mm, "per_m" is a unit of its own).
func unitOf(name string) string {
	if name == "per_m" {
		return name
	}
	if _, u, ok := strings.Cut(name, "_"); ok {
		return u
	}
	return name
}
