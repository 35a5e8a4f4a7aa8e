package photo

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"math"
	"testing"
)

// corners is a picture whose four quarters have four colours, so that a turn shows.
func corners(w, h int) *image.NRGBA {
	img := image.NewNRGBA(image.Rect(0, 0, w, h))
	quarter := [2][2]color.NRGBA{{red, green}, {blue, white}}
	for y := range h {
		for x := range w {
			img.SetNRGBA(x, y, quarter[2*y/h][2*x/w])
		}
	}
	return img
}

var (
	red   = color.NRGBA{220, 20, 20, 255}
	green = color.NRGBA{20, 200, 20, 255}
	blue  = color.NRGBA{20, 20, 220, 255}
	white = color.NRGBA{255, 255, 255, 255}
)

// near reports whether two colours are the same but for the losses of a JPEG.
func near(a, b color.Color) bool {
	ar, ag, ab, _ := a.RGBA()
	br, bg, bb, _ := b.RGBA()
	d := func(x, y uint32) float64 { return math.Abs(float64(x)-float64(y)) / 257 }
	return d(ar, br) < 24 && d(ag, bg) < 24 && d(ab, bb) < 24
}

func asJPEG(t testing.TB, img image.Image) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := jpeg.Encode(&b, img, &jpeg.Options{Quality: 95}); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func asPNG(t testing.TB, img image.Image) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := png.Encode(&b, img); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// placeName is where the crafted photos say that they were taken.
const placeName = "INVENTED PLACE 12.3456"

// exif makes a TIFF block with an orientation and a GPS directory that holds a latitude reference and a place's name.
func exif(order binary.AppendByteOrder, mark string, orientation uint16) []byte {
	b := order.AppendUint32([]byte(mark), 8)
	entry := func(tag, kind uint16, count uint32) {
		b = order.AppendUint16(b, tag)
		b = order.AppendUint16(b, kind)
		b = order.AppendUint32(b, count)
	}
	b = order.AppendUint16(b, 2)
	entry(0x0112, 3, 1)
	b = order.AppendUint16(order.AppendUint16(b, orientation), 0)
	entry(0x8825, 4, 1)
	b = order.AppendUint32(b, 38) // right after this directory
	b = order.AppendUint32(b, 0)
	b = order.AppendUint16(b, 2)
	entry(1, 2, 2)
	b = append(b, 'N', 0, 0, 0)
	entry(0x1c, 7, uint32(len(placeName)))
	b = order.AppendUint32(b, 68)
	b = order.AppendUint32(b, 0)
	return append(b, placeName...)
}

// withExif puts Exif, a comment and a thumbnail-like second application segment into a JPEG.
func withExif(plain, tiff []byte) []byte {
	segment := func(marker byte, body []byte) []byte {
		head := []byte{0xff, marker, 0, 0}
		binary.BigEndian.PutUint16(head[2:], uint16(len(body)+2))
		return append(head, body...)
	}
	out := append([]byte{}, plain[:2]...)
	out = append(out, segment(0xe1, append([]byte("Exif\x00\x00"), tiff...))...)
	out = append(out, segment(0xe1, []byte("http://ns.adobe.com/xap/1.0/\x00<x:xmpmeta>"+placeName+"</x:xmpmeta>"))...)
	out = append(out, segment(0xfe, []byte("comment "+placeName))...)
	return append(out, plain[2:]...)
}

// chunk makes a PNG chunk with its check sum.
func chunk(name string, body []byte) []byte {
	out := binary.BigEndian.AppendUint32(nil, uint32(len(body)))
	out = append(append(out, name...), body...)
	return binary.BigEndian.AppendUint32(out, crc32.ChecksumIEEE(out[4:]))
}

// withChunk puts a chunk right behind a PNG's header.
func withChunk(plain []byte, name string, body []byte) []byte {
	const head = len(pngMagic) + 25
	out := append([]byte{}, plain[:head]...)
	return append(append(out, chunk(name, body)...), plain[head:]...)
}

// claimPNG and claimJPEG claim a size in the header; there is no picture behind it.
func claimPNG(w, h uint32) []byte {
	body := binary.BigEndian.AppendUint32(binary.BigEndian.AppendUint32(nil, w), h)
	return append([]byte(pngMagic), chunk("IHDR", append(body, 8, 2, 0, 0, 0))...)
}

func claimJPEG(w, h uint16) []byte {
	b := []byte{0xff, 0xd8, 0xff, 0xc0, 0, 17, 8}
	b = binary.BigEndian.AppendUint16(binary.BigEndian.AppendUint16(b, h), w)
	return append(b, 3, 1, 0x22, 0, 2, 0x11, 1, 3, 0x11, 1, 0xff, 0xda, 0, 2)
}
