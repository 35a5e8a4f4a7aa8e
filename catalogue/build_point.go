package catalogue

import (
	"regexp"

	"go.yaml.in/yaml/v4"

	"witnessmark/core/point"
	"witnessmark/core/verdict"
)

// defaultOrder places a point that names no order in the middle of its station.
const defaultOrder = 500

// point turns a raw point into the core's type; what refers to other entries is checked later.
func (b *builder) point(c *point.Catalogue, e *entry, r *rawPoint) *point.Point {
	p := &point.Point{ID: r.ID, Name: r.Name, OwnerName: r.OwnerName, Station: point.Station(r.Station), Group: r.Group, Ask: r.Ask, Method: r.Method,
		DrivewayMethod: r.DrivewayMethod, Tool: r.Tool, Kind: point.Kind(r.Kind), Consequence: point.Consequence(r.Consequence), Order: r.Order,
		Applies: r.Applies.When, Derive: r.Derive, Jobs: r.Jobs, Cautions: r.Cautions, Recheck: r.Recheck, Covers: r.Covers,
		Source: source(r.Source), Means: r.Means, Wait: r.Wait}
	if p.OwnerName == "" {
		p.OwnerName = p.Name
	}
	if p.Order == 0 {
		p.Order = defaultOrder
	}
	for _, d := range r.Depths {
		p.Depths = append(p.Depths, point.Depth(d))
	}
	p.Positions = b.positions(e, r)
	if r.Pattern != "" {
		re, err := regexp.Compile(r.Pattern)
		if err != nil {
			b.fault(e.file, e.node.Line, "point %s: pattern: %v", r.ID, err)
		}
		p.Pattern = re
	}
	for _, s := range r.States {
		p.States = append(p.States, state(s.V))
	}
	for _, v := range r.Values {
		p.Values = append(p.Values, value(v.V))
	}
	for _, l := range r.Limits {
		p.Limits = append(p.Limits, limit(l.V))
	}
	if r.Renewal != nil {
		v := r.Renewal.V
		p.Renewal = &point.Renewal{Item: v.Item, Months: v.Months, Km: v.Km, Verdict: verdict.Verdict(v.Verdict), Source: source(v.Source), Jobs: v.Jobs}
	}
	for _, q := range r.Pairs {
		p.Pairs = append(p.Pairs, point.Pair{Between: q.V.Between, Beyond: q.V.Beyond, Verdict: verdict.Verdict(q.V.Verdict), Why: q.V.Why, Jobs: q.V.Jobs, Source: source(q.V.Source)})
	}
	for _, q := range r.Rules {
		v := q.V
		p.Rules = append(p.Rules, point.Rule{Name: v.Rule, Worn: v.Worn, Fresh: v.Fresh, LevelPoint: v.LevelPoint, State: v.State, Item: v.Item, States: v.States})
	}
	return p
}

func (b *builder) positions(e *entry, r *rawPoint) point.Positions {
	ps := point.Positions{Places: r.Places, Also: r.AlsoAt, Count: r.Count}
	var plain []string
	for i := range r.Positions {
		n := &r.Positions[i]
		if n.Kind == yaml.ScalarNode {
			plain = append(plain, n.Value)
			continue
		}
		var g rawGroup
		if faults := decode(e.file, n, &g); len(faults) > 0 {
			b.problems = append(b.problems, faults...)
			continue
		}
		ps.Groups = append(ps.Groups, point.PositionGroup{At: g.At, When: g.When.When})
	}
	if len(plain) > 0 {
		ps.Groups = append([]point.PositionGroup{{At: plain}}, ps.Groups...)
	}
	return ps
}

func state(r rawState) point.StateOf {
	s := point.StateOf{ID: r.ID, Say: r.Say, Like: r.Like, Verdict: verdict.Verdict(r.Verdict), Why: r.Why, Means: r.Means, Wait: r.Wait,
		Jobs: r.Jobs, Cautions: r.Cautions, Category: r.Category, Item: r.Item, From: r.From, Below: r.Below}
	if r.Source != nil {
		src := source(*r.Source)
		s.Source = &src
	}
	return s
}

func value(r rawValue) point.Value {
	v := point.Value{Name: r.Name, Label: r.Label, Step: r.Step, Companion: r.Companion, Optional: r.Optional, Remember: r.Remember}
	if r.Min != nil {
		v.Min = *r.Min
	}
	if r.Max != nil {
		v.Max = *r.Max
	}
	return v
}

func limit(r rawLimit) point.Limit {
	times := r.Times
	if times == 0 {
		times = 1
	}
	return point.Limit{Is: point.Is(r.Is), Of: r.Of, Number: r.Value, Spec: r.Spec, Table: r.Table, By: r.By, Plus: r.Plus, Times: times,
		When: r.When.When, Verdict: verdict.Verdict(r.Verdict), Why: r.Why, Jobs: r.Jobs, Source: source(r.Source), Category: r.Category,
		Item: r.Item, Optional: r.Optional, At: r.At}
}
