package simulate

import (
	"fmt"
	"image"
	"image/color"
	"math"
)

// Kinds of invented picture.
const (
	BrakeFluid    = "brake fluid"
	EngineOil     = "engine oil"
	Coolant       = "coolant"
	SteeringFluid = "steering fluid"
	Pad           = "brake pad"
	Tread         = "tyre tread"
)

// PhotoKinds lists the kinds that Photo draws.
var PhotoKinds = []string{BrakeFluid, EngineOil, Coolant, SteeringFluid, Pad, Tread}

// Photo draws a small picture of a kind as a JPEG: a drop of fluid on paper, the edge of a pad beside a ruler, a section
// through a tread. Severity goes from 0 (like new) to 4 (spent). The picture says that it is a demo picture. An unknown
// kind gives a drop of brake fluid.
func Photo(kind string, severity int) []byte { return numbered(kind, severity, 0, -1) }

// numbered draws one of many pictures of a kind, no two alike. The thickness in mm, unless negative, is what a picture of a
// worn part shows.
func numbered(kind string, severity, number int, mm float64) []byte {
	severity = max(0, min(4, severity))
	d := newDice(uint64(number), severity, "photo/"+kind)
	text := "demo picture: " + kind
	if number > 0 {
		text += fmt.Sprintf("  no. %d", number)
	}
	if mm < 0 {
		mm = thicknessShown[kind][severity] + d.between(-0.15, 0.15)
	}
	var c *canvas
	switch kind {
	case Pad:
		c = drawPad(d, severity, mm)
	case Tread:
		c = drawTread(d, mm)
	default:
		c = drawDrop(d, kind, severity)
	}
	c.caption(text)
	return c.jpeg()
}

// fluids go from fresh to spent.
var fluids = map[string][2]color.RGBA{
	BrakeFluid:    {{246, 226, 140, 255}, {52, 36, 20, 255}},
	EngineOil:     {{222, 164, 54, 255}, {20, 16, 14, 255}},
	Coolant:       {{70, 190, 190, 255}, {122, 74, 36, 255}},
	SteeringFluid: {{206, 32, 44, 255}, {44, 20, 16, 255}},
}

// drawDrop draws a drop of a fluid on white paper, seen from above.
func drawDrop(d dice, kind string, severity int) *canvas {
	ends, ok := fluids[kind]
	if !ok {
		ends = fluids[BrakeFluid]
	}
	used := float64(severity) / 4
	ink := mix(ends[0], ends[1], math.Pow(used, 0.75))
	body := 0.45 + 0.5*used
	c := newCanvas(d, color.RGBA{238, 236, 228, 255})
	c.grain(image.Rect(0, 0, pictureWidth, pictureHeight-40), 5)
	x, y := 320+d.between(-25, 25), 215+d.between(-15, 15)
	r := d.between(96, 116)
	waves := [4]float64{d.between(0.01, 0.04), d.Float64(), d.between(0.01, 0.03), d.Float64()}
	for k := 1.42; k > 1.05; k -= 0.06 { // what the paper has drunk
		c.fill(blob(x, y+6, r*k, r*0.86*k, waves), glass(ink, 0.045))
	}
	c.fill(blob(x+7, y+12, r, r*0.86, waves), glass(color.RGBA{30, 28, 24, 255}, 0.22))
	c.fill(blob(x, y, r, r*0.86, waves), glass(mix(ink, color.RGBA{0, 0, 0, 255}, 0.16), math.Min(0.97, body+0.12)))
	for k := 0.97; k > 0.3; k -= 0.03 { // lighter towards the middle, where the drop is clear
		lit := mix(ink, color.RGBA{255, 252, 240, 255}, (0.97-k)*0.3*(1-used))
		c.fill(blob(x, y-2, r*k, r*0.86*k, waves), glass(lit, 0.10+0.25*body))
	}
	if severity >= 3 {
		c.specks(x, y, r*0.7, ink)
	}
	c.fill(blob(x-r*0.36, y-r*0.38, r*0.2, r*0.1, waves), glass(color.RGBA{255, 255, 255, 255}, 0.75))
	c.fill(blob(x+r*0.4, y+r*0.36, r*0.12, r*0.05, waves), glass(color.RGBA{255, 255, 255, 255}, 0.3))
	for range 2 + d.IntN(3) { // spatter
		a, far := d.between(0, 2*math.Pi), r*d.between(1.6, 2.1)
		s := d.between(3, 9)
		c.fill(blob(x+far*math.Cos(a), y+far*0.7*math.Sin(a), s, s*0.9, waves), glass(ink, body))
	}
	c.shade(290, 200, 0.5)
	return c
}

// specks are dirt in a spent fluid.
func (c *canvas) specks(x, y, r float64, ink color.RGBA) {
	for range 26 {
		a, far := c.d.between(0, 2*math.Pi), r*math.Sqrt(c.d.Float64())
		s := c.d.between(0.8, 2.4)
		c.fill(blob(x+far*math.Cos(a), y+far*0.86*math.Sin(a), s, s, [4]float64{}), glass(mix(ink, color.RGBA{180, 160, 130, 255}, 0.35), 0.7))
	}
}
