package simulate

import (
	"fmt"
	"sort"
	"testing"
	"time"

	"witnessmark/core/judge"
	"witnessmark/core/point"
	"witnessmark/core/round"
	"witnessmark/core/verdict"
	"witnessmark/core/vin"
	"witnessmark/shop"
)

// diary keeps what is needed to judge a car's rounds.
type diary struct {
	car     shop.CarVersion
	renewed []round.Renewal
	round   shop.RoundFact
	now     map[string]round.Reading
}

func (d *diary) judge(cat *point.Catalogue) judge.Result {
	registered, _ := time.Parse("2006-01", d.car.FirstRegistered)
	number, _ := vin.Parse(d.car.VIN)
	set := round.Resolve(cat, d.car.Facets, number.Market(), registered)
	specs := map[string]round.Spec{}
	for id, s := range d.car.Specs {
		specs[id] = round.Spec{Text: s.Text, Numbers: s.Numbers, Origin: s.Origin}
	}
	on, _ := time.Parse(time.DateOnly, d.round.On)
	taken := round.Taken{On: on, AmbientC: d.round.AmbientC}
	for _, r := range d.now {
		taken.Readings = append(taken.Readings, r)
	}
	c := round.Car{VIN: d.car.VIN, OdometerKm: d.round.Km, FirstRegistered: registered, Facets: set, Specs: round.WithFamilies(cat, set, specs), Renewed: d.renewed}
	return judge.Judge(cat, c, taken, point.Depth(d.round.Depth))
}

// rounds judges every finished full round of a fleet.
func rounds(cat *point.Catalogue, o Options, f func(judge.Result)) {
	var d diary
	seq, _ := Fleet(cat, o)
	for x := range seq {
		switch {
		case x.Car != nil:
			if x.Car.CarID != d.car.CarID {
				d = diary{}
			}
			d.car = *x.Car
		case x.Renewal != nil:
			on, _ := time.Parse(time.DateOnly, x.Renewal.On)
			d.renewed = append(d.renewed, round.Renewal{Item: x.Renewal.Item, At: x.Renewal.At, OdometerKm: x.Renewal.Km, Date: on})
		case x.Round != nil:
			d.round, d.now = *x.Round, map[string]round.Reading{}
		case x.Reading != nil:
			r := x.Reading
			if r.Withdrawn {
				delete(d.now, r.Point+"|"+r.At)
				continue
			}
			d.now[r.Point+"|"+r.At] = round.Reading{Point: r.Point, At: r.At, State: r.State, Code: r.Code, Values: r.Values, Skipped: r.Skipped, Note: r.Note}
		case x.RoundEnd != nil && d.round.Depth == string(point.Full):
			f(d.judge(cat))
		}
	}
}

func TestFindingsAreBelievable(t *testing.T) {
	cat := loaded(t)
	var asks, watched, unjudged, unsafe []int
	byPoint := map[string]int{}
	n := 0
	rounds(cat, Options{Seed: 3, Today: lastDay}, func(r judge.Result) {
		n++
		ask, watch, open, bad := map[string]bool{}, map[string]bool{}, map[string]bool{}, map[string]bool{}
		for _, f := range r.Findings {
			switch {
			case f.Verdict == verdict.Unjudged:
				open[f.Point.ID] = true
			case f.Verdict == verdict.Watch:
				watch[f.Point.ID] = true
			case f.Verdict.Worse(verdict.Watch):
				ask[f.Point.ID] = true
				if f.Verdict == verdict.Unsafe {
					bad[f.Point.ID] = true
				}
			}
		}
		for id := range ask {
			byPoint[id]++
		}
		for id := range watch {
			byPoint["watch "+id]++
		}
		for id := range open {
			byPoint["open "+id]++
		}
		asks, watched, unjudged, unsafe = append(asks, len(ask)), append(watched, len(watch)), append(unjudged, len(open)), append(unsafe, len(bad))
	})
	t.Logf("%d full rounds: due or worse %s, watch %s, unjudged %s, unsafe %s", n, spread(asks), spread(watched), spread(unjudged), spread(unsafe))
	for id, k := range byPoint {
		if share := float64(k) / float64(n); share > 0.5 {
			t.Errorf("%s in %.0f %% of the rounds", id, 100*share)
		}
	}
	if m := mean(asks); m < 2.5 || m > 8 {
		t.Errorf("%.1f points due or worse a round; want a few", m)
	}
	if m := mean(watched); m < 4 || m > 12 {
		t.Errorf("%.1f points to watch a round", m)
	}
	if m := mean(unsafe); m > 0.4 {
		t.Errorf("%.2f unsafe points a round; want them seldom", m)
	}
	if m := mean(unjudged); m > 1.5 {
		t.Errorf("%.2f unjudged points a round", m)
	}
}

func mean(list []int) float64 {
	sum := 0
	for _, x := range list {
		sum += x
	}
	return float64(sum) / float64(len(list))
}

// spread writes mean and range.
func spread(list []int) string {
	sort.Ints(list)
	return fmt.Sprintf("mean %.1f, median %d, 90 %% up to %d, most %d", mean(list), list[len(list)/2], list[len(list)*9/10], list[len(list)-1])
}
