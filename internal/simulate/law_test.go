package simulate

import (
	"math"
	"testing"
	"time"

	"witnessmark/core/point"
	"witnessmark/shop"
)

// sample is what a reader of the facts sees of places.
type sample struct {
	km    map[string][]float64 // by car, point and place
	mm    map[string][]float64
	state map[string][]string
	day   map[string][]string
}

// observe collects readings as corrected, by car and place.
func observe(o Options, cat *point.Catalogue) (sample, *Truth) {
	s := sample{map[string][]float64{}, map[string][]float64{}, map[string][]string{}, map[string][]string{}}
	seq, truth := Fleet(cat, o)
	var now shop.RoundFact
	last := map[string]shop.ReadingFact{}
	flush := func() {
		for _, r := range last {
			key := r.CarID + "|" + r.Point + "|" + r.At
			if mm, ok := r.Values["mm"]; ok {
				s.km[key] = append(s.km[key], now.Km)
				s.mm[key] = append(s.mm[key], mm)
			}
			if r.State != "" {
				s.state[key] = append(s.state[key], r.State)
				s.day[key] = append(s.day[key], now.On)
			}
		}
		clear(last)
	}
	for f := range seq {
		switch {
		case f.Round != nil:
			flush()
			now = *f.Round
		case f.Reading != nil:
			last[f.Reading.Point+"|"+f.Reading.At] = *f.Reading
		}
	}
	flush()
	return s, truth
}

// slope is the least-squares slope of y over x.
func slope(x, y []float64) float64 {
	var mx, my, sxx, sxy float64
	for i := range x {
		mx += x[i] / float64(len(x))
		my += y[i] / float64(len(x))
	}
	for i := range x {
		sxx += (x[i] - mx) * (x[i] - mx)
		sxy += (x[i] - mx) * (y[i] - my)
	}
	return sxy / sxx
}

// meanSE gives mean and standard error.
func meanSE(list []float64) (mean, se, sd float64) {
	for _, x := range list {
		mean += x / float64(len(list))
	}
	for _, x := range list {
		sd += (x - mean) * (x - mean)
	}
	sd = math.Sqrt(sd / float64(len(list)-1))
	return mean, sd / math.Sqrt(float64(len(list))), sd
}

func TestReadingsWearAtTheTrueRate(t *testing.T) {
	cat := loaded(t)
	seen, truth := observe(Options{Seed: 11, Cars: 60, Today: lastDay, ReadingsPerRound: 90}, cat)
	errs := map[string][]float64{}
	for _, car := range truth.Cars {
		for _, w := range car.Wear {
			key := car.CarID + "|" + w.Point + "|" + w.At
			end := w.EndedKm
			if end == 0 {
				end = math.Inf(1)
			}
			var x, y []float64
			for i, km := range seen.km[key] {
				if km >= w.FittedKm && km < end {
					x, y = append(x, km), append(y, seen.mm[key][i])
				}
			}
			if n := len(x); n < 5 || math.Abs(w.Rate)*(x[n-1]-x[0])/1000 < 2 {
				continue
			}
			errs[w.Point] = append(errs[w.Point], -slope(x, y)*1000/w.Rate-1)
		}
	}
	for _, id := range []string{"pad-thickness", "tyre-tread"} {
		mean, se, _ := meanSE(errs[id])
		t.Logf("%s: %d cycles, slope differs from the true rate by %.2f %% (se %.2f %%)", id, len(errs[id]), 100*mean, 100*se)
		if len(errs[id]) < 100 || math.Abs(mean) > 0.03 {
			t.Errorf("%s: %d cycles, the mean slope is off by %.1f %%", id, len(errs[id]), 100*mean)
		}
	}
}

func TestRatesFollowTheirClass(t *testing.T) {
	cat := loaded(t)
	_, truth := observe(Options{Seed: 5, Cars: 200, Years: 1, Today: lastDay, ReadingsPerRound: 1}, cat)
	for _, k := range truth.Wear {
		var logs []float64
		for _, car := range truth.Cars {
			for _, w := range car.Wear {
				if p := cat.Point(w.Point); w.Point == k.Point && point.Axle(w.At) == k.Axle && p != nil {
					logs = append(logs, math.Log(math.Abs(w.Rate)))
					break
				}
			}
		}
		mean, se, sd := meanSE(logs)
		want := math.Sqrt(k.CarSD*k.CarSD + k.SideSD*k.SideSD + k.PlaceSD*k.PlaceSD)
		if math.Abs(mean-k.LogRate) > 4*se || sd < 0.8*want || sd > 1.2*want {
			t.Errorf("%s %s: ln rate %.3f +- %.3f with sd %.3f; the class says %.3f and %.3f", k.Point, k.Axle, mean, se, sd, k.LogRate, want)
		}
	}
}

// TestLivesFollowTheirLaw turns each life into its probability under the law that was drawn from: these are uniform. A
// car's first cycle is left out, because it is known to have lasted until the car came in.
func TestLivesFollowTheirLaw(t *testing.T) {
	cat := loaded(t)
	_, truth := observe(Options{Seed: 21, Cars: 60, Today: lastDay, ReadingsPerRound: 90}, cat)
	for _, id := range []string{"engine-oil-look", "brake-fluid-look", "cabin-filter", "wipers"} {
		var u []float64
		for _, car := range truth.Cars {
			first := map[string]bool{}
			for _, l := range car.Lives {
				if l.Point != id {
					continue
				}
				if !first[l.At] {
					first[l.At] = true
					continue
				}
				u = append(u, 1-math.Exp(-math.Pow(l.Life/l.Scale, l.Shape)))
			}
		}
		mean, se, sd := meanSE(u)
		if len(u) < 100 || math.Abs(mean-0.5) > 4*se || math.Abs(sd-1/math.Sqrt(12)) > 0.03 {
			t.Errorf("%s: %d lives, mean probability %.3f +- %.3f, sd %.3f; want 0.5 and 0.289", id, len(u), mean, se, sd)
		}
	}
}

func TestLooksAgreeWithTheTruth(t *testing.T) {
	cat := loaded(t)
	seen, truth := observe(Options{Seed: 2, Cars: 60, Today: lastDay, ReadingsPerRound: 80}, cat)
	right, wrong := 0, 0
	for _, car := range truth.Cars {
		for _, l := range car.Lives {
			if l.Point != "brake-fluid-look" {
				continue
			}
			from, _ := time.Parse(time.DateOnly, l.FromOn)
			for i, state := range seen.state[car.CarID+"|"+l.Point+"|"+l.At] {
				on := seen.day[car.CarID+"|"+l.Point+"|"+l.At][i]
				if on < l.FromOn || l.EndedOn != "" && on >= l.EndedOn {
					continue
				}
				day, _ := time.Parse(time.DateOnly, on)
				if turned := day.Sub(from).Hours()/24/daysPerMonth >= l.Life; turned == (state != "clear-pale") {
					right++
				} else {
					wrong++
				}
			}
		}
	}
	share := float64(wrong) / float64(right+wrong)
	t.Logf("%d looks, %.1f %% against the truth", right+wrong, 100*share)
	if right < 300 || share < 0.002 || share > 0.08 {
		t.Errorf("%d looks, %.1f %% against the truth", right+wrong, 100*share)
	}
}

func TestThinRoundsKeepMeasuredParts(t *testing.T) {
	cat := loaded(t)
	seq, truth := Fleet(cat, Options{Seed: 4, Cars: 3, Years: 2, Today: lastDay, ReadingsPerRound: 100, NoTruth: true})
	perRound, pads := map[string]map[string]bool{}, map[string]int{}
	full := map[string]bool{}
	for f := range seq {
		if f.Round != nil && f.Round.Depth == string(point.Full) {
			full[f.Round.ID] = true
			perRound[f.Round.ID] = map[string]bool{}
		}
		if f.RoundEnd == nil && f.Reading != nil && full[f.Reading.RoundID] {
			perRound[f.Reading.RoundID][f.Reading.Point+f.Reading.At] = true
			if f.Reading.Point == "pad-thickness" || f.Reading.Point == "tyre-tread" {
				pads[f.Reading.RoundID]++
			}
		}
	}
	for id, places := range perRound {
		if len(places) > 100 {
			t.Errorf("a round has %d places; want at most 100", len(places))
		}
		if len(places) > 70 && pads[id] < 10 {
			t.Errorf("a round has only %d measured places", pads[id])
		}
	}
	if len(truth.Cars) != 0 {
		t.Error("the truth was kept although it was not wanted")
	}
}

func TestReaderMayStop(t *testing.T) {
	cat := loaded(t)
	seq, _ := Fleet(cat, Options{Seed: 4, Cars: 2, Years: 1, Today: lastDay})
	n := 0
	for range seq {
		if n++; n == 25 {
			break
		}
	}
	if n != 25 {
		t.Errorf("stopped after %d facts", n)
	}
}

func BenchmarkThinFleet(b *testing.B) {
	cat := loaded(b)
	readings := 0
	for b.Loop() {
		readings = 0
		seq, _ := Fleet(cat, Options{Seed: 1, Cars: 200, Today: lastDay, ReadingsPerRound: 100, NoTruth: true})
		for f := range seq {
			if f.Reading != nil {
				readings++
			}
		}
	}
	b.ReportMetric(float64(readings), "readings/op")
}
