// Package catalogue loads the trade's knowledge - points, limits, jobs, cautions, sources, regulations, families -
// from YAML into the core's types. The base is embedded; a workshop's overlay directory adds to it or changes it.
// The format is described in docs/formats/catalogue.md.
package catalogue

import (
	"embed"
	"io/fs"
	"os"
	"sync"

	"witnessmark/core/point"
)

//go:embed data
var data embed.FS

// Base gives the embedded catalogue's files.
func Base() fs.FS {
	sub, err := fs.Sub(data, "data")
	if err != nil {
		panic(err) // the embedded directory is part of the program
	}
	return sub
}

// Default loads the embedded catalogue once per process and returns the same value after.
var Default = sync.OnceValues(func() (*point.Catalogue, error) {
	return Load(Layer{Name: "catalogue", Files: Base()})
})

// WithOverlay loads the embedded catalogue with the overlay directory dir on top; an empty dir gives the base alone.
// The error is a Problems value when the data are bad.
func WithOverlay(dir string) (*point.Catalogue, error) {
	if dir == "" {
		return Default()
	}
	if _, err := os.Stat(dir); err != nil {
		return nil, err
	}
	return Load(Layer{Name: "catalogue", Files: Base()}, Layer{Name: dir, Files: os.DirFS(dir)})
}
