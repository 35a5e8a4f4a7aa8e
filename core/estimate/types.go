package estimate

import "witnessmark/core/money"

// Kinds of lines.
const (
	Labour   = "labour"
	Part     = "part"
	Fluid    = "fluid"
	Sundries = "sundries"
)

// Tax is a rate of tax with its name.
type Tax struct {
	ID   string     `json:"id"`
	Name string     `json:"name"`
	Rate money.Rate `json:"rate"`
}

// Terms are the rules by which an estimate is computed. They are stated on it.
type Terms struct {
	Currency money.Currency `json:"currency"`
	Taxes    []Tax          `json:"taxes"`
	// Included is true when prices hold their tax already, false when it is added.
	Included bool `json:"included"`
	// PerLine is true when tax is rounded line by line, false when on the sum of each rate.
	PerLine bool `json:"per_line"`
	// Round is what the total to pay is rounded to, in minor units (5 for five cents); 0 and 1 round nothing.
	Round money.Amount `json:"round"`
}

// Line is one line of an item.
type Line struct {
	ID   string `json:"id"`
	Kind string `json:"kind"`
	// Name is what stands on paper; Number the part's number, may be empty.
	Name   string      `json:"name"`
	Number string      `json:"number,omitempty"`
	Milli  money.Milli `json:"milli"`
	Unit   string      `json:"unit"` // h, piece, set, L, kg, m
	// Price is of one unit.
	Price money.Amount `json:"price"`
	// Open is true while no price is known: such a line counts nothing, and the estimate can't be put before the owner.
	Open bool `json:"open,omitempty"`
	// Discount is taken off the line.
	Discount money.Rate `json:"discount,omitempty"`
	Tax      string     `json:"tax"`
	// Part is the catalogue's part, Setup the preparation that a labour line stands for; both may be empty.
	Part  string `json:"part,omitempty"`
	Setup string `json:"setup,omitempty"`
	// Batch is what was fitted, written down when the work was done.
	Batch string `json:"batch,omitempty"`
}

// Item is what the owner answers as one: a job with its lines.
type Item struct {
	ID string `json:"id"`
	// Job and At name what is done, as core/work does; an item that the adviser typed has none.
	Job  string `json:"job,omitempty"`
	At   string `json:"at,omitempty"`
	Name string `json:"name"`
	// Why is what was found, Wait what waiting means, both in the owner's words.
	Why  string `json:"why,omitempty"`
	Wait string `json:"wait,omitempty"`
	// Verdict is the worst finding's, Category its words of the law.
	Verdict  string `json:"verdict,omitempty"`
	Category string `json:"category,omitempty"`
	// Must is true for what must not be put off. Warning is what the owner is shown when declining it.
	Must    bool   `json:"must,omitempty"`
	Warning string `json:"warning,omitempty"`
	Lines   []Line `json:"lines"`
}

// Shared is a preparation that several items share. It is paid once, whichever of them is agreed; without any it falls away.
type Shared struct {
	Setup string `json:"setup"`
	Name  string `json:"name"`
	Lines []Line `json:"lines"`
	// Items are ids of the items that need it.
	Items []string `json:"items"`
}

// Estimate is one version of what an owner is asked. It holds all that it is computed from.
type Estimate struct {
	// Number is what people call it by; Version rises with each change.
	Number  string `json:"number"`
	Version int    `json:"version"`
	// Workshop, Car and Owner are what stands at the head.
	Workshop []string `json:"workshop"`
	Car      []string `json:"car"`
	Owner    string   `json:"owner"`
	// VisitOn is the day of the visit (2026-12-01), ValidUntil the last day on which it can be accepted.
	VisitOn    string   `json:"visit_on"`
	ValidUntil string   `json:"valid_until"`
	Terms      Terms    `json:"terms"`
	Items      []Item   `json:"items"`
	Shared     []Shared `json:"shared,omitempty"`
	// Discount is taken off every line that has none of its own.
	Discount money.Rate `json:"discount,omitempty"`
	Note     string     `json:"note,omitempty"`
}

// Answers of an owner to an item.
const (
	Accept  = "accept"
	Decline = "decline"
	PutOff  = "put-off"
)

// Answer is an owner's answer to one item.
type Answer struct {
	Item   string `json:"item"`
	Answer string `json:"answer"`
	// UntilOn and UntilKm say until when it is put off; at least one is set then.
	UntilOn string `json:"until_on,omitempty"`
	UntilKm int64  `json:"until_km,omitempty"`
	// Warned is the warning that was shown beside a declined item that must not be put off.
	Warned string `json:"warned,omitempty"`
}
