package tyre

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"witnessmark/core/verdict"
)

func near(a, b, tol float64) bool { return math.Abs(a-b) <= tol }

func TestService(t *testing.T) {
	// 91V: 615 kg to 210 km/h; at 225 halfway to 91 %: 95.5 % of 615 = 587.3 kg.
	s, err := ParseService(" 91v ")
	if err != nil || s != (Service{91, 'V'}) || s.String() != "91V" {
		t.Fatalf("%v, %v", s, err)
	}
	if kg, err := s.LoadAt(225); err != nil || !near(kg, 587.325, 1e-9) {
		t.Errorf("%v, %v", kg, err)
	}
	// An axle of 1100 kg and 205 km/h: 550 kg a tyre. 91V does (615), 87V just not (545), 88T by load (560) but not by speed (190).
	for text, want := range map[string][2]bool{"91V": {true, true}, "87V": {false, true}, "88T": {true, false}} {
		s, _ := ParseService(text)
		f, err := Fits(s, 1100, 205, false)
		if err != nil || [2]bool{f.LoadOK, f.SpeedOK} != want || f.NeedKg != 550 {
			t.Errorf("%s: %+v, %v", text, f, err)
		}
	}
	// A winter tyre may be slower than the car, from Q (160 km/h) on.
	for text, want := range map[string]bool{"91Q": true, "91P": false} {
		s, _ := ParseService(text)
		if f, err := Fits(s, 1100, 205, true); err != nil || f.SpeedOK != want {
			t.Errorf("winter %s: %+v, %v", text, f, err)
		}
	}
	if i, err := IndexFor(546); i != 88 || err != nil {
		t.Errorf("546 kg: %d, %v", i, err)
	}
	if s, err := SymbolFor(205); s != 'H' || err != nil {
		t.Errorf("205 km/h: %c, %v", s, err)
	}
	for _, bad := range []string{"", "91", "V", "59V", "121V", "91X", "91/89V", "9 1V", "911VV", "-91V"} {
		if s, err := ParseService(bad); err == nil {
			t.Errorf("%q is %v", bad, s)
		}
	}
}

func TestSize(t *testing.T) {
	// 205/55 R16: 406.4 + 2*112.75 = 631.9 mm, rolling 3.05 times: 1927.3 mm.
	for _, text := range []string{"205/55 R16", "205/55R16 91V", "205/55 ZR 16", "p205/55r16"} {
		s, err := ParseSize(text)
		if err != nil || !near(s.DiameterMM(), 631.9, 1e-9) || !near(s.RollingMM(), 1927.295, 1e-9) || s.String() != "205/55 R16" {
			t.Errorf("%q: %v, %v mm, %v", text, s, s.DiameterMM(), err)
		}
	}
	// 225/45 R17 on that car: 431.8 + 202.5 = 634.3 mm; at 100 shown it runs 100.38. 195/65 R15: 634.5 mm.
	own, other := Size{205, 55, 16}, Size{225, 45, 17}
	if v, err := TrueSpeed(own, other, 100); err != nil || !near(v, 100*634.3/631.9, 1e-9) {
		t.Errorf("%v, %v", v, err)
	}
	if least, most := MayShow(100); least != 100 || most != 114 {
		t.Errorf("may show %v to %v", least, most)
	}
	for _, bad := range []string{"", "205", "205/55", "205/55 16", "155 R13", "2050/55 R16", "205/5 R16", "205/55 R6", "205/55 R", "a/b Rc", "205/55 R1.6.1"} {
		if s, err := ParseSize(bad); err == nil || s != (Size{}) {
			t.Errorf("%q is %v", bad, s)
		}
	}
	if _, err := TrueSpeed(Size{}, own, 50); err == nil {
		t.Error("no size has a speed")
	}
}

func TestPressure(t *testing.T) {
	// Set to 2.3 bar at 20 degC at sea level, driven up to 2000 m (0.795 bar of air): 2.3 + 1.01325 - 0.795 = 2.518.
	got, err := PressureAt(2.3, Air{20, 0}, Air{20, 2000})
	if err != nil || !near(got, 2.518, 0.001) {
		t.Errorf("%v, %v", got, err)
	}
	for _, bad := range []Air{{-61, 0}, {121, 0}, {20, -600}, {20, 12000}, {math.NaN(), 0}} {
		if p, err := PressureAt(2.3, Air{20, 0}, bad); err == nil || p != 0 {
			t.Errorf("%+v: %v", bad, p)
		}
	}
	if _, err := PressureAt(11, Air{}, Air{}); err == nil {
		t.Error("11 bar")
	}
}

func TestTread(t *testing.T) {
	// 4.8 mm of 8 mm to the limit of 1.6: 3.2 of 6.4 mm, half.
	if got, err := ShareLeft(4.8, 8, 1.6); err != nil || !near(got, 0.5, 1e-12) {
		t.Errorf("%v, %v", got, err)
	}
	if got, err := ShareLeft(1, 8, 1.6); err != nil || got != 0 {
		t.Errorf("below the limit: %v, %v", got, err)
	}
	if !near(In32(4.7625), 6, 1e-12) { // 6/32 in = 4.7625 mm
		t.Error(In32(4.7625))
	}
	for _, c := range []struct {
		mm         float64
		winter, us bool
		want       verdict.Verdict
	}{
		{1.5, false, false, verdict.Unsafe}, {1.59, false, true, verdict.Watch}, {1.5, false, true, verdict.Overdue}, {1.6, false, false, verdict.Watch},
		{2.9, false, false, verdict.Watch}, {3, false, false, verdict.Sound}, {3.5, true, false, verdict.Watch}, {4, true, false, verdict.Sound},
	} {
		if got, err := JudgeTread(c.mm, c.winter, c.us); err != nil || got != c.want {
			t.Errorf("%+v: %s, %v", c, got, err)
		}
	}
	for _, bad := range [][3]float64{{9, 8, 1.6}, {5, 1, 1.6}, {-1, 8, 1.6}, {5, 30, 1.6}, {math.NaN(), 8, 1.6}} {
		if v, err := ShareLeft(bad[0], bad[1], bad[2]); err == nil || v != 0 {
			t.Errorf("%v: %v", bad, v)
		}
	}
	if v, err := JudgeTread(26, false, false); err == nil || v != "" {
		t.Errorf("26 mm: %v", v)
	}
}

func TestSumsProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := rapid.Float64Range(0, 6).Draw(t, "bar")
		a := Air{rapid.Float64Range(-40, 80).Draw(t, "a"), rapid.Float64Range(0, 3000).Draw(t, "ha")}
		b := Air{rapid.Float64Range(-40, 80).Draw(t, "b"), rapid.Float64Range(0, 3000).Draw(t, "hb")}
		q, err := PressureAt(p, a, b)
		if err != nil {
			t.Fatal(err)
		}
		if q >= 0 && q <= 10 {
			if back, err := PressureAt(q, b, a); err != nil || !near(back, p, 1e-9) {
				t.Fatalf("%v becomes %v becomes %v (%v)", p, q, back, err)
			}
		}
		if warmer, _ := PressureAt(p, a, Air{b.DegC + 5, b.Metres}); warmer <= q {
			t.Fatalf("warmer is lower: %v, %v", q, warmer)
		}
		kg := rapid.Float64Range(1, 1400).Draw(t, "kg")
		i, err := IndexFor(kg)
		if err != nil {
			t.Fatal(err)
		}
		if c, _ := LoadKg(i); c < kg {
			t.Fatalf("index %d carries %v, not %v", i, c, kg)
		}
		if i > 60 {
			if c, _ := LoadKg(i - 1); c >= kg {
				t.Fatalf("index %d would do for %v", i-1, kg)
			}
		}
		s := Size{float64(rapid.IntRange(21, 80).Draw(t, "w") * 5), float64(rapid.IntRange(5, 17).Draw(t, "a5") * 5), float64(rapid.IntRange(10, 24).Draw(t, "rim"))}
		if again, err := ParseSize(s.String()); err != nil || again != s {
			t.Fatalf("%s is read back as %v, %v", s, again, err)
		}
		v, _ := TrueSpeed(s, Size{205, 55, 16}, 100)
		w, _ := TrueSpeed(Size{205, 55, 16}, s, v)
		if !near(w, 100, 1e-9) {
			t.Fatalf("100 there %v, back %v", v, w)
		}
	})
}

func FuzzParseSize(f *testing.F) {
	for _, s := range []string{"205/55 R16", "195/65ZR15 91H", "LT215/75R15", "1/2R3"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		size, err := ParseSize(s)
		if err != nil {
			return
		}
		if again, err := ParseSize(size.String()); err != nil || again != size || size.DiameterMM() < 300 {
			t.Fatalf("%q is %v, read back as %v, %v", s, size, again, err)
		}
	})
}

// TestStandardSums reproduces the verified and computed rows of the tyre table that are sums: the load-index and speed
// tables whole, pressures, tread. Date codes are in TestStandardTable.
func TestStandardSums(t *testing.T) {
	loads, symbols, others := 0, 0, 0
	rows := tyreRows(t)
	for _, r := range rows {
		id, topic, item, quantity, value := r[0], r[1], r[2], r[3], r[4]
		want, _ := strconv.ParseFloat(value, 64)
		words := strings.FieldsFunc(quantity, func(c rune) bool { return c == ' ' || c == ',' })
		num := func(i int) float64 { v, _ := strconv.ParseFloat(words[i], 64); return v }
		switch {
		case topic == "load index":
			i, _ := strconv.Atoi(item)
			if got, err := LoadKg(i); err != nil || got != want {
				t.Errorf("%s index %d: %v, %v; want %v", id, i, got, err, want)
			}
			loads++
		case topic == "speed symbol" && len(item) == 1:
			if got, err := SpeedKmh(item[0]); err != nil || got != want {
				t.Errorf("%s symbol %s: %v, %v; want %v", id, item, got, err, want)
			}
			symbols++
		case id == "TY-096":
			v, err1 := Service{91, 'V'}.LoadAt(240)
			w, err2 := Service{91, 'W'}.LoadAt(270)
			if err1 != nil || err2 != nil || !near(v/615, 0.91, 1e-12) || !near(w/615, 0.85, 1e-12) {
				t.Errorf("%s: %v, %v (%v, %v)", id, v, w, err1, err2)
			}
			others++
		case id == "TY-097":
			if kmh, _ := SpeedKmh('Q'); !strings.HasPrefix(value, strconv.Itoa(int(kmh))) {
				t.Errorf("%s: Q is %v, want %s", id, kmh, value)
			}
			others++
		case topic == "pressure" && item == "worked example": // "2.3 bar gauge set at 20 deg C, read at -10 deg C"
			got, err := PressureAt(num(0), Air{num(5), 0}, Air{num(10), 0})
			if err != nil || !near(got, want, 0.0005) {
				t.Errorf("%s: %v, %v; want %v", id, got, err, want)
			}
			others++
		case id == "TY-001" || id == "TY-002": // the number of digits: one of that many is a date code, one more is none
			code := "1217"[:int(num0(value))]
			if _, err := ParseDate(code); err != nil || len(Made{Year: 1991, Week: 3}.Code()) != 3 || len(Made{Year: 2017, Week: 12, Stated: true}.Code()) != 4 {
				t.Errorf("%s: %q is no date code: %v", id, code, err)
			}
			others++
		case topic == "tread depth unit":
			n, _ := strconv.ParseFloat(strings.Split(item, "/")[0], 64)
			if !near(n*MM32, want, 0.0051) || !near(In32(n*MM32), n, 1e-12) {
				t.Errorf("%s: %v, want %v", id, n*MM32, want)
			}
			others++
		}
	}
	if rows != nil && (loads != 61 || symbols != 13 || others != 16) {
		t.Errorf("%d loads, %d symbols, %d others; expected 61, 13 and 16", loads, symbols, others)
	}
}

// num0 reads a whole number.
func num0(s string) float64 {
	v, _ := strconv.ParseFloat(s, 64)
	return v
}

// definitions are verified rows of the tyre table that define what is moulded or who is exempt: no sum gives them.
var definitions = []string{"TY-003", "TY-004", "TY-007", "TY-008", "TY-009", "TY-020"}

// TestEveryVerifiedRowIsAccountedFor keeps a new row from slipping through.
func TestEveryVerifiedRowIsAccountedFor(t *testing.T) {
	for _, r := range tyreRows(t) {
		covered := r[1] == "load index" || r[1] == "speed symbol" || slices.Contains([]string{"TY-001", "TY-002", "TY-096", "TY-097"}, r[0])
		if r[8] == "verified" && !covered && !slices.Contains(definitions, r[0]) {
			t.Errorf("%s %s %s is not checked by anything", r[0], r[1], r[2])
		}
	}
}

func TestSumsAllocateNothing(t *testing.T) {
	if n := testing.AllocsPerRun(100, func() {
		_, _ = PressureAt(2.3, Air{20, 0}, Air{-10, 500})
		_, _ = Fits(Service{91, 'V'}, 1100, 205, false)
		_, _ = TrueSpeed(Size{205, 55, 16}, Size{225, 45, 17}, 100)
	}); n != 0 {
		t.Errorf("%v allocations", n)
	}
}

// Budget of each: 2 microseconds, no allocation.
func BenchmarkPressureAt(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		_, _ = PressureAt(2.3, Air{20, 0}, Air{-10, 500})
	}
}

// Budget: 2 microseconds.
func BenchmarkParseSize(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		_, _ = ParseSize("205/55 R16")
	}
}
