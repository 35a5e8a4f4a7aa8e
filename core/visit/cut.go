package visit

import (
	"cmp"
	"slices"
)

// separate puts in the cuts that the programme's solution breaks; false if it breaks none.
func (t *tree) separate() bool {
	b := t.b
	if len(t.ms.cuts) >= 120 {
		return false
	}
	pair := make([]float64, b.n*b.n)
	var used []*set
	for i := range t.ms.pool {
		s := &t.ms.pool[i]
		x := t.ms.weight(s)
		if x < 1e-5 || x > 1-1e-4 || len(s.jobs) < 2 {
			continue
		}
		used = append(used, s)
		for i, j := range s.jobs {
			for _, k := range s.jobs[i+1:] {
				pair[j*b.n+k] += x
			}
		}
	}
	type broken struct {
		jobs [3]int
		by   float64
	}
	var all []broken
	for i := range b.n {
		for j := i + 1; j < b.n; j++ {
			for k := j + 1; k < b.n; k++ {
				sum := pair[i*b.n+j] + pair[i*b.n+k] + pair[j*b.n+k]
				if sum < 1.05 {
					continue
				}
				c := cut{jobs: [3]int{i, j, k}}
				x := 0.0
				for _, s := range used {
					if c.hit(s.jobs) {
						x += t.ms.weight(s)
					}
				}
				if x > 1.05 {
					all = append(all, broken{c.jobs, x})
				}
			}
		}
	}
	slices.SortStableFunc(all, func(a, c broken) int { return cmp.Compare(c.by, a.by) })
	times := make([]int, b.n)
	added := 0
	for _, c := range all {
		if added == 15 {
			break
		}
		if times[c.jobs[0]] > 3 || times[c.jobs[1]] > 3 || times[c.jobs[2]] > 3 {
			continue
		}
		for _, j := range c.jobs {
			times[j]++
		}
		t.ms.addCut(c.jobs)
		added++
	}
	return added > 0
}
