package outlook

import (
	"fmt"
	"maps"
	"slices"
	"strconv"

	"witnessmark/core/life"
	"witnessmark/core/point"
	"witnessmark/core/wear"
)

// Bounds of learning (the project's own figures).
const (
	// mostCars and mostWorn are how many cars of a class are kept, of conditions and of measured parts. More say the same again.
	mostCars = 240
	mostWorn = 120
	// decided is from how many cars on a class of worn parts goes without alternative figures; a family leans on its class anyway.
	decided = 20
	// leastFamily is how many cars a family needs for a fit of its own.
	leastFamily = 8
)

// Learner collects the evidence of many cars within bounded memory. Its zero value is ready. Cars must be added in an order of their
// own (by id), so that the same workshop teaches the same.
type Learner struct {
	pools map[string]*pool
}

// pool is a class's evidence: every so manyth car.
type pool struct {
	law, class, family string
	stride, seen       int
	cars               []LawEvidence
}

// Add takes a car's evidence in.
func (l *Learner) Add(e Evidence) {
	if l.pools == nil {
		l.pools = map[string]*pool{}
	}
	for _, le := range e.Laws {
		l.pool(le.Law, le.Class, "").add(le)
		for _, f := range le.Families {
			l.pool(le.Law, le.Class, f).add(le)
		}
	}
}

func (l *Learner) pool(law, class, family string) *pool {
	key := Key(law, class, family)
	p := l.pools[key]
	if p == nil {
		p = &pool{law: law, class: class, family: family, stride: 1}
		l.pools[key] = p
	}
	return p
}

// add keeps a car when its turn comes; a full pool drops every second car and takes half as many from then on.
func (p *pool) add(e LawEvidence) {
	if p.seen%p.stride == 0 {
		most := mostCars
		if e.Wear != nil {
			most = mostWorn
		}
		if len(p.cars) >= most {
			half := len(p.cars) / 2
			for i := range half {
				p.cars[i] = p.cars[2*i]
			}
			clear(p.cars[half:])
			p.cars = p.cars[:half]
			p.stride *= 2
		}
		if p.seen%p.stride == 0 {
			p.cars = append(p.cars, e)
		}
	}
	p.seen++
}

// Fit learns every class from what was added: the classes from the catalogue's laws, then their families from the classes.
// progress, which may be nil, is told how many of how many fits are done.
func (l *Learner) Fit(cat *point.Catalogue, progress func(done, total int)) Classes {
	laws := map[string]*point.Law{}
	for _, law := range cat.Laws {
		laws[law.ID] = law
	}
	out := Classes{}
	keys := l.order()
	for i, key := range keys {
		p := l.pools[key]
		if law := laws[p.law]; law != nil && (p.family == "" || len(p.cars) >= leastFamily) {
			base := out[Key(p.law, p.class, "")]
			out[key] = p.fit(law, &base)
		}
		if progress != nil {
			progress(i+1, len(keys))
		}
	}
	return out
}

// order lists the pools' keys, classes before families.
func (l *Learner) order() []string {
	keys := slices.Sorted(maps.Keys(l.pools))
	slices.SortStableFunc(keys, func(a, b string) int {
		return boolInt(l.pools[a].family != "") - boolInt(l.pools[b].family != "")
	})
	return keys
}

func boolInt(b bool) int {
	if b {
		return 1
	}
	return 0
}

// fit learns one class; base is the class behind a family.
func (p *pool) fit(law *point.Law, base *Fitted) Fitted {
	f := Fitted{Key: Key(p.law, p.class, p.family), Law: p.law, Class: p.class, Family: p.family, Cars: len(p.cars)}
	for i := range p.cars {
		f.Looks += p.cars[i].Looks()
	}
	if law.Life != nil {
		p.fitLife(law, base, &f)
	} else {
		p.fitWear(law, base, &f)
	}
	if p.stride > 1 {
		f.Note += fmt.Sprintf(" One car in %d of %d was used.", p.stride, p.seen)
	}
	return f
}

func (p *pool) fitLife(law *point.Law, base *Fitted, f *Fitted) {
	prior := lifePrior(law.Life, p.class)
	if base.Life != nil {
		prior = *base.Life
	}
	cars := make([][]life.Observation, len(p.cars))
	for i := range p.cars {
		cars[i] = p.cars[i].Life
	}
	got, report, err := life.FitClass(modelOf(law.Life), cars, prior, weightOf(law))
	if err != nil {
		f.Life, f.Note = &prior, "Kept as it was: "+err.Error()+"."
		return
	}
	f.Life, f.Note = &got, report.Reason+"."
}

func (p *pool) fitWear(law *point.Law, base *Fitted, f *Fitted) {
	var lives []wear.Life
	step := law.Wear.Step
	for i := range p.cars {
		for _, l := range p.cars[i].Wear {
			l.Unit = strconv.Itoa(i) + "/" + l.Unit
			step = max(step, l.Step)
			lives = append(lives, l)
		}
	}
	prior := wearPrior(law, step)
	if base.Wear != nil {
		prior = narrowed(prior, *base.Wear, weightOf(law))
	}
	got, report, err := wear.FitClass(lives, prior)
	if err != nil {
		f.Note = "Kept as it was: " + err.Error() + "."
		if got = prior.Class(); base.Wear != nil {
			got = *base.Wear
		}
	} else {
		f.Note = report.Why + "."
	}
	if f.Cars >= decided || p.family != "" {
		got.Members = nil
	}
	f.Wear = &got
}

// narrowed is a prior for a family: the class's figures, as sure as so many cars would make them.
func narrowed(p wear.Prior, c wear.Class, weight float64) wear.Prior {
	p.New.Mid, p.NewSD.Mid, p.LogRate.Mid, p.Bend.Mid = c.New, c.NewSD, c.LogRate, c.Curve.Bend
	p.UnitSD.Mid, p.SideSD.Mid, p.LifeSD.Mid, p.Gauge.Mid, p.Path.Mid = c.UnitSD, c.SideSD, c.LifeSD, c.Gauge, c.Path
	return p
}
