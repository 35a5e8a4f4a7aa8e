package simulate

import (
	"fmt"
	"image"
	"image/color"
	"math"
)

// thicknessShown is the lining or tread in mm that a picture of a part shows, by severity.
var thicknessShown = map[string][5]float64{Pad: {10.5, 7, 4.5, 2.8, 1.2}, Tread: {7.5, 5, 3, 1.9, 1}}

// drawPad draws a pad from its edge: steel plate, lining, disc, and a ruler below.
func drawPad(d dice, severity int, mm float64) *canvas {
	const perMm = 22.0
	c := newCanvas(d, color.RGBA{66, 64, 62, 255})
	c.grain(image.Rect(0, 0, pictureWidth, pictureHeight), 9)
	left, plate := 150.0, 5*perMm
	face := left + plate + mm*perMm
	c.box(face, 0, face+150, 330, color.RGBA{150, 152, 156, 255}) // the disc
	for y := 8.0; y < 330; y += 7 {
		c.box(face, y, face+150, y+1.5, glass(color.RGBA{220, 222, 226, 255}, c.d.between(0.1, 0.5)))
	}
	c.box(face+118, 0, face+150, 330, glass(color.RGBA{120, 70, 38, 255}, 0.6)) // its rusty rim
	c.box(left, 26, left+plate, 306, color.RGBA{92, 96, 102, 255})
	c.box(left, 26, left+10, 306, color.RGBA{118, 122, 128, 255})
	c.rust(left, 26, left+plate, 306, 20+10*severity)
	c.fill([]dot{{left + plate, 44}, {face - 1, 50}, {face - 1, 284}, {left + plate, 290}}, color.RGBA{84, 70, 60, 255})
	for range 260 { // grains of the lining
		x, y := c.d.between(left+plate+3, face-4), c.d.between(52, 282)
		s := c.d.between(0.7, 2.3)
		tone := mix(color.RGBA{140, 118, 92, 255}, color.RGBA{40, 36, 34, 255}, c.d.Float64())
		c.fill(blob(x, y, s, s, [4]float64{}), tone)
	}
	c.shade(300, 170, 0.9)
	c.ruler(left+plate, 336, perMm)
	c.box(left+plate-1, 306, left+plate+1, 340, color.RGBA{30, 60, 120, 255})
	c.box(face-1, 290, face+1, 340, color.RGBA{30, 60, 120, 255})
	return c
}

// rust puts brown patches on steel.
func (c *canvas) rust(x0, y0, x1, y1 float64, n int) {
	for range n {
		s := c.d.between(2, 9)
		waves := [4]float64{0.15, c.d.Float64(), 0.1, c.d.Float64()}
		c.fill(blob(c.d.between(x0+s, x1-s), c.d.between(y0+s, y1-s), s, s*0.8, waves), glass(color.RGBA{126, 74, 38, 255}, c.d.between(0.15, 0.5)))
	}
}

// ruler draws a steel rule whose zero stands at x.
func (c *canvas) ruler(x, y, perMm float64) {
	c.box(40, y, 610, y+94, color.RGBA{206, 208, 204, 255})
	c.box(40, y, 610, y+3, color.RGBA{236, 238, 236, 255})
	ink := color.RGBA{34, 36, 40, 255}
	for mm := 0; x+float64(mm)*perMm < 600; mm++ {
		px := x + float64(mm)*perMm
		long := 20.0
		if mm%5 == 0 {
			long = 36
			label := fmt.Sprint(mm)
			c.text(int(px)-7*len(label), int(y)+42, 2, label, ink)
		}
		c.box(px-1, y+3, px+1, y+long, ink)
		if half := px + perMm/2; half < 600 {
			c.box(half-0.5, y+3, half+0.5, y+12, ink)
		}
	}
	c.text(52, int(y)+42, 2, "mm", ink)
}

// drawTread draws a section through a tread with a depth gauge in the middle groove and the wear bars at the bottom.
func drawTread(d dice, mm float64) *canvas {
	const perMm = 17.0
	c := newCanvas(d, color.RGBA{198, 202, 206, 255})
	c.grain(image.Rect(0, 0, pictureWidth, pictureHeight), 5)
	bottom := 300.0
	top := bottom - mm*perMm
	rubber := color.RGBA{44, 45, 47, 255}
	c.fill([]dot{{20, 440}, {34, bottom + 14}, {50, bottom}, {590, bottom}, {606, bottom + 14}, {620, 440}}, rubber)
	for i := range 4 { // plies
		y := 372 + 12*float64(i)
		c.box(48, y, 592, y+3, glass(color.RGBA{120, 118, 110, 255}, 0.5))
	}
	blocks := [][2]float64{{48, 172}, {204, 306}, {338, 436}, {468, 592}}
	for i, b := range blocks {
		round := 0.0
		if i == 0 || i == 3 {
			round = math.Min(26, mm*perMm*0.6)
		}
		l, r := 0.0, 0.0
		if i == 0 {
			l = round
		}
		if i == 3 {
			r = round
		}
		c.fill([]dot{{b[0], bottom + 4}, {b[0] + 3, top + l}, {b[0] + 3 + l, top}, {b[1] - 3 - r, top}, {b[1] - 3, top + r}, {b[1], bottom + 4}}, rubber)
		c.box(b[0]+6+l, top, b[1]-6-r, top+3, color.RGBA{78, 80, 83, 255})
		if mid := (b[0] + b[1]) / 2; mm > 2.5 { // a sipe
			c.box(mid-1.5, top, mid+1.5, bottom-22, color.RGBA{24, 24, 26, 255})
		}
	}
	for _, g := range [][2]float64{{172, 204}, {436, 468}} { // wear bars, 1.6 mm
		c.box(g[0], bottom-math.Min(1.6, mm)*perMm, g[1], bottom+4, color.RGBA{62, 63, 66, 255})
	}
	c.grain(image.Rect(0, int(top), pictureWidth, 440), 7)
	c.depthGauge(322, top, bottom, mm)
	c.shade(320, 190, 0.55)
	return c
}

// depthGauge stands on the tread with its pin at the bottom of the groove.
func (c *canvas) depthGauge(x, top, bottom, mm float64) {
	steel := color.RGBA{176, 182, 190, 255}
	c.box(x-72, top-16, x+72, top, steel)
	c.box(x-72, top-16, x+72, top-13, color.RGBA{224, 228, 232, 255})
	c.box(x-4, top, x+4, bottom, color.RGBA{140, 146, 154, 255})
	c.box(x-58, top-96, x+58, top-16, color.RGBA{232, 234, 230, 255})
	c.box(x-58, top-96, x+58, top-92, color.RGBA{120, 126, 134, 255})
	label := fmt.Sprintf("%.1f mm", mm)
	c.text(int(x)-7*len(label), int(top)-70, 2, label, color.RGBA{30, 40, 56, 255})
}
