package outlook_test

import (
	"strings"
	"testing"
	"time"

	"witnessmark/core/outlook"
	"witnessmark/core/point"
	"witnessmark/core/round"
)

// story writes a car's history in short.
type story struct {
	t   *testing.T
	cat *point.Catalogue
	h   outlook.History
}

func newStory(t *testing.T, today string) *story {
	s := &story{t: t, cat: loaded(t)}
	s.h.Today = date(t, today)
	s.h.Car.FirstRegistered = date(t, "2016-03-01")
	s.h.Car.Facets = round.Resolve(s.cat, map[string]string{"fuel": "petrol"}, "eu", s.h.Car.FirstRegistered)
	return s
}

func (s *story) km(on string, km float64) {
	s.h.Odometer = append(s.h.Odometer, outlook.Distance{On: date(s.t, on), Km: km})
}

func (s *story) renewed(item, at, on string, km float64) {
	s.h.Car.Renewed = append(s.h.Car.Renewed, round.Renewal{Item: item, At: at, Date: date(s.t, on), OdometerKm: km})
}

func (s *story) state(point, state, on string, km float64) {
	s.h.Looks = append(s.h.Looks, outlook.Look{On: date(s.t, on), Km: km, Reading: round.Reading{Point: point, State: state}})
}

func (s *story) mm(point, at string, mm float64, on string, km float64) {
	s.h.Looks = append(s.h.Looks, outlook.Look{On: date(s.t, on), Km: km, Reading: round.Reading{Point: point, At: at, Values: map[string]float64{"mm": mm}}})
}

func (s *story) item(o *outlook.Outlook, law, at string) *outlook.Item {
	s.t.Helper()
	for i := range o.Items {
		if o.Items[i].Law.ID == law && o.Items[i].At == at {
			return &o.Items[i]
		}
	}
	s.t.Fatalf("no item %s %s", law, at)
	return nil
}

func TestOilOfTwoFillings(t *testing.T) {
	s := newStory(t, "2026-03-01")
	s.km("2024-01-10", 90000)
	s.km("2026-03-01", 122000)
	s.renewed("engine-oil", "", "2024-01-10", 90000)
	s.state("engine-oil-look", "brown-translucent", "2024-07-01", 98000)
	s.state("engine-oil-look", "dark-opaque", "2024-12-01", 103900)
	s.renewed("engine-oil", "", "2024-12-05", 104000)
	s.state("engine-oil-look", "brown-translucent", "2025-06-20", 112000)
	s.renewed("engine-oil", "", "2025-12-20", 119000)
	o := outlook.Of(s.cat, s.h, nil)
	it := s.item(&o, "engine-oil-look", "")
	if it.Unsure != "" || it.Past || it.Since.From != "renewed" || !it.Since.Sure || it.Since.Km != 119000 {
		t.Fatalf("%q, %+v", it.Unsure, it.Since)
	}
	if len(it.Earlier) != 3 || len(it.Shown) != 0 {
		t.Errorf("%d looks of earlier fillings and %d of this one; want 3 and 0", len(it.Earlier), len(it.Shown))
	}
	if it.Advice == nil || it.Advice.Usual != 15000 || it.Advice.Interval < 4000 || it.Advice.Interval > 11000 {
		t.Fatalf("advice %+v", it.Advice)
	}
	for _, part := range []string{"change at ", "instead of 15", "turned once by 13", "clear once at 8"} {
		if !strings.Contains(it.Advice.Reason, part) {
			t.Errorf("%q does not say %q", it.Advice.Reason, part)
		}
	}
	if want := 119000 + it.Advice.Interval; it.Advice.DueKm != want || !it.Advice.DueOn.After(o.Today) {
		t.Errorf("due at %g km on %v; want %g km", it.Advice.DueKm, it.Advice.DueOn, want)
	}
	if r := it.Reach.Exposure; !(r.Low < r.Mid && r.Mid < r.High) || r.Mid < 8000 || r.Mid > 20000 {
		t.Errorf("turns at %+v", r)
	}
}

func TestTurnedAsksForALookNow(t *testing.T) {
	s := newStory(t, "2026-03-01")
	s.km("2026-02-20", 122000)
	s.renewed("brake-fluid", "", "2022-05-01", 80000)
	s.state("brake-fluid-look", "darkened", "2026-02-20", 122000)
	o := outlook.Of(s.cat, s.h, nil)
	it := s.item(&o, "brake-fluid-look", "")
	if !it.Past || &o.Items[0] != it {
		t.Errorf("past %v; want true, and first in the list", it.Past)
	}
	if !o.Next.Now || o.Next.Item != 0 || !o.Next.On.Equal(o.Today) {
		t.Errorf("next look %+v; want now", o.Next)
	}
}

func TestPadsFoundRenewed(t *testing.T) {
	s := newStory(t, "2026-03-01")
	s.km("2023-01-10", 70000)
	s.km("2026-03-01", 130000)
	for _, r := range []struct {
		mm, km float64
		on     string
	}{{7, 70000, "2023-01-10"}, {5.5, 78000, "2023-06-10"}, {11, 95000, "2024-05-01"}, {9, 106000, "2024-12-01"}, {6, 122000, "2025-10-01"}} {
		s.mm("pad-thickness", "FL/outer", r.mm, r.on, r.km)
	}
	o := outlook.Of(s.cat, s.h, nil)
	it := s.item(&o, "pad-thickness/F", "FL/outer")
	if it.Since.From != "found renewed" || it.Since.Sure || len(it.Shown) != 3 || it.Limit == nil || *it.Limit != 3 {
		t.Fatalf("since %+v, %d readings, limit %v", it.Since, len(it.Shown), it.Limit)
	}
	if r := it.Reach.Km; r.Mid < 132000 || r.Mid > 145000 {
		t.Errorf("reaches the limit at %+v; 0.185 mm per 1000 km from 6 mm at 122 000 gives 138 000", r)
	}
	asked := false
	for _, q := range o.Questions {
		asked = asked || q.Point == "pad-thickness" && strings.Contains(q.Text, "from 5.5 to 11. When was it renewed?")
	}
	if !asked {
		t.Errorf("nobody is asked when the pads were renewed: %+v", o.Questions)
	}
}

func TestWhatCannotBeSaidSaysWhy(t *testing.T) {
	s := newStory(t, "2026-03-01")
	s.h.Looks = append(s.h.Looks, outlook.Look{On: date(t, "2026-01-10"), Km: -1, Reading: round.Reading{Point: "engine-oil-look", State: "honey-clear"}})
	o := outlook.Of(s.cat, s.h, nil)
	if it := s.item(&o, "engine-oil-look", ""); !strings.Contains(it.Unsure, "no odometer reading") {
		t.Errorf("oil: %q", it.Unsure)
	}
	if it := s.item(&o, "coolant-look", ""); !strings.Contains(it.Unsure, "last renewed is not known") {
		t.Errorf("coolant: %q", it.Unsure)
	}
	if o.Known || o.Next.Now {
		t.Errorf("known %v, next %+v", o.Known, o.Next)
	}
	s.km("2026-01-10", 120000)
	s.mm("disc-thickness", "FL", 23.4, "2026-01-10", 120000)
	o = outlook.Of(s.cat, s.h, nil)
	if it := s.item(&o, "disc-thickness/F", "FL"); !strings.Contains(it.Unsure, "is entered for this car") {
		t.Errorf("disc: %q", it.Unsure)
	}
}

// TestShortRisksDoNotDrownTheCar: an item whose risk is passed some days after any look does not call the car in every few days.
func TestShortRisksDoNotDrownTheCar(t *testing.T) {
	s := newStory(t, "2026-03-01")
	s.km("2025-03-01", 110000)
	s.km("2026-02-25", 122000)
	s.state("wheel-bearing", s.cat.Point("wheel-bearing").States[0].ID, "2026-02-25", 122000)
	s.renewed("wiper-blades", "", "2024-09-01", 100000)
	s.state("wipers", "clean-wipe", "2026-02-25", 122000)
	o := outlook.Of(s.cat, s.h, nil)
	for i := range o.Items {
		it := &o.Items[i]
		if it.Unsure == "" && it.Look.Short && o.Next.Item == i && it.Advice == nil {
			t.Errorf("%s calls the car in on %v although it can't be held by looks", it.Law.ID, o.Next.On)
		}
	}
	if o.Next.Item >= 0 && !o.Next.Now && o.Next.On.Sub(o.Today) < 24*time.Hour {
		t.Errorf("next look %+v", o.Next)
	}
}

func TestLearnerKeepsMemoryBounded(t *testing.T) {
	s := newStory(t, "2026-03-01")
	s.km("2025-03-01", 110000)
	s.renewed("cabin-filter", "", "2025-03-01", 110000)
	s.state("cabin-filter", "loaded", "2026-02-01", 121000)
	e := outlook.Gather(s.cat, s.h)
	var l outlook.Learner
	for range 3000 {
		l.Add(e)
	}
	done := 0
	c := l.Fit(s.cat, func(d, total int) { done = d })
	f := c[outlook.Key("cabin-filter", "", "")]
	if f.Life == nil || f.Cars > 240 || f.Cars < 100 || done == 0 || !strings.Contains(f.Note, "One car in") {
		t.Errorf("%+v after %d", f, done)
	}
}
