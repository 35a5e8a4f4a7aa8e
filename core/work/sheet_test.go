package work

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"witnessmark/core/point"
)

// written puts a sheet into short lines: depth, kind, what.
func written(s Sheet) []string {
	var out []string
	for _, l := range s.Lines {
		what := l.Setup
		if l.Kind == Step {
			what = strings.TrimSuffix(fmt.Sprintf("%s %s %d", l.Doing.Job, l.Doing.At, l.Step), " ")
		}
		out = append(out, strings.TrimSpace(fmt.Sprintf("%d %s %s %s", l.Depth, l.Kind, what, strings.Join(l.Cautions, "+"))))
	}
	return out
}

// TestSheet: the work of one visit, line by line.
func TestSheet(t *testing.T) {
	cat := small()
	for _, c := range []struct {
		name   string
		doings []Doing
		want   []string
	}{
		{"nothing", nil, nil},
		{"the job's stray caution at its first step, what is said elsewhere not again", []Doing{{"pads", "F"}},
			[]string{"0 begin lift lift", "1 begin fronts", "2 step pads F 1 stray+dust", "2 step pads F 2", "1 undo fronts", "0 undo lift"}},
		{"axle after axle, the lift once", []Doing{{"pads", "R"}, {"discs", "F"}},
			[]string{"0 begin lift lift", "1 begin fronts", "2 step discs F 0", "1 undo fronts", "1 begin rears", "2 step pads R 1 stray+dust", "2 step pads R 2", "1 undo rears", "0 undo lift"}},
		{"what comes last, when all is together; no undoing where there is none; the job's caution at the step that is done first", []Doing{{"coolant", ""}},
			[]string{"0 begin lift lift", "1 step coolant  1 hot", "0 undo lift", "0 begin warm", "1 step coolant  0", "1 begin bled"}},
		{"a job with steps at the warm run only", []Doing{{"look", ""}, {"unknown", ""}}, []string{"0 begin warm", "1 step look  0 stray"}},
	} {
		got := SheetOf(cat, c.doings, nil)
		same(t, c.name, written(got), c.want)
	}
	if got := SheetOf(cat, []Doing{{"unknown", ""}, {"pads", "F"}, {"unknown", ""}}, nil); !slices.Equal(got.Unknown, []Doing{{"unknown", ""}}) {
		t.Errorf("unknown are %v", got.Unknown)
	}
}

// TestSheetIsWhole: whatever is done, every preparation begins once and before those under it, is undone once and after them, every step
// of the car stands once, within all its preparations, and the minutes are those that are billed.
func TestSheetIsWhole(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cat, doings := drawn(t)
		set := facets("a", rapid.SampledFrom([]string{"1", "2"}).Draw(t, "a"))
		sheet := SheetOf(cat, doings, set)
		bill := Minutes(cat, doings, set)
		w := walk{t: t, cat: cat, begun: map[string]int{}, undone: map[string]int{}}
		for _, l := range sheet.Lines {
			w.line(l)
		}
		for _, id := range w.open {
			if cat.Setups[id].Undo != "" {
				t.Errorf("%s is never undone", id)
			}
		}
		for _, s := range bill.Setups {
			if w.begun[s.ID] != 1 || w.undone[s.ID] > 1 {
				t.Errorf("%s begins %d times and is undone %d times", s.ID, w.begun[s.ID], w.undone[s.ID])
			}
		}
		if len(w.begun) != len(bill.Setups) {
			t.Errorf("begun %v; billed %v", w.begun, bill.Setups)
		}
		want := 0
		for _, d := range once(doings) {
			want += len(steps(cat, d, set))
		}
		if w.steps != want || sheet.Minutes != bill.Total {
			t.Errorf("%d steps, %d minutes; want %d, %d", w.steps, sheet.Minutes, want, bill.Total)
		}
		for _, d := range once(doings) {
			if slices.Contains(sheet.Unknown, d) != (cat.Work[d.Job] == nil) {
				t.Errorf("%v: unknown are %v", d, sheet.Unknown)
			}
		}
		w.cautions(sheet)
	})
}

// walk follows a sheet line by line.
type walk struct {
	t             *rapid.T
	cat           *point.Catalogue
	open          []string
	begun, undone map[string]int
	steps         int
	late          bool
}

func (w *walk) line(l Line) {
	s := w.cat.Setups[l.Setup]
	switch l.Kind {
	case Begin:
		for _, u := range s.Under {
			if !slices.Contains(w.open, u) {
				w.t.Errorf("%s begins without %s", l.Setup, u)
			}
		}
		if w.late && !s.Last {
			w.t.Errorf("%s begins after what comes last", l.Setup)
		}
		w.late = w.late || s.Last
		w.begun[l.Setup]++
		w.open = append(w.open, l.Setup)
	case Undo:
		w.undone[l.Setup]++
		w.open = slices.DeleteFunc(w.open, func(x string) bool { return x == l.Setup })
		for _, o := range w.open {
			if x := w.cat.Setups[o]; x.Undo != "" && slices.Contains(x.Under, l.Setup) {
				w.t.Errorf("%s is undone under %s", l.Setup, o)
			}
		}
	case Step:
		w.steps++
		in := w.cat.Work[l.Doing.Job].Steps[l.Step].In
		for _, need := range SetupsOf(w.cat, l.Doing) {
			if (need.Last && need.ID == in || !need.Last && in == "") && !slices.Contains(w.open, need.ID) {
				w.t.Errorf("step %d of %v stands outside of %s", l.Step, l.Doing, need.ID)
			}
		}
	}
}

// cautions checks that nothing that a job warns of gets lost, and that nothing stands twice in a line.
func (w *walk) cautions(sheet Sheet) {
	said := map[Doing][]string{}
	for _, l := range sheet.Lines {
		if l.Kind == Step {
			said[l.Doing] = append(said[l.Doing], l.Cautions...)
		}
		for i, c := range l.Cautions {
			if slices.Contains(l.Cautions[:i], c) {
				w.t.Errorf("%s stands twice in %v", c, l)
			}
		}
	}
	for d, have := range said {
		for _, s := range SetupsOf(w.cat, d) {
			have = append(have, s.Cautions...)
		}
		for _, c := range w.cat.Jobs[d.Job].Cautions {
			if !slices.Contains(have, c) {
				w.t.Errorf("%v: the sheet does not say %s", d, c)
			}
		}
	}
}

// TestSheetNests: of two preparations that begin for one doing the smaller order begins first and is undone last.
func TestSheetNests(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cat, doings := drawn(t)
		if len(doings) == 0 {
			return
		}
		var begun, undone []string
		for _, l := range SheetOf(cat, doings[:1], nil).Lines {
			switch s := cat.Setups[l.Setup]; {
			case s == nil || s.Last:
			case l.Kind == Begin && s.Undo != "":
				begun = append(begun, l.Setup)
			case l.Kind == Undo:
				undone = append(undone, l.Setup)
			}
		}
		slices.Reverse(undone)
		if !slices.Equal(begun, undone) || !slices.IsSortedFunc(begun, func(a, b string) int { return cat.Setups[a].Order - cat.Setups[b].Order }) {
			t.Errorf("begun %v, undone backwards %v", begun, undone)
		}
	})
}

// TestNothingIsChanged: neither the doings nor the catalogue are touched, whatever is asked.
func TestNothingIsChanged(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cat, doings := drawn(t)
		before, was := fmt.Sprintf("%+v", flat(cat)), slices.Clone(doings)
		sheet := SheetOf(cat, doings, nil)
		for i := range sheet.Lines {
			sheet.Lines[i].Cautions = append(sheet.Lines[i].Cautions, "mine")
		}
		for _, p := range Pick(cat, doings, nil) {
			_ = append(p.Of, Doing{"mine", ""})
		}
		Fold(cat, doings)
		Fields(cat, doings)
		Follows(cat, doings)
		Baselines(cat, doings, nil)
		if !slices.Equal(doings, was) || fmt.Sprintf("%+v", flat(cat)) != before {
			t.Errorf("changed: %v; was %v", doings, was)
		}
	})
}

// flat copies what a catalogue's pointers point to, sorted, for comparison.
func flat(cat *point.Catalogue) []any {
	var out []any
	for i := range 8 {
		if s := cat.Setups[fmt.Sprint("s", i)]; s != nil {
			out = append(out, *s)
		}
		if j := cat.Jobs[fmt.Sprint("j", i)]; j != nil {
			out = append(out, *j)
		}
		if w := cat.Work[fmt.Sprint("j", i)]; w != nil {
			out = append(out, *w)
		}
	}
	return out
}
