package diagnose

import (
	"cmp"
	"math"
	"slices"

	"witnessmark/core/point"
)

// moved lists what moved a cause, for and against, the strongest first.
func (b *belief) moved(id string) (pro, con []Moved) {
	g := b.group[id]
	now := b.p(id)
	if g.err != nil {
		return nil, nil
	}
	for _, sign := range slices.Concat(g.signs, g.bars) {
		p := b.pieces[sign]
		if p.Show == NotShown && !explains(b.causes[id], sign) {
			continue // a sign that is missing weighs on its own causes, and on others only through them
		}
		m := Moved{Sign: p.Sign, Reading: p.Words, From: b.without(id, sign), To: now}
		switch {
		case !m.counts():
		case m.To > m.From:
			pro = append(pro, m)
		default:
			con = append(con, m)
		}
	}
	by := func(x, y Moved) int { return cmp.Compare(y.size(), x.size()) }
	slices.SortStableFunc(pro, by)
	slices.SortStableFunc(con, by)
	return pro[:min(len(pro), mostMoved)], con[:min(len(con), mostMoved)]
}

// What is worth a line: a change of the probability by leastMove, or of the odds by leastTimes where the probability is not negligible;
// mostMoved is how many lines there are at most.
const (
	leastMove  = 0.01
	leastTimes = 1.5
	negligible = 0.002
	mostMoved  = 6
)

func (m Moved) counts() bool {
	return math.Abs(m.To-m.From) >= leastMove || max(m.To, m.From) >= negligible && m.size() >= math.Log(leastTimes)
}

// size is by how much the odds moved, as the absolute value of their logarithm.
func (m Moved) size() float64 {
	odds := func(p float64) float64 { p = min(max(p, 1e-12), 1-1e-12); return math.Log(p / (1 - p)) }
	return math.Abs(odds(m.To) - odds(m.From))
}

func explains(k *point.Cause, sign string) bool {
	return slices.ContainsFunc(k.Explains, func(e point.Explains) bool { return e.Sign == sign })
}
