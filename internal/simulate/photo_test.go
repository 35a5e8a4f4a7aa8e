package simulate

import (
	"bytes"
	"image/jpeg"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestPhotosAreSmallPicturesThatDiffer(t *testing.T) {
	seen := map[string]bool{}
	dir := os.Getenv("SIMULATE_PHOTOS") // to look at them
	for _, kind := range PhotoKinds {
		for severity := range 5 {
			data := Photo(kind, severity)
			if severity == 2 && !bytes.Equal(data, Photo(kind, severity)) {
				t.Errorf("%s %d is not the same twice", kind, severity)
			}
			img, err := jpeg.Decode(bytes.NewReader(data))
			if err != nil {
				t.Fatal(err)
			}
			if b := img.Bounds(); b.Dx() != pictureWidth || b.Dy() != pictureHeight || len(data) > 120e3 {
				t.Errorf("%s %d: %v, %d bytes", kind, severity, b, len(data))
			}
			if seen[string(data)] {
				t.Errorf("%s %d looks like another", kind, severity)
			}
			seen[string(data)] = true
			if dir != "" {
				name := strings.ReplaceAll(kind, " ", "-") + string(rune('0'+severity)) + ".jpg"
				if err := os.WriteFile(filepath.Join(dir, name), data, 0o644); err != nil {
					t.Fatal(err)
				}
			}
		}
	}
	if bytes.Equal(numbered(Pad, 2, 1, 4), numbered(Pad, 2, 2, 4)) {
		t.Error("two pictures of one kind are the same file")
	}
}
