package web

import (
	"fmt"
	"html/template"
	"slices"
	"strings"

	"witnessmark/core/diagnose"
	"witnessmark/core/point"
	"witnessmark/shop"
)

// whyView is what may be behind what was found: a panel for each complaint, and what the owner said.
type whyView struct {
	Round, Base, ToldPath string
	Panels                []panelView
	Told                  []toldView
	// Learned is how many close-outs of other rounds have moved the figures.
	Learned int
}

// panelView answers one complaint.
type panelView struct {
	ID, Complaint, Asks, Trouble string
	Open                         bool
	// Lead says the leading causes in the summary.
	Lead string
	// Causes are worth weighing, Rest are what else was weighed, Other is something that the catalogue does not know.
	Causes, Rest []causeView
	Other        causeView
	Evidence     []evidenceView
	Next         string
	Looks        []lookView
	Confirm      string
	Confirmed    *confirmedView
}

// causeView is one cause with its chance in words, as a number and as a bar.
type causeView struct {
	Name, Says, Chance string
	Bar                template.HTML
	For, Against       []movedView
	// Jobs are what puts it right, Cost what that takes, roughly; Cautions what can hurt at it.
	Jobs     []string
	Cost     string
	Cautions []string
}

// movedView is what one piece of evidence did to a cause.
type movedView struct{ Reading, Move string }

// evidenceView is what is known of one sign, with the way to change it.
type evidenceView struct{ Words, Stands, Change string }

// lookView is a look that is worth its cost.
type lookView struct {
	Sign, Name, Check, Why string
	Cautions               []string
	// Path is where the round's list is added to; Answer leads to the look once it is on the list.
	Path, ID, Answer string
}

// toldView is what the owner said, with what it was taken to mean.
type toldView struct {
	Words, Withdraw, ID string
	Means               []string
}

// confirmedView is a cause that was confirmed.
type confirmedView struct{ What, Note, By, On, Undo, Fact, ID string }

// Bounds of what a panel shows at once: chances from so much on, at most so many causes; and how many panels stand open.
const (
	leastShown = 0.03
	mostShown  = 5
	mostOpen   = 2
)

// whyOf puts the causes of a round into words.
func (s *server) whyOf(c *shop.CausesOf) whyView {
	v := whyView{Round: c.Round.ID, Base: roundPath(c.Round.ID), ToldPath: toldPath(c.Round.ID), Learned: c.Learned}
	for i := range c.Panels {
		p := s.panelView(c, &c.Panels[i])
		p.Open = i < mostOpen
		v.Panels = append(v.Panels, p)
	}
	for _, f := range c.Told {
		t := toldView{Words: f.Words, Withdraw: toldPath(c.Round.ID) + "/" + f.ID + "/withdraw", ID: s.shop.NewID()}
		for _, id := range f.Signs {
			if sign := s.shop.Catalogue().Sign(id); sign != nil {
				t.Means = append(t.Means, sign.Name)
			}
		}
		v.Told = append(v.Told, t)
	}
	return v
}

func (s *server) panelView(c *shop.CausesOf, p *diagnose.Panel) panelView {
	v := panelView{ID: whyAnchor(p.Complaint.ID), Complaint: p.Complaint.ID, Asks: p.Complaint.Asks, Trouble: p.Trouble, Next: p.Next.Says,
		Confirm: confirmPath(c.Round.ID, p.Complaint.ID)}
	var lead []string
	for i := range p.Causes {
		r := &p.Causes[i]
		if i > 0 && (r.P < leastShown || i >= mostShown) {
			v.Rest = append(v.Rest, s.causeView(r))
			continue
		}
		v.Causes = append(v.Causes, s.causeView(r))
		if i < 2 {
			lead = append(lead, lowerFirst(r.Cause.Name)+" "+chance(r.P))
		}
	}
	v.Lead = strings.Join(lead, ", ")
	v.Other = causeView{Name: "Something else", Says: "None of the causes that the catalogue lists for it.", Chance: inWords(p.Other), Bar: chanceBar(p.Other)}
	for _, e := range p.Evidence {
		v.Evidence = append(v.Evidence, s.evidenceView(c, e))
	}
	if p.Next.Kind == "look" {
		v.Next = ""
	}
	for _, l := range p.Looks {
		v.Looks = append(v.Looks, s.lookView(c, p.Complaint.ID, l))
	}
	if f := c.ConfirmedFor(p.Complaint.ID); f != nil {
		v.Confirmed = s.confirmedView(f)
	}
	return v
}

func (s *server) causeView(r *diagnose.Ranked) causeView {
	v := causeView{Name: r.Cause.Name, Says: r.Cause.Says, Chance: inWords(r.P), Bar: chanceBar(r.P), Cost: roughly(r.Cause)}
	for _, m := range r.For {
		v.For = append(v.For, moved(m))
	}
	for _, m := range r.Against {
		v.Against = append(v.Against, moved(m))
	}
	cat := s.shop.Catalogue()
	for _, id := range r.Cause.Jobs {
		if j := cat.Jobs[id]; j != nil {
			v.Jobs = append(v.Jobs, j.Name)
		}
	}
	for _, id := range r.Cause.Cautions {
		if k := cat.Cautions[id]; k != nil {
			v.Cautions = append(v.Cautions, k.Say)
		}
	}
	return v
}

// roughly says what putting a cause right takes.
func roughly(k *point.Cause) string {
	if k.Minutes <= 0 {
		return ""
	}
	return fmt.Sprintf("about %g minutes", k.Minutes)
}

// moved says what evidence did, in points of a hundred.
func moved(m diagnose.Moved) movedView {
	points := 100 * (m.To - m.From)
	sign := "+"
	if points < 0 {
		sign, points = "−", -points
	}
	return movedView{m.Reading, fmt.Sprintf("%s%.*f points, from %s to %s", sign, decimals(points), points, chance(m.From), chance(m.To))}
}

// decimals keeps small differences readable.
func decimals(points float64) int {
	if points < 1 {
		return 1
	}
	return 0
}

func (s *server) evidenceView(c *shop.CausesOf, e diagnose.Piece) evidenceView {
	v := evidenceView{Words: e.Words}
	switch e.Show {
	case diagnose.Shown:
		v.Stands = "there"
	case diagnose.Faint:
		v.Stands = "faint"
	case diagnose.NotShown:
		v.Stands = "not there"
	default:
		v.Stands = "says nothing"
	}
	if l := c.Look(e.Sign.ID); l != nil && l.Point == nil {
		v.Change = lookPath(c.Round.ID, e.Sign.ID)
	} else if e.Sign.Point != "" && len(e.At)+len(e.Words) > 0 {
		v.Change = pointPath(c.Round.ID, e.Sign.Point) + "?from=findings"
	}
	return v
}

func (s *server) lookView(c *shop.CausesOf, complaint string, l diagnose.Look) lookView {
	v := lookView{Sign: l.Sign.ID, Name: l.Sign.Name, Check: l.Sign.Check, Why: l.Why, Cautions: l.Cautions, Path: looksPath(c.Round.ID), ID: s.shop.NewID()}
	if p := s.shop.Catalogue().Point(l.Sign.Point); p != nil && v.Check == "" {
		v.Check = p.Ask
	}
	if on := c.Look(l.Sign.ID); on != nil {
		v.Answer = whereToLook(c.Round.ID, on, complaint)
	}
	return v
}

func (s *server) confirmedView(f *shop.ConfirmedFact) *confirmedView {
	v := &confirmedView{What: "Something else", Note: f.Note, By: f.By, On: moment(f.ReceivedAt), Undo: confirmPath(f.RoundID, f.Complaint) + "/undo", Fact: f.ID, ID: s.shop.NewID()}
	if k := s.shop.Catalogue().Cause(f.Cause); k != nil {
		v.What = k.Name
	} else if f.Cause != shop.CauseElse {
		v.What = capital(strings.ReplaceAll(f.Cause, "-", " "))
	}
	return v
}

// inWords writes a chance as word and number.
func inWords(p float64) string { return diagnose.Word(p) + ", " + chance(p) }

// chance writes a probability as a number that does not break across lines.
func chance(p float64) string { return strings.ReplaceAll(diagnose.Percent(p), " ", "\u00a0") }

// chanceBar draws a chance on a line from 0 to 1: the darker, the likelier. The words stand beside it.
func chanceBar(p float64) template.HTML {
	fill := blue1
	switch {
	case p >= 0.6:
		fill = blue4
	case p >= 0.2:
		fill = blue3
	case p >= leastShown:
		fill = blue2
	}
	const frame = `<svg class="chance" width="100%%" height="18" aria-hidden="true"><rect x="0" y="3" width="%.1f%%" height="12" fill="%s"/>` +
		`<line x1="0" y1="15.5" x2="100%%" y2="15.5" stroke="%s" stroke-width="1"/><line x1=".6" y1="1" x2=".6" y2="17" stroke="%s" stroke-width="1.2"/>` +
		`<line x1="50%%" y1="12" x2="50%%" y2="17" stroke="%s" stroke-width="1"/><line x1="100%%" y1="10" x2="100%%" y2="17" stroke="%s" stroke-width="1.2"/></svg>`
	return template.HTML(fmt.Sprintf(frame, 100*min(max(p, 0), 1), fill, ink, ink, ink, ink))
}

// behindView leads from a finding to the panel that weighs it.
type behindView struct{ ID, Asks string }

// behind links findings with the panels in which they speak.
func behind(asks []findingAsk, c *shop.CausesOf) {
	for i := range c.Panels {
		p := &c.Panels[i]
		for k := range asks {
			if slices.ContainsFunc(p.Evidence, func(e diagnose.Piece) bool {
				return e.Sign.Point == asks[k].Rows[0].Point && e.Show != diagnose.NotShown && slices.Contains(p.Complaint.Raised, e.Sign.ID)
			}) {
				asks[k].Behind = append(asks[k].Behind, behindView{whyAnchor(p.Complaint.ID), p.Complaint.Asks})
			}
		}
	}
}
