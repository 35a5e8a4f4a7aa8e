package estimate

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"witnessmark/core/money"
)

func plain() Estimate {
	eur, _ := money.Known("EUR")
	return Estimate{Number: "E-1", Version: 1, VisitOn: "2026-12-01", ValidUntil: "2026-12-31", Terms: Terms{Currency: eur, Taxes: []Tax{{ID: "n", Name: "Tax", Rate: 200_000}}},
		Items: []Item{
			{ID: "i", Name: "Front pads", Must: true, Warning: "The brakes may fail.", Lines: []Line{{ID: "a", Kind: Labour, Name: "Work", Milli: 1500, Unit: "h", Price: 8000, Tax: "n"}}},
			{ID: "k", Name: "Air filter", Lines: []Line{{ID: "b", Kind: Part, Name: "Filter", Milli: 1000, Unit: "piece", Price: 1990, Tax: "n"}}}},
		Shared: []Shared{{Setup: "lift", Name: "On the lift", Items: []string{"i"}, Lines: []Line{{ID: "c", Kind: Labour, Name: "On the lift", Milli: 100, Unit: "h", Price: 8000, Tax: "n"}}}}}
}

func TestCheckRefuses(t *testing.T) {
	if err := Check(plain()); err != nil {
		t.Fatal(err)
	}
	for want, spoil := range map[string]func(*Estimate){
		"currency":                 func(e *Estimate) { e.Terms.Currency.Exponent = 3 },
		"valid until":              func(e *Estimate) { e.ValidUntil = "soon" },
		"a number and a version":   func(e *Estimate) { e.Version = 0 },
		"the id \"i\" is empty or": func(e *Estimate) { e.Items[1].ID = "i" },
		"the id \"a\" is empty or": func(e *Estimate) { e.Shared[0].Lines[0].ID = "a" },
		"there is no item \"x\"":   func(e *Estimate) { e.Shared[0].Items[0] = "x" },
		"no item needs it":         func(e *Estimate) { e.Shared[0].Items = nil },
		"quantity 0":               func(e *Estimate) { e.Items[0].Lines[0].Milli = 0 },
		"below 0 or too large":     func(e *Estimate) { e.Items[0].Lines[0].Price = -1 },
		"there is no tax \"q\"":    func(e *Estimate) { e.Items[0].Lines[0].Tax = "q" },
		"kind \"\"":                func(e *Estimate) { e.Items[0].Lines[0].Kind = "" },
		"no words to warn with":    func(e *Estimate) { e.Items[0].Warning = "" },
		"it needs a name":          func(e *Estimate) { e.Items[0].Name = " " },
		"can't be stored":          func(e *Estimate) { e.Items[0].Why = "a\x00" },
		"0 to 100":                 func(e *Estimate) { e.Discount = 1_000_001 },
		"total: ":                  func(e *Estimate) { e.Items[0].Lines[0].Price, e.Items[0].Lines[0].Milli = money.Most, MaxMilli },
	} {
		e := plain()
		spoil(&e)
		if err := Check(e); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("expected a problem with %q, got %v", want, err)
		}
	}
}

func TestReady(t *testing.T) {
	if err := Ready(plain(), "2026-12-31"); err != nil {
		t.Error(err)
	}
	for want, spoil := range map[string]func(*Estimate){
		"price is missing":            func(e *Estimate) { e.Shared[0].Lines[0].Open = true },
		"30 December 2026 has passed": func(e *Estimate) { e.ValidUntil = "2026-12-30" },
		"nothing to ask":              func(e *Estimate) { e.Items, e.Shared = nil, nil },
		"has no line":                 func(e *Estimate) { e.Items[1].Lines = nil },
	} {
		e := plain()
		spoil(&e)
		if err := Ready(e, "2026-12-31"); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("expected a problem with %q, got %v", want, err)
		}
	}
}

func TestCheckAnswers(t *testing.T) {
	const today = "2026-11-25"
	for name, c := range map[string]struct {
		answers []Answer
		want    string // empty is sound
	}{
		"all accepted":          {[]Answer{{Item: "i", Answer: Accept}, {Item: "k", Answer: Accept}}, ""},
		"put off until a day":   {[]Answer{{Item: "i", Answer: Accept}, {Item: "k", Answer: PutOff, UntilOn: "2027-03-01"}}, ""},
		"put off until km":      {[]Answer{{Item: "i", Answer: Accept}, {Item: "k", Answer: PutOff, UntilKm: 190000}}, ""},
		"declined with warning": {[]Answer{{Item: "i", Answer: Decline, Warned: "The brakes may fail."}, {Item: "k", Answer: Decline}}, ""},
		"one missing":           {[]Answer{{Item: "i", Answer: Accept}}, "Air filter has no answer"},
		"one twice":             {[]Answer{{Item: "i", Answer: Accept}, {Item: "k", Answer: Accept}, {Item: "k", Answer: Decline}}, "more than once"},
		"one too many":          {[]Answer{{Item: "i", Answer: Accept}, {Item: "k", Answer: Accept}, {Item: "z", Answer: Decline}}, "no such item"},
		"unsafe put off":        {[]Answer{{Item: "i", Answer: PutOff, UntilOn: "2027-03-01"}, {Item: "k", Answer: Accept}}, "must not be put off"},
		"unsafe, no warning":    {[]Answer{{Item: "i", Answer: Decline}, {Item: "k", Answer: Accept}}, "tick the warning"},
		"another warning":       {[]Answer{{Item: "i", Answer: Decline, Warned: "It is fine."}, {Item: "k", Answer: Accept}}, "tick the warning"},
		"until nothing":         {[]Answer{{Item: "i", Answer: Accept}, {Item: "k", Answer: PutOff}}, "say until"},
		"until yesterday":       {[]Answer{{Item: "i", Answer: Accept}, {Item: "k", Answer: PutOff, UntilOn: "2026-11-24"}}, "not ahead"},
		"until far away":        {[]Answer{{Item: "i", Answer: Accept}, {Item: "k", Answer: PutOff, UntilOn: "2036-11-24"}}, "three years"},
		"until no day":          {[]Answer{{Item: "i", Answer: Accept}, {Item: "k", Answer: PutOff, UntilOn: "spring"}}, "no day"},
		"accepted until":        {[]Answer{{Item: "i", Answer: Accept, UntilKm: 5}, {Item: "k", Answer: Accept}}, "not put off"},
		"perhaps":               {[]Answer{{Item: "i", Answer: "perhaps"}, {Item: "k", Answer: Accept}}, "expected accept"},
	} {
		err := CheckAnswers(plain(), c.answers, today)
		if (err == nil) != (c.want == "") || err != nil && !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v; expected %q", name, err, c.want)
		}
	}
}

// TestDigestTellsEveryChange: changing any one field changes the digest, reading the JSON back does not, and what is shown differently
// is said in words.
func TestDigestTellsEveryChange(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		e := drawn(t)
		data, err := json.Marshal(e)
		if err != nil {
			t.Fatal(err)
		}
		var again Estimate
		if err := json.Unmarshal(data, &again); err != nil || Digest(again) != Digest(e) {
			t.Fatalf("read back: %v", err)
		}
		if len(Changes(e, again)) > 0 {
			t.Fatalf("nothing changed, and it says %q", Changes(e, again))
		}
		i := rapid.IntRange(0, len(e.Items)-1).Draw(t, "item")
		changed := []func(){
			func() { again.Items[i].Name += "!" },
			func() { again.Items[i].Why += "!" },
			func() { again.Items[i].Lines[0].Price++ },
			func() { again.Items[i].Lines[0].Milli++ },
			func() { again.Items[i].Lines[0].Open = !again.Items[i].Lines[0].Open },
			func() { again.Items = slices.Delete(again.Items, i, i+1) },
			func() { again.Note = "later" },
			func() { again.ValidUntil = "2027-01-31" },
			func() { again.Terms.Round++ },
			func() { again.Discount++ },
		}
		rapid.SampledFrom(changed).Draw(t, "change")()
		if Digest(again) == Digest(e) {
			t.Fatal("the digest did not change")
		}
		if len(Changes(e, again)) == 0 {
			t.Fatal("no words for the change")
		}
	})
}
