package main

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"text/tabwriter"

	"witnessmark/core/nextlook"
)

// causeNextCmd advises what to do next.
type causeNextCmd struct {
	Case string `arg:"" help:"The case (JSON): causes, prior, repair_cost, checks, escalate_cost; - for standard input."`
	Work int    `help:"Limit of work: states that the exact search may look into." default:"200000"`
	JSON bool   `help:"Write JSON."`
}

// nextFile is a troubleshooting case as JSON.
type nextFile struct {
	ID         string     `json:"id"`
	Causes     []string   `json:"causes"`
	Prior      []float64  `json:"prior"`
	RepairCost []*float64 `json:"repair_cost"` // null: no repair fixes the cause
	Checks     []struct {
		ID       string    `json:"id"`
		Cost     float64   `json:"cost"`
		Positive []float64 `json:"p_positive"`
	} `json:"checks"`
	Escalate float64 `json:"escalate_cost"`
	Setups   []struct {
		Cost   float64  `json:"cost"`
		Causes []string `json:"causes"`
	} `json:"setups"`
}

var nextShape = shape{
	"":         {"id", "causes!", "prior!", "repair_cost!", "checks!", "escalate_cost!", "setups"},
	"checks[]": {"id!", "cost!", "p_positive!"},
	"setups[]": {"cost!", "causes!"},
	mayBeNull:  {"repair_cost[]"},
}

// nextAnswer is the advice as JSON.
type nextAnswer struct {
	First    string       `json:"first"`
	Expected float64      `json:"expected_cost"`
	Exact    bool         `json:"exact"`
	Reason   string       `json:"reason"`
	NoChecks float64      `json:"no_checks_cost"`
	Options  []nextOption `json:"options"`
	Work     int          `json:"work"`
}

type nextOption struct {
	Step     string  `json:"step"`
	Cost     float64 `json:"cost"`
	Expected float64 `json:"expected_cost"`
	Saving   float64 `json:"saving"`
}

// Run reads the case and writes the advice.
func (c *causeNextCmd) Run(con console) error {
	if c.Work < 1 {
		return usageError{"--work must be at least 1"}
	}
	text, name, err := readBounded(c.Case, con)
	if err != nil {
		return err
	}
	problem, err := parseNext(text)
	if err != nil {
		return fmt.Errorf("%s: %s", name, indentLines(err, name))
	}
	a, err := nextlook.Solve(problem, c.Work)
	if err != nil {
		return fmt.Errorf("%s: %s", name, indentLines(err, name))
	}
	if !c.JSON {
		return writeAdvice(con.out, a)
	}
	out := nextAnswer{a.First.Name(), a.First.Expected, a.Exact, a.Reason.Sentence, a.NoChecks, nil, a.Work}
	for _, o := range a.Options {
		out.Options = append(out.Options, nextOption{o.Name(), o.Cost, o.Expected, o.Saving})
	}
	return writeJSON(con.out, out)
}

// parseNext reads a case. A set-up's cost comes on top of the repair costs of its causes, once each time any of them are repaired.
func parseNext(text []byte) (nextlook.Case, error) {
	var f nextFile
	if err := decodeStrict(text, nextShape, &f); err != nil {
		return nextlook.Case{}, err
	}
	c := nextlook.Case{Causes: f.Causes, Prior: f.Prior, Escalate: f.Escalate}
	if len(f.RepairCost) != len(f.Causes) {
		return c, fmt.Errorf("repair_cost: %d of them for %d causes", len(f.RepairCost), len(f.Causes))
	}
	at := map[string]int{}
	for i, cost := range f.RepairCost {
		if cost != nil {
			at[f.Causes[i]] = len(c.Repairs)
			c.Repairs = append(c.Repairs, nextlook.Repair{ID: f.Causes[i], Fixes: []int{i}, Cost: *cost})
		}
	}
	for _, k := range f.Checks {
		c.Checks = append(c.Checks, nextlook.Check{ID: k.ID, Cost: k.Cost, Positive: slices.Clone(k.Positive)})
	}
	var wrong []error
	for i, s := range f.Setups {
		setup := nextlook.Setup{Cost: s.Cost}
		for _, id := range s.Causes {
			r, ok := at[id]
			if !ok {
				wrong = append(wrong, fmt.Errorf("setups[%d]: no repair fixes %q", i, id))
			}
			setup.Repairs = append(setup.Repairs, r)
		}
		c.Setups = append(c.Setups, setup)
	}
	return c, errors.Join(wrong...)
}

func writeAdvice(w io.Writer, a *nextlook.Advice) error {
	tw := tabwriter.NewWriter(w, 0, 4, 2, ' ', 0)
	fmt.Fprintln(tw, "first step\tits cost\tuntil done\tsaves")
	for _, o := range a.Options {
		fmt.Fprintf(tw, "%s\t%.2f\t%.2f\t%.2f\n", o.Name(), o.Cost, o.Expected, o.Saving)
	}
	if err := tw.Flush(); err != nil {
		return err
	}
	how := "No plan costs less."
	if !a.Exact {
		how = "The case is too large for proof within the limit of work: no worse than looking one step ahead."
	}
	_, err := fmt.Fprintf(w, "\n%s\n%s Without any check: %.2f.\nSource: Heckerman, Breese & Rommelse, Comm. ACM 38(3) (1995) 49\n"+
		"Caution: Cost is no measure where the work can hurt; mind the cautions of each check and the maker's instructions.\n", a.Reason.Sentence, how, a.NoChecks)
	return err
}
