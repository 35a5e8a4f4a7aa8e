package web

import (
	"net/http"
	"slices"

	"witnessmark/core/estimate"
	"witnessmark/shop"
)

// draftItem shows the words of an item, or the form of a new one.
func (s *server) draftItem(w http.ResponseWriter, r *http.Request) error {
	f := newForm(nil)
	f.Set("item", r.FormValue("item"))
	return s.showItem(w, r, http.StatusOK, f, nil, true)
}

func (s *server) showItem(w http.ResponseWriter, r *http.Request, status int, f *form, taken []string, fresh bool) error {
	d, e, err := s.draftFormOf(r, f)
	if err != nil {
		return err
	}
	d.Taken = taken
	id := f.Get("item")
	if id == "" {
		d.New = true
		return s.showDraftForm(w, r, status, "draft_item", "Add an item", d)
	}
	i := slices.IndexFunc(e.Items, func(it estimate.Item) bool { return it.ID == id })
	if i < 0 {
		return shop.ErrNotFound
	}
	it := e.Items[i]
	d.Name, d.Hint = it.Name, it.Warning
	if fresh {
		f.Set("name", it.Name)
		f.Set("why", it.Why)
		f.Set("wait", it.Wait)
	}
	return s.showDraftForm(w, r, status, "draft_item", "Change "+it.Name, d)
}

// draftItemSave stores an item's words, or takes the item out.
func (s *server) draftItemSave(w http.ResponseWriter, r *http.Request) error {
	f := newForm(r.PostForm)
	c := shop.ItemChange{Item: f.Get("item"), Name: f.Get("name"), Why: f.Get("why"), Wait: f.Get("wait"), Remove: f.Get("do") == "remove"}
	return s.saveDraft(w, r, f, c, "", func(status int, taken []string) error { return s.showItem(w, r, status, f, taken, false) })
}

// draftHead shows what holds for the whole estimate.
func (s *server) draftHead(w http.ResponseWriter, r *http.Request) error {
	return s.showHead(w, r, http.StatusOK, newForm(nil), nil, true)
}

func (s *server) showHead(w http.ResponseWriter, r *http.Request, status int, f *form, taken []string, fresh bool) error {
	d, e, err := s.draftFormOf(r, f)
	if err != nil {
		return err
	}
	d.Taken = taken
	if fresh {
		if e.Discount != 0 {
			f.Set("discount", e.Discount.Percent())
		}
		f.Set("note", e.Note)
		f.Set("valid-until", e.ValidUntil)
		f.Set("visit-on", e.VisitOn)
	}
	return s.showDraftForm(w, r, status, "draft_head", "Discount, days and note", d)
}

// draftHeadSave stores what holds for the whole estimate.
func (s *server) draftHeadSave(w http.ResponseWriter, r *http.Request) error {
	f := newForm(r.PostForm)
	c := shop.HeadChange{Discount: f.Get("discount"), Note: f.Get("note"), ValidUntil: f.Get("valid-until"), VisitOn: f.Get("visit-on")}
	return s.saveDraft(w, r, f, c, "#total", func(status int, taken []string) error { return s.showHead(w, r, status, f, taken, false) })
}
