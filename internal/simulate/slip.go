package simulate

import (
	"maps"

	"witnessmark/core/point"
	"witnessmark/core/verdict"
	"witnessmark/shop"
)

// slip sometimes enters something else first, so that the right reading that follows is a correction; more seldom the
// wrong entry is taken back before.
func (v *visit) slip(p *point.Point, right shop.ReadingFact) {
	d := v.c.looks
	if !d.chance(0.006) {
		return
	}
	wrong := right
	wrong.Note = ""
	switch {
	case wrong.State != "":
		wrong.State = p.States[d.IntN(len(p.States))].ID
	case wrong.Code != "":
		wrong.Code = wrong.Code[:2] + "99"
		if p.Pattern != nil && !p.Pattern.MatchString(wrong.Code) {
			return
		}
	case len(p.Values) > 0:
		name := p.Values[0].Name
		wrong.Values = maps.Clone(right.Values)
		x := right.Values[name] * 10
		if x > p.Values[0].Max || x <= 0 {
			x = right.Values[name] + 2*p.Values[0].Step
		}
		if x > p.Values[0].Max || x < p.Values[0].Min {
			return
		}
		wrong.Values[name] = x
	default:
		return
	}
	v.put(wrong)
	v.clock += int64(d.between(4000, 30000))
	if d.chance(0.2) {
		v.put(shop.ReadingFact{RoundID: right.RoundID, CarID: right.CarID, Point: right.Point, At: right.At, By: right.By, Withdrawn: true})
		v.clock += 5000
	}
}

// notes are remarks by group of points, as they are typed with gloves on.
var notes = map[string][]string{
	"fluids":       {"owner told", "drop kept on paper", "same smell as last time", "bottle left in the boot"},
	"filters":      {"leaves in the box", "hairs of an animal"},
	"leaks":        {"wiped clean, look again next time", "worse than last time", "older than it looks"},
	"brakes":       {"squeals when reversing, owner says", "lip on the edge", "bolts greased"},
	"wheels-tyres": {"kerb marks", "owner wants to wait for the summer sale", "stone in the groove, taken out"},
	"suspension":   {"knocks over the kerb", "lever used", "compare with the other side"},
	"lamps":        {"contact cleaned, came back", "owner will bring a bulb"},
	"electrics":    {"stood for two weeks", "charger lent"},
	"body":         {"wax here before winter", "photo on the owner's phone"},
	"engine":       {"only when cold", "owner hears it too"},
}

// note adds a remark now and then, more often to what is not sound.
func (v *visit) note(p *point.Point, f verdict.Verdict) string {
	chance := 0.002
	if f.Worse(verdict.Sound) {
		chance = 0.22
	}
	list := notes[p.Group]
	if len(list) == 0 || !v.c.looks.chance(chance) {
		return ""
	}
	return pick(v.c.looks, list)
}
