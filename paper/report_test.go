package paper

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"
	"testing"
	"time"

	"witnessmark/core/verdict"
	"witnessmark/shop"

	"pgregory.net/rapid"
)

func TestReportReadsAsItShould(t *testing.T) {
	golden(t, "report.txt", strings.Join(pages(t, reportPDF(t, sampleReport())), "--- next page\n"))
}

func TestReportIsReproducible(t *testing.T) {
	home := time.Local
	defer func() { time.Local = home }()
	first := reportPDF(t, sampleReport())
	for i := range 4 {
		time.Local = time.FixedZone("elsewhere", 3600*(i*5-9))
		if !bytes.Equal(first, reportPDF(t, sampleReport())) {
			t.Fatal("the same report gave other bytes")
		}
	}
	if !bytes.Contains(first, []byte("/CreationDate (D:20260321000000")) {
		t.Error("the document was not made on the day of the round")
	}
}

func TestReportSaysWhatItIs(t *testing.T) {
	pdf := reportPDF(t, sampleReport())
	info := string(tool(t, pdf, "pdfinfo", "IN"))
	for _, s := range []string{"What we found on your car, XQ 417 KD, 21 March 2026", "Quarry Lane Garage", "Page size:       595.28 x 841.89 pts (A4)"} {
		if !strings.Contains(info, s) {
			t.Errorf("the document does not say %q:\n%s", s, info)
		}
	}
	if !bytes.Contains(pdf, []byte("/Lang (en-GB)")) {
		t.Error("the document does not say its language")
	}
}

func TestReportWithNothingInIt(t *testing.T) {
	text := flat(t, reportPDF(t, &shop.Report{}))
	for _, s := range []string{"Nothing that was looked at asks for anything now.", "no place is unjudged", "no place is not looked at", "page 1 of 1", shop.Promise} {
		if !strings.Contains(text, s) {
			t.Errorf("%q is missing in %q", s, text)
		}
	}
	if strings.Contains(text, "Looked at and sound") {
		t.Error("an empty list of sound things has a heading")
	}
}

// TestReportNeverCallsACarSafe: wherever the word stands, it stands in the sentence that denies it.
func TestReportNeverCallsACarSafe(t *testing.T) {
	for name, r := range map[string]*shop.Report{"full": sampleReport(), "empty": {}} {
		text := strings.ReplaceAll(flat(t, reportPDF(t, r)), "unsafe", "")
		if !strings.Contains(text, shop.Promise) {
			t.Errorf("%s: the promise is missing", name)
		}
		for i, part := range strings.Split(text, "safe")[:strings.Count(text, "safe")] {
			if !strings.HasSuffix(part, "does not say that a car is ") && !strings.HasSuffix(part, "does not say that the car is ") {
				t.Errorf("%s: occurrence %d of the word follows %q", name, i, part[max(0, len(part)-40):])
			}
		}
	}
}

// TestHeadingsStayWithTheirText moves a section down the page line by line: its heading is never alone at a foot.
func TestHeadingsStayWithTheirText(t *testing.T) {
	for lines := 14; lines < 48; lines++ {
		r := &shop.Report{Sections: []shop.ReportSection{
			{Title: "First", Verdict: verdict.Due, Saw: make([]string, lines)},
			{Title: "Second", Verdict: verdict.Watch, Saw: []string{"opening words of the second"}},
		}, Unjudged: []shop.ReportLine{{What: "third thing", Reason: "reason of the third"}}}
		for i := range lines {
			r.Sections[0].Saw[i] = fmt.Sprint("filler ", i)
		}
		for i, p := range pages(t, reportPDF(t, r)) {
			if strings.Contains(p, "Second: watch") != strings.Contains(p, "opening words of the second") {
				t.Errorf("%d lines: page %d splits the second section's heading from its text", lines, i+1)
			}
			if strings.Contains(p, "no verdict is possible") != strings.Contains(p, "third thing") || strings.Contains(p, "third thing") != strings.Contains(p, "reason of the third") {
				t.Errorf("%d lines: page %d splits a list's heading from its first line", lines, i+1)
			}
		}
	}
}

func TestPhotosThatCanNotBeShown(t *testing.T) {
	r := &shop.Report{Sections: []shop.ReportSection{{Title: "Hose", Verdict: verdict.Due, Photos: []string{"gone", "bad", "fluid"}}}}
	text := flat(t, reportPDF(t, r))
	if got := strings.Count(text, "This photo can't be"); got != 2 {
		t.Errorf("%d photos are said to be missing, expected 2: %s", got, text)
	}
	var b bytes.Buffer
	if err := Report(&b, r, nil); err != nil {
		t.Errorf("without a place for photos: %v", err)
	}
}

// opened counts what is open.
type opened struct {
	io.ReadCloser
	count *int
}

func (o opened) Close() error { *o.count--; return o.ReadCloser.Close() }

func TestEachPhotoIsOpenedOnceAndClosed(t *testing.T) {
	times, open := map[string]int{}, 0
	r := sampleReport()
	r.Sections = append(r.Sections, r.Sections[0])
	err := Report(io.Discard, r, func(hash string) (io.ReadCloser, error) {
		times[hash]++
		f, err := samplePhotos(hash)
		if err == nil {
			open++
		}
		return opened{f, &open}, err
	})
	if err != nil || open != 0 {
		t.Errorf("%v, %d left open", err, open)
	}
	for hash, n := range times {
		if n != 1 {
			t.Errorf("%s was opened %d times", hash, n)
		}
	}
	if times["fourth"] != 0 {
		t.Error("a photo that is not shown was opened")
	}
}

func TestReportPassesOnAFullDisk(t *testing.T) {
	full := errors.New("disk full")
	if err := Report(failing{full}, sampleReport(), samplePhotos); !errors.Is(err, full) {
		t.Errorf("%v, expected the writer's error", err)
	}
}

type failing struct{ err error }

func (f failing) Write([]byte) (int, error) { return 0, f.err }

// anyText draws ordinary, strange, long and unbroken texts.
func anyText(long int) *rapid.Generator[string] {
	words := rapid.Map(rapid.SliceOfN(rapid.StringMatching(`[a-zäß≤µ]{1,20}`), 0, long/12), func(w []string) string { return strings.Join(w, " ") })
	wide := rapid.Map(rapid.IntRange(0, long), func(n int) string { return strings.Repeat("W", n) })
	return rapid.OneOf(rapid.String(), words, wide, rapid.SampledFrom([]string{"", "2026-03-21", "us", "watch", "unsafe"}))
}

// TestReportTakesAnyText: whatever stands in the texts, however long, the document is made and stays above the title
// block.
func TestReportTakesAnyText(t *testing.T) {
	text := anyText(2000)
	rapid.Check(t, func(rt *rapid.T) {
		s := func(name string) string { return text.Draw(rt, name) }
		r := &shop.Report{
			Workshop: s("workshop"), ByWords: s("by"), Catalogue: s("catalogue"),
			Car:   shop.CarVersion{Plate: s("plate"), Description: s("description"), Owner: shop.Owner{Name: s("owner")}, FirstRegistered: s("registered"), Units: s("units")},
			Round: shop.RoundFact{On: s("on"), Km: rapid.Float64().Draw(rt, "km")},
			Sections: []shop.ReportSection{{Title: s("title"), Verdict: verdict.Verdict(s("verdict")), Saw: []string{s("saw"), s("saw too")}, Means: s("means"), Wait: s("wait"), ToDo: []string{s("to do")},
				ByWhen: s("when"), Limit: s("limit"), Category: s("category"), Recheck: s("recheck"), Cautions: []string{s("caution")}, Photos: []string{"fourth", s("photo")}}},
			Sound: []string{s("sound")}, NextLook: s("next look"), Ahead: []shop.AheadLine{{Title: s("ahead"), Text: s("comes"), Ten: rapid.IntRange(-3, 14).Draw(rt, "ten"), TenText: s("ten"), Look: s("look")}},
			Unjudged: []shop.ReportLine{{What: s("what"), Reason: s("reason")}}, NotLooked: []shop.ReportLine{{What: s("what"), Reason: s("reason")}},
		}
		var a, b bytes.Buffer
		d := layReport(r, samplePhotos)
		if err := d.pdf.Output(&a); err != nil {
			rt.Fatal(err)
		}
		again := layReport(r, samplePhotos)
		if err := again.pdf.Output(&b); err != nil || !bytes.Equal(a.Bytes(), b.Bytes()) {
			rt.Fatalf("the second time: %v, or other bytes", err)
		}
		if d.lowest > blockTop {
			rt.Fatalf("text at %.1f mm runs into the title block", d.lowest)
		}
	})
}

// Budget, on a core with nothing else to do: 60 ms for a report without photos, 600 ms with six photos to fit for print.
func BenchmarkReport(b *testing.B) {
	for name, photos := range map[string]func(string) (io.ReadCloser, error){"without photos": nil, "with photos": cached(b)} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				if err := Report(io.Discard, sampleReport(), photos); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// cached makes the sample photos once, so that drawing them is not measured.
func cached(b *testing.B) func(string) (io.ReadCloser, error) {
	kept := map[string][]byte{}
	return func(hash string) (io.ReadCloser, error) {
		if _, ok := kept[hash]; !ok {
			r, err := samplePhotos(hash)
			if err != nil {
				return nil, err
			}
			if kept[hash], err = io.ReadAll(r); err != nil {
				b.Fatal(err)
			}
		}
		return io.NopCloser(bytes.NewReader(kept[hash])), nil
	}
}
