package web

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"witnessmark/core/outlook"
	"witnessmark/core/point"
	"witnessmark/core/verdict"
	"witnessmark/shop"
)

// foreseenScreen is what a number's field would probably show today. Words are for a person, the ends bare numbers in the
// field's unit for the script that looks at what is typed.
type foreseenScreen struct{ Words, Low, High string }

// foresee puts beside the fields of a screen what they would probably show today, and how long ago a condition began. That it
// can't be said keeps nobody from answering.
func (s *server) foresee(ctx context.Context, sc *pointScreen) {
	expected, err := s.shop.Expected(ctx, sc.View.Round.ID)
	if err != nil {
		s.log.Error("what is to be expected", "round", sc.View.Round.ID, "err", err)
		return
	}
	p := sc.Step.Point
	var ranges []outlook.Range
	for i := range sc.Slots {
		e := expected[shop.Place{Point: p.ID, At: sc.Slots[i].At}]
		if !e.Ranged {
			continue
		}
		for k := range sc.Slots[i].Numbers {
			n := &sc.Slots[i].Numbers[k]
			if !strings.HasSuffix(n.Name, "|"+e.Value) {
				continue
			}
			n.Foreseen = s.foreseen(sc.View.Car, p, e)
			if len(p.Values) > 0 && e.Value == p.Values[0].Name {
				ranges = append(ranges, e.Likely)
			}
		}
	}
	sc.Gauge = s.withForeseen(sc.Gauge, sc, ranges)
	sc.Began = s.beganSentence(ctx, sc)
	if f := s.forecastSaid(ctx, sc.View, sc.Step, sc.Step.Slots); f != nil {
		sc.Forecast = f
	}
}

// foreseen writes the ranges of one place in the field's unit.
func (s *server) foreseen(c shop.CarVersion, p *point.Point, e shop.Expected) *foreseenScreen {
	bare := func(x float64) string { return bareNumber(s.shop.Display(c, e.Value, x, p)) }
	within := func(x float64) float64 { return x }
	if v := p.ValueByName(e.Value); v != nil { // a range may reach beyond what can be
		within = func(x float64) float64 { return math.Max(v.Min, math.Min(v.Max, x)) }
	}
	return &foreseenScreen{Words: fromTo(bare(within(e.Likely.Low)), bare(within(e.Likely.High))), Low: bare(e.Wide.Low), High: bare(e.Wide.High)}
}

// fromTo joins the ends of a range, or writes one figure where both are the same as shown.
func fromTo(low, high string) string {
	switch {
	case low == high:
		return low
	case strings.HasPrefix(high, "-"):
		return low + " to " + high
	}
	return low + "–" + high
}

// beganSentence says how long ago the thing was renewed that a condition is looked at for; empty where that is not known.
func (s *server) beganSentence(ctx context.Context, sc *pointScreen) string {
	p := sc.Step.Point
	if p.Kind == point.Code || !slices.ContainsFunc(s.shop.Catalogue().Laws, func(l *point.Law) bool { return l.Point == p.ID && l.Item != "" }) {
		return ""
	}
	o, err := s.shop.Outlook(ctx, sc.View.Car.CarID)
	if err != nil {
		s.log.Error("outlook", "car", sc.View.Car.CarID, "err", err)
		return ""
	}
	said := ""
	for i := range o.Outlook.Items {
		it := &o.Outlook.Items[i]
		if it.Point.ID != p.ID || it.Since.From != "renewed" || it.Since.On.IsZero() || it.Since.On.Format("2006-01-02") > sc.View.Round.On {
			continue
		}
		at := shop.LastReading{On: it.Since.On.Format("2006-01-02"), Km: it.Since.Km}
		if it.Since.Km <= 0 {
			at.Km = -1
		}
		words := "Renewed " + s.ago(sc.View, at) + "."
		if said != "" && said != words {
			return "" // its places were renewed at different times
		}
		said = words
	}
	return said
}

// forecastLine is what follows from a reading that was just stored: "Watch", "Probably reaches 3 mm about ...".
type forecastLine struct {
	Word    string
	Verdict verdict.Verdict
	Where   string
	Text    string
}

// forecastSaid says what the newest readings of a point mean for what comes: the worst, then the earliest of the named places.
// It is nil where there is no law, no reading in this round, or nothing that can be said.
func (s *server) forecastSaid(ctx context.Context, v *shop.RoundView, st shop.StepView, ats []string) *forecastLine {
	p := st.Point
	if len(st.Current) == 0 || !slices.ContainsFunc(s.shop.Catalogue().Laws, func(l *point.Law) bool { return l.Point == p.ID }) {
		return nil
	}
	o, err := s.shop.Outlook(ctx, v.Car.CarID)
	if err != nil {
		s.log.Error("outlook", "car", v.Car.CarID, "err", err)
		return nil
	}
	first, several := firstComing(&o.Outlook, v, p.ID, ats)
	if first == nil {
		return nil
	}
	f := &forecastLine{Text: s.reachSentence(v.Car, &o.Outlook, first)}
	if several {
		f.Where = first.Where
	}
	if j, err := s.shop.Findings(ctx, v.Round.ID); err == nil {
		for i := range j.Result.Findings {
			if got := &j.Result.Findings[i]; got.Point.ID == p.ID && got.At == first.At {
				f.Verdict, f.Word = got.Verdict, capital(string(got.Verdict))
			}
		}
	}
	return f
}

// firstComing finds which of some places of a point comes first, by readings of this round, and whether there are several.
func firstComing(o *outlook.Outlook, v *shop.RoundView, id string, ats []string) (first *outlook.Item, several bool) {
	for i := range o.Items { // in the order in which they come
		it := &o.Items[i]
		n := len(it.Shown)
		if it.Point.ID != id || it.Unsure != "" || n == 0 || it.Shown[n-1].On.Format("2006-01-02") != v.Round.On || !slices.Contains(ats, it.At) {
			continue
		}
		if first != nil {
			return first, true
		}
		first = it
	}
	return first, false
}

// withForeseen adds to a gauge the range expected today, over all places, and the figure of a new part at its end. A gauge that had
// nothing to show begins here.
func (s *server) withForeseen(g *gauge, sc *pointScreen, ranges []outlook.Range) *gauge {
	p := sc.Step.Point
	if len(ranges) == 0 || len(p.Values) == 0 {
		return g
	}
	val := p.Values[0]
	if g == nil {
		g = &gauge{say: func(x float64) string { return bareNumber(s.shop.Display(sc.View.Car, val.Name, x, p)) }}
	}
	low, high := math.Inf(1), math.Inf(-1)
	for _, r := range ranges {
		low, high = math.Min(low, r.Low), math.Max(high, r.High)
	}
	low, high = math.Max(low, val.Min), math.Min(high, val.Max)
	if !(low <= high) {
		return g
	}
	g.likely = &outlook.Range{Low: low, High: high}
	g.fresh = newFigure(s.shop.Catalogue(), sc.View.Car, sc.Step, val.Name)
	g.span(val)
	return g
}

// newFigure is what a new part measures where the law of the point says it and wear lowers it; 0 is not known.
func newFigure(cat *point.Catalogue, c shop.CarVersion, step shop.StepView, value string) float64 {
	found := 0.0
	for _, l := range cat.Laws {
		w := l.Wear
		if l.Point != step.Point.ID || w == nil || !onAxle(l.Axle, step.Slots) || w.Rises || w.Value == "derived" || w.Value != "" && w.Value != value {
			continue
		}
		fresh := w.New
		if own := c.Specs[w.NewSpec].Numbers; w.NewSpec != "" && len(own) > 0 {
			fresh = 0
			for _, x := range own {
				fresh = math.Max(fresh, x)
			}
		}
		if found != 0 && math.Abs(found-fresh) > 1e-9 {
			return 0 // the axles differ
		}
		found = fresh
	}
	return found
}

// onAxle reports whether some place lies on an axle; no axle is any.
func onAxle(axle string, slots []string) bool {
	return axle == "" || slices.ContainsFunc(slots, func(at string) bool { return axleOf(at) == axle })
}

// foreseenWords says the expected range for the drawing and its description.
func (g *gauge) foreseenWords() string {
	if g.likely == nil {
		return ""
	}
	return fmt.Sprintf("expected today %s", fromTo(g.say(g.likely.Low), g.say(g.likely.High)))
}
