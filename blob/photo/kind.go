package photo

import (
	"bytes"
	"image"
	"image/jpeg"
	"image/png"
	"io"
	"strings"
)

// kind is a kind of file that is accepted, with its readers.
type kind struct {
	name        string
	config      func(io.Reader) (image.Config, error)
	decode      func(io.Reader) (image.Image, error)
	orientation func([]byte) int
}

var (
	jpegKind = kind{"JPEG", jpeg.DecodeConfig, jpeg.Decode, jpegOrientation}
	pngKind  = kind{"PNG", png.DecodeConfig, png.Decode, pngOrientation}
)

const pngMagic = "\x89PNG\r\n\x1a\n"

// recognise tells the kind of file by its first bytes; its name and what the sender says of it don't count.
func recognise(data []byte) (kind, error) {
	switch {
	case bytes.HasPrefix(data, []byte("\xff\xd8\xff")):
		return jpegKind, nil
	case bytes.HasPrefix(data, []byte(pngMagic)):
		return pngKind, nil
	}
	if name := foreign(data); name != "" {
		return kind{}, refuse("This is a " + name + " file. " + accepted + " Set the camera to save JPEG, or take the photo from this page.")
	}
	return kind{}, refuse("This is not a photo that can be read. " + accepted)
}

// foreign names kinds of file that people send and that are not accepted; empty when the kind is not known.
func foreign(data []byte) string {
	head := string(data[:min(len(data), 512)])
	switch {
	case len(head) >= 12 && head[4:8] == "ftyp":
		return isoBrand(head[8:12])
	case len(head) >= 12 && head[:4] == "RIFF" && head[8:12] == "WEBP":
		return "WebP"
	case strings.HasPrefix(head, "GIF8"):
		return "GIF"
	case strings.HasPrefix(head, "BM"):
		return "BMP"
	case strings.HasPrefix(head, "II*\x00"), strings.HasPrefix(head, "MM\x00*"):
		return "TIFF or raw camera"
	case strings.HasPrefix(head, "%PDF-"):
		return "PDF"
	}
	text := strings.ToLower(strings.TrimLeft(strings.TrimPrefix(head, "\xef\xbb\xbf"), " \t\r\n"))
	if strings.HasPrefix(text, "<svg") || strings.HasPrefix(text, "<?xml") && strings.Contains(text, "<svg") {
		return "SVG"
	}
	return ""
}

// isoBrand names the kinds of file that share the container of moving pictures.
func isoBrand(brand string) string {
	switch brand {
	case "heic", "heix", "heim", "heis", "hevc", "hevx", "mif1", "msf1":
		return "HEIC"
	case "avif", "avis":
		return "AVIF"
	}
	return "video"
}
