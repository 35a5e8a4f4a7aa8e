package paper

import (
	"fmt"
	"io"
	"strconv"
	"strings"

	"witnessmark/core/point"
	"witnessmark/shop"
)

// SheetData is a round to be walked with a pen.
type SheetData struct {
	Workshop string // may be empty
	Car      shop.CarVersion
	Depth    point.Depth
	// Date is the day of the round (2026-03-21); empty leaves a line to write it on.
	Date      string
	Catalogue string // version, may be empty
	// Steps are in walking order, points of one station together.
	Steps []SheetStep
	// Cautions holds the sentences by id.
	Cautions map[string]string
}

// SheetStep is one point of the walk.
type SheetStep struct {
	Station point.Station
	Point   *point.Point
	// Slots are the positions to fill in; a single empty one is a reading for the whole car.
	Slots []string
	// Last holds the last reading in words, by slot.
	Last map[string]string
	// Hint is what is known of the car's family about the point.
	Hint string
}

// stationWords names the stations for a person who walks them.
var stationWords = map[point.Station]string{
	"paperwork": "Papers", "cabin": "In the cabin", "engine-cold": "Under the bonnet, engine cold", "engine-running": "Under the bonnet, engine running",
	"on-the-ground": "Round the car, on the ground", "on-the-lift": "Under the car, on the lift", "wheels-off": "Wheels off", "road": "On the road",
}

var depthWords = map[point.Depth]string{point.Full: "full round", point.Quick: "quick look", point.Driveway: "driveway round, no lift and no tools", point.Baseline: "read after work"}

// Sheet writes a round as a PDF for pen: stations in walking order, and for every point its positions with room to
// write, its states with a circle to tick, the last reading, and the cautions where the step is done. The same data
// gives the same bytes.
func Sheet(w io.Writer, s *SheetData) error {
	d := laySheet(s)
	if err := d.pdf.Output(w); err != nil {
		return fmt.Errorf("writing the sheet: %w", err)
	}
	return nil
}

// sheet is a sheet under construction.
type sheet struct {
	*drawing
	data *SheetData
	// warned holds the cautions that stand on this page already.
	warned map[string]bool
}

func laySheet(s *SheetData) *drawing {
	d := newDrawing("Round for pen, "+s.Car.Plate, s.Workshop, s.Car.Description, day(s.Date))
	sh := &sheet{drawing: d, data: s, warned: map[string]bool{}}
	d.head = func() {
		sh.warned = map[string]bool{}
		d.runningHead(s.Car, longDate(s.Date))
	}
	sh.sheetHead()
	var at point.Station
	for i := range s.Steps {
		step := &s.Steps[i]
		if step.Point == nil {
			continue
		}
		b := sh.block(i+1, step)
		if i == 0 || step.Station != at {
			at = step.Station
			sh.station(at, count(s.Steps[i:], at), b.high)
		}
		sh.step(i+1, step, b)
	}
	if len(s.Steps) == 0 {
		d.flow(left, d.wrap("No point of the catalogue applies to this car at this depth.", width, body), body)
	}
	sh.notes()
	d.frames([]cell{
		{"workshop", orDash(s.Workshop), 2.6},
		{"car", orDash(s.Car.Plate), 1.7},
		{"depth", string(s.Depth), 1.3},
		{"catalogue", orDash(s.Catalogue), 1.8},
	})
	return d
}

// count gives the number of points until the next station.
func count(steps []SheetStep, at point.Station) int {
	for i := range steps {
		if steps[i].Station != at {
			return i
		}
	}
	return len(steps)
}

// sheetHead draws the title, the car and the lines to write on.
func (s *sheet) sheetHead() {
	if s.data.Workshop != "" {
		s.put(left, s.y, s.cut(s.data.Workshop, width, small), small)
		s.y += small.height() + 1
	}
	s.put(left, s.y, "Round for pen", title)
	words := depthWords[s.data.Depth]
	s.put(right-s.wide(words, label), s.y+2.2, words, label)
	s.y += title.height() + 2.5
	s.strip([]cell{
		{"car", s.data.Car.Plate + "\n" + s.data.Car.Description, 3},
		{"registered", orDash(longDate(s.data.Car.FirstRegistered)), 1.3},
		{"points", strconv.Itoa(len(s.data.Steps)), 0.8},
	})
	s.y += 3
	s.writeLines()
	key := "Tick one circle for each column, or write the number in the box; the number under a box is the last reading. FL is front left, " +
		"RR rear right, F the front axle. On a line from MIN to MAX put a cross, or tick the words. What could not be looked at: tick the dashed circle and say why. To correct, strike through and write beside it."
	s.flow(left, s.wrap(key, width, small), small)
	s.y += 4
}

// writeLines draws the fields that are filled in once for the round.
func (s *sheet) writeLines() {
	unit := "km"
	if strings.EqualFold(s.data.Car.Units, "us") {
		unit = "mi"
	}
	degrees := map[string]string{"km": "°C", "mi": "°F"}[unit]
	fields := []struct {
		name, value, unit string
		from, wide        float64
	}{
		{"date", longDate(s.data.Date), "", 0, 42}, {"odometer", "", unit, 47, 44}, {"outside air", "", degrees, 96, 26}, {"initials", "", "", 127, 39},
	}
	for _, f := range fields {
		x := left + f.from
		s.put(x, s.y, f.name, tiny)
		s.put(x+1, s.y+5.4, f.value, body)
		s.put(x+f.wide-s.wide(f.unit, small), s.y+6, f.unit, small)
		s.stroke(ink, 0.25)
		s.pdf.Line(x, s.y+11, x+f.wide, s.y+11)
	}
	s.y += 14
}

// station draws a station's heading and keeps it together with its first point.
func (s *sheet) station(at point.Station, points int, first float64) {
	name := stationWords[at]
	if name == "" {
		name = string(at)
	}
	words := strconv.Itoa(points) + " points"
	if points == 1 {
		words = "1 point"
	}
	const high = 7.5
	s.room(high + 2 + first)
	if !s.fresh() {
		s.y += 1.5
	}
	s.fill(pale)
	s.pdf.Rect(left, s.y, width, high, "F")
	s.fill(ink)
	s.pdf.Rect(left, s.y, 1.4, high, "F")
	s.put(left+4, s.y+1.1, name, style{"B", 12, ink})
	s.put(right-2-s.wide(words, small), s.y+1.6, words, small)
	s.y += high + 0.5
}

// notes draws ruled lines at the end.
func (s *sheet) notes() {
	const gap, lines = 8.5, 5
	s.y += 4
	s.room(8 + gap*lines)
	s.put(left, s.y, "Notes, with the number of the point", label)
	s.y += 5
	for range lines {
		s.y += gap
		s.hair(s.y)
	}
}
