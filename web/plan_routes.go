package web

import "net/url"

// planRoutes lists the pages on a car's visits to come.
func (s *server) planRoutes() []route {
	return []route{
		{pattern: "GET /cars/{id}/plan", handle: s.planShow},
		{pattern: "GET /cars/{id}/plan/move", handle: s.planMove},
		{pattern: "POST /cars/{id}/plan/place", handle: s.planPlace},
	}
}

// planPath is the address of a car's plan.
func planPath(car string) string { return "/cars/" + url.PathEscape(car) + "/plan" }
