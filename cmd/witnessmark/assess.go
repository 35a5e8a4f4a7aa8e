package main

import (
	"fmt"
	"io"
	"os"
	"strings"
	"text/tabwriter"
	"time"

	"witnessmark/catalogue"
	"witnessmark/core/judge"
	"witnessmark/core/point"
	"witnessmark/sheet"
)

// assessCmd judges a round that was taken on paper.
type assessCmd struct {
	Sheet   string `arg:"" help:"The sheet (JSON), or - for standard input."`
	JSON    bool   `help:"Write JSON."`
	Depth   string `enum:"full,quick,driveway" default:"full" help:"How deep the round went: full, quick or driveway."`
	Overlay string `help:"Catalogue overlay directory."`
}

// aheadOfUTC lets a sheet carry the day of the place on Earth where it is latest.
const aheadOfUTC = 14 * time.Hour

// Run reads the sheet, judges it and writes the findings, worst first. It needs no database.
func (c *assessCmd) Run(con console) error {
	cat, err := catalogue.WithOverlay(c.Overlay)
	if err != nil {
		return err
	}
	in, name, err := open(c.Sheet, con)
	if err != nil {
		return err
	}
	defer in.Close()
	s, err := sheet.Read(in)
	if err != nil {
		return fmt.Errorf("%s: %w", name, err)
	}
	car, taken, err := s.Resolve(cat, time.Now().Add(aheadOfUTC))
	if err != nil {
		return fmt.Errorf("%s: %s", name, strings.ReplaceAll(err.Error(), "\n", "\n"+name+": "))
	}
	out := sheet.Write(judge.Judge(cat, car, taken, point.Depth(c.Depth)))
	if c.JSON {
		return writeJSON(con.out, out)
	}
	return writeFindings(con.out, out)
}

// open opens a named file, or standard input for "-".
func open(name string, con console) (io.ReadCloser, string, error) {
	if name == "-" {
		return io.NopCloser(con.in), "standard input", nil
	}
	f, err := os.Open(name)
	return f, name, err
}

func writeFindings(w io.Writer, out sheet.Findings) error {
	tw := tabwriter.NewWriter(w, 0, 4, 2, ' ', 0)
	for _, f := range out.Findings {
		fmt.Fprintf(tw, "%s\t%s\t%s\t%s\t[%s]\n", f.Verdict, f.Point, f.At, f.Why, f.Limit.Source)
	}
	if err := tw.Flush(); err != nil {
		return err
	}
	fmt.Fprintf(w, "\nLooked at %d of %d places; %d points do not apply to this car.\n", out.Coverage.LookedAt, out.Coverage.Places, out.Coverage.NotApplicable)
	for _, n := range out.NotLookedAt {
		if n.Reason != "no reading" {
			fmt.Fprintf(w, "not looked at: %s %s (%s)\n", n.Point, n.At, n.Reason)
		}
	}
	return nil
}
