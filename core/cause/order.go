package cause

import (
	"math"
	"math/bits"
)

// maxCells bounds the cells of all tables that one question may need (256 MB); beyond it the answer is ErrTooHard.
const maxCells = 1 << 25

// graph is an undirected graph as rows of bits.
type graph struct {
	adj   [][]uint64
	alive []bool
	cost  []float64 // logarithm of the number of states
	work  int
}

// maxPlanning bounds the words that ordering may read (about half a second); what needs more is refused.
const maxPlanning = 1 << 28

func newGraph(card []int, scopes [][]int) *graph {
	n := len(card)
	g := &graph{adj: make([][]uint64, n), alive: make([]bool, n), cost: make([]float64, n)}
	words := (n + 63) / 64
	all := make([]uint64, n*words)
	for v := range n {
		g.adj[v], g.alive[v], g.cost[v] = all[v*words:(v+1)*words], true, math.Log2(float64(card[v]))
	}
	for _, s := range scopes {
		g.connect(s)
	}
	return g
}

func (g *graph) connect(s []int) {
	for i, a := range s {
		for _, b := range s[i+1:] {
			g.adj[a][b>>6] |= 1 << (b & 63)
			g.adj[b][a>>6] |= 1 << (a & 63)
		}
	}
}

func (g *graph) neighbours(v int) []int {
	var out []int
	for w, word := range g.adj[v] {
		for ; word != 0; word &= word - 1 {
			out = append(out, w<<6+bits.TrailingZeros64(word))
		}
	}
	return out
}

// score is what eliminating v costs: first the links to be added (min-fill), ties by the size of the table; or the other way round.
func (g *graph) score(v int, fillFirst bool) [2]float64 {
	nb := g.neighbours(v)
	size, have := g.cost[v], 0
	g.work += len(nb) * len(g.adj[v])
	for _, a := range nb {
		size += g.cost[a]
		for w, word := range g.adj[a] {
			have += bits.OnesCount64(word & g.adj[v][w])
		}
	}
	fill := float64(len(nb)*(len(nb)-1) - have)
	if fillFirst {
		return [2]float64{fill, size}
	}
	return [2]float64{size, fill}
}

// eliminate orders the variables greedily and gives for each step the variable and its neighbours then, and the number of
// cells that all tables have together; it stops once they are too many.
func (g *graph) eliminate(fillFirst bool) (members [][]int, total float64) {
	n := len(g.adj)
	scores := make([][2]float64, n)
	for v := range n {
		scores[v] = g.score(v, fillFirst)
	}
	stale := make([]bool, n)
	for range n {
		best := -1
		for v := range n {
			if g.alive[v] && (best < 0 || scores[v][0] < scores[best][0] || scores[v][0] == scores[best][0] && scores[v][1] < scores[best][1]) {
				best = v
			}
		}
		nb := g.neighbours(best)
		members = append(members, append([]int{best}, nb...))
		size := g.cost[best]
		for _, a := range nb {
			size += g.cost[a]
		}
		if total += math.Exp2(size); total > maxCells || g.work > maxPlanning {
			return members, max(total, 2*maxCells) // refused
		}
		g.connect(nb)
		g.alive[best] = false
		for _, a := range nb {
			g.adj[a][best>>6] &^= 1 << (best & 63)
		}
		for _, a := range nb {
			stale[a] = true
			for _, b := range g.neighbours(a) {
				stale[b] = true
			}
		}
		for v := range n {
			if stale[v] {
				scores[v], stale[v] = g.score(v, fillFirst), false
			}
		}
	}
	return members, total
}

// plan is the better of two greedy orders, with its cells.
func plan(card []int, scopes [][]int) (members [][]int, total float64) {
	members, total = newGraph(card, scopes).eliminate(true)
	if len(card) > 1000 {
		return members, total
	}
	if other, size := newGraph(card, scopes).eliminate(false); size < total {
		members, total = other, size
	}
	return members, total
}
