package outlook_test

import (
	"math"
	"reflect"
	"testing"
	"time"

	"pgregory.net/rapid"

	"witnessmark/core/facet"
	"witnessmark/core/outlook"
	"witnessmark/core/point"
	"witnessmark/core/round"
)

// notFinite names the first number in v that is none.
func notFinite(v reflect.Value, path string) string {
	switch v.Kind() {
	case reflect.Float64:
		if x := v.Float(); math.IsNaN(x) || math.IsInf(x, 0) {
			return path
		}
	case reflect.Pointer:
		if _, law := v.Interface().(*point.Law); !law && !v.IsNil() && v.Type() != reflect.TypeFor[*point.Point]() {
			return notFinite(v.Elem(), path)
		}
	case reflect.Struct:
		if v.Type() == reflect.TypeFor[time.Time]() {
			return ""
		}
		for i := range v.NumField() {
			if bad := notFinite(v.Field(i), path+"."+v.Type().Field(i).Name); bad != "" {
				return bad
			}
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			if bad := notFinite(v.Index(i), path); bad != "" {
				return bad
			}
		}
	}
	return ""
}

// anyHistory draws a car that was looked at in odd ways: days in any order, distances that run backwards or are missing, values far
// from any law, renewals after the last look.
func anyHistory(rt *rapid.T, cat *point.Catalogue) outlook.History {
	today := time.Date(2026, 11, 25, 0, 0, 0, 0, time.UTC)
	on := func(label string) time.Time { return today.AddDate(0, 0, -rapid.IntRange(0, 9000).Draw(rt, label)) }
	km := rapid.OneOf(rapid.Just(-1.0), rapid.Float64Range(0, 400000), rapid.Just(0.0))
	h := outlook.History{Today: today, Car: round.Car{OdometerKm: km.Draw(rt, "now"), Facets: facet.Set{}}}
	if rapid.Bool().Draw(rt, "registered") {
		h.Car.FirstRegistered = on("first registered")
	}
	h.Car.Facets = round.Resolve(cat, map[string]string{"fuel": rapid.SampledFrom([]string{"petrol", "diesel"}).Draw(rt, "fuel")}, "", h.Car.FirstRegistered)
	for range rapid.IntRange(0, 6).Draw(rt, "distances") {
		h.Odometer = append(h.Odometer, outlook.Distance{On: on("read on"), Km: math.Max(0, km.Draw(rt, "read"))})
	}
	for range rapid.IntRange(0, 30).Draw(rt, "looks") {
		law := rapid.SampledFrom(cat.Laws).Draw(rt, "law")
		p := cat.Point(law.Point)
		r := round.Reading{Point: p.ID}
		if slots := p.Positions.Slots(h.Car.Facets); len(slots) > 0 {
			r.At = rapid.SampledFrom(slots).Draw(rt, "at")
		}
		if len(p.States) > 0 {
			r.State = rapid.SampledFrom(p.States).Draw(rt, "state").ID
		}
		for _, v := range p.Values {
			if r.Values == nil {
				r.Values = map[string]float64{}
			}
			r.Values[v.Name] = rapid.Float64Range(v.Min, v.Max).Draw(rt, v.Name)
		}
		h.Looks = append(h.Looks, outlook.Look{On: on("looked on"), Km: km.Draw(rt, "looked at"), Reading: r})
	}
	for range rapid.IntRange(0, 6).Draw(rt, "renewals") {
		item := rapid.SampledFrom(cat.Items()).Draw(rt, "item")
		h.Car.Renewed = append(h.Car.Renewed, round.Renewal{Item: item, OdometerKm: km.Draw(rt, "renewed at"), Date: on("renewed on"),
			At: rapid.SampledFrom([]string{"", "F", "R", "FL"}).Draw(rt, "renewed place")})
	}
	return h
}

// TestNoNumberThatIsNone: whatever was noted, every number is finite, the days are in order, and what can't be said says why.
func TestNoNumberThatIsNone(t *testing.T) {
	cat := loaded(t)
	rapid.Check(t, func(rt *rapid.T) {
		h := anyHistory(rt, cat)
		o := outlook.Of(cat, h, nil)
		if bad := notFinite(reflect.ValueOf(o), "Outlook"); bad != "" {
			rt.Fatalf("%s is no number", bad)
		}
		for i := range o.Items {
			it := &o.Items[i]
			r := &it.Reach
			if it.Unsure == "" && !it.Past && !r.OpenMid && (r.Mid.Before(r.Low) || !r.OpenHigh && r.High.Before(r.Mid)) {
				rt.Errorf("%s %s: reached %v, %v, %v", it.Law.ID, it.At, r.Low, r.Mid, r.High)
			}
			if it.Turned < 0 || it.Turned > 1 || r.Never < 0 || r.Never > 1 {
				rt.Errorf("%s %s: turned %g, never %g", it.Law.ID, it.At, it.Turned, r.Never)
			}
		}
		if n := o.Next; n.Item >= len(o.Items) || n.Item >= 0 && n.On.Before(h.Today) {
			rt.Errorf("next look %+v", n)
		}
		if again := outlook.Of(cat, h, nil); !reflect.DeepEqual(o, again) {
			rt.Error("the same history gives another outlook")
		}
	})
}

// TestCarWithoutDistance: a car whose odometer nobody has read has no day by distance; a calendar cap alone gives one.
func TestCarWithoutDistance(t *testing.T) {
	cat := loaded(t)
	today := time.Date(2026, 11, 25, 0, 0, 0, 0, time.UTC)
	for _, item := range cat.Items() {
		h := outlook.History{Today: today, Car: round.Car{OdometerKm: -1, Facets: round.Resolve(cat, map[string]string{"fuel": "petrol"}, "", time.Time{})}}
		h.Car.Renewed = []round.Renewal{{Item: item, OdometerKm: -1, Date: today}}
		o := outlook.Of(cat, h, nil)
		for i := range o.Items {
			it := &o.Items[i]
			if it.Law.Item != item || it.Advice == nil || it.Law.Unit != "km" {
				continue
			}
			if it.Advice.DueKm != 0 {
				t.Errorf("%s: due at %g km, of a car whose distance nobody knows", it.Law.ID, it.Advice.DueKm)
			}
			if capped := it.Law.Cap != nil && it.Law.Cap.Months > 0; capped == it.Advice.DueOn.IsZero() {
				t.Errorf("%s: due on %v; capped by the calendar: %v", it.Law.ID, it.Advice.DueOn, capped)
			}
		}
	}
}
