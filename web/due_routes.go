package web

import (
	"net/url"
	"strings"
)

// dueRoutes lists the pages on what is due, the reminders and the calendars.
func (s *server) dueRoutes() []route {
	return []route{
		{pattern: "GET /due", handle: s.dueShow},
		{pattern: "POST /cars/{id}/due", handle: s.dueSettle},
		{pattern: "GET /reminders", handle: s.remindShow},
		{pattern: "POST /reminders/calendars", handle: s.workshopFeedMake},
		{pattern: "POST /reminders/calendars/{feed}/end", handle: s.workshopFeedEnd},
		{pattern: "POST /reminders/{mail}", handle: s.remindDecide},
		{pattern: "GET /cars/{id}/reminders", handle: s.carRemindShow},
		{pattern: "POST /cars/{id}/reminders/consent", handle: s.consentGive},
		{pattern: "POST /cars/{id}/reminders/stop", handle: s.consentStop},
		{pattern: "POST /cars/{id}/reminders/calendars", handle: s.carFeedMake},
		{pattern: "POST /cars/{id}/reminders/calendars/{feed}/end", handle: s.carFeedEnd},
		{pattern: "GET /calendar/{file}", handle: s.feedShow},
		{pattern: "GET " + stopPattern, handle: s.stopShow},
		{pattern: "POST " + stopPattern, handle: s.stopDo, limit: 1 << 14},
	}
}

// stopPattern is the page that a mail's stop link opens. Mail programs post to it by themselves, without cookies and without saying where
// they come from (RFC 8058, section 3.2); whoever holds the token may stop the mails, so the cross-origin check leaves it alone.
const stopPattern = "/stop/{token}"

func carPath(car string) string       { return "/cars/" + url.PathEscape(car) }
func carRemindPath(car string) string { return carPath(car) + "/reminders" }

// keyed reports whether an address is itself the key to what it shows and holds no form that the cross-origin check looks at, so that no
// referrer may leave with a link.
func keyed(path string) bool {
	for _, p := range [...]string{"/r/", "/stop/", "/calendar/"} {
		if strings.HasPrefix(path, p) {
			return true
		}
	}
	return false
}
