package web

import (
	"math"
	"net/http"
	"net/url"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"witnessmark/core/life"
	"witnessmark/core/point"
	"witnessmark/core/score"
	"witnessmark/internal/simulate"
	"witnessmark/shop"
)

// workshop fills the bench with cars of several years and gives their number.
func (b *bench) workshop(cars, years int) {
	b.t.Helper()
	b.emptied()
	facts, _ := simulate.Fleet(b.shop.Catalogue(), simulate.Options{Seed: 3, Cars: cars, Years: years, Today: benchDay, NoTruth: true})
	b.must(b.store.Update(b.t.Context(), func(w shop.Writer) error {
		for f := range facts {
			if _, err := w.Put(b.t.Context(), f); err != nil {
				return err
			}
		}
		return nil
	}))
}

func TestRightOfAnEmptyWorkshop(t *testing.T) {
	b := newBench(t, "metric")
	b.emptied()
	page := b.page("/right").Body.String()
	wants(t, page, "Are we right?", "Nothing was looked at yet", "Learn now", "figures alone")
	lacks(t, page, "NaN", "Inf", "data-poll", "Item by item")
	if !strings.Contains(b.page("/").Body.String(), `href="/right"`) {
		t.Error("no page leads to it")
	}
}

// Learning is begun by the button, runs once however often it is pressed, and its page says what was learned.
func TestRightLearns(t *testing.T) {
	b := newBench(t, "metric")
	b.workshop(4, 3)
	for range 2 {
		w := b.submit("/right/learn", url.Values{"by": {"IF"}})
		if where := w.Header().Get("Location"); w.Code != http.StatusSeeOther || !strings.HasPrefix(where, "/right?did=") {
			t.Fatalf("%d %s", w.Code, where)
		}
		wants(t, b.page(w.Header().Get("Location")).Body.String(), "Are we right?")
	}
	for until := time.Now().Add(3 * time.Minute); ; time.Sleep(50 * time.Millisecond) {
		st, err := b.shop.LearnState(t.Context())
		b.must(err)
		if !st.Running && st.Last != nil {
			if st.Last.By != "IF" {
				t.Errorf("learned by %q", st.Last.By)
			}
			break
		}
		if time.Now().After(until) {
			t.Fatalf("not learned: %+v", st)
		}
	}
	page := b.page("/right").Body.String()
	wants(t, page, "Learned on ", "looks at ", "Learn again now", "The catalogue says", "Ours", "months")
	lacks(t, page, "NaN", "Inf", "data-poll", "Nothing yet: every forecast")
}

func TestWorkOf(t *testing.T) {
	for _, c := range []struct {
		st   shop.LearnState
		says string
		part int
	}{
		{shop.LearnState{Running: true, What: "learning", Done: 120, Total: 400}, "Learning: 120 of 400 cars are read.", 30},
		{shop.LearnState{Running: true, What: "learning", Done: 400, Total: 400}, "Learning: all 400 cars are read; what is usual for each item is worked out from them.", 100},
		{shop.LearnState{Running: true, What: "learning"}, "Learning: 0 of 0 cars are read.", 0},
		{shop.LearnState{Running: true, What: "scoring", Done: 4, Total: 10}, "Holding past forecasts against what came: 4 of 10 years done.", 40},
	} {
		if w := workOf(c.st); w == nil || w.Says != c.says || w.Share != c.part {
			t.Errorf("%+v: %+v", c.st, w)
		}
	}
	if workOf(shop.LearnState{Total: 9}) != nil {
		t.Error("work is shown though nothing runs")
	}
}

// The words of a score follow from how far it lies from what was said, in standard errors (2.5, the project's own figure).
func TestScoreInWords(t *testing.T) {
	for _, c := range []struct {
		within, se float64
		says       string
	}{{0.79, 0.02, "As it should be."}, {0.70, 0.02, "Surer than we should be"}, {0.90, 0.02, "More careful than need be"}, {0.70, 0.05, "As it should be."}} {
		if got := rangeMeans(score.Coverage{N: 100, Within: c.within, SE: c.se}); !strings.HasPrefix(got, c.says) {
			t.Errorf("%v ± %v: %q", c.within, c.se, got)
		}
	}
	for _, c := range []struct {
		happened     int
		expected, se float64
		says         string
	}{{10, 9, 2, "As it should be."}, {20, 9, 2, "Things turned more often"}, {1, 12, 2, "Things turned less often"}, {0, 0, 0, "As it should be."}} {
		if got := chanceMeans(score.Calibration{N: 100, Happened: c.happened, Expected: c.expected, SE: c.se}); !strings.HasPrefix(got, c.says) {
			t.Errorf("%+v: %q", c, got)
		}
	}
	if rangeMeans(score.Coverage{})+chanceMeans(score.Calibration{}) != "" {
		t.Error("nothing means something")
	}
}

func TestScoredPage(t *testing.T) {
	var d rightData
	points := []score.Point{{Said: 0.1, Was: 0.12, N: 412}, {Said: 0.9, Was: 0.91, N: 412}}
	d.scored(&shop.Scores{Ready: true, On: "2026-03-21", Cars: 40, OfCars: 41, All: shop.LawScore{Ranges: score.Coverage{N: 412, Within: 0.79, SE: 0.0197, Points: points}},
		Laws: []shop.LawScore{
			{Name: "Pad lining thickness, front axle", Unit: "mm", Ranges: score.Coverage{N: 120, Within: 0.78, SE: 0.0365, MedianError: 0.2734, Points: points}},
			{Name: "Brake fluid, look", Chances: score.Calibration{N: 60, Happened: 12, Expected: 10.4, SE: 2.6, Points: points}},
			{Name: "Horn", TooLittle: true, Chances: score.Calibration{N: 7}},
		}, Years: []shop.YearScore{{Year: 2025, Cars: 40, Looks: 9000}}})
	if d.Lead != "Of 412 forecasts with an 80\u00a0% range, 79\u00a0% held." || d.Means != "As it should be." || d.Rest != "" {
		t.Errorf("%q %q %q", d.Lead, d.Means, d.Rest)
	}
	if len(d.Measured) != 1 || d.Measured[0].Error != "0.27\u00a0mm" || d.Measured[0].Said != "78\u00a0% held" {
		t.Errorf("%+v", d.Measured)
	}
	if len(d.Looked) != 0 || len(d.Good) != 1 || d.Good[0].Said != "12 turned, 10 said" || d.Good[0].Error != "" {
		t.Errorf("%+v %+v", d.Looked, d.Good)
	}
	if len(d.Few) != 1 || d.Few[0] != "Horn (7)" || len(d.Years) != 1 || d.Years[0].Within != "none" {
		t.Errorf("%v %+v", d.Few, d.Years)
	}
}

// Whatever the points are, a drawing has only figures in it, dots inside its frame, and says in words what it shows.
func TestCalibrationDrawing(t *testing.T) {
	for _, points := range [][]score.Point{{{Said: 0, Was: 0, N: 1}}, {{Said: 1, Was: 1, N: 1000000}, {Said: 0.5, Was: 0, N: 1}}, {{Said: 0.005, Was: 0.01, N: 0}}, {{Said: 0.02, Was: 0.03, N: 500}, {Said: 0.3, Was: 0.1, N: 9}}} {
		for _, size := range []plotSize{plotSmall, plotLarge} {
			got := string(calibration(points, size, "A <b>"))
			wants(t, got, "A &lt;b&gt;: said ", "<circle", "</svg>")
			lacks(t, got, "NaN", "Inf", `cx="-`, `cy="-`)
			for _, m := range regexp.MustCompile(` [cxy]*x[12]?="([0-9.]+)%"`).FindAllStringSubmatch(got, -1) {
				if x, err := strconv.ParseFloat(m[1], 64); err != nil || x > 100 {
					t.Errorf("drawn at %s %% of the width", m[1])
				}
			}
		}
	}
	if calibration(nil, plotLarge, "x") != "" {
		t.Error("nothing was drawn")
	}
}

// The median of a Weibull life is scale * ln(2)^(1/shape), of a lognormal one its scale (NIST/SEMATECH e-Handbook 8.1.6.2, 8.1.6.4).
func TestOwnMedian(t *testing.T) {
	for _, c := range []struct {
		law    point.LifeLaw
		shape  float64
		scale  float64
		median float64
	}{
		{point.LifeLaw{Model: "weibull"}, 2, 1000, 1000 * math.Sqrt(math.Ln2)},
		{point.LifeLaw{Model: "weibull"}, 1, 24, 24 * math.Ln2},
		{point.LifeLaw{Model: "lognormal"}, 0.4, 36, 36},
		{point.LifeLaw{}, 3, 10, 10 * math.Cbrt(math.Ln2)},
	} {
		if got := ownMedian(&c.law, life.Prior{LogShapeMean: math.Log(c.shape), LogScaleMean: math.Log(c.scale)}); math.Abs(got-c.median) > 1e-9*c.median {
			t.Errorf("%s %v %v: %v, expected %v", c.law.Model, c.shape, c.scale, got, c.median)
		}
	}
}

func TestMoreOrLess(t *testing.T) {
	for ratio, want := range map[float64]string{1: "the same", 1.004: "the same", 1.12: "12\u00a0% longer", 0.8: "20\u00a0% shorter", 2.5: "2.5 times as long", 0.1: "90\u00a0% shorter"} {
		if got := moreOrLess(ratio, "longer", "shorter"); got != want {
			t.Errorf("%v: %q, expected %q", ratio, got, want)
		}
	}
	if got := moreOrLess(3, "faster", "slower"); got != "3 times as fast" {
		t.Error(got)
	}
}

func TestAmountWords(t *testing.T) {
	for _, c := range []struct {
		x    float64
		in   string
		want string
	}{{0.2734, "mm", "0.27\u00a0mm"}, {0, "mm", "0\u00a0mm"}, {12.6, "V", "13\u00a0V"}, {1234, "km", "1200\u00a0km"}, {0.01234, "mm", "0.012\u00a0mm"}, {0.0049, "V", "0.0049\u00a0V"}, {0.1, "", "0.1"}} {
		if got := amountWords(c.x, c.in); got != strings.TrimSpace(c.want) {
			t.Errorf("%v %s: %q, expected %q", c.x, c.in, got, c.want)
		}
	}
}
