package paper

import (
	"bytes"
	"errors"
	"image"
	"image/color"
	"image/jpeg"
	"io"
	"strconv"
	"testing"

	"witnessmark/core/judge"
	"witnessmark/core/point"
	"witnessmark/core/verdict"
	"witnessmark/shop"
)

// sampleCar is an invented car.
func sampleCar() shop.CarVersion {
	return shop.CarVersion{
		ID: "v1", CarID: "c1", Plate: "XQ 417 KD", Description: "Estate 2.0 petrol, six-speed manual, 2009",
		Owner: shop.Owner{Name: "Ida Vermeulen-Oudekerk"}, FirstRegistered: "2009-04", Units: "metric",
	}
}

// sampleReport has every part that a report can have.
func sampleReport() *shop.Report {
	return &shop.Report{
		Workshop: "Quarry Lane Garage", Car: sampleCar(), ByWords: "Tomasz",
		Round:     shop.RoundFact{ID: "r1", CarID: "c1", Depth: "full", On: "2026-03-21", Km: 182400},
		Catalogue: "7d02c4e19a55", Places: 148, Looked: 141, NotApplicable: 23,
		Sections: sampleSections(),
		Sound:    sampleSound(),
		NextLook: "Look again by 2 October 2026 or 189 300 km, whichever comes first, because of: brake pads.",
		Ahead:    sampleAhead(),
		Unjudged: []shop.ReportLine{
			{What: "Brake disc thickness, front left and front right", Reason: "No minimum thickness is known for these discs; it is stamped on the edge and was not entered."},
			{What: "Coolant, colour and clarity", Reason: "The level is far below the mark. It can be judged after filling and a run."},
		},
		NotLooked: []shop.ReportLine{
			{What: "Wheel bearings, rear left and rear right; hand brake shoes", Reason: "rear wheels were not taken off"},
			{What: "Timing belt", Reason: "can't see it: the cover needs tools that were in use"},
			{What: "Road test", Reason: "not enough time"},
		},
	}
}

func sampleSections() []shop.ReportSection {
	return []shop.ReportSection{
		{
			Title: "Brake hose, front right", Verdict: verdict.Unsafe,
			Saw:   []string{"Front right: the hose bulges when the pedal is pressed and its outer layer is cracked through."},
			Means: "The hose holds the pressure that stops the car. This one has begun to give way.",
			Wait:  "It can burst at the next hard stop, and then one half of the brakes is gone.",
			ToDo:  []string{"Renew both front brake hoses", "Bleed the brakes"}, ByWhen: "before the car is driven again",
			Limit: "no swelling under pressure (Directive 2014/45/EU, Annex I, 1.1.12; from memory)", Category: "Directive 2014/45/EU 1.1.12: dangerous",
			Cautions: []string{"Do not drive the car. Have it fetched or mended where it stands."}, Recheck: "After the work: pedal firm, no trace of fluid at the unions.",
			Photos: []string{"hose", "hose2", "gone", "fourth"},
		},
		{
			Title: "Brake fluid", Verdict: verdict.Overdue, Saw: []string{"Dark and cloudy.", "Last renewed 31 months ago."},
			Means: "It has taken up water. On a long descent the pedal can go soft.", Wait: "It does not get better. We would not drive into the mountains with it.",
			ToDo: []string{"Renew the brake fluid"}, ByWhen: "within two weeks", Limit: "24 months (common practice)",
			Cautions: []string{"Brake fluid hurts eyes and skin and strips paint."}, Photos: []string{"fluid"},
		},
		{
			Title: "Coolant level", Verdict: verdict.Due, Saw: []string{"About a litre below the lower mark, engine cold."},
			Means: "Coolant was lost somewhere; it does not use itself up.", Wait: "The engine can run hot and its head gasket can fail.",
			ToDo: []string{"Press the cooling system and find the leak", "Fill with the right mixture"}, ByWhen: "with this visit", Recheck: "After a week, engine cold.",
		},
		{
			Title: "Front brake pads", Verdict: verdict.Watch,
			Saw:   []string{"Front left, outer: 4.5 mm of lining, limit 3 mm.", "Front left, inner: 4.0 mm of lining, limit 3 mm.", "Front right, outer: 5.0 mm.", "Front right, inner: 5.0 mm."},
			Means: "The part that presses on the brake disc is more than half used.", Wait: "They should last until next spring; after that steel rubs on steel and ruins the disc.",
			ByWhen: "look again in October", Limit: "3 mm (common practice)", Photos: []string{"tall", "wide"},
			Findings: []judge.Finding{{Point: &point.Point{ID: "pad-thickness"}, At: "FL/outer"}},
		},
		{
			Title: "Exhaust mounting, middle, with a name that is long enough to need a second line in the heading", Verdict: verdict.Watch,
			Saw: []string{"One of the two rubbers is cracked."}, Means: "The pipe hangs on one rubber.",
		},
	}
}

// sampleAhead is what is to be expected: of what a section speaks of, and of more.
func sampleAhead() []shop.AheadLine {
	return []shop.AheadLine{
		{Point: "pad-thickness", At: "FL/inner", Title: "Brake pads, front left", Text: "4.0 mm on 21 March 2026. Will probably reach 3.0 mm between August 2026 and March 2027; 8 of 10 such parts do.",
			Ten: 3, TenText: "Of 10 cars like yours, about 3 would reach the limit before our next look in September 2026."},
		{Point: "engine-oil-look", Title: "Engine oil", Text: "Best renewed every 11 500 km instead of 15 000 km, next by September 2026 or 189 600 km. 1 of 20 such cars needs it sooner.", Ten: 1,
			TenText: "Of 10 cars like yours, about 1 would reach the limit before our next look in September 2026.", Look: "Look again by 4 July 2026."},
		{Point: "tyre-tread", At: "RR/middle", Title: "Tyre tread, rear right, with a name that is long enough to need a second line", Text: "Not likely to reach 1.6 mm within 5 years; 9 of 10 such parts do not."},
	}
}

func sampleSound() []string {
	names := []string{"Engine oil, level and look", "Drive belt", "Battery", "Cabin filter", "Windscreen", "Wiper blades", "Horn", "Seat belts, all places, with their buckles and the load limiters' marks",
		"Dipped beam", "Main beam", "Brake lamps", "Number plate lamp", "Steering rack and boots", "Ball joints", "Anti-roll bar links", "Springs", "Dampers", "Fuel pipes", "Underbody"}
	for i := 1; i <= 40; i++ {
		names = append(names, "Place number "+strconv.Itoa(i))
	}
	return names
}

// samplePhotos opens drawn photos by name; "gone" does not exist and "bad" is no photo.
func samplePhotos(hash string) (io.ReadCloser, error) {
	sizes := map[string]image.Point{"hose": {1400, 1050}, "hose2": {800, 600}, "fluid": {800, 600}, "tall": {600, 1400}, "wide": {1100, 380}, "fourth": {10, 10}}
	if hash == "bad" {
		return io.NopCloser(bytes.NewReader([]byte("\xff\xd8\xff rubbish"))), nil
	}
	size, ok := sizes[hash]
	if !ok {
		return nil, errors.New("no such photo")
	}
	img := image.NewRGBA(image.Rect(0, 0, size.X, size.Y))
	for y := range size.Y {
		for x := range size.X {
			img.SetRGBA(x, y, color.RGBA{uint8(90 + 100*x/size.X), uint8(90 + 80*y/size.Y), uint8(70 + (x/40+y/40)%2*60), 255})
		}
	}
	var b bytes.Buffer
	err := jpeg.Encode(&b, img, nil)
	return io.NopCloser(&b), err
}

func reportPDF(t testing.TB, r *shop.Report) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := Report(&b, r, samplePhotos); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}
