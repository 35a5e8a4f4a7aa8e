package web

import (
	"fmt"
	"html/template"
	"math"
	"strings"
	"time"

	"witnessmark/core/outlook"
	"witnessmark/shop"
)

// axisMonths is how far the car's ladder looks ahead; what comes later is listed without a line.
const axisMonths = 36

// axis is the one line that all items of a car's ladder share: today at its left end, dates and distances along it.
type axis struct {
	from, to time.Time
	nextLook float64 // percent, negative when it lies outside
	perDay   float64 // km
	nowKm    float64 // negative when not known
}

// newAxis lays the axis out for a car's outlook.
func newAxis(o *outlook.Outlook) axis {
	a := axis{from: o.Today, to: o.Today.AddDate(0, axisMonths, 0), nextLook: -1, nowKm: -1}
	if o.Known {
		a.nowKm, a.perDay = o.NowKm.Mid, o.PerYear.Mid/365.25
	}
	if x := a.at(o.Next.On); o.Next.Item >= 0 && !o.Next.Open && x >= 0 && x <= 100 {
		a.nextLook = x
	}
	return a
}

// at places a day along the axis in percent, leaving room for a mark at both ends; outside it is below 0 or above 100.
func (a axis) at(day time.Time) float64 {
	if day.IsZero() {
		return -1
	}
	return axisLeft + (100-axisLeft-axisRight)*day.Sub(a.from).Hours()/a.to.Sub(a.from).Hours()
}

// Room at the ends of the axis, in percent: today's mark, and the arrow of what goes on.
const (
	axisLeft  = 1.0
	axisRight = 3.0
)

// dateTick is a labelled place on the axis. Minor ones are left out where there is little room.
type dateTick struct {
	At      float64
	Day, Km string
	Minor   bool
}

// ticks are today and every half year after it, with the distance expected then.
func (a axis) ticks(s *server, c shop.CarVersion) []dateTick {
	var out []dateTick
	for m := 0; m <= axisMonths; m += 6 {
		day := a.from.AddDate(0, m, 0)
		t := dateTick{At: a.at(day), Day: day.Format("Jan 06"), Minor: m%12 != 0}
		if m == 0 {
			t.Day = "today"
		}
		if a.nowKm >= 0 {
			t.Km = s.km(c, math.Round((a.nowKm+a.perDay*day.Sub(a.from).Hours()/24)/100)*100)
		}
		out = append(out, t)
	}
	return out
}

// head draws the axis' labels; the places along it are percentages, so that it has any width.
func (a axis) head(s *server, c shop.CarVersion) template.HTML {
	var b strings.Builder
	b.WriteString(`<svg class="dates" width="100%" height="44" aria-hidden="true"><defs><g id="grid">`)
	b.Write(a.grid(nil))
	b.WriteString(`</g></defs>`)
	for _, t := range a.ticks(s, c) {
		anchor, class := "middle", ""
		if t.At < 5 {
			anchor = "start"
		}
		if t.Minor {
			class, t.Km = ` class="minor"`, ""
		}
		fmt.Fprintf(&b, `<g%s><text x="%.1f%%" y="15" text-anchor="%s">%s</text><text class="soft" x="%.1f%%" y="34" text-anchor="%s">%s</text></g>`,
			class, t.At, anchor, t.Day, t.At, anchor, t.Km)
	}
	b.WriteString(`</svg>`)
	return template.HTML(b.String())
}

// grid draws what all lines of the ladder share: dotted half years and the next look. The head holds it once for all.
func (a axis) grid(b []byte) []byte {
	for m := 0; m <= axisMonths; m += 6 {
		b = append(b, `<line x1="`...)
		b = percent(b, a.at(a.from.AddDate(0, m, 0)))
		b = append(b, `" y1="-14" x2="`...)
		b = percent(b, a.at(a.from.AddDate(0, m, 0)))
		b = append(b, `" y2="48" stroke="`+rule+`" stroke-width=".8" stroke-dasharray="2 4"/>`...)
	}
	if a.nextLook >= 0 {
		b = append(b, `<line x1="`...)
		b = percent(b, a.nextLook)
		b = append(b, `" y1="-14" x2="`...)
		b = percent(b, a.nextLook)
		b = append(b, `" y2="48" stroke="`+ink+`" stroke-width="1.2"/>`...)
	}
	return b
}

// reachLine draws when an item reaches its limit: a thin line from today, the bar of the 80 % range between two ticks, the
// middle as a long tick. What goes on beyond the axis ends in an arrow; what is reached already is a block at today.
func (a axis) reachLine(r *outlook.Reach, past, none bool, words string) template.HTML {
	b := make([]byte, 0, 800)
	b = append(b, `<svg class="reach`...)
	if past {
		b = append(b, ` atonce`...)
	}
	b = append(b, `" width="100%" height="34" role="img" aria-label="`...)
	b = append(b, template.HTMLEscapeString(words)...)
	b = append(b, `"><use href="#grid"/>`...)
	switch {
	case past:
		b = append(b, `<rect x="0.4%" y="6" width="7" height="22" fill="`+blue4+`"/>`...)
	case none || r == nil:
		b = line(b, axisLeft, 17, 100-axisRight, 17, ink, "1.2", ` stroke-dasharray="2 6"`)
	default:
		b = a.whisker(b, r)
	}
	return template.HTML(append(b, `</svg>`...))
}

// whisker draws the range itself.
func (a axis) whisker(b []byte, r *outlook.Reach) []byte {
	low, mid, high := a.clip(r.Low, r.OpenLow), a.clip(r.Mid, r.OpenMid), a.clip(r.High, r.OpenHigh)
	b = line(b, axisLeft, 17, low, 17, ink, "1.2", "")
	if low < axisEnd {
		b = line(b, low, 17, high, 17, blue3, "6", "")
		b = line(b, low, 10, low, 24, ink, "1.4", "")
	}
	if mid < axisEnd {
		b = line(b, mid, 6, mid, 28, blue4, "3.4", "")
	}
	if high < axisEnd {
		return line(b, high, 10, high, 24, ink, "1.4", "")
	}
	b = append(b, `<svg x="`...)
	b = percent(b, axisEnd)
	return append(b, `" y="17" overflow="visible"><path d="M-1 -7L9 0L-1 7" fill="none" stroke="`+ink+`" stroke-width="1.8"/></svg>`...)
}

// axisEnd is where a line that goes on is cut.
const axisEnd = 100 - axisRight + 0.5

// clip places a day, at the axis' end when it lies beyond or open.
func (a axis) clip(day time.Time, open bool) float64 {
	if open || day.IsZero() {
		return axisEnd
	}
	return math.Max(axisLeft, math.Min(axisEnd, a.at(day)))
}

// line appends an SVG line whose horizontal places are percentages.
func line(b []byte, x1, y1, x2, y2 float64, stroke, width, more string) []byte {
	b = append(b, `<line x1="`...)
	b = percent(b, x1)
	b = fmt.Appendf(b, `" y1="%g" x2="`, y1)
	b = percent(b, x2)
	return fmt.Appendf(b, `" y2="%g" stroke="%s" stroke-width="%s"%s/>`, y2, stroke, width, more)
}
