package outlook

import (
	"math"

	"witnessmark/core/point"
	"witnessmark/core/wear"
)

// quantities is what is known of one law's wear on this car. The places of an axle share a part of their rate.
type quantities struct {
	g     *group
	class wear.Class
	units map[string]*kin
}

// kin is an axle, or the whole car: its lives, and for each which track's and which cycle it is.
type kin struct {
	lives  []wear.Life
	tracks []*track
	cycle  []int
}

// unitOfTrack names the places that share a rate: one axle's.
func unitOfTrack(t *track) string {
	base, _ := point.SplitAt(t.at)
	return point.Axle(base)
}

func (g *group) quantities(class wear.Class, h *History) *quantities {
	q := &quantities{g: g, class: class, units: map[string]*kin{}}
	for _, t := range g.tracks {
		if relative(g.law.Wear) && !t.limit.known {
			continue
		}
		name := unitOfTrack(t)
		u := q.units[name]
		if u == nil {
			u = &kin{}
			q.units[name] = u
		}
		for i := range t.cycles {
			cy := &t.cycles[i]
			t.settleWear(cy, class, h)
			u.lives = append(u.lives, t.life(cy, name, h))
			u.tracks, u.cycle = append(u.tracks, t), append(u.cycle, i)
		}
	}
	return q
}

// relative reports whether a law's limit is the car's own figure (stamped on the disc). What is new differs from car to car then,
// what there is to lose hardly: the level is counted from the limit.
func relative(w *point.WearLaw) bool { return w.Limit == 0 }

// scaled is a value as core/wear takes it, falling towards its limit; unscaled turns it back.
func (t *track) scaled(v float64) float64 {
	if relative(t.law.Wear) {
		return t.falling(v) - t.falling(t.limit.value)
	}
	return t.falling(v)
}

func (t *track) unscaled(y float64) float64 {
	if relative(t.law.Wear) {
		y += t.falling(t.limit.value)
	}
	return t.falling(y)
}

// life hands a cycle to core/wear: what rises turned over; a part of known start with the figure of a new one where the car has
// its own; a part of unknown age from its first reading on, so that only its rate speaks.
func (t *track) life(cy *cycle, unitName string, h *History) wear.Life {
	l := wear.Life{Unit: unitName, Side: t.at, Step: t.step()}
	for _, s := range cy.sights {
		if !t.wornOut(s.value) {
			l.Readings = append(l.Readings, wear.Reading{X: s.x, Y: t.scaled(s.value)})
		}
	}
	fresh, ok := t.fresh(h)
	switch {
	case !cy.dated && len(cy.sights) > 0:
		l.NewKnown, l.New = true, t.scaled(cy.sights[0].value)
		l.NewSD = 3*span(t.law.Wear) + 10*t.law.Wear.Noise
	case ok:
		l.NewKnown, l.New, l.NewSD = true, t.scaled(fresh), math.Max(t.law.Wear.Noise, 1e-6)
	}
	return l
}

// wornOut reports whether a value lies so far past the limit that the part no longer wears as it did: a bald tyre, a lining on its
// rivets. Such readings say that the limit was passed and nothing of the rate.
func (t *track) wornOut(v float64) bool {
	w := t.law.Wear
	return w.Limit != 0 && t.gain(v, w.Limit) > 0.15*span(w)
}

// fresh is this car's own figure of a new part.
func (t *track) fresh(h *History) (float64, bool) {
	if t.law.Wear.NewSpec == "" {
		return 0, false
	}
	x, ok := h.Car.Specs[t.law.Wear.NewSpec].At(t.at)
	return x, ok && !math.IsNaN(x) && math.Abs(x) < 1e9
}

// settleWear decides whether a part without a written renewal is the car's first. The first reading has a density if it is (the
// class's wear over the whole distance) and another if it was renewed at some time: then it lies anywhere between new and the
// limit. What can't be told, and all that a class is learnt from, counts from the first reading: a few parts taken for older than they
// are would look like wear of another kind.
func (t *track) settleWear(cy *cycle, class wear.Class, h *History) {
	if cy.dated || len(cy.sights) == 0 || cy.from != registration {
		return
	}
	if class.Units > 0 && t.surelyFirst(cy, class, h) {
		cy.dated = true
		return
	}
	t.restart(cy)
}

// muchLikelier is how many times likelier the car's first part must be than a later one.
const muchLikelier = 20

func (t *track) surelyFirst(cy *cycle, class wear.Class, h *History) bool {
	s := cy.sights[0]
	fresh, newSD := class.New, class.NewSD
	if x, ok := t.fresh(h); ok {
		fresh, newSD = t.scaled(x), t.law.Wear.Noise
	}
	lose := span(t.law.Wear)
	if !(s.x > 0) || newSD > 0.3*lose {
		return false
	}
	step := t.step()
	noise := math.Sqrt(newSD*newSD + class.Gauge*class.Gauge + step*step/12)
	lost := math.Max(fresh-t.scaled(s.value), noise)
	rate := math.Sqrt(class.UnitSD*class.UnitSD + class.SideSD*class.SideSD + class.LifeSD*class.LifeSD + class.Doubt.LogRate*class.Doubt.LogRate)
	wide := math.Sqrt(rate*rate + noise*noise/(lost*lost))
	z := (math.Log(lost/s.x) - class.LogRate) / wide
	first := math.Exp(-z*z/2) / (math.Sqrt(2*math.Pi) * wide * lost)
	gone := (math.Log(lose/s.x) - class.LogRate) / math.Max(rate, 0.05)
	other := (0.5*math.Erfc(gone/math.Sqrt2) + 0.02) / lose
	return first > muchLikelier*other
}

// mostKin is how many other parts of the axle a forecast takes in; more add next to nothing.
const mostKin = 8

// forecast looks ahead for the running part of a track, given that it was above the limit when last measured.
func (q *quantities) forecast(t *track) (wear.Forecast, error) {
	u := q.units[unitOfTrack(t)]
	running, own := -1, []int{}
	var others []int
	for i := range u.lives {
		switch last := u.cycle[i] == len(u.tracks[i].cycles)-1; {
		case u.tracks[i] == t && last:
			running = i
		case len(u.lives[i].Readings) < 2:
		case u.tracks[i] == t:
			own = append(own, i)
		case last || len(u.lives[i].Readings) >= 3:
			others = append(others, i)
		}
	}
	chosen := append(tailOf(own, 3), tailOf(others, mostKin-min(len(own), 3))...)
	lives := make([]wear.Life, 0, len(chosen)+1)
	for _, i := range chosen {
		lives = append(lives, u.lives[i])
	}
	lives = append(lives, u.lives[running])
	now := 0.0
	if rs := u.lives[running].Readings; len(rs) > 0 {
		now = rs[len(rs)-1].X
	}
	return q.class.Forecast(lives, len(lives)-1, now, t.scaled(t.limit.value))
}

// tailOf keeps the last n.
func tailOf[T any](list []T, n int) []T {
	if len(list) > n {
		list = list[len(list)-n:]
	}
	return list
}

// runsOut is a wear forecast in the figures of the readings.
type runsOut struct {
	wear.Forecast
	t *track
}

// expect is the range of a reading at an exposure.
func (r *runsOut) expect(x, low, high float64) Range {
	return r.back(r.Forecast.Expect(x, low), r.Forecast.Expect(x, 0.5), r.Forecast.Expect(x, high))
}

// level is the 80 % range of the true figure at an exposure.
func (r *runsOut) level(x float64) Range {
	return r.back(r.Forecast.Level(x, 0.1), r.Forecast.Level(x, 0.5), r.Forecast.Level(x, 0.9))
}

func (r *runsOut) back(low, mid, high float64) Range {
	low, mid, high = r.t.unscaled(low), r.t.unscaled(mid), r.t.unscaled(high)
	if r.t.law.Wear.Rises {
		low, high = high, low
	}
	return Range{sane(low), sane(mid), sane(high)}
}

// sane keeps what is shown a number.
func sane(x float64) float64 {
	switch {
	case math.IsNaN(x):
		return 0
	case x > 1e12:
		return 1e12
	case x < -1e12:
		return -1e12
	}
	return x
}
