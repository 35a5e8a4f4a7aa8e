//go:build !js

// Whole fleets are forecast here, which is the same arithmetic everywhere; under WebAssembly it would take minutes.

package wear

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"math"
	"strconv"
	"testing"

	"witnessmark/internal/published"
)

func table(t testing.TB, parts ...string) [][]string {
	text, ok := published.File(t, parts...)
	if !ok {
		return nil
	}
	rows, err := csv.NewReader(bytes.NewReader(text)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return rows[1:]
}

func number(t testing.TB, s string) float64 {
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// load reads one public set; it reads the limit and the rounding, never how the set was made.
func load(t testing.TB, name string) *set {
	at := func(f string) []string { return []string{"oracle", "wear", "forecast", name, f} }
	text, ok := published.File(t, at("meta.json")...)
	if !ok {
		return nil
	}
	var meta struct {
		Limit float64 `json:"limit_mm"`
		Step  float64 `json:"rounding_mm"`
	}
	var want struct {
		Ref struct {
			Pinball float64 `json:"mean_pinball_km"`
		} `json:"ref_lmm"`
	}
	expected, _ := published.File(t, at("expected.json")...)
	for _, err := range []error{json.Unmarshal(text, &meta), json.Unmarshal(expected, &want)} {
		if err != nil {
			t.Fatal(err)
		}
	}
	s := &set{name: name, limit: meta.Limit, step: meta.Step, ref: want.Ref.Pinball}
	at0, index := map[[2]string]float64{}, map[[2]string]int{}
	for _, r := range table(t, at("installs.csv")...) {
		k := [2]string{r[0], r[1]}
		at0[k], index[k] = number(t, r[2]), len(s.lives)
		s.lives = append(s.lives, Life{Unit: r[0]})
	}
	for _, r := range table(t, at("readings.csv")...) {
		k := [2]string{r[0], r[1]}
		l := &s.lives[index[k]]
		l.Readings = append(l.Readings, Reading{number(t, r[2]) - at0[k], number(t, r[3])})
	}
	truth := table(t, at("truth.csv")...)
	for i, r := range table(t, at("tasks.csv")...) {
		k := [2]string{r[0], r[1]}
		s.add(index[k], number(t, r[2])-at0[k], number(t, truth[i][2])-at0[k])
	}
	return s
}

// add adds the task of forecasting life i from now on.
func (s *set) add(i int, now, truth float64) {
	k := task{now: now, true: truth}
	for j := range s.lives {
		if s.lives[j].Unit == s.lives[i].Unit {
			if j == i {
				k.running = len(k.lives)
			}
			k.lives = append(k.lives, s.lives[j])
		}
	}
	s.tasks = append(s.tasks, k)
}

// score is how forecasts stood against the truth.
type score struct {
	n                  int
	pinball            float64
	in80, in95, median float64
}

// measure scores the forecasts of a class the way score.py beside the public sets does.
func (s *set) measure(t testing.TB, c Class) score {
	sc := score{n: len(s.tasks)}
	var errs []float64
	for _, k := range s.tasks {
		f, err := c.Forecast(k.lives, k.running, k.now, s.limit)
		if err != nil {
			t.Fatal(err)
		}
		held := func(q float64) float64 { return math.Min(math.Max(f.Quantile(q), k.now), k.now+400000) }
		loss := 0.0
		for i := 1; i <= 19; i++ {
			q := 0.05 * float64(i)
			x := held(q)
			loss += math.Max(q*(k.true-x), (q-1)*(k.true-x)) / 19
		}
		sc.pinball += loss / float64(sc.n)
		if k.true >= held(0.1) && k.true <= held(0.9) {
			sc.in80 += 1 / float64(sc.n)
		}
		if k.true >= held(0.025) && k.true <= held(0.975) {
			sc.in95 += 1 / float64(sc.n)
		}
		errs = append(errs, math.Abs(held(0.5)-k.true))
	}
	sc.median = quantile(errs, 0.5)
	return sc
}

// TestPublicSets scores the five public sets: mean pinball error at most 1.03 of the mixed-model reference on each and below it on
// average; the 80 % range within 2.5 binomial standard errors.
func TestPublicSets(t *testing.T) {
	sum := 0.0
	names := []string{"lin50", "lin200", "logn500", "gamma200", "tread150"}
	for _, name := range names {
		s := load(t, name)
		if s == nil {
			return // said by published.File
		}
		c, rep, err := FitClass(s.lives, Weak(s.lives, s.step))
		if err != nil {
			t.Fatal(err)
		}
		sc := s.measure(t, c)
		ratio := sc.pinball / s.ref
		sum += ratio / float64(len(names))
		t.Logf("%-9s pinball %7.1f = %.4f of reference, 80 %% range %.3f, 95 %% range %.3f, median error %.0f", name, sc.pinball, ratio, sc.in80, sc.in95, sc.median)
		t.Logf("          %s", rep.Why)
		if !rep.Done {
			t.Errorf("%s: the fit did not end at a maximum: %s", name, rep.Why)
		}
		if ratio > 1.03 {
			t.Errorf("%s: pinball error %.1f is %.3f of the reference %.1f", name, sc.pinball, ratio, s.ref)
		}
		if math.Abs(sc.in80-0.8) > 2.5*math.Sqrt(0.8*0.2/float64(sc.n)) {
			t.Errorf("%s: the 80 %% range covers %.3f", name, sc.in80)
		}
	}
	t.Logf("mean ratio %.4f", sum)
	if sum >= 1 {
		t.Errorf("on average %.3f of the reference", sum)
	}
}
