package photo

import (
	"image"
	"image/color"
	"image/draw"

	"github.com/kovidgoyal/imaging"
)

// shrink makes the longer side at most MaxSide; a smaller picture is left as it is.
func shrink(img image.Image) image.Image {
	w, h := img.Bounds().Dx(), img.Bounds().Dy()
	long := max(w, h)
	if long <= MaxSide {
		return img
	}
	scale := func(side int) int { return max(1, (side*MaxSide+long/2)/long) }
	return imaging.Resize(img, scale(w), scale(h), imaging.Lanczos)
}

// turn brings a picture upright from its Exif orientation. The library's rotations go against the clock.
func turn(img image.Image, orientation int) image.Image {
	switch orientation {
	case 2:
		return imaging.FlipH(img)
	case 3:
		return imaging.Rotate180(img)
	case 4:
		return imaging.FlipV(img)
	case 5:
		return imaging.Transpose(img)
	case 6:
		return imaging.Rotate270(img)
	case 7:
		return imaging.Transverse(img)
	case 8:
		return imaging.Rotate90(img)
	}
	return img
}

// onWhite gives a picture that can be encoded quickly, its transparent parts white, because a JPEG would show them
// black.
func onWhite(img image.Image) image.Image {
	switch img.(type) {
	case *image.YCbCr, *image.Gray:
		return img
	}
	straight := imaging.AsNRGBA(img)
	if straight.Opaque() {
		// The same bytes mean the same colours where nothing is transparent, and the encoder is faster with RGBA.
		return &image.RGBA{Pix: straight.Pix, Stride: straight.Stride, Rect: straight.Rect}
	}
	out := image.NewRGBA(straight.Rect)
	draw.Draw(out, out.Rect, image.NewUniform(color.White), image.Point{}, draw.Src)
	draw.Draw(out, out.Rect, straight, straight.Rect.Min, draw.Over)
	return out
}
