package script

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"witnessmark/catalogue"
)

// TestScenarios runs every scenario of testdata against the base catalogue. Each scenario runs twice: as written, and
// with its readings in the opposite order, because a judgement must not hang on the order in which things were looked at.
func TestScenarios(t *testing.T) {
	cat, err := catalogue.Default()
	if err != nil {
		t.Fatal(err)
	}
	files, err := filepath.Glob("testdata/*.txt")
	if err != nil || len(files) == 0 {
		t.Fatalf("no scenarios found: %v", err)
	}
	total, reasoned := 0, 0
	for _, name := range files {
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		f, err := Parse(string(text))
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if total += len(f.Scenarios); strings.HasPrefix(filepath.Base(name), "causes-") {
			reasoned += len(f.Scenarios)
		}
		for _, sc := range f.Scenarios {
			t.Run(strings.TrimSuffix(filepath.Base(name), ".txt")+"/"+sc.Name, func(t *testing.T) {
				for _, sc := range []Scenario{sc, backwards(sc)} {
					for _, failure := range Run(cat, f.Before, sc) {
						t.Errorf("%s: %s", name, failure)
					}
				}
			})
		}
	}
	if reasoned < 40 {
		t.Errorf("only %d scenarios reason from findings to causes; 40 and more are needed", reasoned)
	}
	if total < 60 {
		t.Errorf("only %d scenarios; the rules of the round need 60 and more", total)
	}
}

// backwards turns the order of the looks round and leaves everything else where it is.
func backwards(sc Scenario) Scenario {
	out := Scenario{Name: sc.Name, Line: sc.Line}
	var looks, rest []Step
	for _, s := range sc.Steps {
		switch s.Verb {
		case "see", "measure", "read", "skip":
			looks = append([]Step{s}, looks...)
		default:
			rest = append(rest, s)
		}
	}
	out.Steps = append(looks, rest...)
	return out
}

// TestRunFails makes sure that the runner can fail: each scenario here expects something that is not so.
func TestRunFails(t *testing.T) {
	cat, err := catalogue.Default()
	if err != nil {
		t.Fatal(err)
	}
	const start = "on 2026-03-21\ncar registered 2009-04\nscenario \"s\"\n"
	const low = "see coolant-level below\n"
	tests := []struct{ name, steps, want string }{
		{"other verdict", "see horn silent\nexpect horn sound", "the verdict is overdue"},
		{"other words", "see horn silent\nexpect horn overdue \"green\"", "does not hold"},
		{"other limit", "measure tyre-tread FL 5 mm\nexpect tyre-tread FL sound, limit 2 mm", "does not hold"},
		{"forbidden words", "see horn silent\nexpect horn overdue, no category", "does not hold"},
		{"finding that is there", "see horn silent\nexpect no finding horn", "there is one"},
		{"finding that is not there", "see horn silent\nexpect wipers sound", "there is no such finding"},
		{"other position", "see tyre-damage FL none\nexpect tyre-damage FR sound", "there is no such finding"},
		{"job", "see horn works\nexpect job repair-horn", "no finding asks for it"},
		{"no job", "see horn silent\nexpect no job repair-horn", "asked for by horn"},
		{"unknown job", "see horn silent\nexpect no job blow-harder", "there is no such job"},
		{"unknown point", "see hooter silent\nexpect job repair-horn", "there is no point \"hooter\""},
		{"unknown facet", "car wheels 3\nsee horn works\nexpect horn sound", "there is no facet"},
		{"bad facet", "car fuel coal\nsee horn works\nexpect horn sound", "expected petrol"},
		{"unknown figure", "figure horn-volume-dB 100\nsee horn works\nexpect horn sound", "there is no specification"},
		{"reading refused", "see horn loud\nexpect no finding horn", "refused: state \"loud\""},
		{"refusal that does not come", "see horn works\nexpect refused horn \"state\"", "it is not"},
		{"nothing expected", "see horn works", "expects nothing"},
		{"asked", "expect asked fan-rock", "does not ask"},
		{"not asked", "expect not-asked horn", "asks for it"},
		{"walk", "expect walk road-pull horn", "they are walked as"},
		{"first", "see horn silent\nexpect first wipers", "the findings are"},
		{"not looked", "see horn works\nexpect not-looked horn", "it is not"},
		{"not applicable", "expect not-applicable horn", "it is not"},
		{"complaint that does not come", "see horn works\nexpect complaint coolant-loss", "it does not come up; there is nothing else"},
		{"complaint that comes", low + "expect no complaint coolant-loss", "it comes up"},
		{"unknown complaint", low + "expect complaint toothache", "there is no such complaint"},
		{"order of causes", low + "expect causes coolant-loss head-gasket", "the causes are water-pump-worn"},
		{"unknown cause", low + "expect causes coolant-loss marten", "there is no cause marten"},
		{"word of a cause", low + "expect cause coolant-loss head-gasket \"certain\"", "the causes are"},
		{"cause that is not weighed", low + "expect cause coolant-loss drain \"certain\"", "it is not among the causes"},
		{"what moved it", low + "expect cause coolant-loss hose-leaks for oil-milky", "for it is coolant-low"},
		{"what speaks against it", low + "expect cause coolant-loss hose-leaks against coolant-low", "against it is nothing else"},
		{"look", low + "expect look coolant-loss oil-milky", "the looks are "},
		{"words of the look", low + "expect look coolant-loss opened-lately \"an hour\"", "the looks are "},
		{"look that is there", low + "expect no look coolant-loss", "the looks are "},
		{"repair", low + "expect repair coolant-loss head-gasket", "next: "},
		{"search", low + "expect search coolant-loss", "next: "},
		{"other", low + "expect other coolant-loss \"certain\"", "none of them is "},
		{"trouble", low + "expect trouble coolant-loss", "trouble is \"\""},
		{"words that mean something else", "expect match \"it hums\" brakes-pull", "it may mean"},
		{"unknown sign told", "told toothache\nsee horn works\nexpect horn sound", "there is no sign \"toothache\""},
		{"unknown sign checked", "check toothache yes\nsee horn works\nexpect horn sound", "there is no sign \"toothache\""},
		{"unknown cause confirmed", "confirmed marten no\nsee horn works\nexpect horn sound", "there is no cause \"marten\""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			f, err := Parse(start + tt.steps)
			if err != nil {
				t.Fatal(err)
			}
			got := strings.Join(Run(cat, f.Before, f.Scenarios[0]), "\n")
			if !strings.Contains(got, tt.want) {
				t.Errorf("got %q, want a failure with %q", got, tt.want)
			}
		})
	}
}

func TestParseErrors(t *testing.T) {
	tests := []struct{ text, want string }{
		{"look horn", "line 1: there is no \"look\"; expected one of car"},
		{"\nscenario brakes", "line 2: expected scenario \"what it is about\""},
		{"scenario \"a", "line 1: a quotation mark is not closed"},
		{"\"horn\" works", "line 1: expected one of"},
		{"expect horn sound", "line 1: an expectation needs a scenario before it"},
		{"car fuel", "line 1: expected a facet and its value"},
		{"car fuel petrol,", "line 1: there is nothing after the last comma"},
		{"car , fuel petrol", "line 1: expected a facet and its value"},
		{"car fuel petrol,, roof soft", "line 1: there is nothing before a comma"},
		{"car registered spring", "line 1: registered \"spring\"; expected a month"},
		{"car odometer far", "line 1: \"far\" is not a number"},
		{"car odometer NaN", "line 1: \"NaN\" is not a number"},
		{"on tomorrow", "line 1: \"tomorrow\" is not a day"},
		{"on 2026-02-30", "line 1: \"2026-02-30\" is not a day"},
		{"on 2026-02-20, warm", "line 1: expected a temperature"},
		{"depth deep", "line 1: depth deep; expected full, quick or driveway"},
		{"renewed oil", "line 1: expected an item, a date"},
		{"renewed oil 2026-01-01 after 3", "line 1: expected an item, a date"},
		{"see horn", "line 1: expected a point, a position"},
		{"see horn FL very loud", "line 1: expected a point, a position"},
		{"measure pad-thickness FL three mm", "line 1: \"three\" is not a number"},
		{"measure pad-thickness 3", "line 1: expected a point"},
		{"measure steering-free-play 3 mm, wheel", "line 1: expected a value's name and a number"},
		{"skip horn quiet zone", "line 1: expected a point, a position if it has one, and the reason"},
		{"scenario \"s\"\nexpect horn green", "line 2: green is not a verdict"},
		{"scenario \"s\"\nexpect horn due, jobs many", "line 2: jobs many: expected a part of the sentence"},
		{"scenario \"s\"\nexpect walk horn", "line 2: expected a point"},
		{"scenario \"s\"\nexpect asked horn somewhere", "line 2: somewhere is not a position"},
		{"told \"it hums\"", "line 1: expected signs, such as brakes-pull"},
		{"check hum maybe", "line 1: expected a sign and yes or no"},
		{"confirmed drain", "line 1: expected a cause and yes or no"},
		{"scenario \"s\"\nexpect causes charging", "line 2: expected a complaint and its causes"},
		{"scenario \"s\"\nexpect cause charging drain \"sure\"", "line 2: expected a complaint, a cause and one of very unlikely"},
		{"scenario \"s\"\nexpect cause charging drain with hum", "line 2: expected a complaint, a cause and one of"},
		{"scenario \"s\"\nexpect look charging", "line 2: expected a complaint (for match a text) and one name"},
		{"scenario \"s\"\nexpect other charging \"often\"", "line 2: expected a complaint and one of"},
		{"scenario \"s\"\nexpect search charging drain", "line 2: expected a complaint alone"},
		{"scenario \"s\"\nexpect look charging drain \"a\" \"b\"", "line 2: \"b\": only one text is expected"},
		{"scenario \"s\"\nsee horn \xff", "line 2: the line is not UTF-8 text"},
		{strings.Repeat("#", maxBytes+1), "the file is larger than 1 MB"},
	}
	for _, tt := range tests {
		_, err := Parse(tt.text)
		if err == nil || !strings.HasPrefix(err.Error(), tt.want) {
			t.Errorf("Parse(%.40q) gives error %v, want it to start with %q", tt.text, err, tt.want)
		}
	}
}

// FuzzParse: what is accepted is written in a plain form that is accepted again and gives the same bytes.
func FuzzParse(f *testing.F) {
	files, _ := filepath.Glob("testdata/*.txt")
	for _, name := range files {
		if text, err := os.ReadFile(name); err == nil {
			f.Add(string(text))
		}
	}
	f.Add("scenario \"a\"\nsee horn works # loud\nexpect horn sound, no jobs, limit 3 mm\nexpect no finding horn")
	f.Fuzz(func(t *testing.T, text string) {
		a, err := Parse(text)
		if err != nil {
			return
		}
		plain := a.String()
		b, err := Parse(plain)
		if err != nil {
			t.Fatalf("accepted %q, but not its plain form %q: %v", text, plain, err)
		}
		if again := b.String(); again != plain {
			t.Fatalf("%q becomes %q and then %q", text, plain, again)
		}
	})
}
