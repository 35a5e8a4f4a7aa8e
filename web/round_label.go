package web

import (
	"fmt"
	"html"
	"math"
	"slices"
	"strings"
)

// labels are words under or over the ticks of a scale; they are moved apart so that none covers another.
type labels []label

type label struct {
	x, half float64
	text    string
}

// letter is the width of an average letter at the drawing's size of text.
const letter = 7.2

// add puts a word at x.
func (l *labels) add(x float64, text string) {
	*l = append(*l, label{x: x, half: float64(len([]rune(text))) * letter / 2, text: text})
}

// write sets the words at height y, each as near to its place as the others leave room. Words that say the same and
// lie on each other are written once.
func (l *labels) write(b *strings.Builder, y float64) {
	list := *l
	slices.SortStableFunc(list, func(a, c label) int { return int(math.Copysign(1, a.x-c.x)) })
	at := 2.0
	for i := range list {
		list[i].x = math.Max(list[i].x, at+list[i].half)
		at = list[i].x + list[i].half + 8
	}
	end := 338.0
	for i := len(list) - 1; i >= 0; i-- {
		list[i].x = math.Min(list[i].x, end-list[i].half)
		end = list[i].x - list[i].half - 8
	}
	for _, w := range list {
		fmt.Fprintf(b, `<text x="%.1f" y="%.0f" text-anchor="middle">%s</text>`, w.x, y, html.EscapeString(w.text))
	}
}

// end writes the figures at the ends of the line where no other word stands.
func (l *labels) end(b *strings.Builder, left, right, y float64, lo, hi string) {
	if len(*l) == 0 || (*l)[0].x-(*l)[0].half > left+float64(len(lo))*letter+6 {
		fmt.Fprintf(b, `<text class="soft" x="%.1f" y="%.0f" text-anchor="middle">%s</text>`, math.Max(left, float64(len(lo))*letter/2), y, html.EscapeString(lo))
	}
	if n := len(*l); n == 0 || (*l)[n-1].x+(*l)[n-1].half < right-float64(len(hi))*letter-6 {
		fmt.Fprintf(b, `<text class="soft" x="%.1f" y="%.0f" text-anchor="middle">%s</text>`, math.Min(right, 338-float64(len(hi))*letter/2), y, html.EscapeString(hi))
	}
}
