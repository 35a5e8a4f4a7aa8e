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

// planPathWithin is the plan within a budget as it was typed, after something was done; both may be empty.
func planPathWithin(car, did, budget string) string {
	q := url.Values{}
	if did != "" {
		q.Set("did", did)
	}
	if budget != "" {
		q.Set("budget", budget)
	}
	if len(q) == 0 {
		return planPath(car)
	}
	return planPath(car) + "?" + q.Encode()
}
