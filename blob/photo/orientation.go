package photo

import (
	"bytes"
	"encoding/binary"
)

// upright is the orientation of a picture that needs no turning, and of one that doesn't say.
const upright = 1

// jpegOrientation finds the Exif orientation (1 to 8) of a JPEG by walking its segments up to the picture data.
func jpegOrientation(data []byte) int {
	for at := 2; at+4 <= len(data) && data[at] == 0xff; {
		marker := data[at+1]
		if marker == 0xff { // padding
			at++
			continue
		}
		if marker == 0xda || marker == 0xd9 {
			break
		}
		size := int(binary.BigEndian.Uint16(data[at+2:]))
		if size < 2 || at+2+size > len(data) {
			break
		}
		body := data[at+4 : at+2+size]
		if exif, ok := bytes.CutPrefix(body, []byte("Exif\x00\x00")); marker == 0xe1 && ok {
			return tiffOrientation(exif)
		}
		at += 2 + size
	}
	return upright
}

// pngOrientation finds the orientation in a PNG's eXIf chunk, which stands before the picture data.
func pngOrientation(data []byte) int {
	for at := len(pngMagic); at+8 <= len(data); {
		size := int64(binary.BigEndian.Uint32(data[at:]))
		name := string(data[at+4 : at+8])
		if name == "IDAT" || int64(at)+12+size > int64(len(data)) {
			break
		}
		if name == "eXIf" {
			return tiffOrientation(data[at+8 : at+8+int(size)])
		}
		at += 12 + int(size)
	}
	return upright
}

// tiffOrientation reads tag 0x0112 of the first directory (TIFF 6.0, section 8; Exif 2.32, 4.6.4). Anything that is
// not as it should be gives upright: a photo is better shown turned than refused.
func tiffOrientation(data []byte) int {
	if len(data) < 8 {
		return upright
	}
	var order binary.ByteOrder
	switch string(data[:4]) {
	case "II*\x00":
		order = binary.LittleEndian
	case "MM\x00*":
		order = binary.BigEndian
	default:
		return upright
	}
	at := int64(order.Uint32(data[4:]))
	if at+2 > int64(len(data)) {
		return upright
	}
	entries := int(order.Uint16(data[at:]))
	for i := range entries {
		entry := at + 2 + 12*int64(i)
		if entry+12 > int64(len(data)) {
			break
		}
		const tag, short = 0x0112, 3
		if order.Uint16(data[entry:]) != tag || order.Uint16(data[entry+2:]) != short {
			continue
		}
		if v := int(order.Uint16(data[entry+8:])); v >= 1 && v <= 8 {
			return v
		}
		break
	}
	return upright
}
