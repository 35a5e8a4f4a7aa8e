package shop_test

import (
	"bytes"
	"encoding/csv"
	"errors"
	"strings"
	"testing"

	"witnessmark/core/money"
	"witnessmark/shop"
)

// TestSummary charges what was done: the pads, the wash, and the lift, which the fluid would have shared. By hand: 80.00 + 59.90 + 20.00 +
// 16.00 = 175.90, tax of 20 % on it 35.18, together 211.08.
func TestSummary(t *testing.T) {
	b := newBench(t)
	c := b.car(t, nil)
	decision := b.agreed(t, c.CarID, "", all...)
	if _, err := b.Summary(ctx, decision); !errors.Is(err, shop.ErrNotFound) {
		t.Fatalf("open work has a summary: %v", err)
	}
	in := b.closing(decision, "pads", "wash")
	in.Note = "+49 called"
	in.Parts = []shop.PartInput{{Step: "line/b", On: true, Number: "-P 77", Batch: "@B1"}, {Step: "maybe/wear-sensor", On: true}}
	if err := b.CloseOut(ctx, in); err != nil {
		t.Fatal(err)
	}
	m, err := b.Summary(ctx, decision)
	if err != nil {
		t.Fatal(err)
	}
	if m.Net != "175.90" || m.Gross != "211.08" || m.ToPay != "211.08" || len(m.Taxes) != 1 || m.Taxes[0].Amount != "35.18" {
		t.Errorf("net %s, taxes %+v, gross %s, to pay %s", m.Net, m.Taxes, m.Gross, m.ToPay)
	}
	eur, _ := money.Known("EUR")
	var sum money.Amount
	for _, l := range m.Lines {
		a, err := money.Parse(eur, l.Amount)
		if err != nil {
			t.Fatal(err)
		}
		sum += a
	}
	if money.Plain(eur, sum) != m.Net || len(m.Lines) != 4 || m.Lines[3].Shared != "on-the-lift" {
		t.Errorf("lines %+v", m.Lines)
	}
	if len(m.NotDone) != 1 || m.NotDone[0].Why != "no time left" || len(m.Fitted) != 2 || m.Fitted[1].Line != "" || m.Fitted[0].Unit != "set" || m.Fitted[1].Unit != "piece" || m.Items[0].Minutes != 70 {
		t.Errorf("not done %+v, fitted %+v, items %+v", m.NotDone, m.Fitted, m.Items)
	}
	if m.Estimate.Digest == "" || m.Estimate.Version != 1 || m.Decision.Name != "Alma Brook" || m.Decision.At != "2026-03-21T09:00:00Z" {
		t.Errorf("references %+v, %+v", m.Estimate, m.Decision)
	}
	checkCSV(t, m)
}

func checkCSV(t *testing.T, m *shop.Summary) {
	t.Helper()
	var out bytes.Buffer
	if err := m.WriteCSV(&out); err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(&out).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range rows {
		for i, text := range r {
			if text != "" && strings.ContainsRune("=+-@\t\r", rune(text[0])) && shop.SummaryColumns[i] != "amount" {
				t.Errorf("%s: a spreadsheet would compute %q", shop.SummaryColumns[i], text)
			}
		}
	}
	joined := strings.Join(rows[len(rows)-1], "|")
	if rows[len(rows)-1][0] != "to-pay" || !strings.Contains(joined, "211.08") {
		t.Errorf("last row %s", joined)
	}
	guarded := 0
	for _, r := range rows {
		guarded += strings.Count(strings.Join(r, "|"), "'")
	}
	if guarded != 4 { // the wash, the number, the batch, the note
		t.Errorf("%d texts are guarded: %v", guarded, rows)
	}
}

// TestFollowUps schedules the looks that done work calls for: by days, or by the day on which the distance is probably driven; a look at the
// point closes one.
func TestFollowUps(t *testing.T) {
	b := newBench(t)
	c := b.car(t, nil)
	in := b.closing(b.agreed(t, c.CarID, "", all...), "pads")
	if err := b.CloseOut(ctx, in); err != nil {
		t.Fatal(err)
	}
	follows := func() (open []shop.FollowLine) {
		t.Helper()
		if err := b.store.View(ctx, func(r shop.Reader) error {
			list, err := b.FollowUps(ctx, r, c.CarID)
			for _, l := range list {
				if l.Open {
					open = append(open, l)
				}
			}
			return err
		}); err != nil {
			t.Fatal(err)
		}
		return open
	}
	list := follows()
	found := -1
	for i, l := range list {
		if l.Follow.Point == "brake-fluid-level" {
			found = i
		}
		if l.Follow.On < "2026-03-21" || l.Due != in.ID+"/"+l.Follow.ID {
			t.Errorf("%+v", l)
		}
	}
	// 300 km after the pads, at 11 200 km in the half year before (22 000 km a year) is 5 days on.
	if found < 0 || list[found].Follow.Km != 182700 || list[found].Follow.Item != "pads" || list[found].Follow.On > "2026-03-31" {
		t.Fatalf("looks to come: %+v", list)
	}
	b.now = b.now.AddDate(0, 0, 3)
	r, err := b.StartRound(ctx, shop.RoundInput{ID: b.id(), CarID: c.CarID, Depth: "quick", Km: "182650", By: "ab"})
	if err != nil {
		t.Fatal(err)
	}
	p := b.Catalogue().Point("brake-fluid-level")
	b.see(t, r.ID, p.ID, "", p.States[0].ID)
	if after := follows(); len(after) != len(list)-1 {
		t.Errorf("looked at: %+v", after)
	}
	b.put(t, shop.KindSettled, c.CarID, "", shop.Settled{Due: list[(found+1)%len(list)].Due})
	if after := follows(); len(after) != len(list)-2 {
		t.Errorf("settled: %+v", after)
	}
}
