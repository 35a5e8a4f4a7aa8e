package shop_test

import (
	"bytes"
	"strings"
	"testing"

	"witnessmark/shop"
)

// filled is a workshop with some of everything.
func filled(t testing.TB) (*bench, []byte) {
	b := newBench(t)
	c := b.car(t, func(in *shop.CarInput) { in.VIN = "1M8GDM9AXKP042788" })
	if err := b.AddRenewal(ctx, shop.RenewalInput{ID: b.id(), CarID: c.CarID, Item: "engine-oil", On: "2025-09-12", Km: "171200"}); err != nil {
		t.Fatal(err)
	}
	r := b.round(t, c.CarID)
	b.see(t, r.ID, "brake-fluid-look", "", "opaque")
	if _, err := b.AddPhoto(ctx, shop.PhotoInput{ID: b.id(), RoundID: r.ID, Point: "brake-fluid-look", JPEG: []byte("a picture")}); err != nil {
		t.Fatal(err)
	}
	if _, f, err := b.Share(ctx, r.ID, b.id(), "ab", 7); err != nil {
		t.Fatal(err)
	} else if err := b.Revoke(ctx, b.id(), f.ID, "ab"); err != nil {
		t.Fatal(err)
	}
	if err := b.EndRound(ctx, r.ID, b.id(), "ab"); err != nil {
		t.Fatal(err)
	}
	return b, export(t, b)
}

func export(t testing.TB, b *bench) []byte {
	t.Helper()
	var out bytes.Buffer
	if _, err := b.Export(ctx, &out); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func TestExportComesBackTheSame(t *testing.T) {
	_, text := filled(t)
	fresh := newBench(t)
	done, err := fresh.Import(ctx, bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	if done.Facts != done.New || done.Photos != 1 {
		t.Errorf("first import: %+v", done)
	}
	if again := export(t, fresh); !bytes.Equal(again, text) {
		t.Errorf("the second export differs:\n%s\n%s", text, again)
	}
	if done, err = fresh.Import(ctx, bytes.NewReader(text)); err != nil || done.New != 0 {
		t.Errorf("second import: %+v, %v", done, err)
	}
}

func TestBadImportLeavesNothing(t *testing.T) {
	_, text := filled(t)
	lines := strings.SplitAfter(string(text), "\n")
	head := strings.Join(lines[:3], "")
	for name, tc := range map[string]struct{ in, want string }{
		"empty":              {"", "line 1: the file is empty"},
		"no header":          {lines[1], "line 1: expected a header"},
		"not JSON":           {head + "{\n", "line 4:"},
		"unknown key":        {head + `{"odometer":{"id":"x","car":"id-0001","on":"2026-01-01","km":1,"by":"","received_at":0,"colour":"red"}}` + "\n", `line 4: json: unknown field "colour"`},
		"two kinds":          {head + `{"share_end":{"id":"x","share":"y","by":"","received_at":0},"round_end":{"id":"x","round":"y","catalogue":"","by":"","received_at":0}}` + "\n", "line 4: expected one fact"},
		"no kind":            {head + "{}\n", "line 4: expected one fact"},
		"two values":         {head + "{} {}\n", "line 4: there is more than one value"},
		"bad day":            {head + `{"odometer":{"id":"x","car":"id-0001","on":"yesterday","km":1,"by":"","received_at":0}}` + "\n", `line 4: odometer: on is "yesterday"`},
		"refers to nothing":  {head + `{"odometer":{"id":"x","car":"nobody","on":"2026-01-01","km":1,"by":"","received_at":0}}` + "\n", "line 4: "},
		"photo of other":     {head + `{"photo_file":{"hash":"00","data":"YQ=="}}` + "\n", "line 4: photo 00"},
		"photo no base64":    {head + `{"photo_file":{"hash":"00","data":"!"}}` + "\n", "line 4: photo 00: not base64"},
		"same id, otherwise": {string(text) + strings.Replace(lines[1], "Alma", "Elma", 1), "changed by somebody else"},
	} {
		t.Run(name, func(t *testing.T) {
			b := newBench(t)
			_, err := b.Import(ctx, strings.NewReader(tc.in))
			if err == nil || !strings.Contains(err.Error(), tc.want) {
				t.Fatalf("got %v, want %q", err, tc.want)
			}
			if _, n, _ := b.FindCars(ctx, shop.CarFilter{}); n != 0 {
				t.Errorf("%d cars were left behind", n)
			}
		})
	}
}

func FuzzImport(f *testing.F) {
	b, text := filled(f)
	f.Add(text)
	f.Add([]byte(`{"format":"witnessmark-facts-1","catalogue":""}` + "\n{}\n"))
	f.Fuzz(func(t *testing.T, in []byte) {
		// What is accepted must be there to export; what is refused must have left nothing. The bench's own facts stay.
		before := export(t, b)
		if _, err := b.Import(ctx, bytes.NewReader(in)); err != nil {
			if after := export(t, b); !bytes.Equal(before, after) {
				t.Fatalf("refused with %v, yet the export changed", err)
			}
		}
	})
}
