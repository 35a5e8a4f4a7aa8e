package life

import (
	"math"
	"testing"
)

// TestGridLearnsWhatPosteriorsLearn compares the quick way with the one through a posterior for each car.
func TestGridLearnsWhatPosteriorsLearn(t *testing.T) {
	for name, cars := range map[string][][]Observation{"few": fleet(8, 3, 2), "many": fleet(60, 8, 4)} {
		for _, m := range []Model{Weibull, Lognormal} {
			base := oil
			if m == Lognormal {
				base.LogShapeMean = math.Log(0.4)
			}
			var report ClassReport
			all, err := group(cars, &report)
			if err != nil {
				t.Fatal(err)
			}
			quick, ok := learnOnGrid(m, all, base, 8, &report)
			marginal := report.LogMarginal
			if !ok {
				t.Fatalf("%s %v: the grid did not hold", name, m)
			}
			slow := base
			for range 40 {
				if slow, err = improve(m, all, base, slow, 8, &report); err != nil {
					t.Fatal(err)
				}
			}
			if d := distance(quick, slow); d > 0.02 {
				t.Errorf("%s %v: %+v on the grid, %+v through posteriors, apart by %v", name, m, quick, slow, d)
			}
			if math.Abs(marginal-report.LogMarginal) > 0.02 {
				t.Errorf("%s %v: ln marginal likelihood %v on the grid, %v through posteriors", name, m, marginal, report.LogMarginal)
			}
		}
	}
}

// BenchmarkClassOf400 learns a class of 400 cars looked at six times each. Budget: 100 ms.
func BenchmarkClassOf400(b *testing.B) {
	cars := fleet(400, 6, 3)
	for b.Loop() {
		if _, _, err := FitClass(Weibull, cars, oil, 0); err != nil {
			b.Fatal(err)
		}
	}
}
