package shop

import (
	"slices"

	"witnessmark/core/estimate"
)

// fillOnce moves a fluid that several items take after the same preparation has let it out to that preparation: it is filled once, and
// paid once whichever of them the owner agrees to. Of several amounts the largest counts, one that is known before one that is not.
func (d *drafting) fillOnce(items []estimate.Item, shared []estimate.Shared) {
	for k := range shared {
		s := &shared[k]
		kind := d.cat.FluidPart(d.cat.Setups[s.Setup].Fills)
		if kind == nil {
			continue
		}
		var fill *estimate.Line
		var from []int
		for i := range items {
			if !slices.Contains(s.Items, items[i].ID) {
				continue
			}
			for _, l := range items[i].Lines {
				if l.Part != kind.ID {
					continue
				}
				from = append(from, i)
				if fill == nil || AmountKnown(&l) && (!AmountKnown(fill) || l.Milli > fill.Milli) {
					fill = &l
				}
			}
		}
		if len(from) < 2 {
			continue
		}
		for _, i := range from {
			items[i].Lines = slices.DeleteFunc(items[i].Lines, func(l estimate.Line) bool { return l.Part == kind.ID })
		}
		l := *fill
		l.ID = "setup/" + s.Setup + "/" + kind.ID
		s.Lines = append(s.Lines, l)
	}
}
