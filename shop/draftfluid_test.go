package shop

import (
	"slices"
	"strings"
	"testing"

	"witnessmark/catalogue"
	"witnessmark/core/estimate"
	"witnessmark/core/facet"
	"witnessmark/core/judge"
	"witnessmark/core/money"
	"witnessmark/core/point"
)

// coolants are what goes into the cooling circuit.
var coolants = []string{"coolant-ready", "coolant-concentrate", "water"}

// paid is how many thousandths of a litre are paid for, by the jobs that an owner accepts.
type paid map[string]money.Milli

// toppedUp are jobs of one estimate, and what of some fluids is paid for.
var toppedUp = map[string]struct {
	jobs []string
	// unknown is true where the car's capacities are not known.
	unknown bool
	fluid   []string
	want    paid
}{
	"a tank and the coolant": {[]string{"renew-coolant-tank", "renew-coolant"}, false, coolants,
		paid{"renew-coolant-tank": 2000, "renew-coolant": 7000, "renew-coolant-tank renew-coolant": 7000}},
	"hoses and the coolant": {[]string{"renew-coolant-hoses", "renew-coolant"}, false, coolants,
		paid{"renew-coolant-hoses": 3000, "renew-coolant": 7000, "renew-coolant-hoses renew-coolant": 7000}},
	"two fillings and a tank": {[]string{"renew-water-pump", "renew-coolant", "renew-coolant-tank"}, false, coolants,
		paid{"renew-coolant-tank": 2000, "renew-water-pump": 7000, "renew-water-pump renew-coolant": 7000, "renew-water-pump renew-coolant renew-coolant-tank": 7000}},
	"two that top up, and a filling": {[]string{"find-brake-fluid-loss", "renew-master-cylinder", "renew-brake-fluid"}, false, []string{"brake-fluid"},
		paid{"find-brake-fluid-loss": 250, "renew-master-cylinder": 750, "find-brake-fluid-loss renew-master-cylinder": 1000, "renew-brake-fluid": 1000,
			"find-brake-fluid-loss renew-master-cylinder renew-brake-fluid": 1000}},
	"the clutch is another circuit": {[]string{"repair-clutch-hydraulics", "renew-brake-fluid"}, false, []string{"brake-fluid"},
		paid{"repair-clutch-hydraulics": 500, "renew-brake-fluid": 1000, "repair-clutch-hydraulics renew-brake-fluid": 1500}},
	"how much is not known": {[]string{"find-brake-fluid-loss", "renew-brake-fluid"}, true, []string{"brake-fluid"},
		paid{"find-brake-fluid-loss": 1000, "renew-brake-fluid": 1000, "find-brake-fluid-loss renew-brake-fluid": 1000}},
	"no filling": {[]string{"find-brake-fluid-loss", "renew-master-cylinder"}, false, []string{"brake-fluid"},
		paid{"find-brake-fluid-loss": 250, "renew-master-cylinder": 1000, "find-brake-fluid-loss renew-master-cylinder": 1250}},
	"washer water is no coolant": {[]string{"fill-washer-fluid", "renew-coolant"}, false, []string{"water"},
		paid{"fill-washer-fluid": 2000, "fill-washer-fluid renew-coolant": 6000}},
}

// TestToppedUpOnce: what one job tops up is part of another's filling of the same circuit, and whichever of them the owner agrees to, what
// that takes is paid, and paid once.
func TestToppedUpOnce(t *testing.T) {
	cat, err := catalogue.Default()
	if err != nil {
		t.Fatal(err)
	}
	for name, tc := range toppedUp {
		d := filledUp(cat, !tc.unknown)
		var wants []Want
		for _, j := range tc.jobs {
			if cat.Jobs[j] == nil {
				t.Fatalf("%s: there is no job %s", name, j)
			}
			wants = append(wants, Want{Job: j, Name: j})
		}
		items, shared, err := d.items(wants)
		if err != nil {
			t.Fatal(err)
		}
		e := estimate.Estimate{Number: "n", Version: 1, VisitOn: "2026-01-01", ValidUntil: "2026-02-01", Terms: d.terms.Estimate, Items: items, Shared: shared}
		if err := estimate.Check(e); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		for accepted, want := range tc.want {
			if got := litresOf(&e, strings.Fields(accepted), tc.fluid); got != want {
				t.Errorf("%s: with %q %s L are paid, expected %s", name, accepted, got, want)
			}
		}
	}
}

// filledUp prices work on a car whose capacities are known, or none of them.
func filledUp(cat *point.Catalogue, known bool) drafting {
	eur, _ := money.Known("EUR")
	litres := map[string][]judge.Quantity{}
	for job, of := range map[string]map[string]float64{"renew-coolant": {"concentrate": 3, "water": 4}, "renew-water-pump": {"concentrate": 3, "water": 4},
		"renew-brake-fluid": {"brake fluid": 1}} {
		for what, x := range of {
			litres[job] = append(litres[job], judge.Quantity{Job: job, What: what, Litres: &x})
		}
	}
	d := drafting{cat: cat, facets: facet.Set{}, price: func(part string) (Price, bool) { return Price{Unit: cat.Parts[part].Unit, Price: 1000}, true },
		terms: Terms{HourRate: 8000, LabourTax: "a", PartsTax: "a", Estimate: estimate.Terms{Currency: eur, Taxes: []estimate.Tax{{ID: "a"}}}}}
	if known {
		d.takes = func(job string) []judge.Quantity { return litres[job] }
	}
	return d
}

// litresOf adds up what is paid of some fluids when some items are accepted.
func litresOf(e *estimate.Estimate, accepted, fluids []string) (sum money.Milli) {
	count := func(lines []estimate.Line) {
		for _, l := range lines {
			if slices.Contains(fluids, l.Part) {
				sum += l.Milli
			}
		}
	}
	yes := func(id string) bool { return slices.Contains(accepted, id) }
	for _, it := range e.Items {
		if yes(it.ID) {
			count(it.Lines)
		}
	}
	for _, s := range e.Shared {
		if slices.ContainsFunc(s.Items, yes) {
			count(s.Lines)
		}
	}
	return sum
}
