package slope

import "math"

// group is what one group says about its line, free of cancellation. With Z the n x 2 matrix of ones and x, and Z = Q*R,
// R = ((r1, r12), (0, r2)) and z = Q'y; rest is the sum of squares about the group's own least-squares line. Nothing else of the readings
// enters the likelihood.
type group struct{ r1, r12, r2, z1, z2, rest float64 }

// data are all readings, seen in x' = (x-centre)/spread and y' = (y - level - tilt*x')/height, so that units don't matter.
type data struct {
	groups                              []group
	n                                   int
	rest                                float64
	centre, spread, level, tilt, height float64
}

// reduce checks the readings and condenses them.
func reduce(in [][]Point) (*data, error) {
	d := &data{}
	low, high, top, err := d.count(in)
	switch {
	case err != nil:
		return nil, err
	case d.n < 3:
		return nil, ErrFew
	case len(d.groups) < 2:
		return nil, ErrOne
	case low == high:
		return nil, ErrSameX
	}
	if high-low < math.SmallestNonzeroFloat64*(1<<54) || math.IsInf(4*(high-low), 0) || math.IsInf(4*top*float64(d.n), 0) {
		return nil, ErrScale
	}
	d.frame(in, low, high)
	if !(d.height > 0) {
		return nil, ErrExact
	}
	spare, steep, i := 0, 0.0, 0
	for _, points := range in {
		if len(points) == 0 {
			continue
		}
		g, more, tilt := d.condense(points)
		d.groups[i] = g
		d.rest += g.rest
		spare += more
		steep = max(steep, tilt)
		i++
	}
	if spare == 0 {
		return nil, ErrNoSpare
	}
	// What rounding alone leaves: figures typed as decimals are off by half a unit of the last binary place, of y and, along the slope, of x.
	far := max(math.Abs(low), math.Abs(high)) / d.spread
	rounding := 8 * 0x1p-52 * (top/d.height + steep*(1+far))
	if d.rest <= float64(d.n)*rounding*rounding {
		return nil, ErrExact
	}
	return d, nil
}

// count finds how many readings and groups there are, the range of x and the largest size of y.
func (d *data) count(in [][]Point) (low, high, top float64, err error) {
	low, high = math.Inf(1), math.Inf(-1)
	filled := 0
	for _, points := range in {
		if len(points) > 0 {
			filled++
		}
		d.n += len(points)
		for _, p := range points {
			if math.IsNaN(p.X-p.X) || math.IsNaN(p.Y-p.Y) {
				return 0, 0, 0, ErrNumber
			}
			low, high, top = min(low, p.X), max(high, p.X), max(top, math.Abs(p.Y))
		}
	}
	d.groups = make([]group, filled)
	return low, high, top, nil
}

// frame chooses the frame: mean and spread of x, and the least-squares line through everything.
func (d *data) frame(in [][]Point, low, high float64) {
	n, wide := float64(d.n), high-low
	var x, y float64
	for _, points := range in {
		for _, p := range points {
			x += (p.X - low) / wide
			y += p.Y / n
		}
	}
	d.centre, d.level = low+x/n*wide, y
	var xx, xy, yy float64
	for _, points := range in {
		for _, p := range points {
			x := (p.X - d.centre) / wide
			xx += x * x
			xy += x * (p.Y - d.level)
		}
	}
	root := math.Sqrt(xx / n)
	d.spread, d.tilt = wide*root, xy/xx*root
	top := 0.0
	for _, points := range in {
		for _, p := range points {
			top = max(top, math.Abs(d.off(p)))
		}
	}
	if top == 0 {
		return
	}
	for _, points := range in {
		for _, p := range points {
			r := d.off(p) / top
			yy += r * r
		}
	}
	d.height = top * math.Sqrt(yy/n)
}

// off is how far a reading lies from the line through everything, in the unit of y.
func (d *data) off(p Point) float64 { return p.Y - d.level - d.tilt*d.along(p) }

// along is where a reading lies, in spreads from the centre.
func (d *data) along(p Point) float64 { return (p.X - d.centre) / d.spread }

// condense reduces one group; it also says how many readings it has beyond those that its own line needs, and how steep that line is.
func (d *data) condense(points []Point) (g group, spare int, steep float64) {
	n := float64(len(points))
	var x, y float64
	same := true
	for _, p := range points {
		x += d.along(p) / n
		y += d.off(p) / d.height / n
		same = same && p.X == points[0].X
	}
	if same {
		x = d.along(points[0])
	}
	var xx, xy float64
	for _, p := range points {
		dx := d.along(p) - x
		xx += dx * dx
		xy += dx * (d.off(p)/d.height - y)
	}
	g.r1 = math.Sqrt(n)
	g.r12, g.z1 = g.r1*x, g.r1*y
	spare = len(points) - 1
	b := 0.0
	if !same && xx > 0 {
		g.r2 = math.Sqrt(xx)
		b = xy / xx
		g.z2 = b * g.r2
		spare--
	}
	for _, p := range points {
		e := d.off(p)/d.height - y - b*(d.along(p)-x)
		g.rest += e * e
	}
	if spare == 0 {
		g.rest = 0 // rounding, no scatter
	}
	return g, spare, math.Abs(b) + math.Abs(d.tilt)/d.height
}

// shift takes a line, given in the frame, off every group, so that what remains is small and its squares lose no digits.
func (d *data) shift(line [2]float64) {
	for i := range d.groups {
		g := &d.groups[i]
		g.z1 -= g.r1*line[0] + g.r12*line[1]
		g.z2 -= g.r2 * line[1]
	}
	d.level += d.height * line[0]
	d.tilt += d.height * line[1]
}
