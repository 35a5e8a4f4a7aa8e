package work

import (
	"slices"

	"witnessmark/core/point"
)

// Circuit names what a part is filled into: parts of one circuit mix, and of several fillings of it the largest holds the others. It is
// empty for what is no fluid, and for what only thins another.
func Circuit(p *point.PartKind) string {
	switch {
	case p == nil || !p.Fluid || p.Thins:
		return ""
	case p.Circuit != "":
		return p.Circuit
	}
	return p.ID
}

// CircuitOf names what a job fills a part into: its work may say another circuit than the part's own.
func CircuitOf(cat *point.Catalogue, job, part string) string {
	if w := cat.Work[job]; w != nil {
		for _, p := range w.Parts {
			if p.Part == part && p.Circuit != "" {
				return p.Circuit
			}
		}
	}
	return Circuit(cat.Parts[part])
}

// Fills reports whether a job fills a circuit anew, by the car's capacity; what else it takes of it only tops it up.
func Fills(cat *point.Catalogue, job, circuit string) bool {
	j := cat.Jobs[job]
	return j != nil && circuit != "" && slices.ContainsFunc(j.Takes, func(t point.Take) bool {
		return (t.Spec != "" || t.Rule == "coolant-fresh") && Circuit(cat.FluidPart(t.What)) == circuit
	})
}
