package web

import (
	"net/http"

	"witnessmark/shop"
)

// carRemindData is a car's page of reminders: whether its owner wants them, what the next would say, and the owner's calendars.
type carRemindData struct {
	Form     *form
	Car      shop.CarVersion
	Consent  *shop.CarConsent
	Given    string
	Stopped  string
	Mailing  shop.Mailing
	ID       string
	Preview  *shop.Mail
	Lines    []dueRow
	Feeds    feedData
	StopWays map[string]string
}

// stopWays say how a consent ended.
var stopWays = map[string]string{shop.StopLink: "by the owner, on the page that a mail led to", shop.StopOneClick: "by the owner, in the mail program", shop.StopAdviser: "in the workshop"}

func (s *server) carRemindShow(w http.ResponseWriter, r *http.Request) error {
	return s.renderCarRemind(w, r, http.StatusOK, newForm(nil))
}

func (s *server) renderCarRemind(w http.ResponseWriter, r *http.Request, status int, f *form) error {
	ctx, car := r.Context(), r.PathValue("id")
	c, err := s.shop.Consent(ctx, car)
	if err != nil {
		return err
	}
	d := carRemindData{Form: f, Car: c.Car, Consent: c, Mailing: s.cfg.Mailing, ID: s.shop.NewID(), StopWays: stopWays}
	if c.Consent != nil {
		d.Given = moment(c.Consent.ReceivedAt)
	}
	if c.Stopped != nil {
		d.Stopped = moment(c.Stopped.ReceivedAt)
	}
	m, any, err := s.shop.PreviewMail(ctx, car, s.cfg.Mailing)
	if err != nil {
		return err
	}
	if any {
		d.Preview = &m
	}
	lines, err := s.shop.CarDue(ctx, car)
	if err != nil {
		return err
	}
	for _, l := range lines {
		d.Lines = append(d.Lines, s.dueRowOf(shop.DueRow{DueLine: l, Car: &c.Car}))
	}
	if d.Feeds, err = s.feedsOf(w, r, f, car); err != nil {
		return err
	}
	s.render(w, r, status, "remind_car", page{Title: "Reminders for " + carName(c.Car), Form: f, Notice: remindNotices[r.FormValue("did")], Data: d, Back: carPath(car), BackWords: "The car"})
	return nil
}

// consentGive writes down that the owner agreed.
func (s *server) consentGive(w http.ResponseWriter, r *http.Request) error {
	f, car := newForm(r.PostForm), r.PathValue("id")
	id := s.idOf(f)
	err := s.again(&id, func() error { return s.shop.GiveConsent(r.Context(), id, car, f.Get("how"), by(w, r)) })
	if err != nil {
		if f.refused(err) {
			return s.renderCarRemind(w, r, http.StatusUnprocessableEntity, f)
		}
		return err
	}
	return see(w, r, carRemindPath(car)+"?did=agreed")
}

// consentStop stops the reminders on the adviser's word.
func (s *server) consentStop(w http.ResponseWriter, r *http.Request) error {
	car := r.PathValue("id")
	if err := s.shop.StopMails(r.Context(), car, by(w, r)); err != nil {
		return err
	}
	return see(w, r, carRemindPath(car)+"?did=stopped")
}

func (s *server) carFeedMake(w http.ResponseWriter, r *http.Request) error {
	return s.feedMake(w, r, r.PathValue("id"), s.renderCarRemind)
}
func (s *server) carFeedEnd(w http.ResponseWriter, r *http.Request) error {
	return s.feedEnd(w, r, r.PathValue("id"))
}
