package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
)

// exportCmd writes everything that a workshop knows.
type exportCmd struct {
	dataFlags
	File string `arg:"" default:"-" help:"File to write, or - for standard output."`
}

// Run writes JSON lines. A file appears under its name only when it is whole.
func (c *exportCmd) Run(con console) error {
	if _, err := os.Stat(c.Data); err != nil {
		return fmt.Errorf("data directory: %w", err)
	}
	w, err := c.open()
	if err != nil {
		return err
	}
	defer w.Close()
	if c.File == "-" {
		_, err := w.Export(context.Background(), con.out)
		return err
	}
	var n int
	err = writeWhole(c.File, func(out io.Writer) (err error) {
		n, err = w.Export(context.Background(), out)
		return err
	})
	if err == nil {
		fmt.Fprintf(con.err, "%d facts written to %s\n", n, c.File)
	}
	return err
}

// writeWhole writes beside the file, syncs, and renames, so that a full disk or a pulled plug leaves the old or the new.
func writeWhole(name string, fill func(io.Writer) error) error {
	tmp, err := os.CreateTemp(filepath.Dir(name), ".witnessmark-*")
	if err != nil {
		return err
	}
	defer os.Remove(tmp.Name()) // after the rename there is nothing to remove
	err = fill(tmp)
	if err == nil {
		err = tmp.Sync()
	}
	if e := tmp.Close(); err == nil {
		err = e
	}
	if err == nil {
		err = os.Rename(tmp.Name(), name)
	}
	return err
}

// importCmd reads an export.
type importCmd struct {
	dataFlags
	File string `arg:"" help:"File to read, or - for standard input."`
}

// Run reads JSON lines, all or nothing.
func (c *importCmd) Run(con console) error {
	in, name, err := open(c.File, con)
	if err != nil {
		return err
	}
	defer in.Close()
	w, err := c.open()
	if err != nil {
		return err
	}
	defer w.Close()
	done, err := w.Import(context.Background(), in)
	if err != nil {
		return fmt.Errorf("%s: %w", name, err)
	}
	fmt.Fprintf(con.out, "%d facts read, %d of them new, %d photos\n", done.Facts, done.New, done.Photos)
	return nil
}
