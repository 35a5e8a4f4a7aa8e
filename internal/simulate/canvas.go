package simulate

import (
	"bytes"
	"image"
	"image/color"
	"image/draw"
	"image/jpeg"
	"math"

	"golang.org/x/image/font"
	"golang.org/x/image/font/basicfont"
	"golang.org/x/image/math/fixed"
	"golang.org/x/image/vector"
)

// The size of an invented picture in pixels.
const (
	pictureWidth  = 640
	pictureHeight = 480
)

// canvas is a picture being drawn.
type canvas struct {
	img *image.RGBA
	d   dice
}

type dot struct{ x, y float64 }

func newCanvas(d dice, ground color.RGBA) *canvas {
	c := &canvas{image.NewRGBA(image.Rect(0, 0, pictureWidth, pictureHeight)), d}
	draw.Draw(c.img, c.img.Bounds(), image.NewUniform(ground), image.Point{}, draw.Src)
	return c
}

// fill fills a closed outline with soft edges. Only the pixels about the outline are worked on.
func (c *canvas) fill(outline []dot, paint color.Color) {
	area := around(outline).Intersect(c.img.Bounds())
	if area.Empty() {
		return
	}
	r := vector.NewRasterizer(area.Dx(), area.Dy())
	for i, p := range outline {
		x, y := float32(p.x)-float32(area.Min.X), float32(p.y)-float32(area.Min.Y)
		if i == 0 {
			r.MoveTo(x, y)
			continue
		}
		r.LineTo(x, y)
	}
	r.ClosePath()
	r.Draw(c.img, area, image.NewUniform(paint), image.Point{})
}

// around is the smallest rectangle of pixels that holds an outline.
func around(outline []dot) image.Rectangle {
	lo, hi := outline[0], outline[0]
	for _, p := range outline {
		lo.x, lo.y, hi.x, hi.y = math.Min(lo.x, p.x), math.Min(lo.y, p.y), math.Max(hi.x, p.x), math.Max(hi.y, p.y)
	}
	return image.Rect(int(math.Floor(lo.x)), int(math.Floor(lo.y)), int(math.Ceil(hi.x)), int(math.Ceil(hi.y)))
}

// box fills a rectangle.
func (c *canvas) box(x0, y0, x1, y1 float64, paint color.Color) {
	c.fill([]dot{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}}, paint)
}

// blob is an outline around a middle whose radius wobbles with the given waves.
func blob(x, y, rx, ry float64, waves [4]float64) []dot {
	out := make([]dot, 0, 120)
	for i := range 120 {
		a := 2 * math.Pi * float64(i) / 120
		k := 1 + waves[0]*math.Sin(2*a+waves[1]*20) + waves[2]*math.Sin(3*a+waves[3]*20)
		out = append(out, dot{x + rx*k*math.Cos(a), y + ry*k*math.Sin(a)})
	}
	return out
}

// grain gives every pixel of a region a little noise, so that it looks like a photograph and not like a drawing.
func (c *canvas) grain(r image.Rectangle, amount int) {
	r = r.Intersect(c.img.Bounds())
	for y := r.Min.Y; y < r.Max.Y; y++ {
		for x := r.Min.X; x < r.Max.X; x++ {
			i := c.img.PixOffset(x, y)
			n := int(c.d.Uint64()%uint64(2*amount+1)) - amount
			for k := range 3 {
				c.img.Pix[i+k] = clamp(int(c.img.Pix[i+k]) + n)
			}
		}
	}
}

// shade darkens the corners as a hand-held lamp would.
func (c *canvas) shade(x, y, strength float64) {
	for py := range pictureHeight {
		for px := range pictureWidth {
			dx, dy := (float64(px)-x)/pictureWidth, (float64(py)-y)/pictureHeight
			k := 1 - strength*(dx*dx+dy*dy)
			i := c.img.PixOffset(px, py)
			for n := range 3 {
				c.img.Pix[i+n] = clamp(int(float64(c.img.Pix[i+n]) * k))
			}
		}
	}
}

func clamp(x int) uint8 { return uint8(max(0, min(255, x))) }

// caption writes a line on a pale band at the foot, in letters of twice the font's size.
func (c *canvas) caption(text string) {
	band := image.Rect(0, pictureHeight-40, pictureWidth, pictureHeight)
	draw.Draw(c.img, band, image.NewUniform(color.RGBA{244, 246, 248, 255}), image.Point{}, draw.Src)
	c.text(16, pictureHeight-34, 2, text, color.RGBA{30, 40, 56, 255})
}

// text writes with the top left corner at x, y.
func (c *canvas) text(x, y, scale int, text string, ink color.RGBA) {
	face := basicfont.Face7x13
	small := image.NewAlpha(image.Rect(0, 0, 7*len(text), 13))
	d := font.Drawer{Dst: small, Src: image.Opaque, Face: face, Dot: fixed.P(0, face.Ascent)}
	d.DrawString(text)
	for sy := range 13 {
		for sx := range 7 * len(text) {
			if small.AlphaAt(sx, sy).A > 127 {
				r := image.Rect(x+sx*scale, y+sy*scale, x+(sx+1)*scale, y+(sy+1)*scale)
				draw.Draw(c.img, r, image.NewUniform(ink), image.Point{}, draw.Src)
			}
		}
	}
}

func (c *canvas) jpeg() []byte {
	var b bytes.Buffer
	if err := jpeg.Encode(&b, c.img, &jpeg.Options{Quality: 78}); err != nil {
		panic(err) // a picture in memory of this size can always be encoded
	}
	return b.Bytes()
}

// mix goes from a to b by t.
func mix(a, b color.RGBA, t float64) color.RGBA {
	t = math.Max(0, math.Min(1, t))
	f := func(x, y uint8) uint8 { return uint8(math.Round(float64(x) + (float64(y)-float64(x))*t)) }
	return color.RGBA{f(a.R, b.R), f(a.G, b.G), f(a.B, b.B), f(a.A, b.A)}
}

// glass is a colour that lets some of the ground through (premultiplied).
func glass(c color.RGBA, alpha float64) color.RGBA {
	f := func(x uint8) uint8 { return uint8(float64(x) * alpha) }
	return color.RGBA{f(c.R), f(c.G), f(c.B), uint8(255 * alpha)}
}
