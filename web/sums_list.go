package web

import (
	"net/http"
	"slices"
	"strings"

	"witnessmark/core/sums"
)

// sumGroup is a heading of the list with the sums under it.
type sumGroup struct {
	Title string
	Sums  []sums.Sum
}

// sumGroups says under which heading a sum stands, by its name.
var sumGroups = []struct {
	title string
	names []string
}{
	{"Fluids", []string{"coolant-mix", "coolant-freeze", "coolant-reading", "brake-fluid", "brake-fluid-top-up", "fluid-exchange", "fluid-loss", "oil-start", "oil-viscosity", "oil-use"}},
	{"Battery", []string{"battery-charge", "battery-load", "battery-rating"}},
	{"Tyres", []string{"tread", "tyre-age", "tyre-pressure", "tyre-load", "tyre-size"}},
	{"Brakes and steering", []string{"brake-balance", "brake-efficiency", "brake-disc", "steering-play", "toe", "toe-mm", "wheel-angles"}},
	{"Papers", []string{"vin"}},
}

// groupSums puts every sum of the register under its heading. One that no heading names stands under the last, so that
// none is out of reach.
func groupSums(all []sums.Sum) []sumGroup {
	out := make([]sumGroup, len(sumGroups))
	for i, g := range sumGroups {
		out[i].Title = g.title
		for _, name := range g.names {
			if j := slices.IndexFunc(all, func(s sums.Sum) bool { return s.Name == name }); j >= 0 {
				out[i].Sums = append(out[i].Sums, all[j])
				all = slices.Delete(all, j, j+1)
			}
		}
	}
	if len(all) > 0 {
		out = append(out, sumGroup{"Further sums", all})
	}
	return out
}

// sumsRoutes lists the pages of the workshop's sums.
func (s *server) sumsRoutes() []route {
	return []route{
		{pattern: "GET /sums", handle: s.sumsList},
		{pattern: "GET /sums/{name}", handle: s.sumsShow},
	}
}

// sumsList shows every sum under its heading.
func (s *server) sumsList(w http.ResponseWriter, r *http.Request) error {
	s.render(w, r, http.StatusOK, "sums_list", page{Title: "Sums", Data: groupSums(sums.All())})
	return nil
}

// asksFor names what a sum asks for, in the words of its form.
func asksFor(s sums.Sum) string {
	names := make([]string, len(s.Keys))
	for i, k := range s.Keys {
		names[i] = lowerFirst(k.Title)
	}
	return strings.Join(names, " · ")
}
