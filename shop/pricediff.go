package shop

import (
	"fmt"
	"slices"
	"strings"

	"witnessmark/core/point"
)

// PriceDiff is what a new list changes.
type PriceDiff struct {
	New, Dropped []Price
	Changed      []PriceChange
	// Same counts the lines that stay as they are.
	Same int
	// Moved is true when nothing changes but the order of the lines.
	Moved bool
}

// PriceChange is a line that says something else than before.
type PriceChange struct{ Old, New Price }

// Nothing reports whether the new list is the old one.
func (d *PriceDiff) Nothing() bool {
	return len(d.New)+len(d.Dropped)+len(d.Changed) == 0 && !d.Moved
}

// ComparePrices says what a new list changes. Lines are the same when number, part and the cars they are for are; a list in another
// currency is left as a whole.
func ComparePrices(old, new *PriceList) PriceDiff {
	var d PriceDiff
	before := map[priceKey]Price{}
	if old.Currency != new.Currency {
		d.Dropped = slices.Clone(old.Prices)
	} else {
		for _, p := range old.Prices {
			before[p.key()] = p
		}
	}
	for _, p := range new.Prices {
		was, known := before[p.key()]
		switch {
		case !known:
			d.New = append(d.New, p)
		case was != p:
			d.Changed = append(d.Changed, PriceChange{was, p})
		default:
			d.Same++
		}
		delete(before, p.key())
	}
	for _, p := range old.Prices {
		if _, left := before[p.key()]; left {
			d.Dropped = append(d.Dropped, p)
		}
	}
	d.Moved = len(d.New)+len(d.Dropped)+len(d.Changed) == 0 && !slices.Equal(old.Prices, new.Prices)
	return d
}

// Unpriced lists the catalogue's parts that a list has no price for, by name: estimates leave them open.
func (s *Shop) Unpriced(list *PriceList) []*point.PartKind {
	has := map[string]bool{}
	for _, p := range list.Prices {
		if p.For == "" {
			has[p.Part] = true
		}
	}
	var out []*point.PartKind
	for id, p := range s.cat.Parts {
		if !has[id] {
			out = append(out, p)
		}
	}
	slices.SortFunc(out, func(a, b *point.PartKind) int { return strings.Compare(a.Name, b.Name) })
	return out
}

// howMany writes a number of things: "1 price", "12 prices".
func howMany(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}
