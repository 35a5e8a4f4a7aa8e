package storetest

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"witnessmark/shop"
)

func carIDs(rows []shop.CarRow) []string {
	return ids(rows, func(r shop.CarRow) string { return r.Car.CarID })
}

func testSearch(t *testing.T, open func(*testing.T) shop.Store) {
	s := open(t)
	other := car("v2", "c2", "QX 777")
	other.Car.VIN, other.Car.Description, other.Car.Owner = "", "Van, 100% electric_drive", shop.Owner{Name: "Li"}
	put(t, s, car("v1", "c1", "AB-12 CD"), other)
	for text, expected := range map[string]string{
		"": "c2 c1", "   ": "c2 c1", "-": "c2 c1",
		"ab-12 cd": "c1", "AB12CD": "c1", "ab 12": "c1", "12cd": "c1", "ab12 cd": "c1", "a b 1 2 c d": "c1",
		"wmx0000000c1": "c1", "0000c1": "c1", "ännchen": "c1", "ÄNNCHEN": "c1", "otuul": "c1", "O'Tuul-Brook": "c1", "tuul brook": "c1",
		"grey": "c1", "four door": "c1", "four-door": "c1", "1.6 litres grey": "c1", "50123": "c1", "+00 155": "c1", "a.tuul@example.org": "c1",
		"qx777": "c2", "Q-X-7": "c2", "van li": "c2", "100%": "c2", "electric_drive": "c2",
		"van grey": "", "ab13": "", "no such car": "", "%": "c2 c1", "_": "c2 c1", "q%7": "", "x_7": "c2", "q_777": "", "' OR 1=1 --": "",
	} {
		rows, n := list(t, s, shop.CarFilter{Text: text})
		if got := carIDs(rows); !equalSets(got, strings.Fields(expected)) || n != len(rows) {
			t.Errorf("%q finds %v (%d), not %q", text, got, n, expected)
		}
	}
	for _, text := range []string{strings.Repeat("x", 1000), strings.Join(numbered(100), " ")} {
		_, err := tryAsk(s, func(r shop.Reader) ([]shop.CarRow, error) {
			rows, _, err := r.Cars(context.Background(), shop.CarFilter{Text: text})
			return rows, err
		})
		wantInvalid(t, "a long text", err, "text")
	}
}

func numbered(n int) []string {
	var out []string
	for i := range n {
		out = append(out, fmt.Sprintf("w%03d", i))
	}
	return out
}

func equalSets(a, b []string) bool {
	if len(a) != len(b) {
		return false
	}
	for _, x := range a {
		if !strings.Contains(" "+strings.Join(b, " ")+" ", " "+x+" ") {
			return false
		}
	}
	return true
}

func testListOrder(t *testing.T, open func(*testing.T) shop.Store) {
	s := open(t)
	put(t, s, car("v1", "c1", "ZZ 1"), car("v2", "c2", "b 2"), car("v3", "c3", "A-3"), car("v4", "c4", "A 4"), car("v5", "c5", "M 5"),
		round("r1", "c1", "2026-03-21"), round("r5", "c5", "2026-03-22"), round("r0", "c5", "2020-01-01"))
	rows, n := list(t, s, shop.CarFilter{})
	want(t, "cars", carIDs(rows), []string{"c5", "c1", "c3", "c4", "c2"})
	want(t, "their number", n, 5)
	want(t, "the newest round", rows[0].LastRound.ID, "r5")
	if rows[2].LastRound != nil {
		t.Error("a car without a round has one")
	}
	put(t, s, round("r2", "c2", "2026-03-22"))
	rows, _ = list(t, s, shop.CarFilter{})
	want(t, "cars after another round of the day", carIDs(rows), []string{"c2", "c5", "c1", "c3", "c4"})
}

func testDay(t *testing.T, open func(*testing.T) shop.Store) {
	s := open(t)
	put(t, s, car("v1", "c1", "AA 1"), car("v2", "c2", "BB 2"), car("v3", "c3", "CC 3"), round("r1", "c1", "2026-03-21"),
		round("r2", "c1", "2026-03-21"), round("r3", "c2", "2026-03-21"), round("r4", "c2", "2026-03-22"), round("r5", "c3", "2026-03-22"))
	for _, c := range []struct {
		filter   shop.CarFilter
		expected []string
	}{
		{shop.CarFilter{Day: "2026-03-21"}, []string{"c2", "c1"}},
		{shop.CarFilter{Day: "2026-03-22"}, []string{"c3", "c2"}},
		{shop.CarFilter{Day: "2026-03-22", Text: "bb"}, []string{"c2"}},
		{shop.CarFilter{Day: "2026-03-22", Text: "aa"}, []string{}},
		{shop.CarFilter{Day: "2026-03"}, []string{}},
	} {
		rows, n := list(t, s, c.filter)
		want(t, fmt.Sprint(c.filter), carIDs(rows), c.expected)
		want(t, fmt.Sprint(c.filter), n, len(c.expected))
	}
}

func testPages(t *testing.T, open func(*testing.T) shop.Store) {
	s := open(t)
	var facts []shop.Fact
	for i, name := range numbered(60) {
		facts = append(facts, car("v"+name, "c"+name, "P "+name))
		if i%2 == 0 {
			facts = append(facts, round("r"+name, "c"+name, "2026-03-21"))
		}
	}
	put(t, s, facts...)
	all, n := list(t, s, shop.CarFilter{Limit: 1000})
	want(t, "all", len(all), 60)
	want(t, "their number", n, 60)
	for _, c := range []struct{ limit, offset, from, to int }{
		{0, 0, 0, 50}, {7, 0, 0, 7}, {7, 50, 50, 57}, {7, 57, 57, 60}, {7, 60, 60, 60}, {7, 1000, 60, 60}, {-1, -5, 0, 50},
	} {
		rows, n := list(t, s, shop.CarFilter{Limit: c.limit, Offset: c.offset})
		want(t, fmt.Sprint(c), carIDs(rows), carIDs(all[c.from:c.to]))
		want(t, "their number", n, 60)
	}
}

// testManyFound pages through a search that finds a large part of the cars, and through one that finds a few: both
// must give the order of the whole list.
func testManyFound(t *testing.T, open func(*testing.T) shop.Store) {
	s := open(t)
	var facts []shop.Fact
	var common, rare []string
	for i, name := range numbered(700) {
		c := car("v"+name, "c"+name, fmt.Sprintf("%d P %s", i%7, name))
		c.Car.Description = "common"
		if i%10 == 0 {
			c.Car.Description = "common rare"
		}
		facts = append(facts, c)
		if i%2 == 0 {
			facts = append(facts, round("r"+name, "c"+name, fmt.Sprintf("2026-03-%02d", 1+i%28)))
		}
	}
	put(t, s, facts...)
	all, _ := list(t, s, shop.CarFilter{Limit: 1000})
	for _, row := range all {
		common = append(common, row.Car.CarID)
		if strings.Contains(row.Car.Description, "rare") {
			rare = append(rare, row.Car.CarID)
		}
	}
	for text, expected := range map[string][]string{"common": common, "rare": rare} {
		var got []string
		for offset := 0; offset < len(expected); offset += 33 {
			rows, n := list(t, s, shop.CarFilter{Text: text, Limit: 33, Offset: offset})
			want(t, "the number found", n, len(expected))
			got = append(got, carIDs(rows)...)
		}
		want(t, "cars found by "+text, got, expected)
		rows, n := list(t, s, shop.CarFilter{Text: text, Offset: 5000})
		want(t, "cars past the end", len(rows), 0)
		want(t, "their number", n, len(expected))
	}
}
