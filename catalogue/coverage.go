package catalogue

import (
	"sort"
	"strings"

	"witnessmark/core/point"
)

// Coverage says which regulation items have a point, computed from the points' covers.
type Coverage struct {
	Points      int                  `json:"points"`
	Regulations []RegulationCoverage `json:"regulations"`
}

// RegulationCoverage counts one regulation's items; headings and items for other vehicle classes do not count.
type RegulationCoverage struct {
	ID      string         `json:"id"`
	Items   int            `json:"items"`
	Covered int            `json:"covered"`
	Missing []string       `json:"missing"`
	Table   []ItemCoverage `json:"table"`
}

// ItemCoverage lists the points that look at one item.
type ItemCoverage struct {
	Item   string   `json:"item"`
	Title  string   `json:"title"`
	Status string   `json:"status"`
	Points []string `json:"points"`
}

// Cover computes the coverage of a catalogue.
func Cover(c *point.Catalogue) Coverage {
	by := map[string][]string{}
	for _, p := range c.Points {
		for _, cover := range p.Covers {
			by[cover] = append(by[cover], p.ID)
		}
	}
	out := Coverage{Points: len(c.Points), Regulations: []RegulationCoverage{}}
	for _, g := range c.Regulations {
		rc := RegulationCoverage{ID: g.Title, Missing: []string{}, Table: []ItemCoverage{}}
		for _, i := range g.Items {
			if !i.Counts() {
				continue
			}
			points := by[g.ID+":"+i.ID]
			sort.Strings(points)
			rc.Items++
			if len(points) > 0 {
				rc.Covered++
			} else {
				rc.Missing = append(rc.Missing, i.ID)
				points = []string{}
			}
			rc.Table = append(rc.Table, ItemCoverage{Item: i.ID, Title: strings.TrimSpace(i.Title), Status: i.Status, Points: points})
		}
		out.Regulations = append(out.Regulations, rc)
	}
	sort.Slice(out.Regulations, func(i, j int) bool { return out.Regulations[i].ID < out.Regulations[j].ID })
	return out
}
