package main

import (
	"fmt"
	"os"
	"path/filepath"
	"time"

	"witnessmark/blob"
	"witnessmark/catalogue"
	"witnessmark/shop"
	"witnessmark/store/sqlite"
)

// dataFlags say where a workshop's data are and what it is called.
type dataFlags struct {
	Data    string `help:"Directory of the workshop's data; made if there is none." default:"witnessmark-data" type:"path" env:"WITNESSMARK_DATA"`
	Overlay string `help:"Catalogue overlay directory." type:"path" env:"WITNESSMARK_OVERLAY"`
	Name    string `help:"The workshop's name, as it stands on reports." env:"WITNESSMARK_NAME"`
}

// workshop is an opened workshop: its business, and what has to be closed after.
type workshop struct {
	*shop.Shop
	store  *sqlite.Store
	photos *blob.Folder
}

// open opens the data directory, or makes it.
func (f dataFlags) open() (*workshop, error) {
	cat, err := catalogue.WithOverlay(f.Overlay)
	if err != nil {
		return nil, err
	}
	if err := os.MkdirAll(f.Data, 0o700); err != nil {
		return nil, fmt.Errorf("data directory: %w", err)
	}
	store, err := sqlite.Open(filepath.Join(f.Data, "witnessmark.db"))
	if err != nil {
		return nil, err
	}
	photos, err := blob.Open(filepath.Join(f.Data, "photos"), time.Now())
	if err != nil {
		store.Close()
		return nil, err
	}
	return &workshop{shop.New(shop.Config{Store: store, Photos: photos, Catalogue: cat, Name: f.Name}), store, photos}, nil
}

// Close closes the store and the photos.
func (w *workshop) Close() error {
	err := w.store.Close()
	if e := w.photos.Close(); err == nil {
		err = e
	}
	return err
}
