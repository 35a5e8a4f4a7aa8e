// Package catalogue loads the trade's knowledge - points, limits, jobs, cautions, sources, regulations, families -
// from YAML into the core's types. The base is embedded; a workshop's overlay directory adds to it or changes it.
// The format is described in docs/formats/catalogue.md.
package catalogue

import (
	"embed"
	"io/fs"
	"os"

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

// WithOverlay gives the base catalogue with the overlay directory dir on top; an empty dir gives the base alone. The error is a
// Problems value when the data are bad.
func WithOverlay(dir string) (*point.Catalogue, error) {
	if dir == "" {
		return Default()
	}
	return Checked(dir)
}

// Checked reads the base from its YAML, with the overlay directory on top if dir is not empty, and checks everything.
func Checked(dir string) (*point.Catalogue, error) {
	layers := []Layer{{Name: "catalogue/data", Files: Base()}}
	if dir != "" {
		if _, err := os.Stat(dir); err != nil {
			return nil, err
		}
		layers = append(layers, Layer{Name: dir, Files: os.DirFS(dir)})
	}
	return Load(layers...)
}
