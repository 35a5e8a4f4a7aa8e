package simulate

import (
	"encoding/binary"
	"encoding/hex"
	"fmt"
	"hash/fnv"
	"math"
	"math/rand/v2"
)

// dice is one stream of chance. Each purpose has a stream of its own, so that more looks in one place do not change what
// is drawn in another.
type dice struct{ *rand.Rand }

func newDice(seed uint64, car int, purpose string) dice {
	h := fnv.New64a()
	fmt.Fprintf(h, "%d/%s", car, purpose)
	return dice{rand.New(rand.NewPCG(seed, h.Sum64()))}
}

// chance is true with probability p.
func (d dice) chance(p float64) bool { return d.Float64() < p }

// between is uniform on [a, b).
func (d dice) between(a, b float64) float64 { return a + (b-a)*d.Float64() }

// normal draws from a normal distribution.
func (d dice) normal(mean, sd float64) float64 { return mean + sd*d.NormFloat64() }

// bell is normal but never further than two and a half standard deviations out, so that no figure is absurd.
func (d dice) bell(mean, sd float64) float64 {
	return mean + sd*math.Max(-2.5, math.Min(2.5, d.NormFloat64()))
}

// logNormal draws x with ln x ~ N(mean, sd^2).
func (d dice) logNormal(mean, sd float64) float64 { return math.Exp(d.normal(mean, sd)) }

// weibull draws from a Weibull distribution with R(x) = exp(-(x/scale)^shape).
func (d dice) weibull(shape, scale float64) float64 {
	return scale * math.Pow(-math.Log(1-d.Float64()), 1/shape)
}

// pick gives one of the list.
func pick[T any](d dice, list []T) T { return list[d.IntN(len(list))] }

// id makes an identifier with the layout of a time-ordered UUID (RFC 9562, version 7) from a time in ms and the stream.
func (d dice) id(ms int64) string {
	a, b := d.Uint64(), d.Uint64()
	var raw [16]byte
	binary.BigEndian.PutUint64(raw[:8], uint64(ms)<<16|0x7000|a&0xfff)
	binary.BigEndian.PutUint64(raw[8:], 1<<63|b>>2)
	var out [36]byte
	hex.Encode(out[:8], raw[:4])
	hex.Encode(out[9:13], raw[4:6])
	hex.Encode(out[14:18], raw[6:8])
	hex.Encode(out[19:23], raw[8:10])
	hex.Encode(out[24:], raw[10:])
	out[8], out[13], out[18], out[23] = '-', '-', '-', '-'
	return string(out[:])
}
