package cause_test

import (
	"fmt"
	"testing"

	"witnessmark/core/cause"
)

// BenchmarkDense is the worst that 60 causes and 15 findings can be: every cause produces 5 findings, so no order keeps the state small. It has no
// budget of its own; it shows how far the 5 ms of ordinary cases may be missed.
func BenchmarkDense(b *testing.B) {
	var nb cause.Builder
	links := make([][]cause.Link, 15)
	for i := range 60 {
		id := fmt.Sprint("c", i)
		nb.AddCause(id, 0.01)
		for k := range 5 {
			f := (i*7 + k*k*3 + k) % 15
			links[f] = append(links[f], cause.Link{Cause: id, Q: 0.1 + 0.15*float64(k)})
		}
	}
	e := cause.Evidence{}
	for j, l := range links {
		id := fmt.Sprint("f", j)
		nb.AddFinding(id, 0.001, l)
		e[id] = cause.Is(cause.Present)
	}
	net := build(b, &nb)
	for b.Loop() {
		if _, err := net.Posterior(e); err != nil {
			b.Fatal(err)
		}
	}
}
