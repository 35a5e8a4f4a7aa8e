package web

import (
	"errors"
	"net/http"
	"strings"

	"witnessmark/shop"
)

// remindLimit is how many mails the page shows.
const remindLimit = 200

// remindData is the page of what goes out to owners.
type remindData struct {
	Form    *form
	Mailing shop.Mailing
	Unsure  []mailRow
	Mails   []mailRow
	// Waiting are the mails that would be written now.
	Waiting []shop.Mail
	Feeds   feedData
}

// mailRow is one mail of the outbox.
type mailRow struct {
	shop.OutboxMail
	Plate, CarName, ID         string
	State, Says, When, Written string
	CanAgain, CanLeave, Unsure bool
}

// mailStates say where a mail is.
var mailStates = map[string]string{shop.MailWaiting: "waits to be sent", shop.MailHanding: "is being handed over", shop.MailSent: "sent", shop.MailFailed: "not sent yet",
	shop.MailGivenUp: "given up", shop.MailUnsure: "may have gone out", shop.MailWithdrawn: "not sent: no longer wanted"}

// remindShow shows the outbox, what would be written, and the workshop's calendars.
func (s *server) remindShow(w http.ResponseWriter, r *http.Request) error {
	return s.renderRemind(w, r, http.StatusOK, newForm(nil))
}

func (s *server) renderRemind(w http.ResponseWriter, r *http.Request, status int, f *form) error {
	ctx := r.Context()
	d := remindData{Form: f, Mailing: s.cfg.Mailing}
	mails, err := s.shop.Outbox(ctx, remindLimit)
	if err != nil {
		return err
	}
	for _, m := range mails {
		row := s.mailRowOf(r, m)
		if row.Unsure {
			d.Unsure = append(d.Unsure, row)
		} else {
			d.Mails = append(d.Mails, row)
		}
	}
	if !d.Mailing.SetUp() {
		if d.Waiting, err = s.shop.PreviewMails(ctx, d.Mailing); err != nil {
			return err
		}
	}
	if d.Feeds, err = s.feedsOf(w, r, f, ""); err != nil {
		return err
	}
	s.render(w, r, status, "remind_show", page{Title: "Reminders and calendars", Form: f, Notice: remindNotices[r.FormValue("did")], Data: d, Back: "/due", BackWords: "What is due"})
	return nil
}

// remindNotices say what was just done.
var remindNotices = map[string]string{
	shop.DecideAgain:   "It is tried again within a minute.",
	shop.DecideArrived: "Written down as arrived.",
	shop.DecideLeave:   "It is not sent any more.",
	"ended":            "The calendar is taken back. Programs that have it get nothing more.",
	"agreed":           "Written down. Reminders go out from now on.",
	"stopped":          "Reminders to this address are stopped.",
}

func (s *server) mailRowOf(r *http.Request, m shop.OutboxMail) mailRow {
	row := mailRow{OutboxMail: m, ID: s.shop.NewID(), State: mailStates[m.State], Says: m.Note, When: moment(m.At), Written: moment(m.ReceivedAt), Unsure: m.State == shop.MailUnsure}
	if c, err := s.shop.Car(r.Context(), m.CarID); err == nil {
		row.Plate, row.CarName = c.Plate, c.Description
	}
	if at := m.Next(); !at.IsZero() {
		row.State = "not sent yet, next try " + at.Format("2 January, 15:04")
	}
	row.CanAgain = m.State == shop.MailFailed || m.State == shop.MailGivenUp
	row.CanLeave = m.State == shop.MailFailed || m.State == shop.MailWaiting
	return row
}

// remindDecide writes down what the adviser decided about a mail.
func (s *server) remindDecide(w http.ResponseWriter, r *http.Request) error {
	f := newForm(r.PostForm)
	id, what := s.idOf(f), f.Get("what")
	err := s.again(&id, func() error { return s.shop.DecideMail(r.Context(), id, r.PathValue("mail"), what, by(w, r)) })
	if err != nil {
		if f.refused(err) {
			return s.renderRemind(w, r, http.StatusUnprocessableEntity, f)
		}
		return err
	}
	return see(w, r, "/reminders?did="+what)
}

// feedData is the part of a page on which calendars are made and taken back.
type feedData struct {
	Form *form
	// Base is where its forms go; ID is the new one's.
	Base, ID string
	// Link is the address of the one just made, shown once, and Subscribe the same for calendar programs.
	Link, Subscribe string
	Feeds           []feedRow
	Owners          bool
}

type feedRow struct{ ID, Name, Made, By string }

// feedCookie carries a new calendar's token from the POST to the page that shows it once.
const feedCookie = "new-calendar"

// feedsOf lists the calendars of a car, or of the workshop.
func (s *server) feedsOf(w http.ResponseWriter, r *http.Request, f *form, car string) (feedData, error) {
	d := feedData{Form: f, Base: "/reminders/calendars", ID: s.shop.NewID(), Owners: car != ""}
	if car != "" {
		d.Base = carRemindPath(car) + "/calendars"
	}
	if c, err := r.Cookie(feedCookie); err == nil && c.Value != "" {
		d.Link = s.publicURL(r) + "/calendar/" + c.Value + ".ics"
		_, rest, _ := strings.Cut(d.Link, "://")
		d.Subscribe = "webcal://" + rest
		http.SetCookie(w, &http.Cookie{Name: feedCookie, Path: feedPage(car), MaxAge: -1, HttpOnly: true, SameSite: http.SameSiteStrictMode})
	}
	feeds, err := s.shop.Feeds(r.Context(), car)
	for _, x := range feeds {
		d.Feeds = append(d.Feeds, feedRow{x.ID, x.Said.Name, moment(x.ReceivedAt), x.By})
	}
	return d, err
}

// feedPage is the page on which a calendar of a car, or of the workshop, is made.
func feedPage(car string) string {
	if car == "" {
		return "/reminders"
	}
	return carRemindPath(car)
}

func (s *server) workshopFeedMake(w http.ResponseWriter, r *http.Request) error {
	return s.feedMake(w, r, "", s.renderRemind)
}
func (s *server) workshopFeedEnd(w http.ResponseWriter, r *http.Request) error {
	return s.feedEnd(w, r, "")
}

// feedMake makes a calendar and goes to the page that shows its address once.
func (s *server) feedMake(w http.ResponseWriter, r *http.Request, car string, again func(http.ResponseWriter, *http.Request, int, *form) error) error {
	f := newForm(r.PostForm)
	token, err := s.shop.MakeFeed(r.Context(), s.idOf(f), car, f.Get("name"), by(w, r))
	switch {
	case errors.Is(err, shop.ErrConflict): // the form was sent twice: the first answer has the address
		return see(w, r, feedPage(car)+"#calendars")
	case err != nil:
		if f.refused(err) {
			return again(w, r, http.StatusUnprocessableEntity, f)
		}
		return err
	}
	http.SetCookie(w, &http.Cookie{Name: feedCookie, Value: token, Path: feedPage(car), MaxAge: 600, HttpOnly: true, SameSite: http.SameSiteStrictMode, Secure: r.TLS != nil})
	return see(w, r, feedPage(car)+"#calendars")
}

// feedEnd takes a calendar back.
func (s *server) feedEnd(w http.ResponseWriter, r *http.Request, car string) error {
	feeds, err := s.shop.Feeds(r.Context(), car)
	if err != nil {
		return err
	}
	for _, f := range feeds {
		if f.ID == r.PathValue("feed") {
			if err := s.shop.EndFeed(r.Context(), f.ID, by(w, r)); err != nil {
				return err
			}
		}
	}
	return see(w, r, feedPage(car)+"?did=ended#calendars")
}
