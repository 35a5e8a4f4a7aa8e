package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"

	"witnessmark/catalogue"
)

// catalogueCmd groups what can be asked of the catalogue.
type catalogueCmd struct {
	Check    catalogueCheck    `cmd:"" help:"Check the catalogue, with an overlay directory on top if one is given."`
	Coverage catalogueCoverage `cmd:"" help:"Show which regulation items have a point."`
}

type catalogueCheck struct {
	Dir string `arg:"" optional:"" help:"Overlay directory."`
}

// Run reads everything and reports each fault with its file and line, then what could be seen and would lead nowhere, and which job
// nothing says how to do.
func (c *catalogueCheck) Run(con console) error {
	cat, err := catalogue.Checked(c.Dir)
	if err != nil {
		return err
	}
	if open := append(catalogue.Unexplained(cat), catalogue.Unworked(cat)...); len(open) > 0 {
		return errors.New(strings.Join(open, "\n"))
	}
	fmt.Fprintf(con.out, "%d points, %d jobs, %d set-ups, %d parts, %d cautions, %d families, %d signs, %d causes, version %s: no fault found\n",
		len(cat.Points), len(cat.Jobs), len(cat.Setups), len(cat.Parts), len(cat.Cautions), len(cat.Families), len(cat.Signs), len(cat.Causes), cat.Version)
	return nil
}

type catalogueCoverage struct {
	JSON    bool   `help:"Write JSON."`
	Overlay string `help:"Overlay directory."`
}

// Run computes the coverage table.
func (c *catalogueCoverage) Run(con console) error {
	cat, err := catalogue.WithOverlay(c.Overlay)
	if err != nil {
		return err
	}
	cov := catalogue.Cover(cat)
	if c.JSON {
		return writeJSON(con.out, cov)
	}
	fmt.Fprintf(con.out, "%d points\n", cov.Points)
	for _, r := range cov.Regulations {
		fmt.Fprintf(con.out, "\n%s: %d of %d items have a point\n", r.ID, r.Covered, r.Items)
		for _, i := range r.Table {
			fmt.Fprintf(con.out, "  %-12s %-60s %s\n", i.Item, i.Title, strings.Join(i.Points, ", "))
		}
	}
	return nil
}

// writeJSON writes v indented, with a line end, the same bytes for the same value.
func writeJSON(w io.Writer, v any) error {
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	return enc.Encode(v)
}
