package simulate

import (
	"math"

	"witnessmark/core/point"
	"witnessmark/core/unit"
)

// measured gives the numbers of a measured point at one place, as the gauge shows them.
func (v *visit) measured(p *point.Point, at string) map[string]float64 {
	c := v.c
	base, _ := point.SplitAt(at)
	switch p.ID {
	case "battery-cranking-current":
		share := c.strength(v.day) + c.looks.bell(0, batteryClass.Noise)
		return map[string]float64{"A": share / 100 * c.model.ratedA, "rated_A": c.model.ratedA}
	case "battery-rest-voltage":
		return v.restVoltage()
	case "battery-age":
		return map[string]float64{"months": math.Floor((v.day - c.battery.from) / daysPerMonth)}
	case "timing-belt-age":
		l := c.lives[place{p.ID, at}]
		return map[string]float64{"km": c.use.at(v.day) - c.use.at(l.from), "months": math.Floor((v.day - l.from) / daysPerMonth)}
	case "spark-plug-age", "fuel-filter-age":
		return map[string]float64{"km": c.use.at(v.day) - c.use.at(c.lives[place{p.ID, at}].from)}
	case "tyre-pressure":
		degC := math.Round(v.ambient + c.looks.between(0, 4))
		return map[string]float64{"bar": c.pressure(base, v.day, degC) + c.looks.bell(0, 0.02), "degC": degC}
	}
	if part, i := c.partOf(p.ID, at); part != nil {
		return map[string]float64{p.Values[0].Name: c.thickness(part, i, v.day) + c.looks.bell(0, part.class.Noise) + v.bias(p.ID)}
	}
	if g, ok := gauges[p.ID]; ok {
		return v.gauged(p, at, g)
	}
	return v.unknown(p)
}

// restVoltage follows the charge that is left and the temperature.
func (v *visit) restVoltage() map[string]float64 {
	c := v.c
	charge := c.battery.charge + c.looks.bell(0, 4)
	if s := c.strength(v.day); s < 75 {
		charge -= (75 - s) * 0.8
	}
	charge = math.Max(20, math.Min(100, charge))
	degC := math.Round(v.ambient + 1)
	volts := 11.85 + 0.0082*charge - 0.024/(10*5.0/9)*(degC-80/1.8+32/1.8)
	if c.facets["battery-type"].Value == "agm" {
		volts += 0.15
	}
	return map[string]float64{"V": volts, "degC": degC}
}

// bias is the reader's own error on a gauge.
func (v *visit) bias(point string) float64 {
	for _, p := range people {
		if p.Initials != v.by {
			continue
		}
		switch point {
		case "pad-thickness", "shoe-lining":
			return p.PadMm
		case "tyre-tread":
			return p.TreadMm
		}
	}
	return 0
}

// gauged follows the life of the point, or of the one that it belongs to, from good to bad.
func (v *visit) gauged(p *point.Point, at string, g gauge) map[string]float64 {
	share := v.c.shareOf(p.ID, at, v.day)
	if g.follows != "" {
		if s := v.c.shareOf(g.follows, at, v.day); s >= 0 {
			share = s
		}
	}
	share = math.Max(0, math.Min(1.25, share))
	x := g.good + v.c.own(p.ID)*g.carSD + (g.bad-g.good)*math.Pow(share, 2.5) + v.c.looks.bell(0, g.noise)
	out := map[string]float64{p.Values[0].Name: x}
	for _, val := range p.Values[1:] {
		if !val.Companion {
			continue
		}
		if s, ok := v.c.version.Specs[val.Remember]; ok && len(s.Numbers) > 0 {
			out[val.Name] = s.Numbers[""]
		} else {
			out[val.Name] = g.companions[val.Name]
		}
	}
	return out
}

// shareOf is the largest used share of a point's lives at a place, whose positions may be coarser or finer; -1 when the
// car has none.
func (c *car) shareOf(id, at string, day float64) float64 {
	if l := c.lives[place{id, at}]; l != nil {
		return c.share(l, day)
	}
	most := -1.0
	for _, corner := range append([]string{""}, point.Corners...) {
		if l := c.lives[place{id, corner}]; l != nil && (len(at) != 1 || corner == "" || corner[:1] == at) {
			most = math.Max(most, c.share(l, day))
		}
	}
	return most
}

// own is the car's constant departure from the mean at a point, in standard deviations.
func (c *car) own(id string) float64 { return newDice(c.w.o.Seed, c.n, "own/"+id).bell(0, 1) }

// unknown gives a figure on the good side of every limit of a point that the laws know nothing of.
func (v *visit) unknown(p *point.Point) map[string]float64 {
	val := p.Values[0]
	lo, hi := val.Min, val.Max
	for _, l := range p.Limits {
		if l.Number == nil || (l.Of != "" && l.Of != val.Name) {
			continue
		}
		if l.Is.Falls() {
			lo = math.Max(lo, *l.Number)
		} else {
			hi = math.Min(hi, *l.Number)
		}
	}
	out := map[string]float64{val.Name: lo + (hi-lo)*(0.4+0.2*v.c.looks.Float64())}
	for _, other := range p.Values[1:] {
		if other.Companion && !other.Optional {
			out[other.Name] = (other.Min + other.Max) / 2
		}
	}
	return out
}

// shown rounds numbers to the gauges' graduations and keeps them within what can be typed.
func shown(p *point.Point, values map[string]float64) map[string]float64 {
	for name, x := range values {
		v := p.ValueByName(name)
		if v == nil {
			values[name] = unit.Round(math.Max(-2, math.Min(3, x)), 0.05)
			continue
		}
		if v.Step > 0 {
			x = unit.Round(x, v.Step)
		}
		values[name] = math.Max(v.Min, math.Min(v.Max, x))
	}
	return values
}
