package shop

import (
	"slices"
	"sync"
)

// sight is what an outlook was computed from: the same facts, day and classes give the same.
type sight struct {
	facts   *carFacts
	day     string
	classes string
	// upTo tells apart what counted where not all facts did.
	upTo int64
}

// seen keeps the outlooks that were computed last, by car or by round.
type seen[T any] struct {
	mu   sync.Mutex
	last map[string]glance[T]
	used []string
}

type glance[T any] struct {
	key sight
	out T
}

// keptSights is how many outlooks stay in memory; one takes up to some hundred kilobytes.
const keptSights = 32

// get gives what was computed under the key, the zero value when there is none.
func (c *seen[T]) get(id string, key sight) (none T) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if g, ok := c.last[id]; ok && g.key == key {
		return g.out
	}
	return none
}

func (c *seen[T]) put(id string, key sight, out T) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.last == nil {
		c.last = map[string]glance[T]{}
	}
	if i := slices.Index(c.used, id); i >= 0 {
		c.used = slices.Delete(c.used, i, i+1)
	}
	c.used = append(c.used, id)
	c.last[id] = glance[T]{key, out}
	if len(c.used) > keptSights {
		delete(c.last, c.used[0])
		c.used = c.used[1:]
	}
}
