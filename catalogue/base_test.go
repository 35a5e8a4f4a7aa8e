package catalogue

import (
	"bufio"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"witnessmark/core/point"
	"witnessmark/core/round"
	"witnessmark/core/verdict"
)

func base(t testing.TB) *point.Catalogue {
	t.Helper()
	cat, err := Default()
	if err != nil {
		t.Fatal(err)
	}
	return cat
}

// TestRequiredPoints compares the catalogue with the list of points that a seasonal round must hold: every id, station,
// kind, state and position, and the facets that decide whether the point applies.
func TestRequiredPoints(t *testing.T) {
	cat := base(t)
	f, err := os.Open("testdata/required.txt")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	n := 0
	for lines := bufio.NewScanner(f); lines.Scan(); {
		line := lines.Text()
		if line == "" || line[0] == '#' {
			continue
		}
		n++
		c := strings.Split(line, " | ")
		if len(c) != 6 {
			t.Fatalf("%q has %d columns", line, len(c))
		}
		p := cat.Point(c[0])
		if p == nil {
			t.Errorf("there is no point %s", c[0])
			continue
		}
		if string(p.Station) != c[1] || string(p.Kind) != c[2] {
			t.Errorf("%s: station %s, kind %s; want %s, %s", p.ID, p.Station, p.Kind, c[1], c[2])
		}
		if got := taken(p); got != c[3] && !strings.HasPrefix(got, c[3]+" ") {
			t.Errorf("%s takes %s; want %s", p.ID, got, c[3])
		}
		if got := strings.Join(slots(cat, p, c[4]), " "); got != expand(c[4]) {
			t.Errorf("%s has positions %q; want %q", p.ID, got, expand(c[4]))
		}
		if got := strings.Join(p.Applies.Facets(), " "); got != c[5] && c[5] != "-" || c[5] == "-" && got != "" {
			t.Errorf("%s applies by %q; want %q", p.ID, got, c[5])
		}
	}
	if n < 75 {
		t.Errorf("only %d required points are listed", n)
	}
}

// taken lists what a point takes: its states, or the names of its values.
func taken(p *point.Point) string {
	var out []string
	switch p.Kind {
	case point.State, point.Level:
		for _, s := range p.States {
			out = append(out, s.ID)
		}
	case point.Measure:
		for _, v := range p.Values {
			out = append(out, v.Name)
		}
	default:
		return "-"
	}
	return strings.Join(out, " ")
}

// slots lists a point's positions on the car that has most of them.
func slots(cat *point.Catalogue, p *point.Point, want string) []string {
	given := map[string]string{}
	if want == "drums" {
		given["front-brakes"], given["rear-brakes"] = "drum", "drum"
	}
	if p.Positions.Count != "" && "count "+p.Positions.Count == want {
		return []string{want}
	}
	return p.Positions.Slots(round.Resolve(cat, given, "", time.Time{}))
}

func expand(s string) string {
	at, places, _ := strings.Cut(s, "/")
	bases := map[string]string{"-": "", "front": "FL FR", "rear": "RL RR", "axles": "F R", "corners": "FL FR RL RR", "drums": "FL FR RL RR",
		"corners+spare": "FL FR RL RR spare"}[at]
	if places == "" {
		if strings.HasPrefix(at, "count ") {
			return at
		}
		return bases
	}
	var out []string
	for _, b := range strings.Fields(bases) {
		for _, pl := range strings.Fields(places) {
			out = append(out, b+"/"+pl)
		}
	}
	return strings.Join(out, " ")
}

// TestCoverage: every item of the two regulations that counts has a point, computed and not asserted.
func TestCoverage(t *testing.T) {
	cov := Cover(base(t))
	if cov.Points < 150 {
		t.Errorf("%d points; want 150 or more", cov.Points)
	}
	if len(cov.Regulations) != 2 {
		t.Fatalf("%d regulations", len(cov.Regulations))
	}
	for _, r := range cov.Regulations {
		if len(r.Missing) > 0 || r.Covered != r.Items || r.Items < 15 {
			t.Errorf("%s: %d of %d items covered, missing %v", r.ID, r.Covered, r.Items, r.Missing)
		}
	}
}

// TestCoverageCanMiss: a catalogue without the horn lacks the item that only the horn covers.
func TestCoverageCanMiss(t *testing.T) {
	cat := *base(t)
	cat.Points = slices.DeleteFunc(slices.Clone(cat.Points), func(p *point.Point) bool { return p.ID == "horn" })
	for _, r := range Cover(&cat).Regulations {
		if strings.Contains(r.ID, "2014/45") && !slices.Contains(r.Missing, "7.7") {
			t.Errorf("without a horn %v is missing; want 7.7", r.Missing)
		}
	}
}

// TestEveryLimitIsNamed: each limit, state and renewal says where it comes from, and bad verdicts are followed by work.
func TestEveryLimitIsNamed(t *testing.T) {
	cat := base(t)
	for _, p := range cat.Points {
		for i, l := range p.Limits {
			if l.Source.From == "" || cat.Cite(l.Source) == "" {
				t.Errorf("%s, limit %d has no source", p.ID, i)
			}
			if l.Verdict.Place() >= verdict.Due.Place() && len(l.Jobs)+len(p.Jobs) == 0 {
				t.Errorf("%s, limit %d: %s and no job", p.ID, i, l.Verdict)
			}
		}
		for _, s := range p.States {
			if p.Source.From == "" && s.Source == nil {
				t.Errorf("%s %s has no source", p.ID, s.ID)
			}
			if s.Verdict.Place() >= verdict.Due.Place() && len(s.Jobs)+len(p.Jobs) == 0 {
				t.Errorf("%s %s: %s and no job", p.ID, s.ID, s.Verdict)
			}
		}
		if p.Kind == point.State && p.States[0].Verdict != verdict.Sound {
			t.Errorf("%s: its best state is %s", p.ID, p.States[0].Verdict)
		}
		if len(p.Positions.Groups) == 0 && len(p.Positions.Places) > 0 {
			t.Errorf("%s has places without positions", p.ID)
		}
	}
}

// States are listed best first, so verdicts of a state list never improve (levels have their best in the middle).
func TestStatesBestFirst(t *testing.T) {
	for _, p := range base(t).Points {
		for i := 1; p.Kind == point.State && i < len(p.States); i++ {
			if p.States[i-1].Verdict.Worse(p.States[i].Verdict) {
				t.Errorf("%s: %s (%s) stands before %s (%s)", p.ID, p.States[i-1].ID, p.States[i-1].Verdict, p.States[i].ID, p.States[i].Verdict)
			}
		}
	}
}

var (
	blanks = regexp.MustCompile(`  | [,.;:]|\.\.|\s$|^\s|\n`)
	// Words that are a mark of a maker, or American where the rest is British, or a promise that nobody can keep.
	unwanted = regexp.MustCompile(`(?i)adblue|teflon|wd-40|velcro|loctite|xenon|\btires?\b|\bcolor\b|\bgray\b|car is safe|safe car|perfectly safe`)
)

// TestTexts: sentences are sentences, in British spelling, without doubled blanks and without makers' marks.
func TestTexts(t *testing.T) {
	cat := base(t)
	sentence := func(where, s string) {
		if s == "" {
			return
		}
		if !strings.HasSuffix(s, ".") && !strings.HasSuffix(s, "?") || s[:1] != strings.ToUpper(s[:1]) {
			t.Errorf("%s is no sentence: %q", where, s)
		}
	}
	text := func(where, s string) {
		if blanks.MatchString(strings.TrimSuffix(s, "\n")) || unwanted.MatchString(s) {
			t.Errorf("%s: %q", where, s)
		}
	}
	for _, p := range cat.Points {
		for what, s := range map[string]string{"name": p.Name, "owner-name": p.OwnerName, "ask": p.Ask, "method": p.Method, "driveway-method": p.DrivewayMethod,
			"means": p.Means, "wait": p.Wait, "recheck": p.Recheck, "tool": p.Tool} {
			text(p.ID+" "+what, s)
		}
		if strings.HasSuffix(p.Name, ".") || !strings.HasSuffix(strings.TrimSpace(p.Ask), "?") {
			t.Errorf("%s: name %q ends in a full stop, or the question %q asks nothing", p.ID, p.Name, p.Ask)
		}
		for _, s := range []string{p.Method, p.DrivewayMethod, p.Means, p.Wait, p.Recheck} {
			sentence(p.ID, strings.TrimSpace(s))
		}
		for _, s := range p.States {
			sentence(p.ID+" "+s.ID, s.Why)
			sentence(p.ID+" "+s.ID, s.Means)
			sentence(p.ID+" "+s.ID, s.Wait)
			text(p.ID+" "+s.ID, s.Why+s.Say+s.Like+s.Means+s.Wait)
		}
		for _, l := range p.Limits {
			sentence(p.ID+" limit", l.Why)
			text(p.ID+" limit", l.Why)
		}
	}
	for id, j := range cat.Jobs {
		sentence("job "+id, j.Does)
		sentence("job "+id, j.Recheck)
		text("job "+id, j.Name+j.Does+j.Recheck)
	}
	for id, c := range cat.Cautions {
		sentence("caution "+id, c.Say)
		text("caution "+id, c.Say)
	}
	for id, d := range cat.Facets {
		text("facet "+id, d.Name+d.Ask)
	}
	for id, d := range cat.Specs {
		text("specification "+id, d.Name+d.Ask)
	}
}

// BenchmarkLoad reads and checks the whole base catalogue from its YAML. Budget: 150 ms; only catalogue check and go generate wait for it.
func BenchmarkLoad(b *testing.B) {
	for b.Loop() {
		if _, err := Load(Layer{Name: "catalogue", Files: Base()}); err != nil {
			b.Fatal(err)
		}
	}
}
