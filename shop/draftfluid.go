package shop

import (
	"slices"

	"witnessmark/core/estimate"
)

// fillOnce moves fluids that several items take after the same preparation has let them out to that preparation: they are filled once, and
// paid once whichever of the items the owner agrees to. Of several amounts the largest counts, one that is known before one that is not.
func (d *drafting) fillOnce(items []estimate.Item, shared []estimate.Shared) {
	for k := range shared {
		s := &shared[k]
		kind := d.cat.FluidPart(d.cat.Setups[s.Setup].Fills)
		if kind == nil {
			continue
		}
		var from []int
		for i := range items {
			if slices.Contains(s.Items, items[i].ID) && slices.ContainsFunc(items[i].Lines, func(l estimate.Line) bool { return l.Part == kind.ID }) {
				from = append(from, i)
			}
		}
		s.Lines = append(s.Lines, together(items, from, "setup/"+s.Setup)...)
	}
}

// together takes the fluids out that more than one of some items takes, and gives one line for each.
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
