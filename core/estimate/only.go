package estimate

import "slices"

// OnlyFor gives the index of the only item that needs a preparation: it costs what the two cost together. It is -1 when several items
// need it, or none.
func OnlyFor(e *Estimate, shared int) int {
	if ids := e.Shared[shared].Items; len(ids) == 1 {
		return slices.IndexFunc(e.Items, func(it Item) bool { return it.ID == ids[0] })
	}
	return -1
}
