package odometer

import (
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

func on(date string) time.Time {
	t, err := time.Parse(time.DateOnly, date)
	if err != nil {
		panic(err)
	}
	return t
}

// car runs about 15 000 km a year.
var car = []Reading{
	{on("2024-03-20"), 152000},
	{on("2025-03-18"), 167100},
	{on("2025-09-12"), 174600},
}

// steady runs 7500 km each half year.
var steady = []Reading{
	{on("2023-03-20"), 129600}, {on("2023-09-18"), 137100}, {on("2024-03-19"), 144600}, {on("2024-09-17"), 152100},
	{on("2025-03-18"), 159600}, {on("2025-09-12"), 167100},
}

// uneven runs as much in all, 3000 or 17 000 km a half year.
var uneven = []Reading{
	{on("2023-03-20"), 129600}, {on("2023-09-18"), 132600}, {on("2024-03-19"), 149600}, {on("2024-09-17"), 152100},
	{on("2025-03-18"), 169100}, {on("2025-09-12"), 172100},
}

// summers runs 6000 km from spring to autumn, next to nothing in winter.
var summers = []Reading{
	{on("2023-03-20"), 41000}, {on("2023-10-01"), 47000}, {on("2024-03-20"), 47300}, {on("2024-10-01"), 53300},
	{on("2025-03-20"), 53600}, {on("2025-10-01"), 59600}, {on("2026-03-20"), 59900},
}

func TestCheck(t *testing.T) {
	for _, c := range []struct {
		name     string
		history  []Reading
		date     string
		km       float64
		kind     Kind // 0: nothing is odd
		severity Severity
		likely   float64
		says     string
	}{
		{"as expected", car, "2026-03-21", 182400, 0, 0, 0, ""},
		{"stood still", car, "2026-03-21", 174600, 0, 0, 0, ""},
		{"rounding of a km", car, "2026-03-21", 174599.2, 0, 0, 0, ""},
		{"busy, but possible", car, "2026-03-21", 200000, 0, 0, 0, ""},
		{"long holiday", car, "2025-09-19", 177400, 0, 0, 0, ""},
		{"first reading", nil, "2026-03-21", 18240, 0, 0, 0, ""},
		{"late entry between", car, "2025-06-01", 170200, 0, 0, 0, ""},
		{"earlier than all", car, "2023-06-01", 141000, 0, 0, 0, ""},
		{"road test", car, "2025-09-12", 174611, 0, 0, 0, ""},

		{"digit lost", car, "2026-03-21", 18240, DigitLost, Refuse, 182400,
			"18 240 km is less than the 174 600 km read on 12 September 2025. Was it 182 400 km? Correct the entry"},
		{"digit lost inside", []Reading{{on("2025-01-01"), 85000}, {on("2026-01-01"), 99900}}, "2026-01-21", 10750,
			DigitLost, Refuse, 100750, "Was it 100 750 km?"},
		{"miles", car, "2026-03-21", 113338, MilesForKM, Refuse, 182400, "miles and km mixed up, and is it 182 400 km?"},
		{"one digit wrong", car, "2026-03-21", 172400, RunsBack, Refuse, 182400, "Was it 182 400 km?"},
		{"neighbours exchanged", car, "2026-03-21", 128400, RunsBack, Refuse, 182400, ""},
		{"back without a guess", car, "2025-09-13", 99, RunsBack, Refuse, 0, "meter was changed"},
		{"late entry above the next", car, "2025-06-01", 190200, RunsBack, Refuse, 170200, "more than the 174 600 km"},

		{"digit twice", car, "2026-03-21", 1824000, DigitExtra, Ask, 182400, "Was it 182 400 km?"},
		{"km for miles", car, "2026-03-21", 293544, MilesForKM, Ask, 182400, "miles and km"},
		{"1000 km a day", car, "2025-09-22", 184600, TooFast, Ask, 0, "is 1000 km a day. This car runs about 42."},
		{"far above its own rate", car, "2026-03-21", 260000, TooFast, Ask, 206000, "Is that right? Was it 206 000 km?"},
		{"600 a day without own rate", car[:1], "2024-03-30", 157900, 0, 0, 0, ""},
		{"over 600 a day without own rate", car[:1], "2024-03-30", 158100, TooFast, Ask, 0, ""},

		{"same day, other figure", car, "2025-09-12", 174900, SameDay, Ask, 0, "174 600 km was read on the same day, now 174 900 km."},
		{"same day, less", car, "2025-09-12", 174500, RunsBack, Refuse, 0, "less than"},

		{"steady for years, one digit wrong", steady, "2026-03-18", 194700, TooFast, Ask, 174700,
			"194 700 km is more than expected: on 18 March 2026 this car should show about 174 800 km, hardly more than 180 700 km. Is that right? Was it 174 700 km?"},
		{"steady for years, miles and km mixed up", steady, "2026-03-18", 275000, MilesForKM, Ask, 170877, "is it 170 877 km?"},
		{"steady for years, more than ever", steady, "2026-03-18", 180000, 0, 0, 0, ""},
		{"laid up for winters, summer run", summers, "2026-10-01", 65900, 0, 0, 0, ""},
		{"uneven use is asked about less", uneven, "2026-03-18", 192400, 0, 0, 0, ""},

		{"negative", car, "2026-03-21", -5, Impossible, Refuse, 0, "no reading"},
		{"not a number", nil, "2026-03-21", math.NaN(), Impossible, Refuse, 0, "This is no reading"},
		{"eight figures", nil, "2026-03-21", 18240000, Impossible, Refuse, 0, ""},
	} {
		q := Check(c.history, Reading{on(c.date), c.km})
		if c.kind == 0 {
			if q != nil {
				t.Errorf("%s: asks %+v", c.name, *q)
			}
			continue
		}
		if q == nil {
			t.Errorf("%s: nothing is asked", c.name)
			continue
		}
		if q.Kind != c.kind || q.Severity != c.severity || !strings.Contains(q.Message, c.says) {
			t.Errorf("%s: %s, %s: %s", c.name, q.Kind, q.Severity, q.Message)
		}
		if c.likely != 0 && q.Likely != c.likely {
			t.Errorf("%s: likely %v, want %v", c.name, q.Likely, c.likely)
		}
	}
}

// 910 km would fit between the readings, but not within a day's drive of the next: it is not suggested.
func TestGuessIsNotTooFastItself(t *testing.T) {
	q := Check([]Reading{{on("2018-01-22"), 1512}, {on("2018-02-11"), 3512}}, Reading{on("2018-01-21"), 10})
	if q == nil || q.Kind != TooFast || q.Likely != 0 || strings.Contains(q.Message, "Was it") {
		t.Errorf("%+v", q)
	}
}

func TestHistoryIsLeftAlone(t *testing.T) {
	h := []Reading{car[2], car[0], car[1]}
	want := slices.Clone(h)
	a := Check(h, Reading{on("2026-03-21"), 18240})
	b := Check(car, Reading{on("2026-03-21"), 18240})
	if !slices.Equal(h, want) || *a != *b {
		t.Errorf("history %v; %+v, %+v", h, a, b)
	}
}

func TestPerYear(t *testing.T) {
	for _, c := range []struct {
		name string
		h    []Reading
		want float64
		ok   bool
	}{
		{"none", nil, 0, false},
		{"one", car[:1], 0, false},
		{"two weeks", []Reading{{on("2026-01-01"), 100}, {on("2026-01-15"), 900}}, 0, false},
		{"a year and a half", car, 22600 / 541.0 * 365.2425, true},
		{"meter changed", []Reading{{on("2024-01-01"), 90000}, {on("2025-01-01"), 102000},
			{on("2025-02-01"), 10}, {on("2026-02-01"), 12010}}, 24000 / 731.0 * 365.2425, true},
		{"stood still", []Reading{{on("2024-01-01"), 90000}, {on("2025-01-01"), 90000}}, 0, true},
	} {
		got, ok := PerYear(c.h)
		if ok != c.ok || math.Abs(got-c.want) > 1e-9*math.Max(1, c.want) {
			t.Errorf("%s: %v, %v; want %v, %v", c.name, got, ok, c.want, c.ok)
		}
	}
}

func TestNames(t *testing.T) {
	for k := Impossible; k <= SameDay; k++ {
		if k.String() == "" {
			t.Errorf("kind %d has no name", k)
		}
	}
	if Kind(0).String() != "" || Kind(99).String() != "" || Ask.String() != "ask" || Refuse.String() != "refuse" || Severity(9).String() != "" {
		t.Error("names")
	}
}

// anyHistory draws readings of a car that runs at a steady rate.
func anyHistory(t *rapid.T) (h []Reading, perDay float64) {
	perDay = rapid.Float64Range(10, 120).Draw(t, "km a day")
	at, km := on("2018-01-01"), rapid.Float64Range(0, 150000).Draw(t, "first")
	for range rapid.IntRange(2, 6).Draw(t, "readings") {
		days := rapid.IntRange(20, 400).Draw(t, "days")
		at, km = at.AddDate(0, 0, days), km+perDay*float64(days)
		h = append(h, Reading{at, math.Round(km)})
	}
	return h, perDay
}

// A car that goes on as it did is never asked about; one that runs back is always refused.
func TestSteadyPassesBackwardsIsRefused(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h, perDay := anyHistory(t)
		last := h[len(h)-1]
		days := rapid.IntRange(1, 800).Draw(t, "later")
		next := Reading{last.On.AddDate(0, 0, days), math.Round(last.KM + perDay*float64(days)*rapid.Float64Range(0.2, 2).Draw(t, "share"))}
		if q := Check(h, next); q != nil {
			t.Fatalf("%v after %v: %s", next, last, q.Message)
		}
		next.KM = math.Floor(rapid.Float64Range(0, last.KM-2).Draw(t, "less"))
		q := Check(h, next)
		if q == nil || q.Severity != Refuse {
			t.Fatalf("%v after %v passes: %+v", next, last, q)
		}
		if q.Likely != 0 && q.Likely < last.KM {
			t.Fatalf("%v after %v: the guess %v runs back as well", next, last, q.Likely)
		}
	})
}

// A guess would itself be accepted.
func TestLikelyIsAcceptable(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h, _ := anyHistory(t)
		at := on("2018-01-01").AddDate(0, 0, rapid.IntRange(0, 3500).Draw(t, "day"))
		next := Reading{at, float64(rapid.IntRange(0, mostKM).Draw(t, "km"))}
		q := Check(h, next)
		if q == nil || q.Likely == 0 {
			return
		}
		if again := Check(h, Reading{at, q.Likely}); again != nil && again.Kind != SameDay {
			t.Fatalf("%v: likely %v is asked about itself: %s", next, q.Likely, again.Message)
		}
	})
}

func FuzzCheck(f *testing.F) {
	f.Add(1000.0, 2000.0, 30, 200.0, 60)
	f.Add(182400.0, 182500.0, 10, 18250.0, 20)
	f.Fuzz(func(t *testing.T, a, b float64, days int, km float64, later int) {
		start := on("2020-01-01")
		h := []Reading{{start, a}, {start.AddDate(0, 0, days%5000), b}}
		q := Check(h, Reading{start.AddDate(0, 0, later%5000), km})
		if q != nil && (q.Message == "" || q.Kind == 0 || q.Severity == 0 || math.IsNaN(q.Likely) || q.Likely < 0) {
			t.Fatalf("half a question: %+v", *q)
		}
		if (math.IsNaN(km) || km < 0) && q == nil {
			t.Fatalf("%v passes", km)
		}
	})
}
