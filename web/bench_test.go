package web

import (
	"io"
	"log/slog"
	"path/filepath"

	"witnessmark/blob"
	"witnessmark/catalogue"
	"witnessmark/shop"
	"witnessmark/store/sqlite"
)

// emptied puts the bench before a workshop that knows no car.
func (b *bench) emptied() {
	b.t.Helper()
	cat, err := catalogue.Default()
	b.must(err)
	dir := b.t.TempDir()
	store, err := sqlite.Open(filepath.Join(dir, "w.db"))
	b.must(err)
	photos, err := blob.Open(filepath.Join(dir, "photos"), benchDay)
	b.must(err)
	b.t.Cleanup(func() { store.Close(); photos.Close() })
	b.shop, b.store = shop.New(shop.Config{Store: store, Photos: photos, Catalogue: cat}), store
	b.serve(Config{})
}

// serve puts a handler with another configuration before the bench's shop.
func (b *bench) serve(c Config) {
	b.t.Helper()
	c.Shop = b.shop
	if c.Log == nil {
		c.Log = slog.New(slog.NewTextHandler(io.Discard, nil))
	}
	h, err := New(c)
	b.must(err)
	b.web = h
}

// differ lists what the form would show differently for two versions of a car.
func (b *bench) differ(a, c shop.CarVersion) []changed {
	s := &server{shop: b.shop}
	return s.differences(s.carValues(a), s.carValues(c))
}
