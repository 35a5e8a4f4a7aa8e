package shop

import (
	"cmp"
	"fmt"
	"strings"
)

// mailCar is one car with the lines that a mail tells of.
type mailCar struct {
	car   CarVersion
	lines []DueLine
	// seen is the day on which it was looked at last.
	seen string
}

// mailParts is what a mail is written from.
type mailParts struct {
	workshop string
	address  []string
	owner    string
	cars     []mailCar
	// agreed is the day of the consent and how it was given.
	agreed, how string
	// stop is the address of the page that stops the mails; empty leaves the answer by mail.
	stop string
}

// mailSubject: "WM-4K 217: brake fluid" or "WM-4K 217: 3 things are due".
func (m *mailParts) subject() string {
	n := 0
	for _, c := range m.cars {
		n += len(c.lines)
	}
	switch {
	case len(m.cars) > 1:
		return fmt.Sprintf("Your cars: %d things are due", n)
	case n == 1 && m.cars[0].lines[0].Kind == DueVisit:
		return fmt.Sprintf("%s: your visit on %s", plateOf(m.cars[0].car), plainDay(m.cars[0].lines[0].On))
	case n == 1:
		return fmt.Sprintf("%s: something is due", plateOf(m.cars[0].car))
	}
	return fmt.Sprintf("%s: %d things are due", plateOf(m.cars[0].car), n)
}

func plateOf(c CarVersion) string { return cmp.Or(c.Plate, cmp.Or(c.Description, "Your car")) }

// text is the whole mail in plain words.
func (m *mailParts) text() string {
	var b strings.Builder
	greet := "Hello,"
	if m.owner != "" {
		greet = "Hello " + m.owner + ","
	}
	para(&b, greet)
	thing := "your car"
	if len(m.cars) > 1 {
		thing = "your cars"
	}
	para(&b, "You asked us to tell you when something on "+thing+" is due. This is what comes up:")
	for _, c := range m.cars {
		m.writeCar(&b, c)
	}
	para(&b, "Forecasts come from what was seen at the last look, and can be wrong. If the car behaves differently, pulls, smells, leaks or makes a new noise, don't wait for a date: ask us first.")
	para(&b, "To arrange a visit, answer this mail or call us.")
	b.WriteString(cmp.Or(m.workshop, "Your workshop") + "\n")
	for _, l := range m.address {
		b.WriteString(l + "\n")
	}
	b.WriteString("\n-- \n")
	para(&b, fmt.Sprintf("You get this because you agreed on %s (%s). It is one mail a week at most.", plainDay(m.agreed), m.how))
	if m.stop != "" {
		b.WriteString("To stop these mails, open this page and press the button:\n" + m.stop + "\n")
	} else {
		b.WriteString("To stop these mails, answer with the word STOP, or call us.\n")
	}
	return b.String()
}

func (m *mailParts) writeCar(b *strings.Builder, c mailCar) {
	head := plateOf(c.car)
	if c.car.Plate != "" && c.car.Description != "" {
		head += ", " + c.car.Description
	}
	if c.seen != "" {
		head += " (last looked at on " + plainDay(c.seen) + ")"
	}
	para(b, head)
	for i := range c.lines {
		l := &c.lines[i]
		para(b, "* "+strings.TrimRight(l.Tell, ". ")+". "+l.rangeText())
	}
}

// rangeText says when a line is due where its own words don't.
func (l *DueLine) rangeText() string {
	switch {
	case l.Kind == DueVisit, l.Kind == DueFinding, l.Kind == DueNotDone, l.Kind == DueLook:
		return ""
	case l.From != "" && l.To != "" && l.From != l.To:
		return "Due about " + plainDay(l.On) + "; likely between " + plainDay(l.From) + " and " + plainDay(l.To) + " (8 of 10)."
	}
	if named := plainDay(l.On); !strings.Contains(l.Tell, named) {
		return "Due: " + named + "."
	}
	return ""
}

// para writes a paragraph with an empty line after it. A paragraph is one line, which the reader's screen breaks: lines broken here would be
// broken twice on a phone.
func para(b *strings.Builder, text string) {
	b.WriteString(strings.Join(strings.Fields(text), " ") + "\n\n")
}
