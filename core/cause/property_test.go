package cause_test

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"witnessmark/core/cause"
)

func build(t testing.TB, b *cause.Builder) *cause.Network {
	t.Helper()
	net, err := b.Build()
	if err != nil {
		t.Fatal(err)
	}
	return net
}

// TestLeakRaises: a larger leak never makes the finding less probable, and never strengthens what it says for its only cause.
func TestLeakRaises(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		prior, q := rapid.Float64Range(0.001, 0.9).Draw(rt, "prior"), rapid.Float64Range(0, 1).Draw(rt, "q")
		lo := rapid.Float64Range(0, 1).Draw(rt, "leak")
		hi := rapid.Float64Range(lo, 1).Draw(rt, "more")
		ask := func(leak float64) (finding, behind float64) {
			var b cause.Builder
			b.AddCause("c", prior)
			b.AddFinding("f", leak, []cause.Link{{Cause: "c", Q: q}})
			net := build(t, &b)
			none, err := net.Posterior(nil)
			if err != nil {
				rt.Fatal(err)
			}
			if finding, err = none.P("f", cause.Present); err != nil {
				rt.Fatal(err)
			}
			seen, err := net.Posterior(cause.Evidence{"f": cause.Is(cause.Present)})
			if err != nil {
				return finding, 1 // impossible: no leak and no link
			}
			behind, _ = seen.P("c", cause.Present)
			return finding, behind
		}
		f1, c1 := ask(lo)
		f2, c2 := ask(hi)
		if f2 < f1-1e-12 || c2 > c1+1e-12 {
			rt.Fatalf("leak %v: %v, %v; leak %v: %v, %v", lo, f1, c1, hi, f2, c2)
		}
	})
}

// TestSeenIsSoftLimit: a likelihood of 1 and 0 is the state itself, a flat one is no evidence (1e-12).
func TestSeenIsSoftLimit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := drawNet(t, true)
		e := d.drawEvidence(t)
		last := d.ids[len(d.ids)-1]
		pairs := [][2]cause.Evidence{
			{e.With(last, cause.Is(cause.Present)), e.With(last, cause.Looks(1, 0))},
			{e.Without(last), e.With(last, cause.Looks(0.3, 0.3))},
		}
		for _, p := range pairs {
			a, errA := d.net.Posterior(p[0])
			b, errB := d.net.Posterior(p[1])
			if (errA == nil) != (errB == nil) {
				t.Fatalf("%v: %v; %v: %v", p[0], errA, p[1], errB)
			}
			for _, id := range d.ids {
				if errA != nil {
					break
				}
				x, _ := a.P(id, cause.Present)
				y, _ := b.P(id, cause.Present)
				if math.Abs(x-y) > 1e-12 {
					t.Fatalf("P(%s) = %v with %v, %v with %v", id, x, p[0], y, p[1])
				}
			}
		}
	})
}

// TestExplainingAway is the alarm of Pearl 1988 ch. 2 in its two-cause form worked by hand: burglary 0.1, earthquake 0.2, alarm 0.9 and 0.5, leak 0.01.
// P(silent) = 0.99*(1-0.09)*(1-0.1) = 0.81081; P(burglary, alarm) = 0.1*(1-0.99*0.1*0.9) = 0.09109.
func TestExplainingAway(t *testing.T) {
	var b cause.Builder
	b.AddCause("burglary", 0.1)
	b.AddCause("earthquake", 0.2)
	b.AddFinding("alarm", 0.01, []cause.Link{{Cause: "burglary", Q: 0.9}, {Cause: "earthquake", Q: 0.5}})
	net := build(t, &b)
	e := cause.Evidence{"alarm": cause.Is(cause.Present)}
	got, err := net.Posterior(e)
	if err != nil {
		t.Fatal(err)
	}
	p, _ := got.P("burglary", cause.Present)
	if want := 0.09109 / 0.18919; math.Abs(p-want) > 1e-14 || math.Abs(got.ProbEvidence()-0.18919) > 1e-14 {
		t.Errorf("P(burglary | alarm) = %v, want %v", p, want)
	}
	moved, err := net.Weight(e.With("earthquake", cause.Is(cause.Present)), "burglary")
	if err != nil || len(moved) != 2 {
		t.Fatal(moved, err)
	}
	// The alarm speaks for the burglary, the earthquake explains it away: (0.1*0.9505)/(0.1*0.9505+0.9*0.505).
	with := 0.09505 / (0.09505 + 0.4545)
	for _, m := range moved {
		without, sign := 0.1, 1.0
		if m.Variable == "earthquake" {
			without, sign = 0.09109/0.18919, -1
		}
		if math.Abs(m.With-with) > 1e-14 || math.Abs(m.Without-without) > 1e-14 || m.LogOdds*sign <= 0 || math.Abs(m.Points-100*(with-without)) > 1e-12 {
			t.Errorf("%+v, want %v with, %v without", m, with, without)
		}
	}
}

// TestFaintEvidence: the probability of 2000 findings at 1e-6 each is far below what a float64 holds; nothing underflows.
func TestFaintEvidence(t *testing.T) {
	var b cause.Builder
	b.AddCause("c", 0.5)
	e := cause.Evidence{}
	for i := range 2000 {
		id := fmt.Sprint("f", i)
		b.AddFinding(id, 1e-6, []cause.Link{{Cause: "c", Q: 1e-7}})
		e[id] = cause.Is(cause.Present)
	}
	got, err := build(t, &b).Posterior(e)
	if err != nil {
		t.Fatal(err)
	}
	up, down := math.Log(1e-6+(1-1e-6)*1e-7), math.Log(1e-6)
	odds := 2000 * (up - down)
	if want := math.Log(0.5) + 2000*up + math.Log1p(math.Exp(-odds)); math.Abs(got.LogProbEvidence()/want-1) > 1e-12 || got.ProbEvidence() != 0 {
		t.Errorf("log P(evidence) = %v, want %v", got.LogProbEvidence(), want)
	}
	if p, _ := got.P("c", cause.Present); math.Abs(p-1) > 1e-12 {
		t.Errorf("P(c) = %v", p)
	}
}

// TestFaintIsNotImpossible: what only underflows is not called impossible.
func TestFaintIsNotImpossible(t *testing.T) {
	var b cause.Builder
	b.AddCause("c", 0.5)
	b.AddFinding("sure", 0, []cause.Link{{Cause: "c", Q: 1}})
	e := cause.Evidence{"sure": cause.Is(cause.Present)}
	for i := range 200 {
		id := fmt.Sprint("f", i)
		b.AddFinding(id, 0, []cause.Link{{Cause: "c", Q: 1 - 1e-9}})
		e[id] = cause.Is(cause.Absent)
	}
	_, err := build(t, &b).Posterior(e)
	var never *cause.Impossible
	if err != nil && (errors.As(err, &never) || !errors.Is(err, cause.ErrFaint)) {
		t.Errorf("%v", err)
	}
}

// TestTooHard: causes that all overlap in many findings are refused, not tried for hours.
func TestTooHard(t *testing.T) {
	var b cause.Builder
	e := cause.Evidence{}
	var links []cause.Link
	for i := range 60 {
		id := fmt.Sprint("c", i)
		b.AddCause(id, 0.01)
		links = append(links, cause.Link{Cause: id, Q: 0.5})
	}
	for i := range 60 {
		id := fmt.Sprint("f", i)
		b.AddFinding(id, 0.01, links)
		e[id] = cause.Is(cause.Present)
	}
	if _, err := build(t, &b).Posterior(e); !errors.Is(err, cause.ErrTooHard) {
		t.Errorf("got %v", err)
	}
}

func TestRefused(t *testing.T) {
	nan := math.NaN()
	yn := []string{"y", "n"}
	tests := []struct {
		name string
		make func(*cause.Builder)
		want string
	}{
		{"no name", func(b *cause.Builder) { b.AddCause("", 0.1) }, "no name"},
		{"twice", func(b *cause.Builder) { b.AddCause("a", 0.1); b.AddFinding("a", 0, nil) }, `"a" is there twice`},
		{"prior", func(b *cause.Builder) { b.AddCause("a", 1.5) }, "no probability"},
		{"nan", func(b *cause.Builder) { b.AddCause("a", nan) }, "no probability"},
		{"leak", func(b *cause.Builder) { b.AddFinding("a", nan, nil) }, "leak NaN"},
		{"link", func(b *cause.Builder) { b.AddFinding("a", 0, []cause.Link{{Cause: "b", Q: 0.5}}) }, `cause "b" is unknown`},
		{"state", func(b *cause.Builder) {
			b.AddCause("b", 0.1)
			b.AddFinding("a", 0, []cause.Link{{Cause: "b", State: "odd", Q: 0.5}})
		}, `no state "odd"`},
		{"itself", func(b *cause.Builder) { b.AddFinding("a", 0, []cause.Link{{Cause: "a", Q: 0.5}}) }, "circle"},
		{"row sum", func(b *cause.Builder) { b.AddTable(cause.Table{ID: "a", States: yn, Rows: [][]float64{{0.5, 0.4}}}) }, "sum 0.9"},
		{"rows", func(b *cause.Builder) { b.AddTable(cause.Table{ID: "a", States: yn}) }, "0 rows, expected 1"},
		{"no states", func(b *cause.Builder) { b.AddTable(cause.Table{ID: "a"}) }, "no states"},
		{"state twice", func(b *cause.Builder) {
			b.AddTable(cause.Table{ID: "a", States: []string{"y", "y"}, Rows: [][]float64{{0.5, 0.5}}})
		}, "there twice"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			var b cause.Builder
			tt.make(&b)
			net, err := b.Build()
			if err == nil || net != nil || !strings.Contains(err.Error(), tt.want) {
				t.Errorf("got %v, want %q", err, tt.want)
			}
		})
	}
}

func TestEvidenceRefused(t *testing.T) {
	var b cause.Builder
	b.AddCause("c", 0.1)
	net := build(t, &b)
	for _, e := range []cause.Evidence{
		{"x": cause.Is(cause.Present)}, {"c": cause.Is("odd")}, {"c": {}}, {"c": cause.Looks(0, 0)}, {"c": cause.Looks(-1, 1)},
		{"c": cause.Looks(math.NaN(), 1)}, {"c": cause.Looks(math.Inf(1), 1)}, {"c": {State: cause.Present, Likelihood: map[string]float64{}}},
	} {
		if got, err := net.Posterior(e); !errors.Is(err, cause.ErrEvidence) || got != nil {
			t.Errorf("%v: %v", e, err)
		}
	}
}
