package shop

import (
	"cmp"
	"slices"

	"witnessmark/core/estimate"
	"witnessmark/core/money"
	"witnessmark/core/work"
)

// fillOnce sees to it that no circuit is filled twice, whichever of its items the owner agrees to. What several items fill anew goes to the
// preparation that let it out, or else to a block of its own; what others only top up is part of such a filling. The blocks that this adds
// stand behind the preparations.
func (d *drafting) fillOnce(items []estimate.Item, shared []estimate.Shared) []estimate.Shared {
	for k := range shared {
		d.afterDraining(items, &shared[k])
	}
	var circuits []string
	for i := range items {
		for _, l := range items[i].Lines {
			if c := work.CircuitOf(d.cat, items[i].Job, l.Part); c != "" && !slices.Contains(circuits, c) {
				circuits = append(circuits, c)
			}
		}
	}
	for _, c := range circuits {
		shared = append(shared, (&filling{d: d, circuit: c, items: items, shared: shared}).once()...)
	}
	return shared
}

// afterDraining moves what more than one item fills in after the same preparation has let it out to that preparation.
func (d *drafting) afterDraining(items []estimate.Item, s *estimate.Shared) {
	c := work.Circuit(d.cat.FluidPart(d.cat.Setups[s.Setup].Fills))
	if c == "" {
		return
	}
	var from, anew []int
	for i := range items {
		if !slices.Contains(s.Items, items[i].ID) || !d.takesOf(items[i].Job, items[i].Lines, c) {
			continue
		}
		from = append(from, i)
		if work.Fills(d.cat, items[i].Job, c) {
			anew = append(anew, i)
		}
	}
	if len(anew) > 0 {
		from = anew
	}
	s.Lines = append(s.Lines, together(items, from, "setup/"+s.Setup)...)
}

// takesOf reports whether lines hold a fluid of a circuit; job is whose lines they are, empty for a preparation's.
func (d *drafting) takesOf(job string, lines []estimate.Line, circuit string) bool {
	return slices.ContainsFunc(lines, func(l estimate.Line) bool { return work.CircuitOf(d.cat, job, l.Part) == circuit })
}

// together takes the fluids out that more than one of some items takes, and gives one line for each. Of several amounts the largest counts,
// one that is known before one that is not.
func together(items []estimate.Item, from []int, key string) (out []estimate.Line) {
	in := map[string]int{}
	for _, i := range from {
		for _, l := range items[i].Lines {
			if l.Kind == estimate.Fluid {
				in[l.Part]++
			}
		}
	}
	for _, i := range from {
		items[i].Lines = slices.DeleteFunc(items[i].Lines, func(l estimate.Line) bool {
			if l.Kind != estimate.Fluid || in[l.Part] < 2 {
				return false
			}
			k := slices.IndexFunc(out, func(o estimate.Line) bool { return o.Part == l.Part })
			l.ID = key + "/" + l.Part
			switch {
			case k < 0:
				out = append(out, l)
			case AmountKnown(&l) && (!AmountKnown(&out[k]) || l.Milli > out[k].Milli):
				out[k] = l
			}
			return true
		})
	}
	return out
}

// filling is one circuit of a car on an estimate.
type filling struct {
	d       *drafting
	circuit string
	items   []estimate.Item
	shared  []estimate.Shared
	// anew are the items that fill it, topping are those and the preparations that only top it up.
	anew    []int
	topping []topUp
	// in is where the filling stands.
	in *[]estimate.Line
}

// topUp is an item or a preparation that takes some of a circuit's fluid without filling it.
type topUp struct {
	lines *[]estimate.Line
	// name is the item's or the preparation's id, of the items that need it.
	name string
	of   []int
}

// once puts what the circuit takes where it is paid once, and gives the blocks that are needed for it.
func (f *filling) once() (out []estimate.Shared) {
	f.sort()
	if len(f.anew) == 0 || !f.find() {
		return nil
	}
	if f.in == nil { // several fill it, and no preparation lets it out
		b := f.block("", f.anew...)
		b.Lines = together(f.items, f.anew, setupBlock+b.Setup)
		f.in, out = &b.Lines, []estimate.Shared{b}
	}
	if len(f.topping) == 0 || len(f.lines(*f.in)) == 0 {
		return out
	}
	blocks, whole := f.split()
	if whole != nil { // it holds all that the block before held
		return []estimate.Shared{*whole}
	}
	if len(out) > 0 {
		out[0].Lines = *f.in
		out = slices.DeleteFunc(out, func(s estimate.Shared) bool { return len(s.Lines) == 0 })
	}
	return append(out, blocks...)
}

// sort tells what fills the circuit from what tops it up.
func (f *filling) sort() {
	for i := range f.items {
		switch it := &f.items[i]; {
		case work.Fills(f.d.cat, it.Job, f.circuit):
			f.anew = append(f.anew, i)
		case it.Job != "" && f.d.takesOf(it.Job, it.Lines, f.circuit):
			f.topping = append(f.topping, topUp{&it.Lines, it.ID, []int{i}})
		}
	}
	for k := range f.shared {
		s := &f.shared[k]
		if !f.d.takesOf("", s.Lines, f.circuit) {
			continue
		}
		if set := f.d.cat.Setups[s.Setup]; set != nil && work.Circuit(f.d.cat.FluidPart(set.Fills)) == f.circuit {
			f.in = &s.Lines
			continue
		}
		t := topUp{lines: &s.Lines, name: s.Setup}
		for i := range f.items {
			if slices.Contains(s.Items, f.items[i].ID) {
				t.of = append(t.of, i)
			}
		}
		f.topping = append(f.topping, t)
	}
}

// find looks for where the filling stands; it is false where the same job fills several at places of their own, which are several circuits.
func (f *filling) find() bool {
	for _, i := range f.anew[1:] {
		if f.items[i].Job == f.items[f.anew[0]].Job {
			return false
		}
	}
	if f.in == nil && len(f.anew) == 1 {
		f.in = &f.items[f.anew[0]].Lines
	}
	return true
}

// block makes an empty block that items share; the last part of its name tells blocks of a circuit apart.
func (f *filling) block(name string, items ...int) estimate.Shared {
	title := upperFirst(f.circuit)
	if p := f.d.cat.Parts[f.circuit]; p != nil {
		title = p.Name
	}
	b := estimate.Shared{Setup: "fill/" + f.circuit + name, Name: title + ", filled once"}
	slices.Sort(items)
	for _, i := range slices.Compact(items) {
		b.Items = append(b.Items, f.items[i].ID)
	}
	return b
}

// lines gives the places of the circuit's fluids among lines, with what thins them.
func (f *filling) lines(list []estimate.Line) (at []int) {
	if !f.d.takesOf("", list, f.circuit) {
		return nil
	}
	for i := range list {
		if p := f.d.cat.Parts[list[i].Part]; p != nil && (p.Thins || work.Circuit(p) == f.circuit) {
			at = append(at, i)
		}
	}
	return at
}

// split takes what tops the circuit up out of its items, and as much of the filling into a block that such an item shares with those that
// fill it: whichever of them the owner agrees to, it is filled and paid once. Where an amount is not known the whole filling is one block.
func (f *filling) split() (blocks []estimate.Shared, whole *estimate.Shared) {
	known := f.known(*f.in)
	every := slices.Clone(f.anew)
	for _, t := range f.topping {
		known, every = known && f.known(*t.lines), append(every, t.of...)
	}
	if !known {
		b := f.block("", every...)
		b.Lines = f.take(f.in)
		for i := range b.Lines {
			b.Lines[i].ID = setupBlock + b.Setup + "/" + b.Lines[i].Part
		}
		for _, t := range f.topping {
			f.take(t.lines)
		}
		return nil, &b
	}
	var all money.Milli
	of := map[string]money.Milli{}
	for _, i := range f.lines(*f.in) {
		l := (*f.in)[i]
		of[l.ID], all = l.Milli, all+l.Milli
	}
	for _, t := range f.topping {
		var much money.Milli
		for _, l := range f.take(t.lines) {
			much += l.Milli
		}
		b := f.block("/"+t.name, append(slices.Clone(f.anew), t.of...)...)
		if b.Lines = f.part(min(much, all), all, of, setupBlock+b.Setup); len(b.Lines) > 0 {
			blocks = append(blocks, b)
		}
	}
	return blocks, nil
}

// known reports whether all amounts of the circuit among lines are known, in one unit.
func (f *filling) known(lines []estimate.Line) bool {
	unit := ""
	for _, i := range f.lines(lines) {
		l := &lines[i]
		unit = cmp.Or(unit, l.Unit)
		if !AmountKnown(l) || l.Unit != unit {
			return false
		}
	}
	return true
}

// take takes the circuit's fluids out of lines.
func (f *filling) take(lines *[]estimate.Line) (out []estimate.Line) {
	at := f.lines(*lines)
	var rest []estimate.Line
	for i, l := range *lines {
		if slices.Contains(at, i) {
			out = append(out, l)
		} else {
			rest = append(rest, l)
		}
	}
	*lines = rest
	return out
}

// part takes so much out of the filling, of each fluid in the proportion in which they are filled.
func (f *filling) part(much, all money.Milli, of map[string]money.Milli, key string) (out []estimate.Line) {
	left := much
	at := f.lines(*f.in)
	for n, i := range at {
		l := &(*f.in)[i]
		q := much * of[l.ID] / all
		if n == len(at)-1 {
			q = left
		}
		if q = min(q, l.Milli); q <= 0 {
			continue
		}
		left -= q
		l.Milli -= q
		x := *l
		x.ID, x.Milli = key+"/"+l.Part, q
		out = append(out, x)
	}
	*f.in = slices.DeleteFunc(*f.in, func(l estimate.Line) bool { return l.Milli <= 0 })
	return out
}
