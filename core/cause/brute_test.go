package cause_test

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"witnessmark/core/cause"
)

// drawn is a small random network, built and as bare tables for the enumeration.
type drawn struct {
	net  *cause.Network
	ids  []string
	rows map[string][][]float64
	b    func(order []int) *cause.Network // the same nodes added in another order
}

// probabilities has 0 and 1 among them, because structure and impossibility live there.
func probability(t *rapid.T, label string) float64 {
	if rapid.IntRange(0, 5).Draw(t, label+" kind") == 0 {
		return float64(rapid.IntRange(0, 1).Draw(t, label))
	}
	return rapid.Float64Range(0.001, 0.999).Draw(t, label)
}

func drawNet(t *rapid.T, layered bool) drawn {
	n := rapid.IntRange(1, 7).Draw(t, "nodes")
	var adds []func(*cause.Builder)
	d := drawn{rows: map[string][][]float64{}}
	states := map[string][]string{}
	for i := range n {
		id := fmt.Sprint("v", i)
		d.ids = append(d.ids, id)
		var parents []string
		if !layered || i >= (n+1)/2 {
			for k := range i {
				if (!layered || k < (n+1)/2) && len(parents) < 3 && rapid.Bool().Draw(t, "link") {
					parents = append(parents, d.ids[k])
				}
			}
		}
		switch noisy := rapid.Bool().Draw(t, "noisy"); {
		case layered && i < (n+1)/2:
			p := probability(t, "prior")
			adds = append(adds, func(b *cause.Builder) { b.AddCause(id, p) })
			states[id] = []string{cause.Absent, cause.Present}
		case layered || noisy:
			leak := probability(t, "leak")
			var links []cause.Link
			for _, p := range parents {
				links = append(links, cause.Link{Cause: p, State: rapid.SampledFrom(states[p]).Draw(t, "state"), Q: probability(t, "q")})
			}
			adds = append(adds, func(b *cause.Builder) { b.AddFinding(id, leak, links) })
			states[id] = []string{cause.Absent, cause.Present}
		default:
			table := drawTable(t, id, parents, states)
			adds = append(adds, func(b *cause.Builder) { b.AddTable(table) })
			states[id] = table.States
		}
	}
	d.b = func(order []int) *cause.Network {
		var b cause.Builder
		for _, i := range order {
			adds[i](&b)
		}
		net, err := b.Build()
		if err != nil {
			t.Fatal(err)
		}
		return net
	}
	all := make([]int, n)
	for i := range all {
		all[i] = i
	}
	d.net = d.b(all)
	for _, id := range d.ids {
		rows, err := d.net.Rows(id, 1<<16)
		if err != nil {
			t.Fatal(err)
		}
		d.rows[id] = rows
	}
	return d
}

func drawTable(t *rapid.T, id string, parents []string, states map[string][]string) cause.Table {
	table := cause.Table{ID: id, Parents: parents}
	for s := range rapid.IntRange(1, 3).Draw(t, "states") {
		table.States = append(table.States, fmt.Sprint("s", s))
	}
	rows := 1
	for _, p := range parents {
		rows *= len(states[p])
	}
	for range rows {
		row := make([]float64, len(table.States))
		sum := 0.0
		for s := range row {
			row[s] = probability(t, "weight")
			sum += row[s]
		}
		if sum == 0 {
			row[0], sum = 1, 1
		}
		for s := range row {
			row[s] /= sum
		}
		table.Rows = append(table.Rows, row)
	}
	return table
}

func (d drawn) drawEvidence(t *rapid.T) cause.Evidence {
	e := cause.Evidence{}
	for _, id := range d.ids {
		states, _ := d.net.States(id)
		switch rapid.IntRange(0, 4).Draw(t, "seen") {
		case 0, 1:
			e[id] = cause.Is(rapid.SampledFrom(states).Draw(t, "state"))
		case 2:
			like := map[string]float64{}
			for _, s := range states {
				like[s] = probability(t, "likelihood")
			}
			like[states[0]] += 0.01
			e[id] = cause.Seen{Likelihood: like}
		}
	}
	return e
}

// enumerate is the definition: the sum over all combinations of states.
func (d drawn) enumerate(e cause.Evidence) (total float64, post map[string][]float64) {
	post = map[string][]float64{}
	size := make([]int, len(d.ids))
	for i, id := range d.ids {
		states, _ := d.net.States(id)
		size[i] = len(states)
		post[id] = make([]float64, len(states))
	}
	at := make([]int, len(d.ids))
	for {
		p := d.joint(at, e)
		total += p
		for i, id := range d.ids {
			post[id][at[i]] += p
		}
		i := 0
		for ; i < len(at); i++ {
			if at[i]++; at[i] < size[i] {
				break
			}
			at[i] = 0
		}
		if i == len(at) {
			break
		}
	}
	for _, v := range post {
		for s := range v {
			v[s] /= total
		}
	}
	return total, post
}

func (d drawn) joint(at []int, e cause.Evidence) float64 {
	p := 1.0
	for i, id := range d.ids {
		row := 0
		parents, _ := d.net.Parents(id)
		for _, par := range parents {
			ps, _ := d.net.States(par)
			row = row*len(ps) + at[slices.Index(d.ids, par)]
		}
		p *= d.rows[id][row][at[i]]
		states, _ := d.net.States(id)
		if s, ok := e[id]; ok && s.Likelihood != nil {
			p *= s.Likelihood[states[at[i]]]
		} else if ok && s.State != states[at[i]] {
			return 0
		}
	}
	return p
}

// TestEnumeration compares with the definition on small networks of tables, noisy-OR gates and both, with states and likelihoods as
// evidence: 1e-12 absolute on posteriors, 1e-12 relative on the probability, and beside both what rounding a complement costs: 1 - 0.999999
// is 1.000000000029e-06 in floating point, so that two exact ways may differ by a few units of 1's last place. What the enumeration
// finds impossible must be refused.
func TestEnumeration(t *testing.T) {
	for _, layered := range []bool{false, true} {
		t.Run(fmt.Sprint("layered ", layered), func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				d := drawNet(t, layered)
				e := d.drawEvidence(t)
				total, want := d.enumerate(e)
				b, err := d.net.Posterior(e)
				if total == 0 {
					d.checkConflict(t, err)
					return
				}
				if err != nil {
					t.Fatalf("%v: %v", e, err)
				}
				const complement = 16 * 0x1p-53
				if math.Abs(b.ProbEvidence()-total) > 1e-12*total+complement {
					t.Fatalf("P(evidence) %v, want %v", b.ProbEvidence(), total)
				}
				for _, id := range d.ids {
					got, err := b.Distribution(id)
					if err != nil {
						t.Fatal(err)
					}
					for s := range got {
						if !(math.Abs(got[s]-want[id][s]) <= 1e-12+complement/total) {
							t.Fatalf("P(%s) = %v, want %v", id, got, want[id])
						}
					}
				}
			})
		})
	}
}

// checkConflict holds a named conflict against the definition: together impossible, and possible without any one piece.
func (d drawn) checkConflict(t *rapid.T, err error) {
	imp, ok := err.(*cause.Impossible)
	if !ok || len(imp.Conflict) == 0 {
		t.Fatalf("impossible evidence gives %v", err)
	}
	e := cause.Evidence{}
	for _, v := range imp.Conflict {
		e[v] = imp.Seen[v]
	}
	if p, _ := d.enumerate(e); p != 0 {
		t.Fatalf("%v: its probability is %v", err, p)
	}
	for _, v := range imp.Conflict {
		if p, _ := d.enumerate(e.Without(v)); p == 0 {
			t.Fatalf("%v: still impossible without %s", err, v)
		}
	}
}

// TestOrderOfNodes: the order in which nodes are added does not matter (1e-12).
func TestOrderOfNodes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := drawNet(t, rapid.Bool().Draw(t, "layered"))
		all := make([]int, len(d.ids))
		for i := range all {
			all[i] = i
		}
		other := d.b(rapid.Permutation(all).Draw(t, "order"))
		e := d.drawEvidence(t)
		a, errA := d.net.Posterior(e)
		b, errB := other.Posterior(e)
		if (errA == nil) != (errB == nil) {
			t.Fatalf("%v and %v", errA, errB)
		}
		if errA != nil {
			return
		}
		for _, id := range d.ids {
			x, _ := a.Distribution(id)
			y, _ := b.Distribution(id)
			for s := range x {
				if math.Abs(x[s]-y[s]) > 1e-12 {
					t.Fatalf("P(%s) = %v or %v", id, x, y)
				}
			}
		}
	})
}
