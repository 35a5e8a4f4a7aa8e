package visit

// diveEvery is after how many nodes a dive looks for a plan again.
const diveEvery = 16

// dive looks for a good plan below a node: the set that is used most stands, and the rest is found anew around it, until nothing is
// divided or no better plan can be found that way. Source: diving with column generation, Joncour, Michel, Sadykov, Sverdlov &
// Vanderbeck, Electronic Notes in Discrete Mathematics 36 (2010) 695.
func (t *tree) dive(nd *node) {
	settled := make([]bool, t.b.m)
	for {
		best, most := -1, 1e-5
		for i := range t.ms.pool {
			if s := &t.ms.pool[i]; !settled[s.v] {
				if x := t.ms.weight(s); x > most {
					best, most = i, x
				}
			}
		}
		if best < 0 {
			return
		}
		s := t.ms.pool[best]
		settled[s.v] = true
		nd.settle(t.b, s.v, s.jobs)
		if most > 1-1e-4 {
			continue
		}
		if !t.relax(nd) || t.halt {
			return
		}
		t.round()
	}
}
