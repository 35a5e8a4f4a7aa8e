package web

import (
	"fmt"
	"html/template"
	"math"

	"witnessmark/core/battery"
	"witnessmark/core/coolant"
	"witnessmark/core/sums"
)

// drawMix shows the cooling system as it is, after the (last) drain, and with what is poured in. The full width is the
// whole system.
func drawMix(a sketchOf, r sums.Result) template.HTML {
	v, d := a.num["capacity"], a.num["drain"]
	from, to, pour, water := one(r, "from_percent")/100, one(r, "to_percent")/100, one(r, "last_concentrate_L"), one(r, "last_water_L")
	if v <= 0 {
		return ""
	}
	var s sketch
	w := func(litres float64) float64 { return (sketchWidth - 2) * litres / v }
	s.words(1, 14, "start", fmt.Sprintf("Now: %s %% glycol", short(100*from)))
	s.rect(1, 20, w(v*from), 26, blue3)
	s.rect(1+w(v*from), 20, w(v*(1-from)), 26, blue1)
	said := fmt.Sprintf("Now %s %% glycol", short(100*from))
	if one(r, "drains") == 0 {
		return s.legend(66, 76, said)
	}
	before := (v*to - pour) / (v - d) // share just before the last filling
	if v-d <= 1e-9 {
		before = 0
	}
	drained := fmt.Sprintf("Drained: %s L out", short(d))
	if one(r, "drains") > 1 {
		drained = fmt.Sprintf("Drained the last of %s times: %s L out", short(one(r, "drains")), short(d))
	}
	s.words(1, 66, "start", drained)
	keep := v - d
	s.rect(1, 72, w(keep*before), 26, blue3)
	s.rect(1+w(keep*before), 72, w(keep*(1-before)), 26, blue1)
	s.empty(1+w(keep), 72, w(d), 26)
	s.words(1, 118, "start", fmt.Sprintf("Then pour in %s L concentrate, %s L water", short(pour), short(water)))
	s.rect(1, 124, w(keep*before), 26, blue3)
	s.rect(1+w(keep*before), 124, w(keep*(1-before)), 26, blue1)
	s.rect(1+w(keep), 124, w(pour), 26, blue4)
	s.rect(1+w(keep)+w(pour), 124, w(water), 26, paper)
	return s.legend(176, 186, fmt.Sprintf("%s; %s; then %s L concentrate and %s L water poured in make %s %%", said, drained, short(pour), short(water), short(100*to)))
}

// legend names the fillings under the bars.
func (s *sketch) legend(y, height float64, said string) template.HTML {
	x := 1.0
	for _, p := range []struct{ fill, words string }{{blue3, "glycol"}, {blue1, "water"}, {blue4, "concentrate"}, {paper, "new water"}} {
		if height < 100 && p.fill != blue3 && p.fill != blue1 {
			continue
		}
		s.rect(x, y-11, 12, 12, p.fill)
		s.words(x+17, y, "start", p.words)
		x += 17 + 7.4*float64(len(p.words)) + 12
	}
	return s.done(height, said)
}

// drawFreeze shows the freezing point over the share by volume, with the mixture on it: it turns back past the optimum.
func drawFreeze(a sketchOf, r sums.Result) template.HTML {
	g, err := coolant.Parse(a.text["glycol"])
	if err != nil {
		return ""
	}
	px := func(share float64) float64 { return 34 + (sketchWidth-48)*share/100 }
	py := func(degC float64) float64 { return 22 + 120*math.Min(0, degC)/-60 }
	var s sketch
	for _, t := range []float64{0, -20, -40, -60} {
		s.line(34, py(t), sketchWidth-14, py(t), .6, rule)
		s.classed(29, py(t)+4, "end", "soft", sums.Text(t))
	}
	for _, p := range []float64{0, 25, 50, 75, 100} {
		s.classed(px(p), 160, "middle", "soft", sums.Text(p))
	}
	s.classed(34, 12, "start", "soft", "freezes at, °C")
	s.classed(sketchWidth-14, 176, "end", "soft", "glycol by volume, %")
	d, pen, gap, unknown := "", "M", 0.0, 0.0
	for p := 0.0; p <= 100; p++ {
		f, err := coolant.FreezeByVolume(g, p)
		if err != nil { // no table knows this share: a gap, not a bridge
			pen, gap, unknown = "M", gap+p, unknown+1
			continue
		}
		d, pen = d+fmt.Sprintf("%s%.1f %.1f", pen, px(p), py(f.DegC)), "L"
	}
	s.path(d, "none", blue3, 2.4, "")
	if unknown > 0 {
		s.classed(px(gap/unknown), 132, "middle", "soft", "no table")
	}
	share, ok := r.Value("volume_percent").(float64)
	if !ok {
		share, ok = a.num["volume"], a.num["volume"] > 0
	}
	if ok {
		s.dot(px(share), py(one(r, "freeze_degC")))
	}
	return s.done(182, fmt.Sprintf("Freezing point against glycol by volume; at %s %% it is %s °C", short(share), short(one(r, "freeze_degC"))))
}

// drawExchange shows how much of the old fluid is left after each exchange.
func drawExchange(a sketchOf, r sums.Result) template.HTML {
	times := int(one(r, "times"))
	v, d := a.num["capacity"], a.num["drain"]
	if times < 1 || times > 10 || v <= 0 {
		return ""
	}
	var s sketch
	w := math.Min(60, (sketchWidth-10)/float64(times+1))
	for i := 0; i <= times; i++ {
		share := math.Pow(1-d/v, float64(i))
		x := 5 + float64(i)*w
		s.rect(x+3, 20, w-6, 100, paper)
		s.rect(x+3, 20+100*(1-share), w-6, 100*share, blue3)
		s.classed(x+w/2, 14, "middle", "", fmt.Sprintf("%.0f", 100*share))
		s.classed(x+w/2, 137, "middle", "soft", map[bool]string{true: "before", false: fmt.Sprint(i)}[i == 0 && w > 44])
	}
	s.classed(5, 156, "start", "soft", "old fluid in percent, after each exchange")
	return s.done(162, fmt.Sprintf("Old fluid left after %d exchanges: %.0f percent", times, 100*one(r, "old_share")))
}

// drawBoiling shows the measured boiling point against the class's minimums.
func drawBoiling(a sketchOf, r sums.Result) template.HTML {
	v, ok := a.num["boiling"]
	if !ok {
		return ""
	}
	wet, dry := one(r, "wet_min_degC"), one(r, "dry_min_degC")
	return against(math.Min(100, v-10), math.Max(dry+30, v+10), v, "boils at "+short(v)+" °C", gaugeTick{wet, "wet minimum " + short(wet)}, gaugeTick{dry, "dry minimum " + short(dry)})
}

// drawCharge shows the rest voltage against charge for this type at this temperature, with the reading on it.
func drawCharge(a sketchOf, r sums.Result) template.HTML {
	kind, err := battery.ParseType(a.text["type"])
	if err != nil {
		return ""
	}
	at, ok := a.num["at"]
	if !ok {
		at = battery.TableDegC
	}
	lo, hi := 11.5, 13.1
	px := func(v float64) float64 { return 40 + (sketchWidth-54)*(math.Max(lo, math.Min(hi, v))-lo)/(hi-lo) }
	py := func(p float64) float64 { return 132 - 1.1*p }
	var s sketch
	for _, p := range []float64{0, 25, 50, 75, 100} {
		s.line(40, py(p), sketchWidth-14, py(p), .6, rule)
		s.classed(35, py(p)+4, "end", "soft", sums.Text(p))
	}
	for _, v := range []float64{11.5, 12, 12.5, 13} {
		s.classed(px(v), 150, "middle", "soft", sums.Text(v))
	}
	s.classed(40, 12, "start", "soft", "charge, %")
	s.classed(sketchWidth-14, 168, "end", "soft", "volts at rest, at "+short(math.Round(at*10)/10)+" °C")
	d, pen := "", "M"
	for p := 0.0; p <= 100; p += 5 {
		if v, err := battery.VoltageFor(kind, p, at); err == nil {
			d, pen = d+fmt.Sprintf("%s%.1f %.1f", pen, px(v), py(p)), "L"
		}
	}
	s.path(d, "none", blue3, 2.4, "")
	s.dot(px(a.num["volts"]), py(one(r, "charge_percent")))
	return s.done(174, fmt.Sprintf("%s V on the charge curve: %s percent", short(a.num["volts"]), short(one(r, "charge_percent"))))
}

// drawLoadTest shows the voltage under load against the least.
func drawLoadTest(a sketchOf, r sums.Result) template.HTML {
	v, ok := a.num["volts"]
	if !ok {
		return ""
	}
	least := one(r, "least_V")
	return against(math.Min(8, v), math.Max(11, v), v, short(v)+" V under load", gaugeTick{least, "least " + short(least) + " V"})
}
