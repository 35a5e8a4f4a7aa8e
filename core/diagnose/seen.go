package diagnose

import (
	"slices"
	"strings"

	"witnessmark/core/judge"
	"witnessmark/core/point"
	"witnessmark/core/verdict"
)

// seer reads signs off findings.
type seer struct {
	in      *Input
	byPoint map[string][]*judge.Finding
	told    map[string]bool
}

func newSeer(in *Input) *seer {
	s := &seer{in: in, byPoint: map[string][]*judge.Finding{}, told: map[string]bool{}}
	if in.Result != nil {
		for i := range in.Result.Findings {
			f := &in.Result.Findings[i]
			s.byPoint[f.Point.ID] = append(s.byPoint[f.Point.ID], f)
		}
	}
	for _, id := range in.Told {
		s.told[id] = true
	}
	return s
}

// piece says how one sign stands: its own check first, then the readings, then the owner's words. Words that a reading contradicts
// say nothing, but still bring the complaint up.
func (s *seer) piece(sign *point.Sign) Piece {
	if yes, ok := s.in.Checked[sign.ID]; ok {
		if yes {
			return Piece{Sign: sign, Show: Shown, Words: sign.Name + ": found", told: s.told[sign.ID]}
		}
		return Piece{Sign: sign, Show: NotShown, Words: sign.Name + ": looked for, not found"}
	}
	p := Piece{Sign: sign, Show: Silent}
	if fs := s.byPoint[sign.Point]; sign.Point != "" && len(fs) > 0 {
		p = fromFindings(sign, fs)
	}
	if !s.told[sign.ID] {
		return p
	}
	p.told = true
	switch p.Show {
	case Silent, Faint:
		p.Show, p.Ratio, p.Words = Shown, 0, sign.Name+": the owner says so"
	case NotShown:
		p.Show, p.Words = Silent, sign.Name+": the owner says so, the look did not show it"
	}
	return p
}

// spot is what one place says of a sign.
type spot struct {
	at    string
	show  Show
	ratio float64
	f     *judge.Finding
}

// fromFindings reads a sign off all findings of its point.
func fromFindings(sign *point.Sign, fs []*judge.Finding) Piece {
	if sign.Pair != "" {
		return fromPairs(sign, fs)
	}
	var spots []spot
	for _, f := range fs {
		base, _ := point.SplitAt(f.At)
		if f.Reading == nil || sign.Axle != "" && base != "" && point.Axle(base) != sign.Axle && base != sign.Axle {
			continue
		}
		show, ratio := atPlace(sign, f)
		spots = append(spots, spot{f.At, show, ratio, f})
	}
	return together(sign, spots)
}

// atPlace says what one finding shows.
func atPlace(sign *point.Sign, f *judge.Finding) (Show, float64) {
	switch {
	case !sign.Numeric():
		state := f.Reading.StateOf(f.Point)
		if state == nil || f.Verdict == verdict.Unjudged {
			return Silent, 0
		}
		yes, ratio := sign.Shows(state)
		return weigh(yes, ratio)
	case sign.Verdict != "":
		if f.Verdict == verdict.Unjudged || len(f.Point.States) > 0 && len(f.Reading.Values) == 0 {
			return Silent, 0
		}
		side := f.Limit == nil || sign.Side == "" || f.Limit.Falls == (sign.Side == "below")
		yes := side && !sign.Verdict.Worse(f.Verdict)
		if !side {
			return NotShown, 0
		}
		return weigh(yes, sign.Faint[string(f.Verdict)])
	}
	name := sign.Value
	if name == "" && len(f.Point.Values) > 0 {
		name = f.Point.Values[0].Name
	}
	x, ok := f.Reading.Value(name)
	if !ok {
		return Silent, 0
	}
	return weigh((sign.Least == nil || x >= *sign.Least) && (sign.Most == nil || x <= *sign.Most), 0)
}

// weigh turns yes or a ratio into how the sign stands; a ratio of 1 is silence, 0 is none given.
func weigh(yes bool, ratio float64) (Show, float64) {
	switch {
	case yes:
		return Shown, 0
	case ratio == 1:
		return Silent, 0
	case ratio > 0:
		return Faint, ratio
	}
	return NotShown, 0
}

// together joins what the places say.
func together(sign *point.Sign, spots []spot) Piece {
	switch {
	case sign.Sides != "":
		return sides(sign, spots)
	case sign.Every && slices.ContainsFunc(spots, func(s spot) bool { return s.show != Shown }):
		return told(sign, NotShown, spots, func(s spot) bool { return s.show != Shown })
	}
	if is := func(s spot) bool { return s.show == Shown }; slices.ContainsFunc(spots, is) {
		return told(sign, Shown, spots, is)
	}
	best := spot{ratio: -1}
	for _, s := range spots {
		if s.show == Faint && s.ratio > best.ratio {
			best = s
		}
	}
	if best.ratio > 0 {
		p := told(sign, Faint, []spot{best}, func(spot) bool { return true })
		p.Ratio = best.ratio
		return p
	}
	is := func(s spot) bool { return s.show == NotShown }
	if slices.ContainsFunc(spots, is) {
		return told(sign, NotShown, spots, is)
	}
	return Piece{Sign: sign, Show: Silent}
}

// sides asks both corners of an axle: both show it, or just one does.
func sides(sign *point.Sign, spots []spot) Piece {
	found := Silent
	for _, axle := range [][2]string{{"FL", "FR"}, {"RL", "RR"}} {
		l, r := corner(spots, axle[0]), corner(spots, axle[1])
		if l == Silent || r == Silent {
			continue
		}
		n := 0
		for _, x := range []Show{l, r} {
			if x == Shown {
				n++
			}
		}
		if sign.Sides == "both" && n == 2 || sign.Sides == "one" && n == 1 {
			return told(sign, Shown, spots, func(s spot) bool {
				base, _ := point.SplitAt(s.at)
				return s.show == Shown && (base == axle[0] || base == axle[1])
			})
		}
		found = NotShown
	}
	if found == NotShown {
		return told(sign, NotShown, spots, func(spot) bool { return true })
	}
	return Piece{Sign: sign, Show: Silent}
}

// corner says what a corner shows in any of its places; a reading of the whole speaks for it.
func corner(spots []spot, at string) Show {
	out := Silent
	for _, s := range spots {
		base, _ := point.SplitAt(s.at)
		if base != at && base != "" {
			continue
		}
		if s.show == Shown {
			return Shown
		}
		if s.show != Silent {
			out = NotShown
		}
	}
	return out
}

// fromPairs reads a difference: it is there when the judgement found it, and not there when it could have.
func fromPairs(sign *point.Sign, fs []*judge.Finding) Piece {
	var there, read []spot
	at := map[string]bool{}
	for _, f := range fs {
		base, place := point.SplitAt(f.At)
		if sign.Axle != "" && base != sign.Axle && point.Axle(base) != sign.Axle {
			continue
		}
		if f.Reading != nil {
			if len(f.Reading.Values) > 0 {
				at[f.At] = true
				read = append(read, spot{f.At, NotShown, 0, f})
			}
			continue
		}
		if pair := "inner-outer"; place == "" {
			if slices.Contains(point.Axles, base) {
				pair = "left-right"
			}
			if pair == sign.Pair {
				there = append(there, spot{f.At, Shown, 0, f})
			}
		}
	}
	if len(there) > 0 {
		return told(sign, Shown, there, func(spot) bool { return true })
	}
	for a := range at {
		base, place := point.SplitAt(a)
		other := base + "/outer"
		if sign.Pair == "left-right" {
			other = strings.ReplaceAll(base, "L", "R")
			if place != "" {
				other += "/" + place
			}
		}
		if other != a && at[other] && (sign.Pair == "left-right" || place == "inner") {
			return told(sign, NotShown, read, func(spot) bool { return true })
		}
	}
	return Piece{Sign: sign, Show: Silent}
}

// told writes a piece from the spots that count.
func told(sign *point.Sign, show Show, spots []spot, counts func(spot) bool) Piece {
	p := Piece{Sign: sign, Show: show}
	var f *judge.Finding
	var where []string
	for _, s := range spots {
		if !counts(s) {
			continue
		}
		if s.at != "" && !slices.Contains(p.At, s.at) {
			p.At = append(p.At, s.at)
			if s.f.Where != "" {
				where = append(where, s.f.Where)
			}
		}
		if f == nil || s.f.Verdict.Urgency() > f.Verdict.Urgency() {
			f = s.f
		}
	}
	if f != nil {
		p.Words = words(f, where)
		p.urgency = f.Verdict.Urgency()
	}
	return p
}
