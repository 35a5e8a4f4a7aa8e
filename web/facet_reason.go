package web

import "strings"

// facetReason writes the reason why a point does not apply with the names of facets instead of their ids:
// "fan-drive is electric" becomes "cooling fan is electric".
func (s *server) facetReason(reason string) string {
	parts := strings.Split(reason, ", ")
	for i, p := range parts {
		id, val, ok := strings.Cut(p, " is ")
		if d := s.shop.Catalogue().Facets[id]; ok && d != nil {
			parts[i] = lowerFirst(d.Name) + ": " + facetWord(val)
		}
	}
	return strings.Join(parts, ", ")
}
