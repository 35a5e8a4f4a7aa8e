package paper

import (
	"encoding/binary"
	"sync"

	"golang.org/x/image/font/gofont/goregular"
)

// covered holds the characters that the embedded fonts can draw, each with the first character of the same shape. The
// fonts of one family cover the same.
var covered = sync.OnceValue(func() map[rune]rune { return coverage(goregular.TTF) })

// coverage reads the characters of a TrueType font from its Unicode table: "cmap", format 4 (OpenType 1.9, "cmap").
// A font without one covers nothing.
func coverage(font []byte) map[rune]rune {
	out := map[rune]rune{}
	cmap := table(font, "cmap")
	if len(cmap) < 4 {
		return out
	}
	for i := range int(binary.BigEndian.Uint16(cmap[2:])) {
		if 4+8*i+8 > len(cmap) {
			break
		}
		at := int(binary.BigEndian.Uint32(cmap[4+8*i+4:]))
		if at+14 <= len(cmap) && binary.BigEndian.Uint16(cmap[at:]) == 4 {
			segments(cmap[at:], out)
		}
	}
	return out
}

// table finds a table of a TrueType font.
func table(font []byte, name string) []byte {
	for i := range int(binary.BigEndian.Uint16(font[4:])) {
		entry := font[12+16*i:]
		if string(entry[:4]) == name {
			from, size := binary.BigEndian.Uint32(entry[8:]), binary.BigEndian.Uint32(entry[12:])
			return font[from : from+size]
		}
	}
	return nil
}

// segments adds the characters of a format 4 table that have a glyph, in ascending order.
func segments(t []byte, out map[rune]rune) {
	first := map[int]rune{}
	word := func(at int) int {
		if at+2 > len(t) {
			return 0
		}
		return int(binary.BigEndian.Uint16(t[at:]))
	}
	n := word(6) / 2
	ends, starts := 14, 16+2*n
	deltas, offsets := starts+2*n, starts+4*n
	for s := range n {
		delta, offset := word(deltas+2*s), word(offsets+2*s)
		for r := word(starts + 2*s); r <= word(ends+2*s) && r != 0xffff; r++ {
			glyph := r + delta
			if offset != 0 {
				glyph = word(offsets + 2*s + offset + 2*(r-word(starts+2*s)))
			}
			if glyph &= 0xffff; glyph == 0 {
				continue
			}
			if _, seen := first[glyph]; !seen {
				first[glyph] = rune(r)
			}
			out[rune(r)] = first[glyph]
		}
	}
}
