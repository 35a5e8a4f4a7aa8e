package simulate

import (
	"strings"

	"witnessmark/core/point"
)

// trouble is what goes wrong with a round itself, so that places are not looked at.
type trouble struct {
	// waiting is true when the customer waits and the road test is left out.
	waiting bool
	// seized is a corner whose wheel does not come off.
	seized string
	// tray hides some things below.
	tray bool
	// papers were left at home.
	papers bool
	// wet: raining, so the car's underside drips and outside looks suffer.
	said map[place]bool
	no   map[string]bool // seldom points left out this time
}

func (c *car) drawTrouble(a *appointment) trouble {
	t := trouble{said: map[place]bool{}, no: map[string]bool{}}
	t.waiting = c.looks.chance(0.06)
	if c.looks.chance(0.015) {
		t.seized = pick(c.looks, point.Corners)
	}
	t.tray = c.looks.chance(0.2)
	t.papers = c.looks.chance(0.05)
	for _, s := range c.walk(a.depth, false) {
		if k, ok := seldom[s.Point.ID]; ok && !c.looks.chance(k.share) {
			t.no[s.Point.ID] = true
		}
	}
	return t
}

// behindTray are the points that an undertray hides.
var behindTray = map[string]bool{"leak-sump": true, "leak-front-seal": true, "leak-gearbox": true, "gearbox-mounts": true, "wiring-below": true}

// skips gives the reason why a place is not looked at; once is true when it holds for all places of the point.
func (v *visit) skips(p *point.Point, at string) (why string, once bool) {
	t := &v.trouble
	base, _ := point.SplitAt(at)
	switch {
	case t.no[p.ID]:
		return seldom[p.ID].why, true
	case t.waiting && p.Station == "road":
		return "customer waiting", true
	case t.papers && p.Station == "paperwork" && p.ID != "registration-plates":
		return "papers not with the car", true
	case t.seized != "" && p.Station == "wheels-off" && base == t.seized:
		return "wheel bolt seized: wheel not taken off", false
	case t.tray && behindTray[p.ID]:
		return "can't see it: undertray", true
	case v.hot && (strings.HasPrefix(p.ID, "coolant-") || p.ID == "cold-start"):
		return "engine hot: left closed", true
	case v.c.looks.chance(0.0015):
		return pick(v.c.looks, casual), false
	}
	return "", false
}

// casual reasons turn up anywhere.
var casual = []string{"customer waiting", "too dirty to see", "luggage in the way", "torch flat: come back to it", "no access with the car as it is"}
