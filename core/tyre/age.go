package tyre

import (
	"fmt"
	"time"
)

// daysPerYear is the mean Gregorian year.
const daysPerYear = 365.2425

// Start gives the first day of the week of manufacture, at midnight UTC. Week 01
// is the first full week of the year and a week runs from Sunday to Saturday, so
// that the last week may reach into the next year (49 CFR 574.5(b)(3)). An ISO
// 8601 week of the same number starts up to six days earlier or one day later: no
// matter for an age in years.
func (m Made) Start() time.Time {
	if m.Week == 0 {
		return time.Time{}
	}
	first := time.Date(m.Year, time.January, 1, 0, 0, 0, 0, time.UTC)
	toSunday := (7 - int(first.Weekday())) % 7
	return first.AddDate(0, 0, toSunday+7*(m.Week-1))
}

// Years gives every year that the code can mean, latest first.
func (m Made) Years() []int {
	if m.Week == 0 {
		return nil
	}
	years := []int{m.Year}
	if !m.Stated {
		for y := m.Year - 10; y >= firstThreeDigit; y -= 10 {
			years = append(years, y)
		}
	}
	return years
}

// String writes the week as 2017-W12; where the decade is open it lists what the
// code may mean, latest first: "1991-W03 or 1981-W03 or 1971-W03".
func (m Made) String() string {
	text := ""
	for i, y := range m.Years() {
		if i > 0 {
			text += " or "
		}
		text += fmt.Sprintf("%d-W%02d", y, m.Week)
	}
	return text
}

// AgeYears gives the age in years of 365.2425 days on a day, counted from the
// first day of the week of manufacture. Where the decade is open it is the least
// age that the code allows. It is negative for a code in the future: Age refuses
// that. The zero Made has no age and gives 0.
func AgeYears(made Made, on time.Time) float64 {
	if made.Week == 0 {
		return 0
	}
	return on.Sub(made.Start()).Hours() / 24 / daysPerYear
}

// Age is AgeYears with an error when there is no date or it lies after the day
// asked about, which means that the code was misread.
func Age(made Made, on time.Time) (float64, error) {
	if made.Week == 0 {
		return 0, fmt.Errorf("no date of manufacture is known")
	}
	years := AgeYears(made, on)
	if years < 0 {
		return 0, fmt.Errorf("the date code %s means week %d of %d, which is after %s: read it again",
			made.Code(), made.Week, made.Year, on.Format("2 January 2006"))
	}
	return years, nil
}
