package web

import (
	"net/url"

	"witnessmark/shop"
)

// causeRoutes lists the pages on what may be behind what was found.
func (s *server) causeRoutes() []route {
	return []route{
		{pattern: "GET /causes", handle: s.causesShow},
		{pattern: "GET /rounds/{id}/told", handle: s.toldShow},
		{pattern: "POST /rounds/{id}/told", handle: s.toldSave},
		{pattern: "POST /rounds/{id}/told/{told}/withdraw", handle: s.toldWithdraw},
		{pattern: "POST /rounds/{id}/looks", handle: s.lookAdd},
		{pattern: "GET /rounds/{id}/looks/{sign}", handle: s.lookShow},
		{pattern: "POST /rounds/{id}/looks/{sign}", handle: s.lookSave},
		{pattern: "GET /rounds/{id}/causes/{complaint}", handle: s.confirmShow},
		{pattern: "POST /rounds/{id}/causes/{complaint}", handle: s.confirmSave},
		{pattern: "POST /rounds/{id}/causes/{complaint}/undo", handle: s.confirmUndo},
	}
}

// findingsPath, toldPath, lookPath and confirmPath are the addresses of those pages.
func findingsPath(round string) string   { return roundPath(round) + "/findings" }
func toldPath(round string) string       { return roundPath(round) + "/told" }
func looksPath(round string) string      { return roundPath(round) + "/looks" }
func lookPath(round, sign string) string { return looksPath(round) + "/" + url.PathEscape(sign) }
func confirmPath(round, complaint string) string {
	return roundPath(round) + "/causes/" + url.PathEscape(complaint)
}

// whyAnchor is the id of a complaint's panel on the page of findings.
func whyAnchor(complaint string) string { return "why-" + complaint }

// backToWhy leads to a complaint's panel, or to all of them.
func backToWhy(round, did, complaint string) string {
	anchor := "why"
	if complaint != "" {
		anchor = whyAnchor(complaint)
	}
	return findingsPath(round) + "?did=" + did + "#" + url.PathEscape(anchor)
}

// whereToLook is where a look of a round's list is answered: at its point, or at a page of its own.
func whereToLook(round string, l *shop.RoundLook, complaint string) string {
	if l.Point != nil {
		return pointPath(round, l.Point.ID) + "?from=findings"
	}
	where := lookPath(round, l.Sign.ID)
	if complaint != "" {
		where += "?for=" + url.QueryEscape(complaint)
	}
	return where
}
