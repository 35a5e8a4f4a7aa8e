package web

import (
	"errors"
	"net/http"
	"strconv"

	"witnessmark/core/estimate"
	"witnessmark/shop"
)

// offerData is the page on which an estimate is put before its owner, with what became of it.
type offerData struct {
	Form   *form
	Number string
	Draft  shop.Kept[shop.EstimateDraft]
	Car    shop.CarVersion
	Link   string // the new link, shown once
	// Missing is what keeps the latest version from being offered.
	Missing []string
	// Now is the last offer; nil when there is none. Earlier are the others, the newest first.
	Now     *offerLine
	Earlier []offerLine
	Days    []option
	// Done is the page of the closed-out work; empty while there is none, else nothing can be asked again.
	Done string
	// Elsewhere is what other estimates of the car hold too.
	Elsewhere []elsewhereLine
	// Passed says which days of the latest version have passed while it is not answered.
	Passed []string
}

// offerLine is one offer with what became of it.
type offerLine struct {
	*shop.Offered
	// Since, Until and Ends are moments and days in words: offered, answered at the latest, the link's end.
	Since, Until, Ends string
	Ended, EndedBy     string
	Receipt            *receipt
	// Newer is true when a newer version is saved than the one that the owner sees.
	Newer bool
}

// offerCookie carries a new link's token from the POST to the page that shows it once.
const offerCookie = "new-offer"

// offerShow shows how an estimate stands with its owner, and a new link once.
func (s *server) offerShow(w http.ResponseWriter, r *http.Request) error {
	link := ""
	if c, err := r.Cookie(offerCookie); err == nil && c.Value != "" {
		link = s.publicURL(r) + answerPath(c.Value)
		http.SetCookie(w, &http.Cookie{Name: offerCookie, Path: offerPath(r.PathValue("number")), MaxAge: -1, HttpOnly: true, SameSite: http.SameSiteStrictMode})
	}
	f := newForm(nil)
	f.Set("days", strconv.Itoa(shop.DefaultShareDays))
	f.Set("by", initials(r))
	return s.renderOffer(w, r, http.StatusOK, f, link)
}

// renderOffer shows the page with its form as it stands.
func (s *server) renderOffer(w http.ResponseWriter, r *http.Request, status int, f *form, link string) error {
	number := r.PathValue("number")
	d, all, err := s.shop.OffersOf(r.Context(), number)
	if err != nil {
		return err
	}
	car, err := s.shop.Car(r.Context(), d.CarID)
	if err != nil {
		return err
	}
	if f.Get("offer-id") == "" {
		f.Set("offer-id", s.shop.NewID())
	}
	f.Set("version", strconv.Itoa(d.Said.Estimate.Version))
	data := offerData{Form: f, Number: number, Draft: d, Car: car, Link: link, Days: shareDays}
	if data.Done, err = s.donePath(r.Context(), d); err != nil {
		return err
	}
	var found estimate.Problems
	if errors.As(estimate.Ready(d.Said.Estimate, s.shop.Now().Format("2006-01-02")), &found) {
		for _, p := range found {
			data.Missing = append(data.Missing, capital(p.Place)+": "+p.Text)
		}
	}
	if data.Elsewhere, err = s.elsewhere(r.Context(), d); err != nil {
		return err
	}
	for i := len(all) - 1; i >= 0; i-- {
		line, err := s.offerLine(all[i], d)
		if err != nil {
			return err
		}
		if data.Now == nil {
			data.Now = &line
		} else {
			data.Earlier = append(data.Earlier, line)
		}
	}
	if n := data.Now; n == nil || n.Standing != shop.OfferAnswered || n.Newer {
		data.Passed = passedDays(&d.Said.Estimate, s.shop.Now().Format("2006-01-02"))
	}
	notice := map[string]string{
		"back":    "The offer is taken back. Whoever opens its link is told that it is no longer valid.",
		"spoken":  "The spoken answer is stored.",
		"no-link": "No further link was made just now: the form was sent before, or another version was saved meanwhile. This is how it stands. If you have not seen the link, make a new one.",
		"already": "The owner's answer was there already. Nothing was stored just now.",
	}[r.URL.Query().Get("did")]
	if link != "" {
		notice = "" // pressed twice: the link is here
	}
	s.render(w, r, status, "offer_show", page{Title: "Estimate " + number + " and its owner", Form: f, Notice: notice, Data: data, Back: estimatePath(number), BackWords: "Estimate " + number})
	return nil
}

func (s *server) offerLine(o *shop.Offered, now shop.Kept[shop.EstimateDraft]) (offerLine, error) {
	l := offerLine{Offered: o, Since: moment(o.Offer.ReceivedAt), Until: day(o.Estimate().ValidUntil), Ends: moment(o.Offer.Said.ExpiresAt), Newer: o.Draft.ID != now.ID}
	if o.End != nil {
		l.Ended, l.EndedBy = moment(o.End.ReceivedAt), o.End.By
	}
	var err error
	if o.Decision != nil {
		l.Receipt, err = s.newReceipt(o)
	}
	return l, err
}
