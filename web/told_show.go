package web

import (
	"net/http"
	"slices"
	"strings"

	"witnessmark/core/diagnose"
	"witnessmark/shop"
)

// toldData is the page on which the owner's words are entered and matched.
type toldData struct {
	Round, Path, Back string
	F                 *form
	ID                string
	// Matched is true once the words were looked at; Proposed is what they may mean, Others are the signs that are left to choose.
	Matched          bool
	Proposed, Others []signChoice
	AskBy            bool
	By               string
}

// signChoice is a sign to tick.
type signChoice struct {
	ID, Name, Because string
	Ticked            bool
}

// toldShow asks what the owner says.
func (s *server) toldShow(w http.ResponseWriter, r *http.Request) error {
	return s.renderTold(w, r, newForm(nil), http.StatusOK)
}

func (s *server) renderTold(w http.ResponseWriter, r *http.Request, f *form, status int) error {
	v, err := s.round(r)
	if err != nil {
		return err
	}
	d := toldData{Round: v.Round.ID, Path: toldPath(v.Round.ID), Back: findingsPath(v.Round.ID) + "#why", F: f, ID: f.Get("id"), AskBy: initials(r) == "", By: f.Get("by")}
	if d.ID == "" {
		d.ID = s.shop.NewID()
	}
	if strings.TrimSpace(f.Get("words")) != "" {
		d.Matched = true
		d.Proposed = proposals(s.shop.MatchWords(f.Get("words")), f)
		d.Others = s.others(d.Proposed, f)
	}
	f.Labels = func(name string) string {
		return map[string]string{"words": "What the owner says", "signs": "What it means"}[name]
	}
	s.render(w, r, status, "told_show", page{Title: "What the owner says", Form: f, Narrow: true, Data: d, Back: d.Back, BackWords: "Findings"})
	return nil
}

// proposals are what words may mean. Nothing is ticked beforehand: what an owner means, the adviser says.
func proposals(list []diagnose.Told, f *form) []signChoice {
	var out []signChoice
	for _, t := range list {
		out = append(out, signChoice{ID: t.Sign.ID, Name: t.Sign.Name, Because: t.Phrase, Ticked: slices.Contains(f.Values["sign"], t.Sign.ID)})
	}
	return out
}

// others lists the signs that owners tell of and that were not proposed.
func (s *server) others(proposed []signChoice, f *form) []signChoice {
	var out []signChoice
	for _, sign := range s.shop.Tellable() {
		if !slices.ContainsFunc(proposed, func(c signChoice) bool { return c.ID == sign.ID }) {
			out = append(out, signChoice{ID: sign.ID, Name: sign.Name, Because: sign.Told[0], Ticked: slices.Contains(f.Values["sign"], sign.ID)})
		}
	}
	return out
}

// toldSave matches the words, or stores them with what was ticked.
func (s *server) toldSave(w http.ResponseWriter, r *http.Request) error {
	f := newForm(r.PostForm)
	if f.Get("do") != "store" {
		if strings.TrimSpace(f.Get("words")) == "" {
			f.refused(shop.Invalid{{Field: "words", Text: "Write what the owner says, in the owner's own words."}})
			return s.renderTold(w, r, f, http.StatusUnprocessableEntity)
		}
		return s.renderTold(w, r, f, http.StatusOK)
	}
	in := shop.TellInput{ID: s.idOf(f), RoundID: r.PathValue("id"), Words: f.Get("words"), Signs: f.Values["sign"], By: by(w, r)}
	if err := s.again(&in.ID, func() error { return s.shop.Tell(r.Context(), in) }); err != nil {
		if f.refused(err) {
			return s.renderTold(w, r, f, http.StatusUnprocessableEntity)
		}
		return err
	}
	return see(w, r, backToWhy(in.RoundID, "told", ""))
}

// toldWithdraw takes the owner's words back.
func (s *server) toldWithdraw(w http.ResponseWriter, r *http.Request) error {
	id := s.idOf(newForm(r.PostForm))
	if err := s.shop.WithdrawTold(r.Context(), id, r.PathValue("id"), r.PathValue("told"), by(w, r)); err != nil {
		return err
	}
	return see(w, r, backToWhy(r.PathValue("id"), "untold", ""))
}

// idOf is the id that the form made for its fact, or a fresh one.
func (s *server) idOf(f *form) string {
	if id := f.Get("id"); id != "" {
		return id
	}
	return s.shop.NewID()
}
