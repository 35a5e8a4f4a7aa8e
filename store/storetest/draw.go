package storetest

import (
	"fmt"

	"pgregory.net/rapid"

	"witnessmark/shop"
)

// drawer makes facts that fit together: each refers to what was made before it.
type drawer struct {
	t      *rapid.T
	n      int
	cars   []string
	rounds []shop.RoundFact
	shares []string
	// consents are records that others may follow.
	consents []*shop.Record
	dated    map[string][]shop.WithdrawalFact // what can be withdrawn of a car
	told     map[string][]string              // complaints and confirmed causes by round, to be withdrawn
	found    map[string][]string
}

// drawHistory makes an invented history in the order of its arrival, cut into transactions.
func drawHistory(t *rapid.T) [][]shop.Fact {
	d := &drawer{t: t, dated: map[string][]shop.WithdrawalFact{}, told: map[string][]string{}, found: map[string][]string{}}
	var batches [][]shop.Fact
	for range rapid.IntRange(0, 8).Draw(t, "transactions") {
		var batch []shop.Fact
		for range rapid.IntRange(1, 8).Draw(t, "facts") {
			batch = append(batch, d.fact())
		}
		batches = append(batches, batch)
	}
	return batches
}

func (d *drawer) id() string { d.n++; return fmt.Sprintf("%s-%d", d.text("id"), d.n) }

// text is any text that can be stored: no NUL, valid UTF-8.
func (d *drawer) text(label string) string {
	return rapid.StringOfN(rapid.Rune().Filter(func(r rune) bool { return r != 0 }), 0, 12, -1).Draw(d.t, label)
}

func (d *drawer) day() string {
	return fmt.Sprintf("2026-%02d-%02d", rapid.IntRange(1, 12).Draw(d.t, "month"), rapid.IntRange(1, 28).Draw(d.t, "day"))
}

func (d *drawer) number() float64 { return rapid.Float64().Draw(d.t, "number") }
func (d *drawer) at() int64       { return rapid.Int64Range(1, 1<<52).Draw(d.t, "at") }
func (d *drawer) flag() bool      { return rapid.Bool().Draw(d.t, "flag") }

func (d *drawer) numbers() map[string]float64 {
	m := map[string]float64{}
	for range rapid.IntRange(0, 3).Draw(d.t, "numbers") {
		m[d.text("position")] = d.number()
	}
	if len(m) == 0 {
		return nil
	}
	return m
}

// fact makes one fact of any kind that is possible by now.
func (d *drawer) fact() shop.Fact {
	kinds := 1
	if rapid.IntRange(0, 9).Draw(d.t, "a record") == 0 {
		return d.record()
	}
	if len(d.cars) > 0 {
		kinds = 5
	}
	if len(d.rounds) > 0 {
		kinds = 9
	}
	if len(d.shares) > 0 {
		kinds = 10
	}
	switch rapid.IntRange(0, kinds).Draw(d.t, "kind") {
	case 0:
		k := classes(d.id(), d.at())
		k.Classes.Cars, k.Classes.By, k.Classes.ReceivedAt = d.n, d.text("by"), d.at()
		return k
	case 1:
		carID := d.id()
		d.cars = append(d.cars, carID)
		return d.version(carID)
	case 2:
		return d.version(rapid.SampledFrom(d.cars).Draw(d.t, "car"))
	case 3, 4, 5:
		return d.ofCar(rapid.SampledFrom(d.cars).Draw(d.t, "car"))
	case 10:
		return shop.Fact{ShareEnd: &shop.ShareEnd{ID: d.id(), ShareID: rapid.SampledFrom(d.shares).Draw(d.t, "share"),
			By: d.text("by"), ReceivedAt: d.at()}}
	default:
		return d.ofRound(rapid.SampledFrom(d.rounds).Draw(d.t, "round"))
	}
}

// record makes a record of the workshop's, or one of a car that others may follow.
func (d *drawer) record() shop.Fact {
	var f shop.Fact
	switch {
	case len(d.consents) > 0 && d.flag():
		of := rapid.SampledFrom(d.consents).Draw(d.t, "consent")
		f = record(d.id(), shop.KindStop, of.CarID, of.ID, "", shop.Stop{How: d.text("how")})
	case len(d.cars) > 0 && d.flag():
		f = record(d.id(), shop.KindConsent, rapid.SampledFrom(d.cars).Draw(d.t, "car"), "", d.id(), shop.Consent{How: d.text("how")})
		d.consents = append(d.consents, f.Record)
	default:
		f = record(d.id(), shop.KindFeed, "", "", "", shop.Feed{TokenHash: d.text("hash"), Name: d.text("name")})
	}
	f.Record.By, f.Record.ReceivedAt = d.text("by"), d.at()
	return f
}

func (d *drawer) version(carID string) shop.Fact {
	c := shop.CarVersion{ID: d.id(), CarID: carID, Plate: d.text("plate"), VIN: d.text("vin"), Description: d.text("description"),
		Owner:           shop.Owner{Name: d.text("name"), Phone: d.text("phone"), Email: d.text("email")},
		FirstRegistered: d.text("first"), Units: d.text("units"), By: d.text("by"), ReceivedAt: d.at()}
	if d.flag() {
		c.Facets = map[string]string{d.text("facet"): d.text("value")}
		c.Specs = map[string]shop.SpecEntry{d.text("spec"): {Text: d.text("text"), Numbers: d.numbers(), Origin: d.text("origin")}}
	}
	return shop.Fact{Car: &c}
}

func (d *drawer) ofCar(carID string) shop.Fact {
	if of := d.dated[carID]; len(of) > 0 && rapid.IntRange(0, 4).Draw(d.t, "a withdrawal") == 0 {
		f := rapid.SampledFrom(of).Draw(d.t, "withdraws")
		f.ID, f.CarID, f.Why, f.By, f.ReceivedAt = d.id(), carID, d.text("why"), d.text("by"), d.at()
		return shop.Fact{Withdrawal: &f}
	}
	f := d.dating(carID)
	switch {
	case f.Odometer != nil:
		d.dated[carID] = append(d.dated[carID], shop.WithdrawalFact{What: shop.OfOdometer, FactID: f.Odometer.ID})
	case f.Renewal != nil:
		d.dated[carID] = append(d.dated[carID], shop.WithdrawalFact{What: shop.OfRenewal, FactID: f.Renewal.ID})
	default:
		d.dated[carID] = append(d.dated[carID], shop.WithdrawalFact{What: shop.OfRound, FactID: f.Round.ID})
	}
	return f
}

// dating makes a fact of a car that has a day.
func (d *drawer) dating(carID string) shop.Fact {
	switch rapid.IntRange(1, 3).Draw(d.t, "of the car") {
	case 1:
		return shop.Fact{Odometer: &shop.OdometerFact{ID: d.id(), CarID: carID, On: d.day(), Km: d.number(), Note: d.text("note"),
			By: d.text("by"), ReceivedAt: d.at()}}
	case 2:
		return shop.Fact{Renewal: &shop.RenewalFact{ID: d.id(), CarID: carID, Item: d.text("item"), At: d.text("at"), On: d.day(), Km: d.number(),
			Note: d.text("note"), By: d.text("by"), ReceivedAt: d.at()}}
	default:
		r := shop.RoundFact{ID: d.id(), CarID: carID, Depth: d.text("depth"), On: d.day(), Km: d.number(), EngineHot: d.flag(),
			By: d.text("by"), ReceivedAt: d.at()}
		if d.flag() {
			ambient := d.number()
			r.AmbientC = &ambient
		}
		d.rounds = append(d.rounds, r)
		return shop.Fact{Round: &r}
	}
}

func (d *drawer) ofRound(r shop.RoundFact) shop.Fact {
	switch rapid.IntRange(1, 8).Draw(d.t, "of the round") {
	case 1:
		return shop.Fact{RoundEnd: &shop.RoundEnd{ID: d.id(), RoundID: r.ID, Catalogue: d.text("catalogue"), By: d.text("by"), ReceivedAt: d.at()}}
	case 2:
		return shop.Fact{Photo: &shop.PhotoFact{ID: d.id(), RoundID: r.ID, Point: d.text("point"), At: d.text("at"), Hash: d.text("hash"),
			Width: d.n, Height: d.n, Withdrawn: d.flag(), By: d.text("by"), ReceivedAt: d.at()}}
	case 3:
		s := shop.ShareFact{ID: d.id(), RoundID: r.ID, TokenHash: d.id(), ExpiresAt: d.at(), By: d.text("by"), ReceivedAt: d.at()}
		d.shares = append(d.shares, s.ID)
		return shop.Fact{Share: &s}
	case 4:
		return d.ofTold(r)
	case 5:
		return shop.Fact{Look: &shop.LookFact{ID: d.id(), RoundID: r.ID, CarID: r.CarID, Sign: d.text("sign"), Answer: d.text("answer"),
			By: d.text("by"), ReceivedAt: d.at()}}
	case 6:
		return d.ofConfirmed(r)
	default:
		return shop.Fact{Reading: &shop.ReadingFact{ID: d.id(), RoundID: r.ID, CarID: r.CarID, Point: d.text("point"), At: d.text("at"),
			State: d.text("state"), Code: d.text("code"), Values: d.numbers(), Skipped: d.text("skipped"), Note: d.text("note"),
			Withdrawn: d.flag(), By: d.text("by"), TakenAt: d.at(), ReceivedAt: d.at()}}
	}
}

// ofTold makes a complaint, or withdraws an earlier one of the round.
func (d *drawer) ofTold(r shop.RoundFact) shop.Fact {
	f := shop.ToldFact{ID: d.id(), RoundID: r.ID, CarID: r.CarID, By: d.text("by"), ReceivedAt: d.at()}
	if earlier := d.told[r.ID]; len(earlier) > 0 && d.flag() {
		f.Withdraws = rapid.SampledFrom(earlier).Draw(d.t, "withdraws")
		return shop.Fact{Told: &f}
	}
	f.Words = d.text("words")
	for range rapid.IntRange(0, 3).Draw(d.t, "signs") {
		f.Signs = append(f.Signs, d.text("sign"))
	}
	d.told[r.ID] = append(d.told[r.ID], f.ID)
	return shop.Fact{Told: &f}
}

// ofConfirmed makes a confirmed cause, or withdraws an earlier one of the round.
func (d *drawer) ofConfirmed(r shop.RoundFact) shop.Fact {
	f := shop.ConfirmedFact{ID: d.id(), RoundID: r.ID, CarID: r.CarID, By: d.text("by"), ReceivedAt: d.at()}
	if earlier := d.found[r.ID]; len(earlier) > 0 && d.flag() {
		f.Withdraws = rapid.SampledFrom(earlier).Draw(d.t, "withdraws")
		return shop.Fact{Confirmed: &f}
	}
	f.Complaint, f.Cause, f.Note = d.text("complaint"), d.text("cause"), d.text("note")
	if d.flag() {
		f.Seen = map[string]bool{d.text("sign"): d.flag()}
	}
	d.found[r.ID] = append(d.found[r.ID], f.ID)
	return shop.Fact{Confirmed: &f}
}
