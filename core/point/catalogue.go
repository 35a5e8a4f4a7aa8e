package point

import (
	"maps"
	"slices"
	"sort"
	"strings"

	"witnessmark/core/facet"
)

// Catalogue is everything that the trade knows and the program needs, read from data and never changed after.
type Catalogue struct {
	// Points in catalogue order: station, order, id.
	Points      []*Point
	Jobs        map[string]*Job
	Cautions    map[string]*Caution
	Sources     map[string]*Document
	Specs       map[string]*Spec
	Facets      map[string]*facet.Definition
	FacetOrder  []string
	Tables      map[string]*Table
	Regulations []*Regulation
	Families    []*Family
	// Laws say how items age before the workshop has a history of its own, sorted by id.
	Laws []*Law
	// Risks are the accepted risks of passing a limit before the next look, by consequence.
	Risks map[Consequence]float64
	// Signs, Causes and Complaints are what reasons from findings to causes, sorted by id; Quiet says where no cause follows.
	Signs      []*Sign
	Causes     []*Cause
	Complaints []*Complaint
	Quiet      []Quiet
	// Setups, Parts and Work say how jobs are done, by id; Work by the job's.
	Setups map[string]*Setup
	Parts  map[string]*PartKind
	Work   map[string]*Work
	// Version is a digest of the data, so that a verdict can name what it was computed with.
	Version string

	byID map[string]*Point
}

// Job is a piece of work that follows from findings.
type Job struct {
	ID, Name, Does string
	Renews         []string
	Cautions       []string
	Recheck        string
	When           facet.When
	Takes          []Take
}

// Take is a fluid that a job takes: as much as a specification of the car says, or as a rule computes from the reading.
type Take struct {
	What string
	Spec string // in L
	Rule string // shortfall, coolant-mix or coolant-fresh
}

// Caution is a usual warning, shown where the step is done.
type Caution struct{ ID, Say string }

// Document is a published source.
type Document struct {
	ID, Title, Says string
	Year            int
}

// Spec is a figure of one car that limits may refer to.
type Spec struct {
	ID, Name, Ask, Unit string
	// By is "corner", "axle" or empty when one figure serves the car.
	By string
	// Values are the words allowed for a text specification; nil for numbers, and for a text of any words, which has no
	// unit either.
	Values   []string
	Min, Max *float64
	// Default is common practice's figure until one is entered; nil is none.
	Default *float64
}

// Text reports whether the specification is a word or a free text rather than a number.
func (s *Spec) Text() bool { return len(s.Values) > 0 || s.Unit == "" }

// Table gives a limit by another value.
type Table struct {
	ID, By, Gives string
	// Line is true when values between rows are interpolated; otherwise the row at or below counts.
	Line bool
	Rows []Row
	// Words are the rows of a table by a text specification.
	Words  map[string]float64
	Source Source
}

// Row is one row of a numeric table.
type Row struct{ X, Y float64 }

// At looks x up. Below the first row the first row counts; above the last the last.
func (t *Table) At(x float64) float64 {
	i := sort.Search(len(t.Rows), func(i int) bool { return t.Rows[i].X > x })
	if i == 0 {
		return t.Rows[0].Y
	}
	a := t.Rows[i-1]
	if !t.Line || i == len(t.Rows) {
		return a.Y
	}
	b := t.Rows[i]
	return a.Y + (b.Y-a.Y)*(x-a.X)/(b.X-a.X)
}

// Regulation lists the items of a regulation that points must cover.
type Regulation struct {
	ID, Title string
	Items     []Item
}

// Item is one item of a regulation, titled in our own words.
type Item struct {
	ID, Title, Applies, Status string
	Heading                    bool
}

// Counts reports whether the item applies to passenger cars (M1) and is more than a heading.
func (i Item) Counts() bool { return !i.Heading && i.Applies != "not M1" }

// Family is what is known of one engine or model family.
type Family struct {
	ID, Name  string
	When      facet.When
	WeakSpots []WeakSpot
	Specs     []FamilySpec
	Facets    map[string]string
	Causes    []FamilyCause
}

// WeakSpot marks a point that deserves more in this family.
type WeakSpot struct {
	Point, Say string
	Order      int
}

// FamilySpec is a specification that the family brings, with its origin.
type FamilySpec struct {
	ID, Text, Origin string
	Value            float64
}

// New indexes the catalogue's points and sorts them.
func (c *Catalogue) New() *Catalogue {
	sort.SliceStable(c.Points, func(i, j int) bool {
		a, b := c.Points[i], c.Points[j]
		if a.Station != b.Station {
			return a.Station.Place() < b.Station.Place()
		}
		if a.Order != b.Order {
			return a.Order < b.Order
		}
		return a.ID < b.ID
	})
	c.byID = make(map[string]*Point, len(c.Points))
	for _, p := range c.Points {
		c.byID[p.ID] = p
	}
	return c
}

// Point finds a point by id, or nil.
func (c *Catalogue) Point(id string) *Point { return c.byID[id] }

// Items lists everything that can be renewed, sorted: what jobs renew, and what points count from.
func (c *Catalogue) Items() []string {
	seen := map[string]bool{}
	for _, j := range c.Jobs {
		for _, id := range j.Renews {
			seen[id] = true
		}
	}
	for _, p := range c.Points {
		if p.Renewal != nil {
			seen[p.Renewal.Item] = true
		}
		for _, r := range p.Rules {
			seen[r.Item] = true
		}
	}
	delete(seen, "") // most rules count from nothing
	return slices.Sorted(maps.Keys(seen))
}

// Cite writes a source for a person: title, section, and "from memory" where it was not read.
func (c *Catalogue) Cite(s Source) string {
	switch s.From {
	case "", "practice":
		return "common practice"
	case "car":
		return "figure entered for this car"
	}
	title := s.From
	if d := c.Sources[s.From]; d != nil {
		title = d.Title
	}
	parts := []string{title}
	if s.Section != "" {
		parts = append(parts, s.Section)
	}
	out := strings.Join(parts, ", ")
	if s.Status == "memory" {
		out += " (from memory)"
	}
	return out
}
