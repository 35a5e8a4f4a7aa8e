package post

import (
	"io"
	"time"

	"github.com/arran4/golang-ical"
	"github.com/google/uuid"

	"witnessmark/shop"
)

// entries is the name space of the calendars' identifiers.
var entries = uuid.MustParse("6f0b4d4e-2f5b-5a53-9a0e-5d6a0d4c7a11")

// sequenceFrom is the moment from which revisions count in seconds: a sequence number must grow with each and fit 32 bits.
var sequenceFrom = time.Date(2020, 1, 1, 0, 0, 0, 0, time.UTC)

// refresh is how often a program should ask again.
const refresh = "PT4H"

// Calendar writes a calendar to subscribe to (RFC 5545; its name and refresh interval RFC 7986, sections 5.1 and 5.7, beside the older
// X- properties): all-day events that don't block the day. An event's UID is a UUID made from the entry's key (RFC 7986, section 5.3); as
// the calendar has METHOD, its DTSTAMP is when it was last revised, like LAST-MODIFIED (RFC 5545, section 3.8.7.2), and its SEQUENCE
// grows with every revision. The same entries give the same bytes.
func Calendar(w io.Writer, c *shop.Calendar) error {
	cal := ics.NewCalendarFor("Witness Mark")
	cal.SetProductId("-//Witness Mark//Due list//EN")
	cal.SetCalscale("GREGORIAN")
	cal.SetMethod(ics.MethodPublish)
	cal.SetXWRCalName(c.Name)
	cal.SetName(c.Name)
	cal.SetRefreshInterval(refresh) // the library adds VALUE=DURATION
	cal.SetXPublishedTTL(refresh)
	for _, e := range c.Entries {
		on, err := time.Parse("2006-01-02", e.On)
		if err != nil {
			return err
		}
		changed := e.Changed.UTC().Truncate(time.Second)
		ev := cal.AddEvent(uuid.NewSHA1(entries, []byte(e.Key)).String())
		ev.SetDtStampTime(changed)
		ev.SetLastModifiedAt(changed)
		ev.SetSequence(max(0, int(changed.Sub(sequenceFrom)/time.Second)))
		ev.SetAllDayStartAt(on)
		ev.SetAllDayEndAt(on.AddDate(0, 0, 1)) // the end is the first day that is not in it
		ev.SetSummary(e.Summary)
		ev.SetDescription(e.Text)
		ev.SetTimeTransparency(ics.TransparencyTransparent)
	}
	return cal.SerializeTo(w, ics.WithNewLineWindows)
}
