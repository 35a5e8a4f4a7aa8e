package web

import (
	"errors"
	"net/http"
	"net/url"

	"witnessmark/shop"
)

// offerRoutes lists the pages on which an estimate is put before its owner and answered.
func (s *server) offerRoutes() []route {
	return []route{
		{pattern: "GET /estimates/{number}/offer", handle: s.offerShow},
		{pattern: "POST /estimates/{number}/offer", handle: s.offerCreate},
		{pattern: "POST /estimates/{number}/offer/{offer}/back", handle: s.offerTakeBack},
		{pattern: "GET /estimates/{number}/spoken", handle: s.spokenShow},
		{pattern: "POST /estimates/{number}/spoken", handle: s.spokenSave},
		{pattern: "GET /y/{token}", handle: s.answerShow},
		{pattern: "POST /y/{token}", handle: s.answerSend},
		{pattern: "GET /y/{token}/estimate.pdf", handle: s.answerPDF},
	}
}

// estimatePath and offerPath are the addresses of an estimate's pages; answerPath is the owner's.
func estimatePath(number string) string { return "/estimates/" + url.PathEscape(number) }
func offerPath(number string) string    { return estimatePath(number) + "/offer" }
func answerPath(token string) string    { return "/y/" + url.PathEscape(token) }

// offerWords turns what keeps an estimate from being asked or answered into words; any other error stays.
func offerWords(err error) error {
	switch {
	case errors.Is(err, shop.ErrReplaced):
		return userError{http.StatusGone, "A newer version of this estimate was made", "This link shows an older version, which can't be answered any more. The newer one has a link of its own: ask the workshop for it. Nothing was stored."}
	case errors.Is(err, shop.ErrPast):
		return userError{http.StatusGone, "The last day to answer has passed", "This estimate can't be answered any more. Ask the workshop for a new one. Nothing was stored."}
	case errors.Is(err, shop.ErrNotShown):
		return userError{http.StatusConflict, "That was another version", "What was answered is not what is offered now, so nothing was stored. Open the page again, read what it says and answer that."}
	case errors.Is(err, shop.ErrWorkedOff):
		return userError{http.StatusConflict, "The work is closed out", "The work on this estimate is done and closed out, so nothing of it can be asked again. Make a new estimate, or take the close-out back first if it was wrong. Nothing was stored."}
	}
	return err
}
