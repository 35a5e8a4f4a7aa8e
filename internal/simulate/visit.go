package simulate

import (
	"math"

	"witnessmark/core/point"
	"witnessmark/core/verdict"
	"witnessmark/shop"
)

// visit is one round being taken.
type visit struct {
	c       *car
	day     float64
	by      string
	depth   point.Depth
	id      string
	ambient float64
	hot     bool
	clock   int64 // ms, of the capturing device
	lag     int64 // ms that the signal was away
	whole   bool  // with every place and with pictures
	trouble trouble
	seen    []sight
	pics    int
	shot    map[string]bool
}

// sight is what was read at a place, for the decision what to do.
type sight struct {
	point   *point.Point
	at      string
	verdict verdict.Verdict
	state   string
	value   float64
}

// visit takes round i of n of a car: starts it, reads every place, ends it, and does the work that follows.
func (c *car) visit(a *appointment, i, n int) {
	v := &visit{c: c, day: a.day, by: a.by, depth: a.depth, ambient: c.weather(a.day), hot: a.open == 0 && c.looks.chance(0.04)}
	v.shot = map[string]bool{}
	v.whole = n-i <= max(2, c.w.o.WholeRounds)
	v.clock = c.ms(a.day, 7.5+4*c.looks.Float64())
	if a.open > 0 {
		v.clock = c.ms(a.day, 6.2)
	}
	if c.looks.chance(0.15) {
		v.lag = int64(c.looks.between(60e3, 900e3))
	}
	v.trouble = c.drawTrouble(a)
	v.start()
	list := v.list(i, n)
	if a.open > 0 {
		list = list[:int(float64(len(list))*a.open)]
	}
	for _, s := range list {
		v.look(s.step.Point, s.at)
	}
	c.last = a.day
	if a.open > 0 {
		return
	}
	v.end()
	v.work()
}

// weather is the temperature in the yard: the season and the day.
func (c *car) weather(day float64) float64 {
	doy := float64(c.use.date(day).YearDay())
	return 10.5 - 9*math.Cos(2*math.Pi*(doy-20)/365) + c.looks.bell(0, 3)
}

func (v *visit) start() {
	c := v.c
	v.id = c.ids.id(v.clock)
	f := shop.RoundFact{ID: v.id, CarID: c.version.CarID, Depth: string(v.depth), On: c.on(v.day), Km: c.km(v.day), EngineHot: v.hot, By: v.by, ReceivedAt: v.clock + 900}
	if v.depth != point.Driveway && c.looks.chance(0.92) || v.c.today == v.day {
		t := math.Round(v.ambient)
		f.AmbientC = &t
	}
	c.w.put(shop.Fact{Round: &f})
}

func (v *visit) end() {
	v.clock += 90e3
	at := v.clock + v.lag + 2000
	v.c.w.put(shop.Fact{RoundEnd: &shop.RoundEnd{ID: v.c.ids.id(at), RoundID: v.id, Catalogue: v.c.w.cat.Version, By: v.by, ReceivedAt: at}})
}

// look makes one reading and hands it on, perhaps after a slip.
func (v *visit) look(p *point.Point, at string) {
	c := v.c
	v.clock += int64(c.looks.between(2500, 14000))
	r := shop.ReadingFact{RoundID: v.id, CarID: c.version.CarID, Point: p.ID, At: at, By: v.by}
	why, once := v.skips(p, at)
	if why != "" {
		r.Skipped = why
		if once {
			r.At = ""
		}
		if !v.trouble.said[place{p.ID, r.At}] {
			v.trouble.said[place{p.ID, r.At}] = true
			v.put(r)
		}
		return
	}
	s := sight{point: p, at: at, verdict: verdict.Sound}
	switch p.Kind {
	case point.State:
		v.state(p, at, &r, &s)
	case point.Level:
		v.level(p, &r, &s)
	case point.Measure:
		r.Values = shown(p, v.measured(p, at))
		s.value = r.Values[p.Values[0].Name]
		s.verdict = roughly(p, s.value)
	case point.Code:
		r.Code = c.code(p, at)
	}
	r.Note = v.note(p, s.verdict)
	v.slip(p, r)
	v.put(r)
	v.picture(p, at, s)
	v.seen = append(v.seen, s)
}

// put gives a reading its times and id.
func (v *visit) put(r shop.ReadingFact) {
	r.TakenAt = v.clock
	r.ReceivedAt = v.clock + v.lag + 700 + int64(v.c.looks.IntN(2500))
	r.ID = v.c.ids.id(r.TakenAt)
	v.c.w.put(shop.Fact{Reading: &r})
}
