package coolant

import (
	"fmt"

	"witnessmark/core/curve"
)

// waterAt60F is the density of water at 15.6 degC (60 degF) in kg/m3, to which specific gravity refers.
// Source: handbook value, from memory.
const waterAt60F = 999.0

// ShareByDensity gives the share in percent by mass of a sample from its density in kg/m3 and temperature in degC
// (0 to 40). It inverts Density. A hydrometer that shows specific gravity is read with ShareByGravity.
// Accuracy: 1 kg/m3 is about 0.7 % (ethylene) or 1.3 % (propylene) by mass. Dyes and additives shift it by as much.
func ShareByDensity(g Glycol, kgM3, degC float64) (float64, error) {
	if err := checkWarmth(degC); err != nil {
		return 0, err
	}
	p, pivot := g.at(degC)
	p20, _ := g.at(tableDegC)
	lo, hi := 0.0, 60.0
	least, most := density(g, lo, pivot, &p, &p20), density(g, hi, pivot, &p, &p20)
	// Within the rounding of a sum of such size, the ends are mixtures too.
	const rounding = 1e-9
	if !(kgM3 >= least-rounding && kgM3 <= most+rounding) {
		return 0, fmt.Errorf("a density of %v kg/m3 at %v °C is no mixture of water and up to 60 %% %s glycol; expected %.0f to %.0f", kgM3, degC, g, least, most)
	}
	for range 40 {
		if mid := (lo + hi) / 2; density(g, mid, pivot, &p, &p20) < kgM3 {
			lo = mid
		} else {
			hi = mid
		}
	}
	return (lo + hi) / 2, nil
}

// ShareByGravity is ShareByDensity for a hydrometer's specific gravity (water at 15.6 degC = 1).
func ShareByGravity(g Glycol, gravity, degC float64) (float64, error) {
	return ShareByDensity(g, gravity*waterAt60F, degC)
}

// Refractive index at 20 degC by percent by mass. Ethylene: CRC Handbook of Chemistry and Physics, concentrative
// properties, from memory (the slope is sound, the fourth decimal is not). Propylene: from memory, one point at 50 %.
var (
	indexEthylene = curve.Curve{
		{X: 0, Y: 1.333}, {X: 10, Y: 1.3428}, {X: 20, Y: 1.3527}, {X: 30, Y: 1.3627}, {X: 40, Y: 1.3729}, {X: 50, Y: 1.383}, {X: 60, Y: 1.3931},
	}
	indexPropylene = curve.Curve{{X: 0, Y: 1.333}, {X: 50, Y: 1.387}, {X: 60, Y: 1.3975}}
)

// indexPerDegree is the change of the refractive index with temperature of a mixture near the middle of the scale;
// from memory. Instruments with automatic compensation need no correction.
const indexPerDegree = -0.00018

// ShareByIndex gives the share in percent by mass from the refractive index of a sample and its temperature in degC
// (0 to 40; 20 for an instrument that compensates). Source: see indexEthylene, from memory. Accuracy: about 1 % by
// mass for ethylene, 2 % for propylene glycol.
func ShareByIndex(g Glycol, index, degC float64) (float64, error) {
	if err := checkWarmth(degC); err != nil {
		return 0, err
	}
	c := indexEthylene
	if g == Propylene {
		c = indexPropylene
	}
	m, ok := c.Find(index - indexPerDegree*(degC-20))
	if !ok {
		return 0, fmt.Errorf("a refractive index of %v is no mixture of water and up to 60 %% %s glycol; expected %v to %v", index, g, c[0].Y, c[len(c)-1].Y)
	}
	return m, nil
}

// OnEthyleneScale gives the true freezing point of propylene glycol that was read in degC on a refractometer's
// ethylene scale: the scales differ, and the wrong one promises too little or too much. Source and accuracy:
// FreezeByMass both ways with the refractive indices from memory, about 3 degrees.
func OnEthyleneScale(readDegC float64) (Freeze, error) {
	m, err := MassFor(Ethylene, readDegC)
	if err != nil {
		return Freeze{}, err
	}
	n, _ := indexEthylene.At(m)
	pure, ok := indexPropylene.Find(n)
	if !ok {
		return Freeze{}, fmt.Errorf("%v °C on the ethylene scale lies outside the propylene table: %w", readDegC, ErrPastOptimum)
	}
	f, err := FreezeByMass(Propylene, pure)
	f.PlusMinus = max(f.PlusMinus, 3)
	return f, err
}
