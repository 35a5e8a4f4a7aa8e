package diagnose

import (
	"cmp"
	"slices"
	"strings"

	"witnessmark/core/judge"
	"witnessmark/core/point"
)

// Panels answers every complaint that the readings or the owner's words bring up, the gravest finding first. Nothing given is changed.
func Panels(cat *point.Catalogue, in Input) []Panel {
	b := newBelief(cat, &in)
	var out []Panel
	var urgent []int
	for _, c := range cat.Complaints {
		up, urgency := b.raised(c)
		if len(up) == 0 {
			continue
		}
		if p, ok := b.panel(c, up); ok {
			out = append(out, p)
			urgent = append(urgent, urgency)
		}
	}
	order := make([]int, len(out))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(x, y int) int { return cmp.Compare(urgent[y], urgent[x]) })
	sorted := make([]Panel, len(out))
	for k, i := range order {
		sorted[k] = out[i]
	}
	return sorted
}

// Pieces says of every sign that applies to the car and of which something is known how it stands, sorted by sign.
func Pieces(cat *point.Catalogue, in Input) []Piece {
	s := newSeer(&in)
	var out []Piece
	for _, sign := range cat.Signs {
		if ok, _ := sign.When.Holds(in.Facets); !ok {
			continue
		}
		if p := s.piece(sign); p.Show != Silent || p.told {
			out = append(out, p)
		}
	}
	return out
}

// faintRaises is how many times likelier a faint impression must be with the sign than without to bring a complaint up.
const faintRaises = 3

// toldUrgency is that of an owner's complaint without a finding: as a finding that is due.
const toldUrgency = 3

// raised lists the signs that bring a complaint up, with the urgency of the gravest.
func (b *belief) raised(c *point.Complaint) (up []string, urgency int) {
	for _, id := range c.Raised {
		p, ok := b.pieces[id]
		if !ok || !(p.Show == Shown || p.told || p.Show == Faint && p.Ratio >= faintRaises) {
			continue
		}
		up = append(up, id)
		urgency = max(urgency, p.urgency)
		if p.told {
			urgency = max(urgency, toldUrgency)
		}
	}
	return up, urgency
}

// panel answers one complaint; it is none when no cause that applies to the car explains what brought it up.
func (b *belief) panel(c *point.Complaint, up []string) (Panel, bool) {
	p := Panel{Complaint: c}
	var ids []string
	for _, id := range c.Causes {
		if k := b.causes[id]; k != nil && slices.ContainsFunc(up, func(s string) bool { return explains(k, s) }) {
			ids = append(ids, id)
		}
	}
	if len(ids) == 0 {
		return p, false
	}
	for _, id := range ids {
		if t := b.trouble(b.group[id]); t != "" && p.Trouble == "" {
			p.Trouble = t
		}
		p.Causes = append(p.Causes, Ranked{Cause: b.causes[id], P: b.p(id)})
	}
	slices.SortStableFunc(p.Causes, func(x, y Ranked) int { return cmp.Compare(y.P, x.P) })
	for i := range p.Causes {
		r := &p.Causes[i]
		r.Word = Word(r.P)
		if i < mostExplained {
			r.For, r.Against = b.moved(r.Cause.ID)
		}
	}
	p.Evidence = b.about(c, ids)
	if p.Trouble == "" {
		p.Other = b.none(ids)
		b.advise(&p)
	}
	return p, true
}

// mostExplained is for how many causes the evidence is listed.
const mostExplained = 12

// about lists the evidence on some causes: what was seen, then what was looked for and is not there.
func (b *belief) about(c *point.Complaint, ids []string) []Piece {
	var out []Piece
	for _, id := range slices.Concat(c.Raised, c.Also) {
		p, ok := b.pieces[id]
		if !ok || p.Show == Silent && !p.told {
			continue
		}
		if slices.ContainsFunc(ids, func(k string) bool { return explains(b.causes[k], id) }) {
			out = append(out, p)
		}
	}
	for _, k := range ids {
		for _, id := range b.causes[k].Unless {
			if p := b.pieces[id]; p.Show == Shown && !slices.ContainsFunc(out, func(x Piece) bool { return x.Sign == p.Sign }) {
				out = append(out, p)
			}
		}
	}
	rank := map[Show]int{Shown: 0, Faint: 1, Silent: 2, NotShown: 3}
	slices.SortStableFunc(out, func(x, y Piece) int { return cmp.Compare(rank[x.Show], rank[y.Show]) })
	return out
}

// words says what a finding read, and where. Of a judgement's sentence only what was measured counts here, not what follows from it.
func words(f *judge.Finding, where []string) string {
	why, _, _ := strings.Cut(strings.TrimSuffix(f.Why, "."), ": ")
	if f.Reading == nil {
		return f.Point.Name + ": " + why // a comparison names its places itself
	}
	name := f.Point.Name
	if len(where) > 0 {
		name += " " + join(where)
	}
	if s := f.Reading.StateOf(f.Point); s != nil {
		return name + ": " + s.Say
	}
	return name + ": " + why
}

// join writes a list: "a, b and c".
func join(xs []string) string {
	if len(xs) < 2 {
		return strings.Join(xs, "")
	}
	return strings.Join(xs[:len(xs)-1], ", ") + " and " + xs[len(xs)-1]
}
