package web

import (
	"maps"
	"math"
	"net/http"
	"slices"
	"strings"

	"witnessmark/core/facet"
	"witnessmark/core/outlook"
	"witnessmark/core/point"
	"witnessmark/shop"
)

// carShowData is a car's page.
type carShowData struct {
	Page *shop.CarPage
	Form *form
	// Ladder is when each item reaches its limit; Use the yearly distance in words; Questions what seems not to have been
	// written down.
	Ladder    ladder
	Use       string
	Questions []string
	Open      *shop.RoundFact
	Facets    []facetLine
	Specs     []specLine
	Items     []option
	Names     map[string]string // of items, by id
	Depths    []option
	// What is long is cut in two: what is asked for today, and the rest in a fold.
	Rounds, OldRounds     []shop.RoundFact
	Renewed, OldRenewed   []shop.RenewalFact
	Odometer, OldOdometer []shop.OdometerFact
}

// shownFirst is how many rounds and odometer readings stand open on a car's page.
const shownFirst = 5

// cut splits a list after n.
func cut[T any](list []T, n int) (first, rest []T) {
	n = min(n, len(list))
	return list[:n], list[n:]
}

// newestOfEach splits renewals, oldest first, into the newest of each item at each place and the earlier ones, both newest first.
func newestOfEach(list []shop.RenewalFact) (newest, earlier []shop.RenewalFact) {
	seen := map[string]bool{}
	for _, f := range slices.Backward(list) {
		if key := f.Item + " " + f.At; seen[key] {
			earlier = append(earlier, f)
			continue
		}
		seen[f.Item+" "+f.At] = true
		newest = append(newest, f)
	}
	return newest, earlier
}

// facetLine is one thing known or assumed of the car.
type facetLine struct {
	Name, Value string
	Given       bool
}

// specLine is one figure of the car with its origin.
type specLine struct{ Name, Value, Origin string }

// carShow shows everything that is known of one car.
func (s *server) carShow(w http.ResponseWriter, r *http.Request) error {
	f := newForm(nil)
	today := s.shop.Now().Format("2006-01-02")
	for _, prefix := range [...]string{"round", "renewal", "odometer"} {
		f.Set(prefix+"-on", today)
		f.Set(prefix+"-id", s.shop.NewID())
	}
	f.Set("round-depth", string(point.Full))
	f.Set("by", initials(r))
	notice := map[string]string{"car": "The changes are stored.", "renewal": "The renewal is stored.", "odometer": "The odometer reading is stored.",
		"renewal-back": "The renewal is taken back. It counts nowhere any more; if that was wrong, enter it again."}[r.FormValue("saved")]
	return s.renderCar(w, r, http.StatusOK, f, notice)
}

// useWords gives the yearly distance with its 80 % range.
func (s *server) useWords(c shop.CarVersion, o *outlook.Outlook) string {
	if !o.Known || o.PerYear.Mid <= 0 {
		return ""
	}
	round := func(km float64) float64 { return math.Round(km/100) * 100 }
	return s.km(c, round(o.PerYear.Mid)) + " a year, ±\u00a0" + s.km(c, math.Max(100, round((o.PerYear.High-o.PerYear.Low)/2)))
}

// renderCar shows the car's page with its three forms as they stand.
func (s *server) renderCar(w http.ResponseWriter, r *http.Request, status int, f *form, notice string) error {
	p, err := s.shop.CarPage(r.Context(), r.PathValue("id"))
	if err != nil {
		return err
	}
	d := carShowData{Page: p, Form: f, Names: map[string]string{}, Depths: depthOptions}
	o, err := s.shop.Outlook(r.Context(), p.Car.CarID)
	if err != nil {
		return err
	}
	d.Ladder, d.Use = s.ladder(p, &o.Outlook), s.useWords(p.Car, &o.Outlook)
	for _, q := range o.Outlook.Questions {
		d.Questions = append(d.Questions, q.Text)
	}
	for i := range p.Rounds {
		if p.Rounds[i].EndedAt == 0 {
			d.Open = &p.Rounds[i]
			break
		}
	}
	for _, it := range s.shop.Items() {
		d.Items = append(d.Items, option{Value: it.ID, Label: capital(it.Name)})
		d.Names[it.ID] = it.Name
	}
	d.Rounds, d.OldRounds = cut(p.Rounds, shownFirst)
	read := slices.Clone(p.Odometer)
	slices.Reverse(read)
	d.Odometer, d.OldOdometer = cut(read, shownFirst)
	d.Renewed, d.OldRenewed = newestOfEach(p.Renewals)
	d.Facets = s.facetLines(s.assumed(p.Facets))
	d.Specs = s.specLines(p.Car)
	s.render(w, r, status, "car_show", page{Title: carName(p.Car), Form: f, Notice: notice, Data: d, Wide: true, Back: "/", BackWords: "Today's cars"})
	return nil
}

var depthOptions = []option{
	{Value: string(point.Full), Label: "Full round", Hint: "everything, with lift, wheels off and road"},
	{Value: string(point.Quick), Label: "Quick look", Hint: "under the bonnet and what is seen from the ground"},
	{Value: string(point.Driveway), Label: "Driveway round", Hint: "no lift, no tools; what an owner can safely do"},
}

// facetLines lists the facets in catalogue order.
func (s *server) facetLines(known facet.Set) []facetLine {
	var out []facetLine
	cat := s.shop.Catalogue()
	for _, id := range cat.FacetOrder {
		d, v := cat.Facets[id], known[id]
		if d == nil || v.Value == "" {
			continue
		}
		out = append(out, facetLine{d.Name, facetWord(v.Value), v.Given})
	}
	return out
}

// specTitle names a figure; one that the catalogue no longer knows has no name.
func specTitle(sp *point.Spec) string {
	if sp == nil {
		return ""
	}
	return sp.Name
}

// specLines lists the car's figures the user's way.
func (s *server) specLines(c shop.CarVersion) []specLine {
	var out []specLine
	cat := s.shop.Catalogue()
	ids := slices.Collect(maps.Keys(c.Specs))
	slices.SortFunc(ids, func(a, b string) int { return strings.Compare(specTitle(cat.Specs[a])+a, specTitle(cat.Specs[b])+b) })
	for _, id := range ids {
		e, spec := c.Specs[id], cat.Specs[id]
		if spec == nil {
			continue
		}
		line := specLine{Name: spec.Name, Value: e.Text, Origin: e.Origin}
		for _, at := range append([]string{""}, specPositions(spec)...) {
			n, ok := e.Numbers[at]
			if !ok || at == "" && line.Value != "" {
				continue
			}
			if line.Value != "" {
				line.Value += "; "
			}
			if at != "" {
				line.Value += point.Where(at) + " "
			}
			line.Value += s.shop.Display(c, spec.Unit, n, nil)
		}
		out = append(out, line)
	}
	return out
}
