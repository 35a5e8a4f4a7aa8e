package photo

import (
	"bytes"
	"context"
	"encoding/binary"
	"errors"
	"image"
	"image/color"
	"image/jpeg"
	"io"
	"net/http"
	"net/http/httptest"
	"runtime"
	"strings"
	"testing"
	"time"

	"witnessmark/shop"

	"pgregory.net/rapid"
)

// prepare takes a photo in and decodes what comes out.
func prepare(t testing.TB, upload []byte) (image.Image, []byte) {
	t.Helper()
	data, w, h, err := NewIntake().Prepare(context.Background(), bytes.NewReader(upload))
	if err != nil {
		t.Fatal(err)
	}
	img, err := jpeg.Decode(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	if b := img.Bounds(); b.Dx() != w || b.Dy() != h {
		t.Fatalf("said %d x %d, is %v", w, h, b)
	}
	return img, data
}

func TestMetadataIsGone(t *testing.T) {
	plain := asJPEG(t, corners(64, 48))
	tiff := exif(binary.BigEndian, "MM\x00*", 1)
	uploads := map[string][]byte{
		"JPEG": withExif(plain, tiff),
		"PNG":  withChunk(withChunk(asPNG(t, corners(64, 48)), "eXIf", tiff), "tEXt", []byte("Comment\x00"+placeName)),
	}
	for name, upload := range uploads {
		if bytes.Count(upload, []byte(placeName)) < 2 || !bytes.Contains(upload, tiff) {
			t.Fatalf("%s: the crafted photo lacks the metadata that the test is about", name)
		}
		_, out := prepare(t, upload)
		for _, trace := range []string{placeName, "Exif", "adobe", "MM\x00*", "comment", "Comment"} {
			if bytes.Contains(out, []byte(trace)) {
				t.Errorf("%s: %q is still there", name, trace)
			}
		}
		for at := 2; at+4 < len(out) && out[at+1] != 0xda; at += 2 + int(binary.BigEndian.Uint16(out[at+2:])) {
			if m := out[at+1]; m == 0xfe || m >= 0xe1 && m <= 0xef {
				t.Errorf("%s: segment %x is still there", name, m)
			}
		}
	}
}

func TestPhotosComeOutUpright(t *testing.T) {
	// What stands at top left, top right, bottom left, bottom right after turning (Exif 2.32, table of Orientation).
	want := [9][4]color.NRGBA{
		1: {red, green, blue, white}, 2: {green, red, white, blue}, 3: {white, blue, green, red}, 4: {blue, white, red, green},
		5: {red, blue, green, white}, 6: {blue, red, white, green}, 7: {white, green, blue, red}, 8: {green, white, red, blue},
	}
	for o := uint16(1); o <= 8; o++ {
		little, big := exif(binary.LittleEndian, "II*\x00", o), exif(binary.BigEndian, "MM\x00*", o)
		for name, upload := range map[string][]byte{
			"JPEG, little": withExif(asJPEG(t, corners(96, 64)), little),
			"JPEG, big":    withExif(asJPEG(t, corners(96, 64)), big),
			"PNG":          withChunk(asPNG(t, corners(96, 64)), "eXIf", big),
		} {
			img, _ := prepare(t, upload)
			w, h := img.Bounds().Dx(), img.Bounds().Dy()
			if turned := o >= 5; turned != (w == 64 && h == 96) {
				t.Errorf("%s, orientation %d: %d x %d", name, o, w, h)
			}
			for i, c := range want[o] {
				x, y := w/4+(i%2)*w/2, h/4+(i/2)*h/2
				if !near(img.At(x, y), c) {
					t.Errorf("%s, orientation %d: quarter %d is %v, expected %v", name, o, i, img.At(x, y), c)
				}
			}
		}
	}
}

func TestLargePhotosAreMadeSmaller(t *testing.T) {
	tests := []struct{ w, h, wantW, wantH int }{
		{2048, 1536, 2048, 1536}, {2049, 100, 2048, 100}, {4000, 3000, 2048, 1536}, {3000, 4000, 1536, 2048}, {9000, 2, 2048, 1}, {10, 7, 10, 7}, {1, 1, 1, 1},
	}
	for _, c := range tests {
		img, _ := prepare(t, asJPEG(t, image.NewYCbCr(image.Rect(0, 0, c.w, c.h), image.YCbCrSubsampleRatio420)))
		if b := img.Bounds(); b.Dx() != c.wantW || b.Dy() != c.wantH {
			t.Errorf("%d x %d became %d x %d, expected %d x %d", c.w, c.h, b.Dx(), b.Dy(), c.wantW, c.wantH)
		}
	}
}

func TestShrinkingKeepsThePicture(t *testing.T) {
	img, _ := prepare(t, withExif(asJPEG(t, corners(3000, 2400)), exif(binary.LittleEndian, "II*\x00", 6)))
	w, h := img.Bounds().Dx(), img.Bounds().Dy()
	for i, c := range [4]color.NRGBA{blue, red, white, green} {
		if at := img.At(w/4+(i%2)*w/2, h/4+(i/2)*h/2); !near(at, c) {
			t.Errorf("quarter %d is %v, expected %v", i, at, c)
		}
	}
}

func TestOtherModelsOfColour(t *testing.T) {
	clear := corners(40, 40)
	for x := range 40 {
		for y := range 20 {
			clear.SetNRGBA(x, y, color.NRGBA{0, 0, 0, 0})
		}
	}
	img, _ := prepare(t, asPNG(t, clear))
	if !near(img.At(10, 5), color.White) || !near(img.At(10, 34), blue) {
		t.Errorf("a transparent part came out %v, an opaque one %v; expected white and blue", img.At(10, 5), img.At(10, 34))
	}
	grey := image.NewGray16(image.Rect(0, 0, 2500, 30))
	for i := range grey.Pix {
		grey.Pix[i] = 0x80
	}
	for name, upload := range map[string][]byte{"PNG, 16-bit grey": asPNG(t, grey), "JPEG, grey": asJPEG(t, grey)} {
		if img, _ := prepare(t, upload); !near(img.At(1000, 12), color.Gray{0x80}) {
			t.Errorf("%s came out %v", name, img.At(1000, 12))
		}
	}
}

func TestRefusals(t *testing.T) {
	good := asJPEG(t, corners(200, 150))
	tests := []struct {
		name   string
		upload []byte
		says   []string
	}{
		{"nothing", nil, []string{"empty"}},
		{"HEIC", []byte("\x00\x00\x00\x18ftypheic\x00\x00\x00\x00mif1heic"), []string{"HEIC", accepted}},
		{"HEIC by its other brand", []byte("\x00\x00\x00\x18ftypmif1\x00\x00\x00\x00"), []string{"HEIC", accepted}},
		{"AVIF", []byte("\x00\x00\x00\x18ftypavif\x00\x00\x00\x00"), []string{"AVIF", accepted}},
		{"film", []byte("\x00\x00\x00\x18ftypisom\x00\x00\x00\x00"), []string{"video", accepted}},
		{"WebP", []byte("RIFF\x24\x00\x00\x00WEBPVP8 "), []string{"WebP", accepted}},
		{"GIF", []byte("GIF89a\x01\x00\x01\x00"), []string{"GIF", accepted}},
		{"SVG", []byte("\xef\xbb\xbf  <?xml version=\"1.0\"?>\n<svg xmlns=\"http://www.w3.org/2000/svg\"/>"), []string{"SVG", accepted}},
		{"bare SVG", []byte("<SVG onload=alert(1)>"), []string{"SVG", accepted}},
		{"TIFF", []byte("II*\x00\x08\x00\x00\x00"), []string{"TIFF", accepted}},
		{"BMP", []byte("BM\x00\x00\x00\x00\x00\x00"), []string{"BMP", accepted}},
		{"PDF", []byte("%PDF-1.7\n"), []string{"PDF", accepted}},
		{"text", []byte("this is photo.jpg"), []string{"not a photo", accepted}},
		{"XML", []byte("<?xml version=\"1.0\"?><a/>"), []string{"not a photo", accepted}},
		{"JPEG cut off in the picture", good[:len(good)/2], []string{"JPEG", "cut off"}},
		{"JPEG cut off before its last mark", good[:len(good)-2], []string{"JPEG", "cut off"}},
		{"JPEG cut off in the header", good[:20], []string{"JPEG", "cut off"}},
		{"JPEG of three bytes", good[:3], []string{"JPEG", "cut off"}},
		{"PNG cut off", asPNG(t, corners(200, 150))[:200], []string{"PNG", "cut off"}},
		{"JPEG with rubbish inside", append(append([]byte{}, good[:2]...), bytes.Repeat([]byte{0xff, 0xc0, 0, 4, 9, 9}, 9)...), []string{"JPEG", "damaged"}},
		{"51 megapixels, PNG", claimPNG(8500, 6000), []string{"8500 x 6000", "51.0 megapixels", "at most 50"}},
		{"51 megapixels, JPEG", claimJPEG(8500, 6000), []string{"8500 x 6000", "51.0 megapixels", "at most 50"}},
		{"4 exapixels", claimPNG(1<<31-1, 1<<31-1), []string{"PNG", "damaged"}},
		{"nearly 50 megapixels but nothing behind the header", claimJPEG(8000, 6250), []string{"JPEG", "damaged"}},
		{"larger than the limit", append(append([]byte{}, good...), make([]byte, MaxBytes)...), []string{"15 MB"}},
	}
	for _, c := range tests {
		data, _, _, err := NewIntake().Prepare(context.Background(), bytes.NewReader(c.upload))
		var invalid shop.Invalid
		if !errors.As(err, &invalid) || len(invalid) != 1 || invalid[0].Field != "photo" || data != nil {
			t.Errorf("%s: %v, expected one bad entry in the field photo", c.name, err)
			continue
		}
		for _, s := range c.says {
			if !strings.Contains(invalid[0].Text, s) {
				t.Errorf("%s: %q does not say %q", c.name, invalid[0].Text, s)
			}
		}
	}
}

// TestPixelFloodTakesNoMemory: the refusal comes from the header, so it must not cost more than the header.
func TestPixelFloodTakesNoMemory(t *testing.T) {
	upload := claimPNG(60000, 60000)
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	if _, _, _, err := NewIntake().Prepare(context.Background(), bytes.NewReader(upload)); err == nil {
		t.Fatal("3600 megapixels were taken")
	}
	runtime.ReadMemStats(&after)
	if grown := after.TotalAlloc - before.TotalAlloc; grown > 1<<20 {
		t.Errorf("the refusal took %d bytes", grown)
	}
}

func TestReadersThatFail(t *testing.T) {
	broken := errors.New("network down")
	fail := func(err error) io.Reader {
		return io.MultiReader(strings.NewReader("\xff\xd8\xff"), errReader{err})
	}
	body := http.MaxBytesReader(httptest.NewRecorder(), io.NopCloser(bytes.NewReader(make([]byte, 100))), 10)
	tests := []struct {
		name string
		r    io.Reader
		says string
	}{
		{"cut off", fail(io.ErrUnexpectedEOF), "photo: The upload was cut off"},
		{"limited by the server", body, "photo: The file is larger"},
	}
	for _, c := range tests {
		_, _, _, err := NewIntake().Prepare(context.Background(), c.r)
		var invalid shop.Invalid
		if !errors.As(err, &invalid) || !strings.HasPrefix(err.Error(), c.says) {
			t.Errorf("%s: %v", c.name, err)
		}
	}
	if _, _, _, err := NewIntake().Prepare(context.Background(), fail(broken)); !errors.Is(err, broken) {
		t.Errorf("another fault: %v, expected it to be passed on", err)
	}
}

type errReader struct{ err error }

func (r errReader) Read([]byte) (int, error) { return 0, r.err }

func TestWaitingEndsWithTheContext(t *testing.T) {
	in := NewIntake()
	leave1, err1 := in.enter(context.Background(), false)
	leave2, err2 := in.enter(context.Background(), false)
	if err1 != nil || err2 != nil {
		t.Fatal(err1, err2)
	}
	ctx, cancel := context.WithTimeout(context.Background(), 20*time.Millisecond)
	defer cancel()
	if _, _, _, err := in.Prepare(ctx, bytes.NewReader(asJPEG(t, corners(8, 8)))); !errors.Is(err, context.DeadlineExceeded) {
		t.Errorf("a third photo: %v, expected it to wait until its time is over", err)
	}
	if _, err := in.enter(ctx, true); !errors.Is(err, context.DeadlineExceeded) {
		t.Errorf("a photo that needs all slots: %v", err)
	}
	leave1()
	if _, err := in.enter(ctx, true); err == nil {
		t.Error("a photo that needs all slots came in beside another")
	}
	leave2()
	leave, err := in.enter(context.Background(), true)
	if err != nil {
		t.Fatal(err)
	}
	leave()
	if len(in.slots) != 0 || len(in.alone) != 0 {
		t.Errorf("%d slots are still held", len(in.slots))
	}
}

func TestLargePhotosDoNotBlockEachOther(t *testing.T) {
	in := NewIntake()
	done := make(chan error)
	for i := range 20 {
		go func() {
			leave, err := in.enter(context.Background(), i%2 == 0)
			if err == nil {
				runtime.Gosched()
				leave()
			}
			done <- err
		}()
	}
	for range 20 {
		select {
		case err := <-done:
			if err != nil {
				t.Error(err)
			}
		case <-time.After(5 * time.Second):
			t.Fatal("two photos wait for each other")
		}
	}
}

func TestTheSamePhotoGivesTheSameBytes(t *testing.T) {
	upload := asJPEG(t, corners(2600, 1300))
	_, a := prepare(t, upload)
	_, b := prepare(t, upload)
	if !bytes.Equal(a, b) {
		t.Error("two runs gave different bytes")
	}
}

func TestAnyCutIsRefusedClearly(t *testing.T) {
	whole := withExif(asJPEG(t, corners(64, 64)), exif(binary.LittleEndian, "II*\x00", 6))
	rapid.Check(t, func(r *rapid.T) {
		n := rapid.IntRange(0, len(whole)-1).Draw(r, "kept")
		_, _, _, err := NewIntake().Prepare(context.Background(), bytes.NewReader(whole[:n]))
		var invalid shop.Invalid
		if !errors.As(err, &invalid) {
			r.Fatalf("%d of %d bytes: %v", n, len(whole), err)
		}
	})
}

// FuzzPrepare: whatever comes in, what is accepted is a small JPEG without metadata, and what is refused is a bad entry.
func FuzzPrepare(f *testing.F) {
	tiff := exif(binary.LittleEndian, "II*\x00", 6)
	f.Add(withExif(asJPEG(f, corners(16, 12)), tiff))
	f.Add(withChunk(asPNG(f, corners(16, 12)), "eXIf", tiff))
	f.Add(claimPNG(8500, 6000))
	f.Add([]byte("RIFF\x24\x00\x00\x00WEBPVP8 "))
	f.Fuzz(func(t *testing.T, upload []byte) {
		// Sizes between the fuzzer's patience and the limit are covered elsewhere.
		if k, err := recognise(upload); err == nil {
			if c, err := k.config(bytes.NewReader(upload)); err == nil && c.Width*c.Height > 1_000_000 && c.Width*c.Height <= MaxPixels {
				return
			}
		}
		data, w, h, err := NewIntake().Prepare(context.Background(), bytes.NewReader(upload))
		if err != nil {
			var invalid shop.Invalid
			if !errors.As(err, &invalid) || invalid[0].Field != "photo" || invalid[0].Text == "" {
				t.Fatalf("refused without a sentence: %v", err)
			}
			return
		}
		c, err := jpeg.DecodeConfig(bytes.NewReader(data))
		if err != nil || c.Width != w || c.Height != h || max(w, h) > MaxSide || bytes.Contains(data, []byte("Exif")) {
			t.Fatalf("accepted, but %d x %d, %v", w, h, err)
		}
	})
}

// Budget: 1 s for a photo of 12 megapixels on two cores that have other work as well.
func BenchmarkPrepare12Megapixels(b *testing.B) {
	upload := asJPEG(b, corners(4000, 3000))
	in := NewIntake()
	b.ReportAllocs()
	for b.Loop() {
		if _, _, _, err := in.Prepare(context.Background(), bytes.NewReader(upload)); err != nil {
			b.Fatal(err)
		}
	}
}
