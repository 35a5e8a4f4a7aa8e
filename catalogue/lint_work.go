package catalogue

import (
	"fmt"
	"maps"
	"slices"

	"witnessmark/core/point"
)

// Unworked lists the jobs of which nothing says how they are done, and the fluids that jobs take and that no part is bought for: an
// estimate would be silent there. It is sorted by job.
func Unworked(c *point.Catalogue) []string {
	var out []string
	for _, id := range slices.Sorted(maps.Keys(c.Jobs)) {
		if c.Work[id] == nil {
			out = append(out, fmt.Sprintf("job %s: no work says how it is done", id))
		}
		for _, t := range c.Jobs[id].Takes {
			if c.FluidPart(t.What) == nil {
				out = append(out, fmt.Sprintf("job %s takes %s: no part is bought for it", id, t.What))
			}
		}
	}
	return out
}
