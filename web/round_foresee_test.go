package web

import (
	"net/http"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"witnessmark/shop"
)

// foreseenAt reads what a page expects of a field.
func foreseenAt(t *testing.T, page, name string) (words string, low, high float64) {
	t.Helper()
	m := regexp.MustCompile(`name="` + regexp.QuoteMeta(name) + `"[^>]*data-likely="([^"]*)" data-low="([^"]*)" data-high="([^"]*)"`).FindStringSubmatch(page)
	if m == nil {
		t.Fatalf("nothing is expected of %s", name)
	}
	low, err1 := strconv.ParseFloat(m[2], 64)
	high, err2 := strconv.ParseFloat(m[3], 64)
	if err1 != nil || err2 != nil || !(low < high) {
		t.Fatalf("%s is expected between %q and %q", name, m[2], m[3])
	}
	return m[1], low, high
}

// Beside each measured entry stand the range expected today and the last reading, in the car's units.
func TestRoundSaysWhatIsExpected(t *testing.T) {
	for units, last := range map[string]string{"metric": "7.5", "us": "9.4"} { // 7.5 mm is 9.4 thirty-seconds of an inch (25.4 mm by definition)
		b := newBench(t, units)
		page := b.get("/points/pad-thickness").Body.String()
		words, low, high := foreseenAt(t, page, "num|pad-thickness|FL/inner|mm")
		if was, _ := strconv.ParseFloat(last, 64); high > was*1.1 || low > was {
			t.Errorf("%s: expected %v to %v after %v", units, low, high, was)
		}
		wants(t, page, `<small class="likely"`, words+"</small>", `<span class="w">last </span>`+last, "expected today ", "new ", "limit ")
		lacks(t, page, "NaN", "Inf")
	}
}

// A value outside all that was to be expected is asked about, kept in its field, and stored once it is confirmed.
func TestRoundAsksAboutTheUnexpected(t *testing.T) {
	b := newBench(t, "metric")
	set := map[string]string{"num|pad-thickness|FL/inner|mm": "11.5", "do": "save"}
	a := b.answer("pad-thickness", set)
	if a.code != http.StatusUnprocessableEntity || b.facts("pad-thickness") != 0 {
		t.Fatalf("%d, %d stored", a.code, b.facts("pad-thickness"))
	}
	wants(t, a.page, "Is this right?", "Front left, inner: ", "is not what was to be expected", `value="11.5"`, `name="confirmed" value="1"`)
	set["confirmed"] = "1"
	if a = b.answer("pad-thickness", set); a.code != http.StatusSeeOther || b.step("pad-thickness").Current["FL/inner"].Values["mm"] != 11.5 {
		t.Errorf("confirmed: %d, %+v", a.code, b.step("pad-thickness").Current)
	}
}

// After an entry the page says what it means for what comes, with the verdict's word and the range.
func TestRoundSaysWhatFollows(t *testing.T) {
	b := newBench(t, "metric")
	form := map[string]string{"do": "save"}
	for _, at := range []string{"FL/inner", "FL/outer", "FR/inner", "FR/outer"} {
		form["num|pad-thickness|"+at+"|mm"] = "3.9"
	}
	form["num|pad-thickness|FR/outer|mm"] = "3.6"
	a := b.answer("pad-thickness", form)
	if a.code != http.StatusSeeOther {
		t.Fatalf("%d %s", a.code, a.page)
	}
	page := b.get(strings.TrimPrefix(a.where, b.path(""))).Body.String()
	said := regexp.MustCompile(`(?s)class="saved".*?</form>`).FindString(page)
	wants(t, said, `class="forecast"`, "<b>Watch, front right, outer first.</b>", "reaches 3.0", "8 in 10")
	lacks(t, said, "NaN", "safe")
}

// A condition says how long ago the thing was renewed that it is looked at for.
func TestRoundSaysWhenItWasRenewed(t *testing.T) {
	b := newBench(t, "metric")
	lacks(t, b.get("/points/brake-fluid-look").Body.String(), "Renewed ")
	b.must(b.shop.AddRenewal(t.Context(), shop.RenewalInput{ID: b.shop.NewID(), CarID: b.car, Item: "brake-fluid", On: "2025-10-02", Km: "182000 km", By: "AB"}))
	wants(t, b.get("/points/brake-fluid-look").Body.String(), "Renewed 14\u202f200\u00a0km ago.", "Last time: clear and pale")
}

func TestFromTo(t *testing.T) {
	for _, c := range [][3]string{{"4.1", "4.9", "4.1–4.9"}, {"4.1", "4.1", "4.1"}, {"-31", "-28", "-31 to -28"}, {"0", "2", "0–2"}} {
		if got := fromTo(c[0], c[1]); got != c[2] {
			t.Errorf("%s, %s: %q, expected %q", c[0], c[1], got, c[2])
		}
	}
}
