package paper

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"image/jpeg"
	"io"

	"golang.org/x/image/draw"

	"github.com/go-pdf/fpdf"
)

const (
	// maxPhotos is how many photos a section shows.
	maxPhotos = 3
	// maxPhotoBytes is the size above which a file is no photo of ours.
	maxPhotoBytes = 32 << 20
	// printSide is the longer side in pixels of a printed photo: 90 mm at about 280 points per inch.
	printSide = 1000
	// photoHigh is the height of a row of photos in mm.
	photoHigh = 52.0
)

// album puts photos into a document, each only once.
type album struct {
	d     *drawing
	open  func(hash string) (io.ReadCloser, error)
	sizes map[string]image.Point // zero for a photo that can't be shown
	// widths holds the widths in use. The document's writer orders pictures by width alone, so that two of one width
	// would come in any order, and the bytes would differ from run to run.
	widths map[int]bool
}

func newAlbum(d *drawing, open func(string) (io.ReadCloser, error)) *album {
	return &album{d: d, open: open, sizes: map[string]image.Point{}, widths: map[int]bool{}}
}

// show draws up to three photos side by side at one height, and says how many more there are.
func (a *album) show(hashes []string) {
	if len(hashes) == 0 {
		return
	}
	more := max(0, len(hashes)-maxPhotos)
	hashes = hashes[:len(hashes)-more]
	const gap = 3.0
	wide := 0.0 // of all photos together at a height of 1
	for _, h := range hashes {
		wide += a.aspect(h)
	}
	high := min(photoHigh, (textWidth-gap*float64(len(hashes)-1))/wide)
	d := a.d
	d.room(high + 2)
	d.y += 1
	x := textLeft
	for _, h := range hashes {
		w := high * a.aspect(h)
		a.draw(h, x, d.y, w, high)
		x += w + gap
	}
	d.y += high + 1.5
	if more > 0 {
		d.flow(textLeft, []string{moreWords(more)}, small)
	}
}

// aspect is a photo's width over its height; the box of one that can't be shown is 4 to 3.
func (a *album) aspect(hash string) float64 {
	size := a.load(hash)
	if size == (image.Point{}) {
		return 4.0 / 3
	}
	return float64(size.X) / float64(size.Y)
}

func moreWords(n int) string {
	if n == 1 {
		return "One more photo is on the web page of this report."
	}
	return "More photos are on the web page of this report."
}

// draw puts a photo, or the box that says why there is none.
func (a *album) draw(hash string, x, y, w, h float64) {
	d := a.d
	if a.load(hash) == (image.Point{}) {
		d.stroke(ink, 0.3)
		d.pdf.SetDashPattern([]float64{1.2, 1.2}, 0)
		d.pdf.Rect(x, y, w, h, "D")
		d.pdf.SetDashPattern(nil, 0)
		d.lines(x+3, y+3, d.wrapUpTo(3, "This photo can't be shown: its file is missing or damaged.", w-6, small), small)
		return
	}
	d.pdf.ImageOptions(hash, x, y, w, h, false, fpdf.ImageOptions{ImageType: "jpg"}, 0, "")
	d.stroke(ink, 0.25)
	d.pdf.Rect(x, y, w, h, "D")
}

// load registers a photo with the document and gives its size, zero when it can't be shown.
func (a *album) load(hash string) image.Point {
	if size, ok := a.sizes[hash]; ok {
		return size
	}
	a.sizes[hash] = image.Point{}
	data, size, err := a.read(hash)
	if err != nil {
		return image.Point{}
	}
	a.d.pdf.RegisterImageOptionsReader(hash, fpdf.ImageOptions{ImageType: "jpg"}, bytes.NewReader(data))
	a.sizes[hash] = size
	return size
}

// read gives a photo's JPEG, made smaller for print. It is always encoded anew: the document's writer would refuse the
// whole document over one odd file.
func (a *album) read(hash string) ([]byte, image.Point, error) {
	if a.open == nil {
		return nil, image.Point{}, errors.New("no photos")
	}
	r, err := a.open(hash)
	if err != nil {
		return nil, image.Point{}, err
	}
	defer r.Close()
	img, err := jpeg.Decode(io.LimitReader(r, maxPhotoBytes))
	if err != nil || img.Bounds().Empty() {
		return nil, image.Point{}, fmt.Errorf("not a photo: %v", err)
	}
	img = a.forPrint(img)
	var out bytes.Buffer
	if err := jpeg.Encode(&out, img, &jpeg.Options{Quality: 80}); err != nil {
		return nil, image.Point{}, err
	}
	return out.Bytes(), img.Bounds().Size(), nil
}

// forPrint makes a photo no larger than its print needs, and of a width that no other photo has.
func (a *album) forPrint(img image.Image) image.Image {
	size := img.Bounds().Size()
	want := size.X
	if long := max(size.X, size.Y); long > printSide {
		want = max(1, size.X*printSide/long)
	}
	w := a.freeWidth(want)
	if w == size.X {
		return img
	}
	h := max(1, (size.Y*w+size.X/2)/size.X)
	small := image.NewRGBA(image.Rect(0, 0, w, h))
	draw.ApproxBiLinear.Scale(small, small.Bounds(), img, img.Bounds(), draw.Src, nil)
	return small
}

// freeWidth takes the nearest free width at or below the wanted one; above it only where there is none.
func (a *album) freeWidth(want int) int {
	w := want
	for w > 0 && a.widths[w] {
		w--
	}
	if w == 0 {
		for w = want; a.widths[w]; w++ {
		}
	}
	a.widths[w] = true
	return w
}
