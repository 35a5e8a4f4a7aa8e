package work

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"witnessmark/core/point"
)

// TestDoings: what findings want becomes doings by what one doing of the job covers.
func TestDoings(t *testing.T) {
	cat := small()
	for _, c := range []struct {
		name  string
		wants []Want
		want  []Doing
	}{
		{"nothing", nil, nil},
		{"two corners and a place are one axle", []Want{{"pads", "FL/inner"}, {"pads", "FR"}, {"pads", "F"}}, []Doing{{"pads", "F"}}},
		{"both axles, in the order wanted", []Want{{"pads", "RR"}, {"pads", "FL"}}, []Doing{{"pads", "R"}, {"pads", "F"}}},
		{"an axle is both its corners", []Want{{"hub", "F"}, {"hub", "FR"}}, []Doing{{"hub", "FL"}, {"hub", "FR"}}},
		{"the spare is a corner of its own", []Want{{"hub", "spare"}}, []Doing{{"hub", "spare"}}},
		{"a count is no corner and no axle", []Want{{"hub", "2"}, {"pads", "2"}}, []Doing{{"hub", ""}, {"pads", ""}}},
		{"pieces are counted", []Want{{"filter", "2"}, {"filter", "1"}, {"filter", "2"}}, []Doing{{"filter", "2"}, {"filter", "1"}}},
		{"a corner is no piece", []Want{{"filter", "FL"}}, []Doing{{"filter", ""}}},
		{"the car is done once", []Want{{"pump", "FL"}, {"pump", ""}, {"pump", "R"}}, []Doing{{"pump", ""}}},
		{"a position that nobody knows", []Want{{"pads", "bonnet"}, {"hub", "0"}, {"hub", "FLL"}}, []Doing{{"pads", ""}, {"hub", ""}}},
		{"a job without work", []Want{{"unknown", "FL"}, {"nobody", "FR"}}, []Doing{{"unknown", ""}, {"nobody", ""}}},
	} {
		same(t, c.name, Doings(cat, c.wants), c.want)
	}
}

// TestDoingsOnceAndCovering: each doing stands once, every want has one, and doing the doings' own places changes nothing.
func TestDoingsOnceAndCovering(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cat, asked := drawn(t)
		var wants []Want
		for _, d := range asked {
			wants = append(wants, Want(d))
		}
		got := Doings(cat, wants)
		same2(t, "repeats", once(got), got)
		for _, w := range wants {
			if !slices.ContainsFunc(got, func(d Doing) bool { return d.Job == w.Job }) {
				t.Errorf("%v has no doing", w)
			}
		}
		wants = nil
		for _, d := range got {
			wants = append(wants, Want(d))
		}
		same2(t, "again", Doings(cat, wants), got)
	})
}

func same2(t *rapid.T, what string, got, want []Doing) {
	t.Helper()
	if !slices.Equal(got, want) {
		t.Errorf("%s: %v; want %v", what, got, want)
	}
}

// TestFold: what another job renews anyway, at the same place or around it, is left out.
func TestFold(t *testing.T) {
	cat := small()
	for _, c := range []struct {
		name         string
		doings, kept []Doing
		folded       []Folded
	}{
		{"nothing", nil, nil, nil},
		{"pads with the discs of their axle", []Doing{{"pads", "F"}, {"discs", "F"}}, []Doing{{"discs", "F"}}, []Folded{{Doing{"pads", "F"}, Doing{"discs", "F"}}}},
		{"not with those of the other", []Doing{{"pads", "R"}, {"discs", "F"}}, []Doing{{"pads", "R"}, {"discs", "F"}}, nil},
		{"coolant with the pump, whichever comes first", []Doing{{"pump", ""}, {"coolant", ""}}, []Doing{{"pump", ""}}, []Folded{{Doing{"coolant", ""}, Doing{"pump", ""}}}},
		{"a job for the car holds its axles", []Doing{{"discs", "R"}, {"brakes", ""}}, []Doing{{"brakes", ""}}, []Folded{{Doing{"discs", "R"}, Doing{"brakes", ""}}}},
		{"through two, into the one that is kept", []Doing{{"pads", "F"}, {"discs", "F"}, {"brakes", ""}}, []Doing{{"brakes", ""}},
			[]Folded{{Doing{"pads", "F"}, Doing{"brakes", ""}}, {Doing{"discs", "F"}, Doing{"brakes", ""}}}},
		{"somewhere with somewhere", []Doing{{"pads", ""}, {"discs", ""}}, []Doing{{"discs", ""}}, []Folded{{Doing{"pads", ""}, Doing{"discs", ""}}}},
		{"an axle is not somewhere", []Doing{{"pads", "F"}, {"discs", ""}}, []Doing{{"pads", "F"}, {"discs", ""}}, nil},
		{"somewhere is not an axle", []Doing{{"pads", ""}, {"discs", "F"}}, []Doing{{"pads", ""}, {"discs", "F"}}, nil},
		{"what renews nothing stays", []Doing{{"look", ""}, {"brakes", ""}}, []Doing{{"look", ""}, {"brakes", ""}}, nil},
		{"the same twice stays twice", []Doing{{"pads", "F"}, {"pads", "F"}}, []Doing{{"pads", "F"}, {"pads", "F"}}, nil},
		{"a job that nobody knows stays", []Doing{{"nobody", ""}, {"brakes", ""}}, []Doing{{"nobody", ""}, {"brakes", ""}}, nil},
	} {
		kept, folded := Fold(cat, c.doings)
		same(t, c.name+", kept", kept, c.kept)
		same(t, c.name+", folded", folded, c.folded)
	}
	// The whole car does not lie within an axle that nobody named.
	cat.Jobs["brakes"].Renews, cat.Jobs["discs"].Renews = []string{"pads"}, []string{"discs", "pads"}
	if kept, _ := Fold(cat, []Doing{{"brakes", ""}, {"discs", ""}}); len(kept) != 2 {
		t.Errorf("kept %v", kept)
	}
}

// TestFoldLosesNothing: kept and folded are the doings given; what is folded is renewed by one that is kept; folding again changes nothing.
func TestFoldLosesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cat, doings := drawn(t)
		kept, folded := Fold(cat, doings)
		if len(kept)+len(folded) != len(doings) {
			t.Fatalf("%d kept and %d folded of %d", len(kept), len(folded), len(doings))
		}
		for _, f := range folded {
			if !slices.Contains(kept, f.Into) {
				t.Errorf("%v is folded into %v, which is not kept", f.Doing, f.Into)
			}
			for _, r := range cat.Jobs[f.Doing.Job].Renews {
				if !slices.Contains(cat.Jobs[f.Into.Job].Renews, r) {
					t.Errorf("%v does not renew %s, which %v would", f.Into, r, f.Doing)
				}
			}
			if f.Doing.At != "" && f.Into.At != "" && f.Doing.At != f.Into.At && point.Axle(f.Doing.At) != f.Into.At {
				t.Errorf("%v is folded into another place, %v", f.Doing, f.Into)
			}
		}
		again, more := Fold(cat, kept)
		same2(t, "again", again, kept)
		if len(more) > 0 {
			t.Errorf("folded again: %v", more)
		}
	})
}

// TestSetupsOf: smaller order first, without those of the other axle.
func TestSetupsOf(t *testing.T) {
	cat := small()
	for _, c := range []struct {
		doing Doing
		want  []string
	}{
		{Doing{"discs", "F"}, []string{"lift", "fronts"}},
		{Doing{"hub", "RL"}, []string{"lift", "rears", "open"}},
		{Doing{"pads", ""}, []string{"lift", "fronts", "rears"}},
		{Doing{"hub", "spare"}, []string{"lift", "open"}},
		{Doing{"filter", "1"}, nil},
		{Doing{"unknown", ""}, nil},
	} {
		var got []string
		for _, s := range SetupsOf(cat, c.doing) {
			got = append(got, s.ID)
		}
		same(t, c.doing.Job+" "+c.doing.At, got, c.want)
	}
}
