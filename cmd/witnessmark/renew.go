package main

import (
	"fmt"
	"io"
	"math"
	"strconv"
	"text/tabwriter"

	"witnessmark/core/renew"
)

// renewCmd works out the age at which a part is best renewed.
type renewCmd struct {
	Case string `arg:"" help:"The case (JSON): how long the part lives, what renewing (cp) and a failure (cf) cost; - for standard input."`
	JSON bool   `help:"Write JSON."`
}

// Run reads the case and writes the best age, or why there is none.
func (c *renewCmd) Run(con console) error {
	text, name, err := readBounded(c.Case, con)
	if err != nil {
		return err
	}
	rc, err := parseRenewCase(text)
	if err != nil {
		return fmt.Errorf("%s: %s", name, indentLines(err, name))
	}
	p, err := renew.Optimum(rc.life, rc.cp, rc.cf)
	if err != nil {
		return fmt.Errorf("%s: %w", name, err)
	}
	if c.JSON {
		return writeJSON(con.out, renewed(p))
	}
	return writePolicy(con.out, p)
}

// renewAnswer is the policy as JSON; null stands for no end.
type renewAnswer struct {
	T            *float64 `json:"T_star"`
	CostRate     float64  `json:"cost_rate"`
	RunToFailure float64  `json:"run_to_failure_cost_rate"`
	Saving       float64  `json:"saving"`
	FlatLow      float64  `json:"flat_low"`
	FlatHigh     *float64 `json:"flat_high"`
	Reason       string   `json:"reason"`
}

func renewed(p renew.Policy) renewAnswer {
	a := renewAnswer{CostRate: p.CostRate, RunToFailure: p.RunToFailure, Saving: p.Saving, FlatLow: p.FlatLow, Reason: p.Reason}
	if p.Finite {
		a.T = &p.T
	}
	if !math.IsInf(p.FlatHigh, 1) {
		a.FlatHigh = &p.FlatHigh
	}
	return a
}

// figure writes a number with six digits, as people read them.
func figure(v float64) string { return strconv.FormatFloat(v, 'g', 6, 64) }

func writePolicy(w io.Writer, p renew.Policy) error {
	age, to := "none: run to failure", "any later age"
	if p.Finite {
		age = figure(p.T)
	}
	if !math.IsInf(p.FlatHigh, 1) {
		to = figure(p.FlatHigh)
	}
	tw := tabwriter.NewWriter(w, 0, 4, 2, ' ', 0)
	fmt.Fprintf(tw, "Renew at the age\t%s\n", age)
	fmt.Fprintf(tw, "Within 1 %% of that cost\t%s to %s\n", figure(p.FlatLow), to)
	fmt.Fprintf(tw, "Cost in one unit of age\t%s\n", figure(p.CostRate))
	fmt.Fprintf(tw, "Running to failure\t%s\n", figure(p.RunToFailure))
	fmt.Fprintf(tw, "Saving\t%.1f %%\n", 100*p.Saving)
	if err := tw.Flush(); err != nil {
		return err
	}
	_, err := fmt.Fprintf(w, "%s\nSource: Barlow & Proschan, Mathematical Theory of Reliability (1965), chapter 4\n"+
		"Caution: Where a failure can hurt people, cost is no measure; the accepted risk, the maker and the law decide.\n", p.Reason)
	return err
}
