package sheet

import (
	"strings"

	"witnessmark/core/judge"
	"witnessmark/core/verdict"
)

// Findings is a judged round as it is written out.
type Findings struct {
	Findings      []Finding       `json:"findings"`
	NotLookedAt   []NotLooked     `json:"not_looked_at"`
	NotApplicable []NotApplicable `json:"not_applicable"`
	Coverage      Counts          `json:"coverage"`
}

// Finding is one finding as it is written out.
type Finding struct {
	Point      string     `json:"point"`
	At         string     `json:"at"`
	Verdict    string     `json:"verdict"`
	Why        string     `json:"why"`
	Limit      Limit      `json:"limit"`
	Category   string     `json:"category,omitempty"`
	Regulation string     `json:"regulation,omitempty"`
	Jobs       []string   `json:"jobs"`
	Quantities []Quantity `json:"quantities,omitempty"`
	Cautions   []string   `json:"cautions"`
	Recheck    string     `json:"recheck,omitempty"`
}

// Quantity is what a job takes; litres is absent where words says what is lacking.
type Quantity struct {
	Job    string   `json:"job"`
	What   string   `json:"what"`
	Litres *float64 `json:"litres,omitempty"`
	Words  string   `json:"words"`
}

// Limit is what a finding was judged against; value and unit are absent where a state was judged by words.
type Limit struct {
	Value  *float64 `json:"value,omitempty"`
	Unit   string   `json:"unit,omitempty"`
	Source string   `json:"source"`
}

// NotLooked is a place that nobody looked at, with the reason.
type NotLooked struct {
	Point  string `json:"point"`
	At     string `json:"at,omitempty"`
	Reason string `json:"reason"`
}

// NotApplicable is a point that the car does not have, with the reason.
type NotApplicable struct {
	Point  string `json:"point"`
	Reason string `json:"reason"`
}

// Counts says how much of the car was looked at, in places (points x positions).
type Counts struct {
	Places        int            `json:"places"`
	LookedAt      int            `json:"looked_at"`
	NotLookedAt   int            `json:"not_looked_at"`
	NotApplicable int            `json:"not_applicable_points"`
	Verdicts      map[string]int `json:"verdicts"`
	Catalogue     string         `json:"catalogue"`
}

// Write turns a result into what is written out: the same bytes for the same result.
func Write(r judge.Result) Findings {
	out := Findings{Findings: []Finding{}, NotLookedAt: []NotLooked{}, NotApplicable: []NotApplicable{},
		Coverage: Counts{Places: r.Places, LookedAt: r.Looked, NotLookedAt: r.Places - r.Looked, NotApplicable: len(r.NotApplicable),
			Verdicts: map[string]int{}, Catalogue: r.Catalogue}}
	for _, v := range append(verdict.Scale[:], verdict.Unjudged) {
		out.Coverage.Verdicts[string(v)] = r.Count(v)
	}
	for _, f := range r.Findings {
		w := Finding{Point: f.Point.ID, At: f.At, Verdict: string(f.Verdict), Why: f.Why, Limit: Limit{Source: f.Source}, Category: f.Category,
			Regulation: f.Regulation, Jobs: f.Jobs, Cautions: f.Cautions, Recheck: f.Recheck}
		for _, q := range f.Quantities {
			w.Quantities = append(w.Quantities, Quantity(q))
		}
		if f.Limit != nil {
			v := f.Limit.Value
			w.Limit = Limit{Value: &v, Unit: f.Limit.Unit, Source: f.Limit.Source}
		}
		out.Findings = append(out.Findings, w)
	}
	for _, n := range r.NotLooked {
		out.NotLookedAt = append(out.NotLookedAt, NotLooked{n.Point.ID, n.At, strings.TrimSpace(n.Reason)})
	}
	for _, n := range r.NotApplicable {
		out.NotApplicable = append(out.NotApplicable, NotApplicable{n.Point.ID, n.Reason})
	}
	return out
}
