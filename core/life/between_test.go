package life

import (
	"math"
	"math/big"
	"testing"
)

// TestBetween compares with differences of the distribution functions in 200 bits for the Weibull and the loglogistic life, whose
// functions are elementary, and with the plain difference for all models where that does not cancel.
func TestBetween(t *testing.T) {
	for _, m := range models {
		for _, a := range []float64{-30, -8, -2, -0.3, 0, 0.7, 1.5, 2.5} {
			for _, width := range []float64{1e-12, 1e-7, 1e-4, 9e-4, 1.1e-3, 0.01, 0.3, 1.2, 4, 40} {
				b := a + width
				want := math.Log(m.fail(b) - m.fail(a))
				tol := 1e-15 / (1e-15 + math.Abs(m.fail(b)-m.fail(a))) * 8
				if a > 0 {
					sa, _ := m.survive(a)
					sb, _ := m.survive(b)
					want = math.Log(sa - sb)
					tol = 8e-16 * sa / (1e-300 + sa - sb)
				}
				if m != Lognormal {
					want, tol = exactBetween(m, a, width), 2e-12
				}
				if tol > 1e-3 {
					continue
				}
				got := m.logBetween(a, b, width)
				if !(math.Abs(got-want) <= tol*math.Max(1, math.Abs(want))+1e-12) {
					t.Errorf("%v between %v and +%v: %v, want %v", m, a, width, got, want)
				}
				p := m.between(a, b, width)
				if math.Abs(p.v-got) > 1e-13*math.Max(1, math.Abs(got)) {
					t.Errorf("%v between %v and +%v: %v with derivatives, %v alone", m, a, width, p.v, got)
				}
			}
		}
	}
}

// exactBetween is ln(F(a+width)-F(a)) in high precision.
func exactBetween(m Model, a, width float64) float64 {
	const prec = 400
	num := func(x float64) *big.Float { return new(big.Float).SetPrec(prec).SetFloat64(x) }
	bigA := num(a)
	bigB := new(big.Float).SetPrec(prec).Add(bigA, num(width))
	cdf := func(z *big.Float) *big.Float {
		if m == Weibull {
			e := bigExp(z)
			return new(big.Float).SetPrec(prec).Sub(num(1), bigExp(new(big.Float).SetPrec(prec).Neg(e)))
		}
		e := bigExp(new(big.Float).SetPrec(prec).Neg(z))
		return new(big.Float).SetPrec(prec).Quo(num(1), e.Add(e, num(1)))
	}
	d := new(big.Float).SetPrec(prec).Sub(cdf(bigB), cdf(bigA))
	mant := new(big.Float)
	exp := d.MantExp(mant)
	x, _ := mant.Float64()
	return math.Log(x) + float64(exp)*math.Ln2
}

// bigExp is exp by its series after halving the argument.
func bigExp(x *big.Float) *big.Float {
	const prec = 400
	halved := new(big.Float).SetPrec(prec).Set(x)
	n := 0
	for abs := new(big.Float).Abs(halved); abs.Cmp(big.NewFloat(0.5)) > 0; abs.Abs(halved) {
		halved.Quo(halved, big.NewFloat(2))
		n++
	}
	sum, term := new(big.Float).SetPrec(prec).SetInt64(1), new(big.Float).SetPrec(prec).SetInt64(1)
	for k := int64(1); k < 90; k++ {
		term.Mul(term, halved)
		term.Quo(term, new(big.Float).SetPrec(prec).SetInt64(k))
		sum.Add(sum, term)
	}
	for range n {
		sum.Mul(sum, sum)
	}
	return sum
}

// TestBetweenDerivatives compares with central differences.
func TestBetweenDerivatives(t *testing.T) {
	for _, m := range models {
		for _, a := range []float64{-400, -45, -21, -8, -2, -0.3, 0, 0.7, 1.5, 2.5, 5} {
			for _, width := range []float64{1e-4, 0.01, 0.3, 1.2, 4} {
				if m != Weibull && a < -30 {
					continue
				}
				b := a + width
				h := math.Min(1e-4, width/20)
				v := func(i, j float64) float64 { return m.between(a+i*h, b+j*h, width+(j-i)*h).v }
				p := m.between(a, b, width)
				da, db := (v(1, 0)-v(-1, 0))/(2*h), (v(0, 1)-v(0, -1))/(2*h)
				// Along a shift of both ends nothing is lost to the width.
				shift := (m.between(a+1e-4, b+1e-4, width).v - m.between(a-1e-4, b-1e-4, width).v) / 2e-4
				size := 1 + math.Abs(p.da) + math.Abs(p.v)
				if math.Abs(da-p.da) > 2e-3*size || math.Abs(db-p.db) > 2e-3*size || math.Abs(shift-p.da-p.db) > 1e-6*size {
					t.Errorf("%v at %v +%v: slopes %v %v %v, differences %v %v %v", m, a, width, p.da, p.db, p.da+p.db, da, db, shift)
				}
				up, down := m.between(a+1e-5, b+1e-5, width), m.between(a-1e-5, b-1e-5, width)
				bend := (up.da + up.db - down.da - down.db) / 2e-5
				if got := p.daa + 2*p.dab + p.dbb; math.Abs(bend-got) > 1e-4*size {
					t.Errorf("%v at %v +%v: bend %v, difference %v", m, a, width, got, bend)
				}
			}
		}
	}
}
