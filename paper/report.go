package paper

import (
	"fmt"
	"io"
	"strings"
	"time"

	"witnessmark/core/unit"
	"witnessmark/shop"
)

// Report writes the owner's report as a PDF: what asks for something, worst first, then what was sound, what can't be
// judged, and what was not looked at. Photos are opened by hash; one that can't be opened or read leaves a box that
// says so. The same report gives the same bytes.
func Report(w io.Writer, r *shop.Report, photos func(hash string) (io.ReadCloser, error)) error {
	d := layReport(r, photos)
	if err := d.pdf.Output(w); err != nil {
		return fmt.Errorf("writing the report: %w", err)
	}
	return nil
}

// layReport draws the whole report.
func layReport(r *shop.Report, photos func(string) (io.ReadCloser, error)) *drawing {
	on := day(r.Round.On)
	name := "What we found on your car, " + r.Car.Plate + ", " + longDate(r.Round.On)
	d := newDrawing(name, r.Workshop, r.Car.Description, on)
	d.head = func() { d.runningHead(r.Car, longDate(r.Round.On)) }
	d.reportHead(r)
	d.glance(r)
	album := newAlbum(d, photos)
	for i := range r.Sections {
		d.section(&r.Sections[i], r.AheadOf(&r.Sections[i]), album)
	}
	d.ahead(r)
	d.soundList(r.Sound)
	d.reasons("Looked at, but no verdict is possible", "unjudged", r.Unjudged)
	d.reasons("Not looked at", "not looked at", r.NotLooked)
	d.closing(r)
	d.frames([]cell{
		{"workshop", orDash(r.Workshop), 2.6},
		{"car", r.Car.Plate, 1.7},
		{"looked at on", longDate(r.Round.On), 2},
		{"catalogue", orDash(r.Catalogue), 1.8},
	})
	return d
}

// runningHead is the line at the top of every page but the first.
func (d *drawing) runningHead(car shop.CarVersion, date string) {
	d.put(left, top-2.5, d.cut(car.Plate+" · "+car.Description, width-50, small), small)
	date = d.cut(date, 45, small)
	d.put(right-d.wide(date, small), top-2.5, date, small)
	d.hair(top + 2.8)
	d.y = top + 6
}

// reportHead draws the title, who looked and when, and the strip with the car.
func (d *drawing) reportHead(r *shop.Report) {
	if r.Workshop != "" {
		d.put(left, d.y, d.cut(r.Workshop, width, small), small)
		d.y += small.height() + 1
	}
	d.put(left, d.y, "What we found on your car", title)
	d.y += title.height() + 1
	d.flow(left, d.wrap(opening(r), width, body), body)
	d.y += 4
	d.strip([]cell{
		{"car", r.Car.Plate + "\n" + r.Car.Description, 2.5},
		{"registered", orDash(longDate(r.Car.FirstRegistered)), 1.3},
		{"odometer", odometer(r.Round.Km, r.Car.Units), 1.3},
		{"looked at", fmt.Sprintf("%d of %d places", r.Looked, r.Places), 1.5},
	})
	d.y += 6
}

// opening is the paragraph under the title.
func opening(r *shop.Report) string {
	var b strings.Builder
	if r.Car.Owner.Name != "" {
		b.WriteString("For " + r.Car.Owner.Name + ". ")
	}
	b.WriteString("Looked at on " + longDate(r.Round.On))
	if r.ByWords != "" {
		b.WriteString(" by " + r.ByWords)
	}
	b.WriteString(". Read it with the workshop; it does not say that the car is safe.")
	return b.String()
}

// closing draws the promise in a box.
func (d *drawing) closing(r *shop.Report) {
	if r.NotApplicable > 0 {
		text := fmt.Sprintf("%d points of the catalogue were left out because this car does not have the part.", r.NotApplicable)
		if r.NotApplicable == 1 {
			text = "1 point of the catalogue was left out because this car does not have the part."
		}
		d.y += 2
		d.flow(left, d.wrap(text, width, small), small)
	}
	lines := d.wrap(shop.Promise, width-12, label)
	copyNote := d.wrap("This is the printed copy. The same report as a web page can be enlarged and read aloud; ask the workshop for its link.", width-12, small)
	h := 8 + float64(len(lines))*label.height() + float64(len(copyNote))*small.height() + 1.5
	d.y += 5
	d.room(h)
	d.stroke(ink, 0.5)
	d.pdf.Rect(left, d.y, width, h, "D")
	y := d.lines(left+6, d.y+4, lines, label)
	d.lines(left+6, y+1.5, copyNote, small)
	d.y += h
}

// day reads a date as the start of that day; an unreadable one is a fixed day, so that the bytes stay the same.
func day(s string) time.Time {
	if t, err := time.Parse(time.DateOnly, s); err == nil {
		return t
	}
	return time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)
}

// longDate writes 2026-03-21 as "21 March 2026" and 2009-04 as "April 2009"; other texts stay as they are.
func longDate(s string) string {
	if t, err := time.Parse(time.DateOnly, s); err == nil {
		return t.Format("2 January 2006")
	}
	if t, err := time.Parse("2006-01", s); err == nil {
		return t.Format("January 2006")
	}
	return s
}

// odometer writes a distance in the units that the car is kept in.
func odometer(km float64, units string) string {
	if km < 0 {
		return "not noted"
	}
	system, err := unit.ParseSystem(units)
	if err != nil {
		system = unit.Metric
	}
	return strings.ReplaceAll(unit.Format(km, unit.KM, system, 0), " ", "\u00a0")
}

func orDash(s string) string {
	if s == "" {
		return "–"
	}
	return s
}
