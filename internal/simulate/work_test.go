package simulate

import (
	"strings"
	"testing"

	"witnessmark/core/point"
)

// TestBookedRenewalsHappened compares what the facts say was fitted with what the truth says ended.
func TestBookedRenewalsHappened(t *testing.T) {
	cat := loaded(t)
	seq, truth := Fleet(cat, Options{Seed: 9, Cars: 25, Today: lastDay, ReadingsPerRound: 80})
	booked := map[string]int{}
	for f := range seq {
		if r := f.Renewal; r != nil && !strings.Contains(r.Note, "service book") {
			booked[r.CarID+"|"+r.Item+"|"+r.At]++
		}
	}
	ended := 0
	for _, id := range []string{"pad-thickness", "tyre-tread"} {
		item := firstItem(cat, cat.Point(id))
		for _, car := range truth.Cars {
			for _, axle := range point.Axles {
				at := map[string]string{"pad-thickness": axle + "L/inner", "tyre-tread": axle + "L/middle"}[id]
				n := 0
				for _, w := range car.Wear {
					if w.Point == id && w.At == at && w.EndedKm > 0 {
						n++
					}
				}
				ended += n
				if got := booked[car.CarID+"|"+item+"|"+axle]; got != n {
					t.Errorf("%s %s of %s: %d booked, %d happened", item, axle, car.Plate, got, n)
				}
			}
		}
	}
	if ended < 30 {
		t.Errorf("only %d renewals", ended)
	}
}

func TestCarsDiffer(t *testing.T) {
	cat := loaded(t)
	seq, _ := Fleet(cat, Options{Seed: 1, Cars: 1500, Years: 1, Today: lastDay, ReadingsPerRound: 1, NoTruth: true})
	plates, vins, us := map[string]bool{}, map[string]bool{}, 0
	cars := map[string]bool{}
	for f := range seq {
		if f.Car == nil || cars[f.Car.CarID] {
			continue
		}
		cars[f.Car.CarID] = true
		if plates[f.Car.Plate] || vins[f.Car.VIN] {
			t.Errorf("plate %s or VIN %s twice", f.Car.Plate, f.Car.VIN)
		}
		plates[f.Car.Plate], vins[f.Car.VIN] = true, true
		if f.Car.Units == "us" {
			us++
		}
		if f.Car.Owner.Email != "" && !strings.HasSuffix(f.Car.Owner.Email, "@example.org") {
			t.Errorf("e-mail %s", f.Car.Owner.Email)
		}
		if p := f.Car.Owner.Phone; p != "" && !strings.HasPrefix(p, "01632 960") && !strings.HasPrefix(p, "(000) 555-01") {
			t.Errorf("telephone %s", p)
		}
	}
	if len(cars) < 1400 || us < 50 {
		t.Errorf("%d cars with rounds, %d of them US", len(cars), us)
	}
}
