package web

import (
	"context"
	"net/http"
	"strings"

	"witnessmark/core/estimate"
	"witnessmark/core/money"
	"witnessmark/core/verdict"
	"witnessmark/shop"
)

// draftShowData is an estimate as it is built.
type draftShowData struct {
	E            estimate.Estimate
	Path, Drafts string
	ID           string // of the undo form
	Blocks       []draftBlock
	Missing      []draftMissing
	Net, ToPay   string
	Gross        string
	Taxes        []draftSum
	Rounding     string
	Rules        string
	Standing     shop.DraftStanding
	Shown        int
	UndoTo       int
	CanPrint     bool
	// Done is the page of the closed-out work; empty while there is none.
	Done string
	// Elsewhere is what other estimates of the car hold too.
	Elsewhere []elsewhereLine
	// Passed says which of its days have passed while it is not answered.
	Passed []string
}

// draftBlock is an item or a shared preparation with its lines.
type draftBlock struct {
	ID, Anchor, Name, Sum string
	Item                  *estimate.Item // nil for a preparation
	Verdict               verdict.Verdict
	Open                  bool // a line has no price yet
	For                   []string
	Lines                 []draftLineRow
	EditPath, NewPath     string
	WordsPath             string
	Elsewhere             []elsewhereLine
}

// draftLineRow is one line as it is shown.
type draftLineRow struct {
	Path, Name, Number, Much, Price, Amount, Under string
	Open                                           bool
}

// draftMissing is a price that is missing, with where it is entered; draftSum a row of the totals.
type draftMissing struct{ Path, Text string }
type draftSum struct{ Name, Amount string }

// draftShow shows an estimate with its lines and totals.
func (s *server) draftShow(w http.ResponseWriter, r *http.Request) error {
	h, err := s.shop.DraftHistory(r.Context(), r.PathValue("number"))
	if err != nil {
		return err
	}
	now := h.Now()
	d, err := draftView(now.Said.Estimate)
	if err != nil {
		return err
	}
	d.Drafts, d.ID, d.Standing, d.Shown, d.UndoTo = draftsPath(now.CarID), s.shop.NewID(), h.Standing(), h.Shown(), h.UndoTo
	d.CanPrint = s.cfg.EstimatePDF != nil
	if d.Done, err = s.donePath(r.Context(), now); err != nil {
		return err
	}
	if d.Elsewhere, err = s.elsewhere(r.Context(), now); err != nil {
		return err
	}
	if d.Done == "" && !d.Standing.Answered {
		d.Passed = passedDays(&d.E, s.shop.Now().Format("2006-01-02"))
	}
	for i := range d.Blocks {
		if b := &d.Blocks[i]; b.Item != nil {
			b.Elsewhere = ofItem(d.Elsewhere, b.ID)
		}
	}
	notice := map[string]string{"made": "The estimate is made. Nobody but the workshop sees it yet.", "saved": "The change is stored.", "undone": "The last change is undone.",
		"taken": "Somebody else changed the estimate first, so nothing was undone. This is how it stands now."}[r.FormValue("did")]
	s.render(w, r, http.StatusOK, "draft_show", page{Title: "Estimate " + d.E.Number, Notice: notice, Data: d, Wide: true, Back: d.Drafts, BackWords: "Estimates"})
	return nil
}

// donePath is the page of an estimate's work once it is closed out, empty until then.
func (s *server) donePath(ctx context.Context, d shop.Kept[shop.EstimateDraft]) (string, error) {
	decision, err := s.shop.WorkedOff(ctx, d.CarID, d.Said.Estimate.Number)
	if err != nil || decision == "" {
		return "", err
	}
	return workPath(decision) + "/done", nil
}

// passedDays says which days of an estimate have passed by today.
func passedDays(e *estimate.Estimate, today string) []string {
	var out []string
	if e.VisitOn < today {
		out = append(out, "The day of the visit, "+day(e.VisitOn)+", has passed.")
	}
	if e.ValidUntil < today {
		out = append(out, "The last day on which it can be accepted, "+day(e.ValidUntil)+", has passed.")
	}
	return out
}

// draftView turns an estimate into rows.
func draftView(e estimate.Estimate) (draftShowData, error) {
	t, err := estimate.Total(e, nil)
	if err != nil {
		return draftShowData{}, err
	}
	m := amounts{e.Terms.Currency}
	d := draftShowData{E: e, Path: draftPath(e.Number), Net: m.Bare(t.Net), Gross: m.Bare(t.Gross), ToPay: m.With(t.ToPay), Rules: draftRules(e.Terms)}
	for i := range e.Items {
		it := &e.Items[i]
		b := draftBlock{ID: it.ID, Anchor: FieldID("item-" + it.ID), Name: it.Name, Item: it, Verdict: verdict.Verdict(it.Verdict), WordsPath: itemPath(e.Number, it.ID)}
		d.block(m, b, it.Lines, t, t.Items[i].Amount)
	}
	for i := range e.Shared {
		sh := &e.Shared[i]
		b := draftBlock{ID: shop.SetupBlock(sh.Setup), Anchor: FieldID("setup-" + sh.Setup), Name: sh.Name}
		for _, it := range e.Items {
			if contains(sh.Items, it.ID) {
				b.For = append(b.For, it.Name)
			}
		}
		d.block(m, b, sh.Lines, t, t.Shared[i].Amount)
	}
	for _, x := range t.Taxes {
		d.Taxes = append(d.Taxes, draftSum{x.Tax.Name + " " + x.Tax.Rate.Percent() + " on " + m.Bare(x.Base), m.Bare(x.Amount)})
	}
	if e.Terms.Round > 1 {
		d.Rounding = m.Bare(t.Rounding)
	}
	return d, nil
}

func contains(list []string, x string) bool {
	for _, y := range list {
		if x == y {
			return true
		}
	}
	return false
}

func (d *draftShowData) block(m amounts, b draftBlock, lines []estimate.Line, t estimate.Totals, sum money.Amount) {
	b.Sum, b.NewPath = m.Bare(sum), newLinePath(d.E.Number, b.ID)
	for i := range lines {
		l := &lines[i]
		row := draftLineRow{Path: linePath(d.E.Number, l.ID), Name: l.Name, Number: l.Number, Much: l.Much(), Open: l.Open}
		var under []string
		if l.Open {
			b.Open = true
			d.Missing = append(d.Missing, draftMissing{row.Path, b.Name + ": " + l.Name})
		} else {
			row.Price, row.Amount = m.Bare(l.Price), m.Bare(t.Lines[l.ID].Amount)
			if off := estimate.Discount(d.E, l); off != 0 {
				under = append(under, "less "+off.Percent())
			}
		}
		for _, x := range d.E.Terms.Taxes {
			if x.ID == l.Tax {
				under = append(under, x.Name+" "+x.Rate.Percent())
			}
		}
		if !shop.AmountKnown(l) {
			row.Much = "not known"
		}
		row.Under = strings.Join(under, ", ")
		b.Lines = append(b.Lines, row)
	}
	d.Blocks = append(d.Blocks, b)
}

// draftRules states how the amounts are worked out.
func draftRules(t estimate.Terms) string {
	text := "Amounts are in " + t.Currency.Code + "; tax is added at the end"
	if t.Included {
		text = "Amounts are in " + t.Currency.Code + " and hold their tax"
	}
	if t.PerLine {
		return text + ", rounded line by line."
	}
	return text + ", rounded once for each rate."
}
