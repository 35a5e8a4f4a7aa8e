// Command witnessmark is the whole program; see the README for what it does.
package main

import (
	"errors"
	"fmt"
	"io"
	"os"

	"github.com/alecthomas/kong"
)

// cli lists the sub-commands.
type cli struct {
	Assess    assessCmd    `cmd:"" help:"Judge a round taken on paper; needs no database."`
	Serve     serveCmd     `cmd:"" help:"Serve the workshop in the browser."`
	Demo      demoCmd      `cmd:"" help:"Serve a throw-away workshop full of invented history."`
	Sums      sumsCmd      `cmd:"" help:"Work out a sum of the workshop, or list them all."`
	Life      lifeCmd      `cmd:"" help:"How long something lasts, from looks at it: fit a model, or join looks with what is known."`
	Wear      wearCmd      `cmd:"" help:"How a measured quantity runs down to its limit."`
	Renew     renewCmd     `cmd:"" help:"Work out the age at which renewing a part costs least."`
	Cause     causeCmd     `cmd:"" help:"Reason from findings to causes, and to the next look."`
	Visits    visitsCmd    `cmd:"" help:"Group jobs into visits at least cost, with a proof or a stated gap."`
	Catalogue catalogueCmd `cmd:"" help:"Check the catalogue of points, or show what it covers."`
	Export    exportCmd    `cmd:"" help:"Write everything the workshop knows as JSON lines."`
	Import    importCmd    `cmd:"" help:"Read an export; all or nothing."`
	Version   versionCmd   `cmd:"" help:"Say which program and catalogue this is."`
}

// console is where a command reads and writes.
type console struct {
	in       io.Reader
	out, err io.Writer
}

func main() { os.Exit(run(os.Args[1:], console{os.Stdin, os.Stdout, os.Stderr})) }

// run carries one command out and gives the exit status: 0 success, 1 bad input, 2 wrong usage.
func run(args []string, c console) int {
	var cmd cli
	status := -1
	parser, err := kong.New(&cmd, kong.Name("witnessmark"), kong.Description("The seasonal check of ageing cars, kept as data."),
		kong.Writers(c.out, c.err), kong.Exit(func(n int) { status = n }), kong.UsageOnError(), kong.Bind(c))
	if err != nil {
		fmt.Fprintln(c.err, err)
		return 2
	}
	ctx, err := parser.Parse(args)
	if status >= 0 {
		return status // help was asked for
	}
	if err != nil {
		fmt.Fprintln(c.err, "witnessmark:", err)
		var pe *kong.ParseError
		if errors.As(err, &pe) {
			fmt.Fprintln(c.err, "Try witnessmark --help.")
		}
		return 2
	}
	if err := ctx.Run(c); err != nil {
		fmt.Fprintln(c.err, "witnessmark:", err)
		if usage := (usageError{}); errors.As(err, &usage) {
			return 2
		}
		return 1
	}
	return 0
}
