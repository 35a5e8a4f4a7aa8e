package simulate

import (
	"fmt"
	"maps"
	"math"
	"strings"
	"time"

	"witnessmark/core/round"
	"witnessmark/core/vin"
	"witnessmark/shop"
)

// identify draws the car's papers and works out its equipment.
func (c *car) identify(d dice) {
	us := c.model.market == "us"
	v := shop.CarVersion{Plate: plate(d, c.n), VIN: inventVIN(d, c.n, c.born.Year(), us), Owner: owner(d, c.n, us),
		Description: fmt.Sprintf("%s, %d", c.model.body, c.born.Year()), FirstRegistered: c.born.Format("2006-01"),
		Units: "metric", Facets: maps.Clone(c.model.facets), By: people[c.n%len(people)].Initials}
	if us {
		v.Units, v.Facets["market"] = "us", "us"
	}
	if c.model.fuel != "" {
		v.Facets["fuel"] = c.model.fuel
	}
	if c.model.family != "" {
		v.Facets["engine-family"] = c.model.family
	}
	for id := range v.Facets {
		if c.w.cat.Facets[id] == nil {
			delete(v.Facets, id)
		}
	}
	v.CarID = c.ids.id(c.w.o.Today.UnixMilli() - int64(c.w.o.Years)*365*86400e3)
	v.Specs = c.specs(d)
	c.version = v
	registered, _ := time.Parse("2006-01", v.FirstRegistered)
	c.facets = round.Resolve(c.w.cat, v.Facets, "", registered)
	c.changes = d.chance(0.3)
}

// plate invents a plate of a form that no country uses: two letters, a digit and a letter, three digits.
func plate(d dice, n int) string {
	heads := []string{"WM", "QZ", "VK", "XJ", "ZW", "KQ"}
	letters := "ABCDEFGHJKLMNPRSTUVWXYZ"
	return fmt.Sprintf("%s-%d%c %03d", heads[(n+n/6000)%len(heads)], d.IntN(10), letters[(n/1000+d.IntN(3))%len(letters)], (n*379+101)%1000)
}

// inventVIN makes a well-formed number. Its first character is 0, which no region has, or for a US car a group that looks
// like nobody's, with the check digit that such a number must carry.
func inventVIN(d dice, n, year int, us bool) string {
	codes := "ABCDEFGHJKLMNPRSTVWXY123456789"
	chars := "ABCDEFGHJKLMNPRSTUVWXYZ0123456789"
	head, seven := "0WM", byte('A'+d.IntN(8))
	if us {
		head = "4ZZ"
	}
	if year < 2010 {
		seven = byte('0' + d.IntN(10))
	}
	var b strings.Builder
	b.WriteString(head)
	for range 3 {
		b.WriteByte(chars[d.IntN(len(chars))])
	}
	b.WriteByte(seven)
	b.WriteByte(chars[d.IntN(len(chars))])
	b.WriteByte('0')
	b.WriteByte(codes[(year-1980)%30])
	fmt.Fprintf(&b, "X%06d", 100000+n*17%900000)
	s := b.String()
	if digit := vin.CheckDigit(vin.VIN(s)); us {
		s = s[:8] + string(rune(digit)) + s[9:]
	}
	return s
}

// specs are the figures that were found on the car or in its books.
func (c *car) specs(d dice) map[string]shop.SpecEntry {
	m := c.model
	all := map[string]shop.SpecEntry{
		"tyre-pressure-placard-bar": {Numbers: map[string]float64{"F": m.frontBar, "R": m.rearBar}, Origin: "placard in the door pillar"},
		"steering-wheel-mm":         {Numbers: map[string]float64{"": 370 + float64(d.IntN(3))*5}, Origin: "measured"},
		"battery-rated-A":           {Numbers: map[string]float64{"": m.ratedA}, Origin: "label of the battery"},
		"headlamp-height-mm":        {Numbers: map[string]float64{"": 620 + float64(d.IntN(12))*10}, Origin: "measured"},
		"coolant-capacity-L":        {Numbers: map[string]float64{"": m.coolantL}, Origin: "owner's handbook"},
		"engine-oil-capacity-L":     {Numbers: map[string]float64{"": m.oilL}, Origin: "owner's handbook"},
		"brake-fluid-class":         {Text: "DOT 4", Origin: "cap of the reservoir"},
		"toe-max-minutes":           {Numbers: map[string]float64{"F": 25, "R": 30}, Origin: "workshop data, invented"},
	}
	if m.family == "" {
		all["timing-belt-interval-km"] = shop.SpecEntry{Numbers: map[string]float64{"": 120000}, Origin: "service book"}
		all["timing-belt-interval-months"] = shop.SpecEntry{Numbers: map[string]float64{"": 96}, Origin: "service book"}
		all["spark-plug-interval-km"] = shop.SpecEntry{Numbers: map[string]float64{"": 60000}, Origin: "service book"}
	}
	front := shop.SpecEntry{Numbers: map[string]float64{"F": m.frontDisc - 2}, Origin: "stamped on the disc"}
	if m.rear < 100 {
		front.Numbers["R"] = math.Round((m.rear-1.5)*10) / 10
	} else {
		all["drum-diameter-max-mm"] = shop.SpecEntry{Numbers: map[string]float64{"R": m.rear + 1.5}, Origin: "cast into the drum"}
	}
	all["disc-thickness-min-mm"] = front
	for id := range all {
		if c.w.cat.Specs[id] == nil || (id == "headlamp-height-mm" && m.market == "us") {
			delete(all, id)
		}
	}
	return all
}

// arrive puts the car into the book a few days before its first round, with what its papers tell of the past.
func (c *car) arrive(first float64) {
	day := math.Max(1, first-float64(2+c.looks.IntN(9)))
	v := c.version
	v.ReceivedAt = c.ms(day, 9.4)
	v.ID = c.ids.id(v.ReceivedAt)
	c.version = v
	c.w.put(shop.Fact{Car: &v})
	at := v.ReceivedAt + 60e3
	c.w.put(shop.Fact{Odometer: &shop.OdometerFact{ID: c.ids.id(at), CarID: v.CarID, On: c.on(day), Km: c.km(day), Note: "when the car was booked in", By: v.By, ReceivedAt: at}})
	c.pastRenewals(day, at+60e3)
}

// change says something of the car anew: a telephone number, most often.
func (c *car) change(before float64) {
	day := before - 1
	v := c.version
	v.ReceivedAt = c.ms(day, 17.2)
	v.ID = c.ids.id(v.ReceivedAt)
	v.Owner.Phone = fmt.Sprintf("01632 960%03d", c.looks.IntN(1000))
	if v.Units == "us" {
		v.Owner.Phone = fmt.Sprintf("(000) 555-01%02d", c.looks.IntN(100))
	}
	c.version = v
	c.w.put(shop.Fact{Car: &v})
}
