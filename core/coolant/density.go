package coolant

import (
	"fmt"

	"witnessmark/core/curve"
)

// Density polynomials in percent by mass around the pivot and degC around its own, kg/m3. Six rows by rising power of
// the share, up to four columns by rising power of the temperature.
// Source: Melinder, IIR (2010), coefficients read in public copies.
var (
	densityEthylene = [6][4]float64{
		{1034, -0.4781, -0.002692, 0.000004725}, {1.311, -0.006876, 0.00004805, 0.0000000169},
		{0.0000749, 0.00007855, -0.0000003995, 0.000000004982}, {-0.0001062, 0.000001229, -0.00000001153},
		{-0.0000009623, -0.00000007211}, {0.00000004891},
	}
	densityPropylene = [6][4]float64{
		{1018, -0.5406, -0.002666, 0.00001347}, {0.7604, -0.00945, 0.00005541, -0.0000001343},
		{-0.002498, 0.000027, -0.0000004018, 0.000000003376}, {-0.000155, 0.000002829, -0.000000007175},
		{-0.000001131, -0.00000002221}, {0.00000002342},
	}
)

const (
	pivotEthyleneDegC  = 31.728
	pivotPropyleneDegC = 32.7083
	tableDegC          = 20 // of density20
)

// density20 is ethylene glycol at 20 degC, percent by mass, kg/m3. Source: Melinder, IIR (2010), tables.
var density20 = curve.Curve{
	{X: 0, Y: 998.42}, {X: 6, Y: 1006.37}, {X: 11, Y: 1013.11}, {X: 16, Y: 1019.84}, {X: 21, Y: 1026.54}, {X: 26, Y: 1033.27},
	{X: 31, Y: 1040.08}, {X: 36, Y: 1047}, {X: 41, Y: 1053.96}, {X: 46, Y: 1060.81}, {X: 51, Y: 1067.2}, {X: 56, Y: 1072.62},
}

// inShare is a polynomial in the share alone: the two-way polynomial at one temperature.
type inShare [6]float64

func (g Glycol) at(degC float64) (p inShare, pivot float64) {
	rows, t, pivot := &densityEthylene, degC-pivotEthyleneDegC, 30.8462
	if g == Propylene {
		rows, t, pivot = &densityPropylene, degC-pivotPropyleneDegC, 30.7031
	}
	for i := range rows {
		r := &rows[i]
		p[i] = r[0] + t*(r[1]+t*(r[2]+t*r[3]))
	}
	return p, pivot
}

func (p inShare) value(x float64) float64 {
	return p[0] + x*(p[1]+x*(p[2]+x*(p[3]+x*(p[4]+x*p[5]))))
}

// Density gives the density in kg/m3 at 0 to 60 % by mass and a temperature from 0 to 40 degC.
// Ethylene glycol follows the table at 20 degC and takes only the change with temperature from the polynomial.
// Source: Melinder, IIR (2010). Accuracy: about 1 kg/m3 (ethylene). Propylene is the
// polynomial alone and lies up to 5 kg/m3 from the specific gravities of Lange's Handbook, Table 5.13.
func Density(g Glycol, mass, degC float64) (float64, error) {
	if err := checkDensity(mass, degC); err != nil {
		return 0, err
	}
	p, pivot := g.at(degC)
	p20, _ := g.at(tableDegC)
	return density(g, mass, pivot, &p, &p20), nil
}

func density(g Glycol, mass, pivot float64, p, p20 *inShare) float64 {
	x := mass - pivot
	v := p.value(x)
	if g == Ethylene {
		end := density20[len(density20)-1].X
		m := min(mass, end)
		v += density20.Clamped(m) - p20.value(m-pivot)
	}
	return v
}

func checkDensity(mass, degC float64) error {
	if !(mass >= 0 && mass <= 60) {
		return fmt.Errorf("%v %% by mass is outside the density tables; expected 0 to 60", mass)
	}
	return checkWarmth(degC)
}

func checkWarmth(degC float64) error {
	if !(degC >= 0 && degC <= 40) {
		return fmt.Errorf("a sample at %v °C cannot be read; expected 0 to 40 °C", degC)
	}
	return nil
}
