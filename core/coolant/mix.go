package coolant

import (
	"fmt"
	"math"
)

// mostDrains is the number of drains from which the plan is no longer a plan.
const mostDrains = 20

// Mix says how a system is brought to a freezing point.
type Mix struct {
	Drains      int     // 0: it is there already
	Concentrate float64 // litres over all drains
	Water       float64 // litres over all drains
	// The last filling. The drains before it are filled with concentrate alone.
	LastConcentrate float64
	LastWater       float64
	From, To        float64 // share in percent by volume before and after
	Reached         Freeze
}

// Plan gives the fewest drains, and the least concentrate for them, that bring a system of capacity litres from the
// freezing point now to target (both degC) when drain litres come out each time. Each drain takes the mixture as it
// is then; what came out is replaced by concentrate and, in the last filling, topped up with water. A system that is
// protected to the target already takes none.
//
// Volumes are added as if they did not shrink on mixing (they do, by less than 1 %). Concentrate counts as pure
// glycol. The target must lie within the handbook's table: else the error wraps ErrPastOptimum.
func Plan(g Glycol, capacity, now, drain, target float64) (Mix, error) {
	if !(capacity > 0) || math.IsInf(capacity, 1) {
		return Mix{}, fmt.Errorf("a capacity of %v L is none", capacity)
	}
	if !(drain > 0 && drain <= capacity) {
		return Mix{}, fmt.Errorf("%v L cannot be drained from %v L", drain, capacity)
	}
	from, err := VolumeFor(g, now)
	if err != nil {
		return Mix{}, fmt.Errorf("present protection: %w", err)
	}
	to, err := VolumeFor(g, target)
	if err != nil {
		return Mix{}, fmt.Errorf("target: %w", err)
	}
	m := Mix{From: from, To: max(from, to)}
	if to > from {
		if err := m.fill(capacity, drain); err != nil {
			return Mix{}, err
		}
	}
	m.Reached, err = FreezeByVolume(g, m.To)
	return m, err
}

// fill counts drains until what concentrate alone would reach is enough, then waters the last filling down.
func (m *Mix) fill(capacity, drain float64) error {
	share := m.From / 100
	for n := 1; n <= mostDrains; n++ {
		need := m.To/100*capacity - share*(capacity-drain) // litres of concentrate in this filling
		if need <= drain*(1+1e-12) {
			need = min(max(need, 0), drain)
			m.Drains, m.LastConcentrate, m.LastWater = n, need, drain-need
			m.Concentrate = float64(n-1)*drain + need
			m.Water = m.LastWater
			return nil
		}
		share = (share*(capacity-drain) + drain) / capacity
	}
	return fmt.Errorf("it takes more than %d drains of %v L; find a way to drain more", mostDrains, drain)
}
