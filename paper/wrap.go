package paper

import "strings"

// wrap breaks a text into lines no wider than w. It breaks at plain spaces and at line ends of the text, and within a
// word only where the word alone is too wide. An empty text has no lines.
func (d *drawing) wrap(s string, w float64, st style) []string {
	var out []string
	space := d.wide(" ", st)
	for _, part := range strings.Split(d.clean(s), "\n") {
		line, used := "", 0.0
		for _, word := range strings.Split(part, " ") {
			if word == "" {
				continue
			}
			for _, piece := range d.pieces(word, w, st) {
				long := d.wide(piece, st)
				switch {
				case line == "":
					line, used = piece, long
				case used+space+long <= w:
					line, used = line+" "+piece, used+space+long
				default:
					out = append(out, line)
					line, used = piece, long
				}
			}
		}
		if line != "" {
			out = append(out, line)
		}
	}
	return out
}

// wrapUpTo breaks a text into at most n lines; what does not fit ends in an ellipsis. It is for places that can't grow.
func (d *drawing) wrapUpTo(n int, s string, w float64, st style) []string {
	lines := d.wrap(s, w, st)
	if len(lines) <= n {
		return lines
	}
	lines = lines[:n]
	lines[n-1] = d.shorten(lines[n-1]+"  ", w, st)
	return lines
}

// wrapAll breaks several texts, each on its own line.
func (d *drawing) wrapAll(texts []string, w float64, st style) []string {
	var out []string
	for _, t := range texts {
		out = append(out, d.wrap(t, w, st)...)
	}
	return out
}

// pieces cuts a word that is wider than a line.
func (d *drawing) pieces(word string, w float64, st style) []string {
	if d.wide(word, st) <= w {
		return []string{word}
	}
	var out []string
	for rest := []rune(word); len(rest) > 0; {
		n := max(1, d.fit(rest, w, st))
		out = append(out, string(rest[:n]))
		rest = rest[n:]
	}
	return out
}
