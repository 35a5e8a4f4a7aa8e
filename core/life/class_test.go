package life

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

var oil = Prior{LogShapeMean: math.Log(2.5), LogShapeSD: 0.4, LogScaleMean: math.Log(15000), LogScaleSD: 0.5}

// fleet simulates cars with shape 3 and a scale of 9000 spread by 0.2, each looked at several times on different fills.
func fleet(cars, looks int, seed uint64) (all [][]Observation) {
	r := rand.New(rand.NewPCG(seed, 1))
	for range cars {
		shape, scale := 3*math.Exp(0.2*r.NormFloat64()), 9000*math.Exp(0.2*r.NormFloat64())
		var obs []Observation
		for range looks {
			life := scale * math.Pow(r.ExpFloat64(), 1/shape)
			o := Observation{Kind: Clear, At: float64(3000 + 500*r.IntN(24))}
			if life <= o.At {
				o.Kind = Dark
			}
			obs = append(obs, o)
		}
		all = append(all, obs)
	}
	return all
}

func TestClassIsLearnt(t *testing.T) {
	got, report, err := FitClass(Weibull, fleet(150, 6, 3), oil, 0)
	if err != nil {
		t.Fatal(err)
	}
	if report.Cars != 150 || report.Looks != 900 || !report.Moved || !strings.Contains(report.Reason, "900 looks at 150 cars") {
		t.Errorf("%+v", report)
	}
	if scale := math.Exp(got.LogScaleMean); math.Abs(scale/9000-1) > 0.12 {
		t.Errorf("scale %v, simulated 9000", scale)
	}
	if shape := math.Exp(got.LogShapeMean); math.Abs(shape/3-1) > 0.2 {
		t.Errorf("shape %v, simulated 3", shape)
	}
	if got.LogScaleSD > 0.33 || got.LogScaleSD < 0.1 {
		t.Errorf("spread of the scale %v, simulated 0.2 with a start at 0.5", got.LogScaleSD)
	}
}

// TestClassMaximises moves each figure of the class away from the answer: the penalised marginal likelihood must fall.
func TestClassMaximises(t *testing.T) {
	cars := fleet(12, 4, 5)
	const weight = 5
	best, _, err := FitClass(Weibull, cars, oil, weight)
	if err != nil {
		t.Fatal(err)
	}
	value := func(p Prior) float64 {
		v := 0.0
		for _, obs := range cars {
			post, err := NewPosterior(Weibull, p, obs)
			if err != nil {
				t.Fatal(err)
			}
			v += post.LogMarginal()
		}
		pull := func(mean, sd, mean0, sd0 float64) float64 {
			return -weight * (math.Log(sd) + (sd0*sd0+(mean-mean0)*(mean-mean0))/(2*sd*sd))
		}
		return v + pull(p.LogShapeMean, p.LogShapeSD, oil.LogShapeMean, oil.LogShapeSD) + pull(p.LogScaleMean, p.LogScaleSD, oil.LogScaleMean, oil.LogScaleSD)
	}
	top := value(best)
	for i := range 8 {
		p := best
		d := 0.05 * float64(1-2*(i%2))
		switch i / 2 {
		case 0:
			p.LogShapeMean += d
		case 1:
			p.LogScaleMean += d
		case 2:
			p.LogShapeSD *= 1 + d
		case 3:
			p.LogScaleSD *= 1 + d
		}
		if value(p) > top+1e-6 {
			t.Errorf("%+v is better than %+v: %v > %v", p, best, value(p), top)
		}
	}
}

func TestClassWithLittleHistoryStays(t *testing.T) {
	got, report, err := FitClass(Weibull, nil, oil, 0)
	if err != nil || got != oil || report.Moved || !strings.Contains(report.Reason, "no car") {
		t.Errorf("%+v %+v %v", got, report, err)
	}
	got, report, err = FitClass(Weibull, fleet(1, 1, 3), oil, 0)
	if err != nil || report.Moved || distance(oil, got) > 0.1 {
		t.Errorf("%+v %+v %v", got, report, err)
	}
	if _, _, err := FitClass(Weibull, [][]Observation{nil, {{Kind: Dark}}}, oil, 0); err == nil || !strings.HasPrefix(err.Error(), "car 2: observation 1: ") {
		t.Error(err)
	}
	if _, _, err := FitClass(Weibull, nil, oil, -1); err == nil {
		t.Error("a negative weight passes")
	}
}
