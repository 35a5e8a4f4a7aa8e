package photo

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"image"
	"image/jpeg"
	"io"
	"net/http"

	"witnessmark/shop"
)

// The limits of an upload and the shape of what is kept.
const (
	MaxBytes  = 15 << 20   // of the upload
	MaxPixels = 50_000_000 // width times height, read from the header
	MaxSide   = 2048       // of what is kept
	Quality   = 82         // of the JPEG that is kept
	Decodes   = 2          // at the same time
)

// wholePixels is the size above which a photo is decoded alone: a progressive JPEG or a 16-bit PNG of 50 megapixels
// takes up to 600 MB while it is decoded.
const wholePixels = 16_000_000

// accepted ends every refusal of a kind of file.
const accepted = "JPEG and PNG photos are accepted."

// Intake prepares photos, at most Decodes at a time, so that a handful of large uploads can't fill the memory. Use
// NewIntake.
type Intake struct {
	slots chan struct{}
	alone chan struct{}
}

// NewIntake makes an intake with all its slots free.
func NewIntake() *Intake {
	return &Intake{slots: make(chan struct{}, Decodes), alone: make(chan struct{}, 1)}
}

// Prepare reads an upload and gives the JPEG to keep with its width and height. An upload that can't be taken is
// shop.Invalid with the field "photo"; when ctx ends while waiting or between two steps, its error is returned.
func (in *Intake) Prepare(ctx context.Context, r io.Reader) (data []byte, width, height int, err error) {
	upload, err := readUpload(r)
	if err != nil {
		return nil, 0, 0, err
	}
	kind, err := recognise(upload)
	if err != nil {
		return nil, 0, 0, err
	}
	header := &watched{r: bytes.NewReader(upload)}
	size, err := kind.config(header)
	if err != nil {
		return nil, 0, 0, unreadable(kind, header.ended)
	}
	if err := checkSize(size); err != nil {
		return nil, 0, 0, err
	}
	leave, err := in.enter(ctx, size.Width*size.Height > wholePixels)
	if err != nil {
		return nil, 0, 0, err
	}
	defer leave()
	return remake(ctx, kind, upload)
}

// remake decodes, shrinks, turns and encodes.
func remake(ctx context.Context, kind kind, upload []byte) ([]byte, int, int, error) {
	body := &watched{r: bytes.NewReader(upload)}
	img, err := kind.decode(body)
	if err != nil {
		return nil, 0, 0, unreadable(kind, body.ended)
	}
	if err := ctx.Err(); err != nil {
		return nil, 0, 0, err
	}
	img = turn(shrink(img), kind.orientation(upload))
	if err := ctx.Err(); err != nil {
		return nil, 0, 0, err
	}
	var out bytes.Buffer
	if err := jpeg.Encode(&out, onWhite(img), &jpeg.Options{Quality: Quality}); err != nil {
		return nil, 0, 0, fmt.Errorf("encoding the photo: %w", err)
	}
	return out.Bytes(), img.Bounds().Dx(), img.Bounds().Dy(), nil
}

// enter waits for a slot, or for all of them, and gives the function that frees them. Only one caller at a time
// collects all slots, so that two large photos can't each hold one and wait for the other.
func (in *Intake) enter(ctx context.Context, all bool) (leave func(), err error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	want, held := 1, 0
	free := func() {
		for ; held > 0; held-- {
			<-in.slots
		}
		if all {
			<-in.alone
		}
	}
	if all {
		want = Decodes
		select {
		case in.alone <- struct{}{}:
		case <-ctx.Done():
			return nil, ctx.Err()
		}
	}
	for held < want {
		select {
		case in.slots <- struct{}{}:
			held++
		case <-ctx.Done():
			free()
			return nil, ctx.Err()
		}
	}
	return free, nil
}

// readUpload reads at most MaxBytes.
func readUpload(r io.Reader) ([]byte, error) {
	data, err := io.ReadAll(io.LimitReader(r, MaxBytes+1))
	var tooLarge *http.MaxBytesError
	switch {
	case errors.As(err, &tooLarge) || len(data) > MaxBytes:
		return nil, refuse(fmt.Sprintf("The file is larger than %d MB. Choose a smaller one, or lower the camera's resolution.", MaxBytes>>20))
	case errors.Is(err, io.ErrUnexpectedEOF):
		return nil, refuse("The upload was cut off before its end. Send the photo again.")
	case err != nil:
		return nil, fmt.Errorf("reading the upload: %w", err)
	case len(data) == 0:
		return nil, refuse("The file is empty. Choose a photo.")
	}
	return data, nil
}

// checkSize refuses what would take too much memory to decode. Only the header was read so far.
func checkSize(c image.Config) error {
	if c.Width <= 0 || c.Height <= 0 {
		return refuse("The photo has no width or no height. Take it again.")
	}
	if pixels := int64(c.Width) * int64(c.Height); pixels > MaxPixels {
		return refuse(fmt.Sprintf("The photo is %d x %d, %.1f megapixels; at most %d megapixels are accepted. Lower the camera's resolution.",
			c.Width, c.Height, float64(pixels)/1e6, MaxPixels/1_000_000))
	}
	return nil
}

// watched notes whether its reader wanted more than there is. The decoders' errors don't tell a file that ends early
// from one that is wrong inside.
type watched struct {
	r     io.Reader
	ended bool
}

// Read reads on.
func (w *watched) Read(p []byte) (int, error) {
	n, err := w.r.Read(p)
	w.ended = w.ended || err == io.EOF
	return n, err
}

// unreadable says what is wrong with a file that the decoder gave up on.
func unreadable(k kind, ended bool) error {
	if ended {
		return refuse(fmt.Sprintf("The %s file ends before the picture does: it was cut off. Send it again or take it again.", k.name))
	}
	return refuse(fmt.Sprintf("The %s file is damaged and can't be read. Take the photo again.", k.name))
}

func refuse(text string) error {
	return shop.Invalid{{Field: "photo", Text: text}}
}
