package simulate

import (
	"math"

	"witnessmark/core/point"
	"witnessmark/core/unit"
	"witnessmark/core/verdict"
	"witnessmark/shop"
)

// state reads a looked-at condition: the state that its life has reached, sometimes taken for its neighbour.
func (v *visit) state(p *point.Point, at string, r *shop.ReadingFact, s *sight) {
	c := v.c
	r.State = c.stateNow(v, p, at)
	if st := p.StateByID(r.State); st != nil {
		s.verdict = st.Verdict
	}
	s.state = r.State
	for _, val := range p.Values {
		if val.Optional && s.verdict != verdict.Sound && c.looks.chance(0.5) {
			r.Values = shown(p, map[string]float64{val.Name: c.looks.between(0.4, 1.1) * (1 + 2*float64(s.verdict.Place()-1))})
			break
		}
	}
}

func (c *car) stateNow(v *visit, p *point.Point, at string) string {
	switch p.ID {
	case "tyre-wear-indicator":
		return c.indicator(p, at, v.day)
	case "underbody-salt":
		if m := c.use.date(v.day).Month(); m <= 4 && c.looks.chance(0.5) {
			return p.States[1].ID
		}
		return p.States[0].ID
	}
	l := c.lives[place{p.ID, at}]
	if l == nil || len(l.stages) == 0 {
		return p.States[0].ID
	}
	_, i := l.stageAt(c.share(l, v.day))
	if i > 0 && c.looks.chance(l.law.Slip) {
		i--
	} else if i == 0 && len(l.stages) > 2 && ownLaw[p.ID] && c.share(l, v.day) > 0.3 && c.looks.chance(l.law.Slip) {
		i++
	}
	id := l.stages[i].state
	if p.StateByID(id) == nil {
		return p.States[min(i, len(p.States)-1)].ID
	}
	return id
}

// indicator looks at the bars in the tread, which stand at 1.6 mm.
func (c *car) indicator(p *point.Point, at string, day float64) string {
	least := 8.0
	for _, pl := range point.Places {
		if part, i := c.partOf("tyre-tread", at+"/"+pl); part != nil {
			least = math.Min(least, c.thickness(part, i, day))
		}
	}
	switch {
	case least > 2.7:
		return p.States[0].ID
	case least > 1.7 || len(p.States) < 3:
		return p.States[1].ID
	}
	return p.States[2].ID
}

// level reads a fluid between its marks: as a share where the band is easy to see, else as a word.
func (v *visit) level(p *point.Point, r *shop.ReadingFact, s *sight) {
	y := v.c.level(p, v.day) + v.c.looks.bell(0, 0.03)
	y = unit.Round(math.Max(-1, math.Min(1.1, y)), 0.05)
	st := p.States[0]
	for _, x := range p.States {
		if (x.From == nil || y >= *x.From) && (x.Below == nil || y < *x.Below) {
			st = x
			break
		}
	}
	s.state, s.verdict, s.value = st.ID, st.Verdict, y
	if v.c.looks.chance(0.4) {
		r.Values = map[string]float64{"fraction": y}
		return
	}
	r.State = st.ID
	if val := p.ValueByName("deficit_L"); val != nil && y < 0 {
		r.Values = shown(p, map[string]float64{"deficit_L": -y * 1.1})
	}
}

// code reads the date on a tyre's wall.
func (c *car) code(p *point.Point, at string) string {
	if code, ok := c.tyres.code[at]; ok && (p.Pattern == nil || p.Pattern.MatchString(code)) {
		return code
	}
	return "0101"
}

// roughly is the verdict of a number by the point's plain figures, enough to decide what is noted and photographed.
func roughly(p *point.Point, x float64) verdict.Verdict {
	worst := verdict.Sound
	for _, l := range p.Limits {
		if l.Number != nil && l.Of == "" && l.When.Zero() && l.Is.Broken(x, *l.Number*l.Times+l.Plus) {
			worst = worst.AtLeast(l.Verdict)
		}
	}
	return worst
}
