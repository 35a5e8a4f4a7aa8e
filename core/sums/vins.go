package sums

import "witnessmark/core/vin"

var vinSums = []Sum{{
	Name: "vin", Title: "Vehicle identification number: check digit and model year", Source: "49 CFR 565.15; ISO 3779",
	Caution: "Outside North America check digit and year are the maker's own affair: a mismatch there proves nothing.",
	Keys:    []Key{{Name: "vin", Title: "VIN", Kind: Code, Example: "1M8GDM9AXKP042788"}},
	Outputs: []Output{{"well_formed", "Well formed"}, {"check_digit", "Check digit that belongs to it"}, {"check_ok", "Check digit is right"}, {"check_binding", "Check digit must be right"}, {"years", "Model years that it may mean"}, {"problem", "What is wrong"}, {"slips", "What may have been meant"}},
	Example: "vin=1M8GDM9AXKP042788", run: vinCheck,
}}

// vinCheck answers a malformed number too: that it is malformed is the answer.
func vinCheck(in *input) (Result, error) {
	var r Result
	text := in.text("vin")
	v, err := vin.Parse(text)
	c := v.Check()
	years := v.Years()
	if years == nil {
		years = []int{}
	}
	r.add("well_formed", err == nil)
	r.add("check_digit", c.Digit)
	r.add("check_ok", c.OK)
	r.add("check_binding", c.Binding)
	r.add("years", years)
	if err != nil {
		r.add("problem", err.Error())
	}
	if slips := vin.Slips(text); len(slips) > 0 {
		r.add("slips", slips)
	}
	if err == nil && !c.OK && !c.Binding {
		r.note("This is no North American number, so the check digit says nothing.")
	}
	return r, nil
}
