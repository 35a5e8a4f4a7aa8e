package web

import (
	"html"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"witnessmark/core/sums"
	"witnessmark/core/verdict"
)

func TestEverySumStandsUnderOneHeading(t *testing.T) {
	count := map[string]int{}
	for _, g := range groupSums(sums.All()) {
		if g.Title == "Further sums" {
			t.Errorf("%d sums have no heading", len(g.Sums))
		}
		for _, s := range g.Sums {
			count[s.Name]++
		}
	}
	named := 0
	for _, g := range sumGroups {
		named += len(g.names)
	}
	if len(count) != len(sums.All()) || named != len(sums.All()) {
		t.Errorf("%d of %d sums are listed, %d names", len(count), len(sums.All()), named)
	}
	lone := append(sums.All(), sums.Sum{Name: "new-one"})
	if got := groupSums(lone); got[len(got)-1].Title != "Further sums" {
		t.Error("a sum without a heading is out of reach")
	}
	b := newBench(t, "metric")
	page := b.page("/sums").Body.String()
	for _, s := range sums.All() {
		wants(t, page, `href="/sums/`+s.Name+`"`, html.EscapeString(s.Title))
	}
	wants(t, b.page("/").Body.String(), `href="/sums"`)
}

// Each page offers its example, and the example gives an answer with source and caution.
func TestSumPages(t *testing.T) {
	b := newBench(t, "metric")
	for _, s := range sums.All() {
		t.Run(s.Name, func(t *testing.T) {
			empty := b.page("/sums/" + s.Name)
			text := html.UnescapeString(empty.Body.String())
			if empty.Code != http.StatusOK {
				t.Fatalf("%d", empty.Code)
			}
			wants(t, text, "try the example", s.Caution, s.Source, exampleURL(s), `action="/sums/`+s.Name+`#result"`)
			lacks(t, text, "Please look again", "data-said")
			for _, k := range s.Keys {
				wants(t, text, `name="`+k.Name+`"`, k.Title)
			}
			full := b.page(strings.TrimSuffix(exampleURL(s), "#result"))
			text = html.UnescapeString(full.Body.String())
			if full.Code != http.StatusOK {
				t.Fatalf("example: %d", full.Code)
			}
			args := map[string]string{}
			for _, a := range s.Arguments() {
				args[a.Key] = a.Value
			}
			r, err := s.Run(args)
			b.must(err)
			wants(t, text, "data-said", s.Caution, "Source: "+r.Source)
			lacks(t, text, "Please look again")
			for _, f := range r.Fields {
				if f.Name == "why" || f.Name == "verdict" || strings.HasPrefix(f.Name, "last_") {
					continue
				}
				wants(t, text, ">"+s.Output(f.Name).WithUnit(f.Value)+"<")
			}
			for _, a := range s.Arguments() {
				wants(t, text, `value="`+a.Value+`"`)
			}
			if sumDrawings[s.Name] != nil {
				wants(t, text, `class="sumdraw"`)
				lacks(t, text, "NaN", "Inf")
			}
		})
	}
	for name := range sumDrawings {
		if _, ok := sums.Find(name); !ok {
			t.Errorf("a drawing for %s, which is no sum", name)
		}
	}
}

// Answers worked by hand: see the scenarios of the register.
func TestSumAnswers(t *testing.T) {
	b := newBench(t, "metric")
	for _, c := range []struct{ path, want string }{
		{"coolant-freeze?glycol=ethylene&volume=50%25", "<dd>−37 °C</dd>"},
		{"coolant-mix?glycol=ethylene&capacity=7.5L&now=-20C&drain=4L&target=-37C", "<dd>2.519 L</dd>"},
		{"fluid-exchange?capacity=9L&drain=4L&times=3", "<dd>0.1715 (17.15 %)</dd>"},
		{"brake-fluid?class=DOT+4&boiling=150C", "Overdue"},
		{"oil-viscosity?v40=73.3&v100=8.86&at=70C", "<dd>20.92 mm²/s</dd>"},
		{"battery-charge?type=flooded&volts=12.45V&at=80F", "<dd>75 %</dd>"},
		{"tyre-age?code=1217&on=2026-03-21", "<dd>2017-W12</dd>"},
		{"tyre-pressure?set=2.3bar&at=20C&now=-10C", "<dd>1.961 bar</dd>"},
		{"tread?depth=5/32in&season=winter", "Watch"},
		{"toe?mm=2mm&diameter=400mm", "<dd>0.2865°</dd>"},
		{"steering-play?wheel=16in&play=52mm", "<dd>50.8 mm</dd>"},
		{"vin?vin=1M8GDM9AXKP042788", "<dd>1989</dd>"},
	} {
		wants(t, html.UnescapeString(b.page("/sums/"+c.path).Body.String()), c.want)
	}
}

// What cannot be used is told in two places in the label's words, and what was typed stays.
func TestSumKeepsWhatWasTyped(t *testing.T) {
	b := newBench(t, "metric")
	for _, c := range []struct {
		query string
		wants []string
	}{
		{"coolant-mix?glycol=propylene&capacity=7.5&now=-20&drain=4L&target=", []string{"“7.5” lacks its unit. Write it behind: 7.5L, 7.5qt, 7.5gal or 7.5mL.", "“-20” lacks its unit. Write it behind: -20C or -20F.",
			"This is missing. Expected a number in °C or °F, such as -37C.", `value="propylene" checked`, `value="7.5"`, `value="-20"`, `value="4L"`, ">Capacity of the system: “7.5”", `href="#f-now"`, `id="f-now-error"`, `aria-invalid="true"`}},
		{"coolant-mix?glycol=ethylene&capacity=7.5L&now=5C&drain=4L&target=-37C", []string{">Protects now to: ", `id="f-now-error"`, `value="5C"`}},
		{"coolant-freeze?glycol=ethylene&volume=50%25&mass=50%25", []string{"Only one of these can be used at a time: “Share by volume”, “Share by mass”.", `id="f-volume-error"`}},
		{"coolant-freeze?glycol=ethylene&volume=&mass=", []string{"One of these is needed: “Share by volume”, “Share by mass”."}},
		{"brake-fluid?class=DOT+4", []string{"At least one of these is needed"}},
		{"brake-fluid?class=DOT+9&boiling=150C", []string{">Class on the cap: ", `value="DOT 9"`}},
		{"tyre-load?service=91V&axle=1050&top=205", []string{"“1050” lacks its unit. Write it behind: 1050kg, 1050t or 1050lb.", "“205” lacks its unit. Write it behind: 205km/h or 205mph."}},
		{"tyre-age?code=1217&on=yesterday", []string{"“yesterday” can't be read. Expected a day, such as 2026-03-21."}},
		{"toe?mm=%3Cscript%3E&diameter=400mm", []string{"“<script>” can't be read."}},
		{"tread?depth=1mm&season=summer&new=1mm", []string{"Please look again"}},
	} {
		w := b.page("/sums/" + c.query)
		if w.Code != http.StatusUnprocessableEntity {
			t.Errorf("%s: %d", c.query, w.Code)
		}
		lacks(t, w.Body.String(), "<script>”", "data-said")
		page := html.UnescapeString(w.Body.String())
		wants(t, page, append(c.wants, "Please look again: ", `id="problems"`)...)
	}
}

func TestUnknownSum(t *testing.T) {
	b := newBench(t, "metric")
	for _, path := range []string{"/sums/none", "/sums/none?part=answer"} {
		w := b.page(path)
		if w.Code != http.StatusNotFound {
			t.Errorf("%s: %d", path, w.Code)
		}
		wants(t, w.Body.String(), "There is no such sum")
	}
}

// While somebody types, only the answer is sent; a half-filled form is no mistake.
func TestSumPart(t *testing.T) {
	b := newBench(t, "metric")
	w := b.page("/sums/tread?part=answer&depth=5mm&season=&market=eu")
	wants(t, w.Body.String(), "No answer yet", `Still to come: <a href="#f-season">season</a>`)
	lacks(t, w.Body.String(), "<html", "Please look again")
	w = b.page("/sums/tread?part=answer&depth=5&season=summer&market=eu")
	wants(t, w.Body.String(), "lacks its unit")
	w = b.page("/sums/tread?part=answer&depth=5mm&season=summer&market=eu")
	if w.Code != http.StatusOK || !strings.Contains(w.Header().Get("Content-Type"), "text/html") {
		t.Errorf("%d %v", w.Code, w.Header())
	}
	wants(t, w.Body.String(), `data-said="Verdict: sound. In mm: 5 mm.`, "Sound", `class="sumdraw"`)
	lacks(t, w.Body.String(), "<html", "<form")
	w = b.page("/sums/vin?part=answer&vin=1M8GDM9AXKPO42788")
	wants(t, html.UnescapeString(w.Body.String()), `<dd class="long">the letter O at place 12`, "<dt>Well formed</dt><dd>no</dd>")
	lacks(t, w.Body.String(), "<dd></dd>", "belongs to it")
}

// Whatever is typed in one entry is answered or refused with a page; nothing falls over, and no drawing has holes.
func FuzzSumPage(f *testing.F) {
	for i, s := range sums.All() {
		for _, k := range s.Keys {
			f.Add(i, k.Name, k.Example)
			f.Add(i, k.Name, "0")
		}
	}
	f.Fuzz(func(t *testing.T, i int, key, value string) {
		all := sums.All()
		s := all[((i%len(all))+len(all))%len(all)]
		args := map[string]string{}
		for _, a := range s.Arguments() {
			args[a.Key] = a.Value
		}
		args[key] = value
		q := url.Values{}
		for k, v := range args {
			q.Set(k, v)
		}
		typed, asked := sumArgs(s, q)
		a, problems := answerSum(s, typed, asked)
		if a.OK() == (len(problems) > 0) {
			t.Fatalf("%s %v: ok %v and %v", s.Name, args, a.OK(), problems)
		}
		if d := string(a.Drawing); strings.Contains(d, "NaN") || strings.Contains(d, "Inf") {
			t.Fatalf("%s %v: %s", s.Name, args, d)
		}
		if a.Verdict != "" && a.Verdict.Place() < 0 && a.Verdict != verdict.Unjudged {
			t.Fatalf("%s: no verdict %q", s.Name, a.Verdict)
		}
		for _, p := range problems {
			if p.Text == "" || p.Field != sumWhole && a.Label(p.Field) == "" {
				t.Fatalf("%s %v: %+v", s.Name, args, p)
			}
		}
	})
}
