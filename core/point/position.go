package point

import (
	"slices"
	"strconv"
	"strings"

	"witnessmark/core/facet"
)

// Positions says where on the car a point has readings.
type Positions struct {
	Groups []PositionGroup
	Places []string
	// Also lists positions that a reading may name although the round asks only once for the car.
	Also []string
	// Count is a number facet; positions are then 1..n.
	Count string
}

// PositionGroup is a list of positions with the condition under which the car has them.
type PositionGroup struct {
	At   []string
	When facet.When
}

// Corners, Axles and Places are the vocabulary of positions.
var (
	Corners = []string{"FL", "FR", "RL", "RR"}
	Axles   = []string{"F", "R"}
	Places  = []string{"inner", "middle", "outer"}
)

// ValidPosition reports whether s is a word of the vocabulary (without a place).
func ValidPosition(s string) bool {
	if slices.Contains(Corners, s) || slices.Contains(Axles, s) || s == "spare" {
		return true
	}
	n, err := strconv.Atoi(s)
	return err == nil && n >= 1 && n <= 9
}

// Single reports whether the point has one reading for the whole car.
func (p Positions) Single() bool { return len(p.Groups) == 0 && p.Count == "" }

// Bases lists the positions that this car has, without places, in walking order.
func (p Positions) Bases(s facet.Set) []string {
	if p.Count != "" {
		n, _ := s.Number(p.Count)
		out := make([]string, 0, n)
		for i := 1; i <= n; i++ {
			out = append(out, strconv.Itoa(i))
		}
		return out
	}
	var out []string
	for _, g := range p.Groups {
		if ok, _ := g.When.Holds(s); !ok {
			continue
		}
		for _, a := range g.At {
			if !slices.Contains(out, a) {
				out = append(out, a)
			}
		}
	}
	return out
}

// Slots lists the positions that the round asks for on this car: "" for a single reading, else every base position
// with every place. An empty list means that the car has no such position.
func (p Positions) Slots(s facet.Set) []string {
	if p.Single() {
		return []string{""}
	}
	bases := p.Bases(s)
	if len(p.Places) == 0 {
		return bases
	}
	out := make([]string, 0, len(bases)*len(p.Places))
	for _, b := range bases {
		for _, pl := range p.Places {
			out = append(out, b+"/"+pl)
		}
	}
	return out
}

// Lacks says why a reading may not name position at on this car; empty means it may. A base position without its
// place, and no position at all for a state, are accepted: they speak of the whole.
func (p Positions) Lacks(at string, s facet.Set) string {
	if at == "" || slices.Contains(p.Also, at) {
		return ""
	}
	if p.Single() {
		if len(p.Also) > 0 {
			return "expected no position, or one of " + strings.Join(p.Also, ", ")
		}
		return "this point has no positions"
	}
	base, place, has := strings.Cut(at, "/")
	bases := p.Bases(s)
	if !slices.Contains(bases, base) {
		if len(bases) == 0 {
			return "the car has no such position"
		}
		return "the car has " + strings.Join(bases, ", ")
	}
	if has && !slices.Contains(p.Places, place) {
		if len(p.Places) == 0 {
			return "this point has no places within " + base
		}
		return "expected " + base + "/" + strings.Join(p.Places, ", "+base+"/")
	}
	return ""
}

// SplitAt separates a position into base and place ("FL/outer" -> "FL", "outer").
func SplitAt(at string) (base, place string) {
	base, place, _ = strings.Cut(at, "/")
	return base, place
}

// Axle gives the axle letter of a corner or axle, or empty.
func Axle(base string) string {
	if strings.HasPrefix(base, "F") {
		return "F"
	}
	if strings.HasPrefix(base, "R") {
		return "R"
	}
	return ""
}

// Where writes a position of the point on a car in words. A counted part that the car has only one of has no number.
func (p *Point) Where(at string, s facet.Set) string {
	base, place := SplitAt(at)
	if p.Positions.Count != "" && len(p.Positions.Bases(s)) == 1 && base != "" {
		return place
	}
	return Where(at)
}

// JobWhere writes the place of a doing of a job on a car in words, as the points that ask for the job do.
func (c *Catalogue) JobWhere(job, at string, s facet.Set) string {
	for _, p := range c.Points {
		asks := slices.Contains(p.Jobs, job) || slices.ContainsFunc(p.States, func(st StateOf) bool { return slices.Contains(st.Jobs, job) })
		if asks && p.Positions.Count != "" {
			return p.Where(at, s)
		}
	}
	return Where(at)
}

// Where writes a position in words: "front left, outer"; empty for a single reading.
func Where(at string) string {
	base, place := SplitAt(at)
	words := map[string]string{"FL": "front left", "FR": "front right", "RL": "rear left", "RR": "rear right",
		"F": "front axle", "R": "rear axle", "spare": "spare"}
	w, ok := words[base]
	if !ok && base != "" {
		w = "no. " + base
	}
	if place != "" {
		w += ", " + place
	}
	return w
}
