package shop

import (
	"cmp"
	"context"
	"errors"
	"strings"
	"time"
)

func (b *Feed) check() error {
	if len(b.TokenHash) != 64 || b.Name == "" {
		return errors.New("feed: no hash of a token, or no name")
	}
	return nil
}

// Calendar is what a calendar program gets.
type Calendar struct {
	Name    string
	Entries []CalendarEntry
}

// CalendarEntry is one day in it. Key stays the same for the same due line and calendar, Changed never goes back and moves whenever
// anything else here does.
type CalendarEntry struct {
	Key           string
	On            string
	Summary, Text string
	Changed       time.Time
}

// MakeFeed makes a calendar that can be subscribed to: of one car for its owner, or of the whole workshop where the car is empty. The
// token is given once and never stored. The same id again is ErrConflict, because the token can't be shown a second time.
func (s *Shop) MakeFeed(ctx context.Context, id, carID, name, by string) (string, error) {
	token := newToken()
	name = squeeze(name)
	switch {
	case name == "":
		return "", Invalid{{Field: "name", Text: "Give it a name by which you know who has it."}}
	case len([]rune(name)) > 80:
		return "", Invalid{{Field: "name", Text: "This is longer than 80 characters."}}
	}
	return token, s.store.Update(ctx, func(w Writer) error {
		f := Feed{TokenHash: hashToken(token), Name: name, CarID: carID}
		if carID != "" {
			c, err := w.Car(ctx, carID)
			if err != nil {
				return err
			}
			f.Owner = c.Owner.Name
		}
		rec, err := s.record(id, KindFeed, "", "", by, f)
		if err != nil {
			return err
		}
		rec.Once = "feed/" + f.TokenHash
		_, err = w.Put(ctx, Fact{Record: &rec})
		return err
	})
}

// EndFeed takes a calendar back. It may be called again.
func (s *Shop) EndFeed(ctx context.Context, feedID, by string) error {
	return s.store.Update(ctx, func(w Writer) error {
		ended, err := w.Records(ctx, RecordFilter{Kind: KindFeedEnd, Ref: feedID, Limit: 1})
		if err != nil || len(ended) > 0 {
			return err
		}
		rec, err := s.record(s.newID(), KindFeedEnd, "", feedID, by, FeedEnd{})
		if err != nil {
			return err
		}
		rec.Once = "feed-end/" + feedID
		_, err = w.Put(ctx, Fact{Record: &rec})
		return err
	})
}

// Feeds lists the calendars of a car, or of the workshop, that were not taken back.
func (s *Shop) Feeds(ctx context.Context, carID string) (out []Kept[Feed], err error) {
	err = s.store.View(ctx, func(r Reader) error {
		all, err := records[Feed](ctx, r, RecordFilter{Kind: KindFeed})
		if err != nil {
			return err
		}
		for _, f := range all {
			if f.Said.CarID != carID {
				continue
			}
			ended, err := r.Records(ctx, RecordFilter{Kind: KindFeedEnd, Ref: f.ID, Limit: 1})
			if err != nil {
				return err
			}
			if len(ended) == 0 {
				out = append(out, f)
			}
		}
		return nil
	})
	return out, err
}

// OpenFeed gives the calendar behind a token. One that was taken back, never was, or belongs to a car's last owner is ErrGone.
func (s *Shop) OpenFeed(ctx context.Context, token string) (*Calendar, error) {
	var f Kept[Feed]
	var car CarVersion
	err := s.store.View(ctx, func(r Reader) error {
		list, err := records[Feed](ctx, r, RecordFilter{Kind: KindFeed, Once: "feed/" + hashToken(strings.ToLower(strings.TrimSpace(token)))})
		if err != nil {
			return err
		}
		if len(list) == 0 {
			return ErrGone
		}
		f = list[0]
		ended, err := r.Records(ctx, RecordFilter{Kind: KindFeedEnd, Ref: f.ID, Limit: 1})
		if err != nil || f.Said.CarID == "" && len(ended) == 0 {
			return err
		}
		if len(ended) > 0 {
			return ErrGone
		}
		if car, err = r.Car(ctx, f.Said.CarID); err == nil && car.Owner.Name != f.Said.Owner {
			return ErrGone
		}
		return err
	})
	if err != nil {
		return nil, err
	}
	if f.Said.CarID != "" {
		return s.ownersCalendar(ctx, car)
	}
	return s.workshopsCalendar(ctx)
}

func (s *Shop) ownersCalendar(ctx context.Context, c CarVersion) (*Calendar, error) {
	lines, err := s.CarDue(ctx, c.CarID)
	if err != nil {
		return nil, err
	}
	out := &Calendar{Name: plateOf(c) + ": what is due"}
	for i := range lines {
		l := &lines[i]
		title, _, _ := strings.Cut(l.Tell, ":")
		switch l.Kind {
		case DueLook:
			title = "Have the car looked at"
		case DueVisit:
			title = "Visit at " + cmp.Or(s.name, "the workshop")
		case DueFollowUp:
			title = "Look after the work"
		}
		text := l.Tell
		if r := l.rangeText(); r != "" {
			text += "\n" + r
		}
		text += "\nForecasts can be wrong: if the car behaves differently, ask the workshop first."
		out.Entries = append(out.Entries, s.entry(l, "owner", plateOf(c)+": "+title, text))
	}
	return out, nil
}

func (s *Shop) workshopsCalendar(ctx context.Context) (*Calendar, error) {
	list, err := s.Due(ctx, DueFilter{})
	if err != nil {
		return nil, err
	}
	out := &Calendar{Name: cmp.Or(s.name, "Workshop") + ": due list"}
	for i := range list.Rows {
		l := &list.Rows[i]
		text := l.Why + "\n" + l.Sure
		if o := l.Car.Owner; o.Name != "" {
			text += "\nOwner: " + squeeze(o.Name+" "+o.Phone)
		}
		out.Entries = append(out.Entries, s.entry(&l.DueLine, "workshop", plateOf(*l.Car)+": "+l.What, text))
	}
	return out, nil
}

// entry puts a line on its day, or on today where that has passed: a calendar's past is not read.
func (s *Shop) entry(l *DueLine, whose, summary, text string) CalendarEntry {
	return CalendarEntry{Key: whose + "/" + l.CarID + "/" + l.ID, On: max(l.On, s.today()), Summary: summary, Text: text, Changed: time.UnixMilli(l.Changed).UTC()}
}
