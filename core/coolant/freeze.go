package coolant

import (
	"fmt"
	"math"
)

// strongFrom is the share from which the manual's returning branch is read, in percent.
const strongFrom = 80

// Strongest gives the strongest share by volume of the handbook's table, in percent, and its freezing point in degC.
func Strongest(g Glycol) (volume, degC float64) {
	v := g.set().volume
	return v[len(v)-1].X, v[len(v)-1].Y
}

// FreezeByVolume gives the freezing point at a share in percent by volume: 0 to 57.8 (ethylene) or 60 (propylene), and
// for ethylene the returning branch from 80 to 100. Between them it is an error that wraps ErrPastOptimum.
// Source: ASHRAE Fundamentals 2001, ch. 21; beyond 80 % an engine manual, which states no basis.
// Accuracy: the table is printed to 0.1 degree; PlusMinus is the disagreement with the other tables.
func FreezeByVolume(g Glycol, percent float64) (Freeze, error) {
	s := g.set()
	if t, ok := s.volume.At(percent); ok {
		mass, _ := s.toMass.At(percent)
		return Freeze{t, disagreement(g, mass, percent, t), sourceTable}, nil
	}
	return strong(g, percent, "by volume")
}

// FreezeByMass is FreezeByVolume for a share in percent by mass, 0 to 60.
func FreezeByMass(g Glycol, percent float64) (Freeze, error) {
	s := g.set()
	if t, ok := s.mass.At(percent); ok {
		volume, _ := s.toMass.Find(percent)
		return Freeze{t, disagreement(g, percent, volume, t), sourceTable}, nil
	}
	return strong(g, percent, "by mass")
}

func strong(g Glycol, percent float64, basis string) (Freeze, error) {
	if !(percent >= 0 && percent <= 100) {
		return Freeze{}, fmt.Errorf("a share of %v %% does not exist; it lies between 0 and 100", percent)
	}
	if g == Ethylene && percent >= strongFrom {
		t, _ := manual.At(percent)
		return Freeze{t, 5, sourceStrong}, nil
	}
	if g == Propylene {
		return Freeze{}, fmt.Errorf("%v %% %s: %w: the table ends at 60 %%, where it protects to -51 °C; stronger propylene glycol thickens to a glass without a freezing point", percent, basis, ErrPastOptimum)
	}
	return Freeze{}, fmt.Errorf("%v %% %s: %w: the table ends at 60 %% by mass (57.8 %% by volume), where it protects to -48 °C; beyond about two thirds protection turns back", percent, basis, ErrPastOptimum)
}

// disagreement is the largest distance of the other published tables from the first, never less than its rounding.
func disagreement(g Glycol, mass, volume, t float64) float64 {
	d := max(0.05, math.Abs(IIRPolynomial(g, mass)-t))
	if u, ok := g.set().second.At(mass); ok {
		d = max(d, math.Abs(u-t))
	}
	if g == Propylene {
		if u, ok := lange.At(volume); ok {
			d = max(d, math.Abs(u-t))
		}
	}
	return d
}

// VolumeFor gives the share in percent by volume that freezes at a temperature: the weaker of the two that may.
// It is an error above 0 degC, and wraps ErrPastOptimum below the table's end. Source and accuracy: FreezeByVolume.
func VolumeFor(g Glycol, degC float64) (float64, error) {
	if v, ok := g.set().volume.Find(degC); ok {
		return v, nil
	}
	return 0, noShare(g, degC)
}

// MassFor is VolumeFor in percent by mass.
func MassFor(g Glycol, degC float64) (float64, error) {
	if m, ok := g.set().mass.Find(degC); ok {
		return m, nil
	}
	return 0, noShare(g, degC)
}

func noShare(g Glycol, degC float64) error {
	end, t := Strongest(g)
	if degC < t {
		return fmt.Errorf("%v °C: %w: the table's strongest mixture, %v %% by volume, protects to %v °C; more concentrate does not help, protection turns back beyond about two thirds", degC, ErrPastOptimum, end, t)
	}
	return fmt.Errorf("a coolant that freezes at %v °C is not a mixture of glycol and water; expected %v to 0 °C", degC, t)
}

// MassOf turns percent by volume into percent by mass, VolumeOf goes back; within the table, by its own pairs.
func MassOf(g Glycol, volume float64) (float64, error) {
	if m, ok := g.set().toMass.At(volume); ok {
		return m, nil
	}
	return 0, fmt.Errorf("%v %% by volume is outside the table of %s glycol", volume, g)
}

// VolumeOf turns percent by mass into percent by volume: see MassOf.
func VolumeOf(g Glycol, mass float64) (float64, error) {
	if v, ok := g.set().toMass.Find(mass); ok {
		return v, nil
	}
	return 0, fmt.Errorf("%v %% by mass is outside the table of %s glycol", mass, g)
}
