package shop_test

import (
	"errors"
	"testing"
	"time"

	"witnessmark/shop"
)

func TestShare(t *testing.T) {
	b := newBench(t)
	r := b.round(t, b.car(t, nil).CarID)
	b.see(t, r.ID, "brake-fluid-look", "", "opaque")
	token, f, err := b.Share(ctx, r.ID, b.id(), "ab", 0)
	if err != nil {
		t.Fatal(err)
	}
	if len(token) != 26 || f.TokenHash == token {
		t.Errorf("token %q, kept as %q", token, f.TokenHash)
	}
	rep, _, err := b.OpenShare(ctx, token)
	if err != nil || len(rep.Sections) != 1 || rep.Sections[0].ByWhen == "" || rep.Sections[0].Means == "" {
		t.Fatalf("report: %v, %+v", err, rep)
	}
	last := "x"
	if token[25] == 'x' { // one token in 32 ends so
		last = "y"
	}
	if _, _, err := b.OpenShare(ctx, token[:25]+last); !errors.Is(err, shop.ErrGone) {
		t.Errorf("unknown link: %v", err)
	}
	b.now = b.now.Add(30*24*time.Hour - time.Second)
	if _, _, err := b.OpenShare(ctx, token); err != nil {
		t.Errorf("just before it expires: %v", err)
	}
	b.now = b.now.Add(time.Second)
	if _, _, err := b.OpenShare(ctx, token); !errors.Is(err, shop.ErrGone) {
		t.Errorf("expired link: %v", err)
	}
}

func TestRevokedLinkIsGone(t *testing.T) {
	b := newBench(t)
	r := b.round(t, b.car(t, nil).CarID)
	token, f, err := b.Share(ctx, r.ID, b.id(), "ab", 7)
	if err != nil {
		t.Fatal(err)
	}
	other, _, _ := b.Share(ctx, r.ID, b.id(), "ab", 7)
	if err := b.Revoke(ctx, b.id(), f.ID, "ab"); err != nil {
		t.Fatal(err)
	}
	if _, _, err := b.OpenShare(ctx, token); !errors.Is(err, shop.ErrGone) {
		t.Errorf("revoked link: %v", err)
	}
	if _, _, err := b.OpenShare(ctx, other); err != nil {
		t.Errorf("the other link: %v", err)
	}
	if all, _ := b.Shares(ctx, r.ID); len(all) != 1 {
		t.Errorf("%d links listed", len(all))
	}
}

func TestSharedPhotoBelongsToTheReport(t *testing.T) {
	b := newBench(t)
	r := b.round(t, b.car(t, nil).CarID)
	mine, err := b.AddPhoto(ctx, shop.PhotoInput{ID: b.id(), RoundID: r.ID, Point: "brake-fluid-look", JPEG: []byte("mine")})
	if err != nil {
		t.Fatal(err)
	}
	r2 := b.round(t, b.car(t, func(in *shop.CarInput) { in.Plate = "WM-9Q 001" }).CarID)
	other, err := b.AddPhoto(ctx, shop.PhotoInput{ID: b.id(), RoundID: r2.ID, Point: "brake-fluid-look", JPEG: []byte("other")})
	if err != nil {
		t.Fatal(err)
	}
	token, _, _ := b.Share(ctx, r.ID, b.id(), "ab", 7)
	if rc, err := b.SharedPhoto(ctx, token, mine.Hash); err != nil {
		t.Errorf("own photo: %v", err)
	} else {
		rc.Close()
	}
	if _, err := b.SharedPhoto(ctx, token, other.Hash); !errors.Is(err, shop.ErrNotFound) {
		t.Errorf("another car's photo: %v", err)
	}
	if err := b.RemovePhoto(ctx, b.id(), r.ID, mine.Hash, "ab"); err != nil {
		t.Fatal(err)
	}
	if _, err := b.SharedPhoto(ctx, token, mine.Hash); !errors.Is(err, shop.ErrNotFound) {
		t.Errorf("removed photo: %v", err)
	}
}
