package web

import (
	"html/template"
	"net/url"

	"witnessmark/core/outlook"
	"witnessmark/core/point"
	"witnessmark/core/verdict"
	"witnessmark/shop"
)

// ladder is a car's page in one drawing: what asks for something, what comes, what comes much later, what has no forecast.
type ladder struct {
	Head template.HTML
	// Now asks for something today, worst first; Comes reaches its limit within the axis, or is watched, in the order of its
	// day; Later reaches it beyond; Watched is watched or unjudged and has no forecast.
	Now, Comes, Later, Watched []reachRung
	// Sound has no forecast, by group; Never was never looked at.
	Sound []rungGroup
	Never []rung
	// Next is the car's next look in words, with the item that asks for it.
	Next, NextFor string
	SoundCount    int
	Until         string
}

// reachRung is one line of the ladder: the place that comes first of one kind, with the others inside.
type reachRung struct {
	Name, Where, Word, Now, Then string
	Verdict                      verdict.Verdict
	Line                         template.HTML
	Href                         string
	place                        placeKey
	// Others are the other places of the same point, More says how many.
	Others []reachRung
	More   string
}

// placeKey is a point and a position.
type placeKey struct{ point, at string }

// ladder sorts a car's items.
func (s *server) ladder(p *shop.CarPage, o *outlook.Outlook) ladder {
	a := newAxis(o)
	l := ladder{Head: a.head(s, p.Car), Never: s.neverLooked(p), Until: monthYear(a.to)}
	coming := map[placeKey]*outlook.Item{}
	for i := range o.Items {
		coming[placeKey{o.Items[i].Point.ID, o.Items[i].At}] = &o.Items[i]
	}
	byGroup := map[string][]rung{}
	var comes []reachRung
	rungs := map[placeKey]reachRung{}
	for i := range p.Items {
		it := &p.Items[i]
		key := placeKey{it.Point.ID, it.At}
		fc := coming[key]
		if r, ok := s.shop.RenewedSince(p, it); ok {
			g := s.reachRung(p.Car, a, o, s.unlooked(it), fc)
			g.Word, g.Now = "renewed "+day(r.On), "not looked at since"
			if fc != nil && fc.Unsure == "" {
				rungs[key] = g
			} else {
				l.Watched = append(l.Watched, g)
			}
			continue
		}
		switch {
		case it.Verdict.Urgency() > verdict.Watch.Urgency():
			l.Now = append(l.Now, s.reachRung(p.Car, a, o, it, fc))
		case fc != nil && fc.Unsure == "":
			rungs[key] = s.reachRung(p.Car, a, o, it, fc)
		case it.Verdict != verdict.Sound:
			l.Watched = append(l.Watched, s.reachRung(p.Car, a, o, it, fc))
		default:
			byGroup[it.Point.Group] = append(byGroup[it.Point.Group], s.soundRung(p.Car, it))
		}
	}
	for i := range o.Items { // in the order of the forecasts
		if g, ok := rungs[placeKey{o.Items[i].Point.ID, o.Items[i].At}]; ok {
			comes = append(comes, g)
		}
	}
	l.Now, l.Watched, comes = gather(l.Now), gather(l.Watched), gather(comes)
	for _, g := range comes {
		first := coming[g.place]
		if g.Verdict.Urgency() < verdict.Watch.Urgency() && first != nil && (first.Reach.OpenMid || a.at(first.Reach.Mid) > axisEnd) {
			l.Later = append(l.Later, g)
			continue
		}
		l.Comes = append(l.Comes, g)
	}
	for _, name := range point.Groups {
		if len(byGroup[name]) > 0 {
			l.Sound = append(l.Sound, rungGroup{groupName(name), byGroup[name]})
		}
	}
	for i := range p.Items {
		if p.Items[i].Verdict == verdict.Sound {
			l.SoundCount++
		}
	}
	l.Next, l.NextFor = s.nextLook(p.Car, o)
	return l
}

// gather puts the places of one point under the first of them, which is the worst or the earliest.
func gather(list []reachRung) []reachRung {
	var out []reachRung
	index := map[string]int{}
	for _, g := range list {
		i, ok := index[g.place.point]
		if !ok {
			index[g.place.point] = len(out)
			out = append(out, g)
			continue
		}
		out[i].Others = append(out[i].Others, g)
		out[i].More = "1 more place"
		if n := len(out[i].Others); n > 1 {
			out[i].More = number(float64(n)) + " more places"
		}
	}
	return out
}

// nextLook says in words when to look at the car again, and for what.
func (s *server) nextLook(c shop.CarVersion, o *outlook.Outlook) (when, what string) {
	n := o.Next
	if n.Item < 0 || n.Item >= len(o.Items) {
		return "", ""
	}
	it := &o.Items[n.Item]
	what = lowerFirst(placed(it.Point.Name, it.Where))
	if n.Now {
		return "now", what
	}
	return s.nextLookWords(c, n), what
}

// reachRung draws one place.
func (s *server) reachRung(c shop.CarVersion, a axis, o *outlook.Outlook, it *shop.ItemHistory, fc *outlook.Item) reachRung {
	g := reachRung{Name: it.Point.Name, Where: it.Where, Verdict: it.Verdict, Word: string(it.Verdict), Href: pointHref(c, it), place: placeKey{it.Point.ID, it.At}}
	if n := len(it.Looks); n > 0 {
		g.Now = s.shop.Describe(c, it.Point, it.Looks[n-1].Reading)
	}
	if it.Limit != nil && g.Now != "" {
		g.Now += ", limit " + s.shop.Display(c, it.Limit.Unit, it.Limit.Value, it.Point)
	}
	urgent := it.Verdict.Urgency() > verdict.Watch.Urgency()
	switch {
	case urgent:
		g.Then = "now"
		g.Line = a.reachLine(nil, true, false, "Now")
	case fc == nil || fc.Unsure != "":
		g.Then = "no forecast"
		g.Line = a.reachLine(nil, false, true, "No forecast")
	default:
		g.Then = reachShort(o, fc)
		g.Line = a.reachLine(&fc.Reach, fc.Past, false, s.reachSentence(c, o, fc))
	}
	if fc != nil {
		if w := s.adviceShort(c, fc); w != "" && !urgent && !fc.Past {
			g.Then = w
		}
	}
	return g
}

// unlooked is a place whose last look counts no longer.
func (s *server) unlooked(it *shop.ItemHistory) *shop.ItemHistory {
	return &shop.ItemHistory{Point: it.Point, At: it.At, Where: it.Where, Verdict: verdict.Unjudged}
}

// soundRung is a place without a forecast that was sound when looked at.
func (s *server) soundRung(c shop.CarVersion, it *shop.ItemHistory) rung {
	g := rung{Name: it.Point.Name, Where: it.Where, Group: it.Point.Group, Verdict: it.Verdict, Word: string(it.Verdict),
		LookedOn: day(it.LookedOn), Href: pointHref(c, it)}
	if n := len(it.Looks); n > 0 {
		g.Now = s.shop.Describe(c, it.Point, it.Looks[n-1].Reading)
	}
	return g
}

// pointHref leads to every reading of a place.
func pointHref(c shop.CarVersion, it *shop.ItemHistory) string {
	return "/cars/" + c.CarID + "/points/" + it.Point.ID + "?at=" + url.QueryEscape(it.At)
}
