package post_test

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/arran4/golang-ical"
	"pgregory.net/rapid"

	"witnessmark/post"
	"witnessmark/shop"
)

var update = flag.Bool("update", false, "write the golden files anew")

// sample has what is hard to write down: commas, semicolons, backslashes, several lines, letters of two, three and four bytes over the
// place where a line is folded.
func sample() *shop.Calendar {
	at := time.Date(2026, 11, 20, 8, 30, 15, 987e6, time.UTC)
	return &shop.Calendar{Name: "WM-4K 217: what is due; soon, perhaps", Entries: []shop.CalendarEntry{
		{Key: "owner/car-1/look/round-1", On: "2026-12-01", Summary: "WM-4K 217: Have the car looked at", Text: "Because of: brake pads, front left.\nForecasts can be wrong.", Changed: at},
		{Key: "owner/car-1/forecast/pads/FL/2024-02-29", On: "2027-02-28", Summary: "Bremsbeläge – vorne links; Größe \\ prüfen, 3 mm ≤ 4 mm 🔧🔧🔧🔧🔧🔧🔧🔧🔧🔧🔧🔧🔧🔧",
			Text: strings.Repeat("überprüfen 検査 ", 20), Changed: at.Add(time.Hour)},
		{Key: "owner/car-1/visit/d-1", On: "2026-12-31", Summary: "WM-4K 217: Visit at Bench", Text: "At the turn of the year", Changed: at.AddDate(0, 0, -3)},
	}}
}

func written(t testing.TB, c *shop.Calendar) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := post.Calendar(&b, c); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestCalendarIsAsWritten(t *testing.T) {
	got, name := written(t, sample()), filepath.Join("testdata", "sample.ics")
	if *update {
		if err := os.WriteFile(name, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("not the golden file:\n%s", got)
	}
}

// lines checks what RFC 5545, section 3.1, asks of every line: it ends with CR LF and has 75 octets at the most, and no letter is torn
// apart (the same section: "implementations might generate improperly folded lines" is what readers must bear, not what we write).
func lines(t interface {
	Errorf(string, ...any)
}, data []byte) {
	for i, l := range bytes.SplitAfter(data, []byte("\n")) {
		if len(l) == 0 {
			continue
		}
		if !bytes.HasSuffix(l, []byte("\r\n")) {
			t.Errorf("line %d ends without CR LF: %q", i+1, l)
		}
		if n := len(bytes.TrimSuffix(l, []byte("\r\n"))); n > 75 {
			t.Errorf("line %d has %d octets: %q", i+1, n, l)
		}
		if !utf8.Valid(l) {
			t.Errorf("line %d tears a letter apart: %q", i+1, l)
		}
	}
}

func TestCalendarLinesAreFolded(t *testing.T) { lines(t, written(t, sample())) }

func TestCalendarSaysItsRevision(t *testing.T) {
	text := string(written(t, sample()))
	for _, want := range []string{"METHOD:PUBLISH\r\n", "VERSION:2.0\r\n", "CALSCALE:GREGORIAN\r\n", "REFRESH-INTERVAL;VALUE=DURATION:PT4H\r\n",
		"DTSTART;VALUE=DATE:20261201\r\nDTEND;VALUE=DATE:20261202\r\n", "DTSTART;VALUE=DATE:20270228\r\nDTEND;VALUE=DATE:20270301\r\n",
		"DTSTART;VALUE=DATE:20261231\r\nDTEND;VALUE=DATE:20270101\r\n", "DTSTAMP:20261120T083015Z\r\nLAST-MODIFIED:20261120T083015Z\r\n",
		// 2020-01-01 to 2026-11-20 08:30:15 are 2515 days and 30615 seconds.
		"SEQUENCE:217326615\r\n", "TRANSP:TRANSPARENT\r\n"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is missing in\n%s", want, text)
		}
	}
	later := sample()
	later.Entries[0].Changed = later.Entries[0].Changed.Add(time.Second)
	if again := string(written(t, later)); !strings.Contains(again, "SEQUENCE:217326616\r\n") {
		t.Error("a revision a second later has no higher sequence")
	}
}

// Whatever stands in a calendar, it is read back as it was written.
func TestCalendarIsReadBack(t *testing.T) {
	text := rapid.StringOfN(rapid.RuneFrom([]rune("aé漢🔧 ,;:\\\"\n-Z0")), 0, 200, -1)
	rapid.Check(t, func(t *rapid.T) {
		c := &shop.Calendar{Name: text.Draw(t, "name")}
		for i := range rapid.IntRange(0, 4).Draw(t, "entries") {
			c.Entries = append(c.Entries, shop.CalendarEntry{Key: string(rune('a' + i)), On: "2026-12-24", Summary: text.Draw(t, "summary"), Text: text.Draw(t, "text"),
				Changed: time.Date(2026, 1, 2, 3, 4, 5, 0, time.UTC)})
		}
		var b bytes.Buffer
		if err := post.Calendar(&b, c); err != nil {
			t.Fatal(err)
		}
		lines(t, b.Bytes())
		back, err := ics.ParseCalendar(bytes.NewReader(b.Bytes()))
		if err != nil {
			t.Fatalf("%v\n%s", err, b.Bytes())
		}
		evs := back.Events()
		if len(evs) != len(c.Entries) {
			t.Fatalf("%d of %d events came back", len(evs), len(c.Entries))
		}
		seen := map[string]bool{}
		for i, ev := range evs {
			e := c.Entries[i]
			if got := ev.GetProperty(ics.ComponentPropertySummary).Value; got != e.Summary {
				t.Errorf("summary %q came back as %q", e.Summary, got)
			}
			if got := ev.GetProperty(ics.ComponentPropertyDescription).Value; got != e.Text {
				t.Errorf("text %q came back as %q", e.Text, got)
			}
			if seen[ev.Id()] {
				t.Errorf("two events with the UID %s", ev.Id())
			}
			seen[ev.Id()] = true
		}
	})
}

func TestCalendarRefusesADayThatIsNone(t *testing.T) {
	if err := post.Calendar(&bytes.Buffer{}, &shop.Calendar{Entries: []shop.CalendarEntry{{Key: "x", On: "soon"}}}); err == nil {
		t.Error("no error")
	}
}
