package main

import (
	"context"
	"fmt"
	"io"
	"math"
	"os"
	"os/signal"
	"strings"
	"syscall"
	"text/tabwriter"
	"time"

	"witnessmark/core/visit"
)

// visitsCmd groups jobs into visits; docs/formats/visits.md describes its files.
type visitsCmd struct {
	Case    string  `arg:"" help:"The case (JSON): visits, shared set-ups and jobs; - for standard input."`
	JSON    bool    `help:"Write JSON."`
	Seconds float64 `help:"Stop after so many seconds with the best plan so far and its gap; 0 searches until the proof is complete. Ctrl-C stops it with the best plan so far too." default:"0"`
}

// Run reads the case, plans it and writes the plan, or what cannot be placed.
func (c *visitsCmd) Run(con console) error {
	if !(c.Seconds >= 0 && c.Seconds <= 1e6) {
		return usageError{fmt.Sprintf("--seconds %v; expected 0 to 1000000", c.Seconds)}
	}
	text, name, err := readBounded(c.Case, con)
	if err != nil {
		return err
	}
	p, err := parseVisits(text)
	if err != nil {
		return fmt.Errorf("%s: %s", name, indentLines(err, name))
	}
	asked, release := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer release()
	context.AfterFunc(asked, release) // a second one ends the program at once
	plan, err := visit.Solve(p, visit.Options{Stop: c.stop(asked)})
	if err != nil {
		return fmt.Errorf("%s: %w", name, err)
	}
	bill, err := visit.Price(p, plan.At)
	if err != nil {
		return fmt.Errorf("%s: %w", name, err)
	}
	if c.JSON {
		return writeJSON(con.out, planned(p, plan, bill))
	}
	return writePlan(con.out, p, plan, bill)
}

// stop says when the search ends before its proof: when the time is up, or when it is asked to.
func (c *visitsCmd) stop(asked context.Context) func() bool {
	if c.Seconds == 0 {
		return func() bool { return asked.Err() != nil }
	}
	end := time.Now().Add(time.Duration(c.Seconds * float64(time.Second)))
	return func() bool { return asked.Err() != nil || !time.Now().Before(end) }
}

// visitsAnswer is the plan as JSON. Without a plan the figures are null.
type visitsAnswer struct {
	Status      string            `json:"status"`
	Objective   *float64          `json:"objective"`
	Bound       *float64          `json:"bound"`
	Gap         *float64          `json:"gap"`
	Assignment  map[string]string `json:"assignment"`
	Visits      []visitLine       `json:"visits"`
	Unplaceable []unplaceable     `json:"unplaceable"`
}

// visitLine is one visit that is used.
type visitLine struct {
	ID     string   `json:"id"`
	Labour float64  `json:"labour_h"`
	Cost   float64  `json:"cost"`
	Spent  float64  `json:"spent"`
	Jobs   []string `json:"jobs"`
}

// unplaceable is a set of jobs that cannot all be placed.
type unplaceable struct {
	Jobs    []string `json:"jobs"`
	Why     string   `json:"why"`
	Minimal bool     `json:"minimal"`
}

func planned(p visit.Problem, plan visit.Plan, bill visit.Bill) visitsAnswer {
	a := visitsAnswer{Status: plan.Status.String(), Assignment: map[string]string{}, Visits: []visitLine{}, Unplaceable: []unplaceable{}}
	for _, x := range plan.Unplaceable {
		a.Unplaceable = append(a.Unplaceable, unplaceable{jobNames(p, x.Jobs), x.Why, x.Minimal})
	}
	if plan.Status != visit.Optimal && plan.Status != visit.Feasible {
		return a
	}
	a.Objective, a.Bound, a.Gap = &plan.Objective, &plan.Bound, &plan.Gap
	for j, v := range plan.At {
		a.Assignment[p.Jobs[j].ID] = p.Visits[v].ID
	}
	for _, x := range bill.Visits {
		a.Visits = append(a.Visits, visitLine{p.Visits[x.Visit].ID, float64(x.Labour) / float64(p.Hour), x.Cost, x.Spent, jobNames(p, x.Jobs)})
	}
	return a
}

func jobNames(p visit.Problem, jobs []int) []string {
	names := make([]string, len(jobs))
	for i, j := range jobs {
		names[i] = p.Jobs[j].ID
	}
	return names
}

func writePlan(w io.Writer, p visit.Problem, plan visit.Plan, bill visit.Bill) error {
	switch plan.Status {
	case visit.Infeasible:
		fmt.Fprintln(w, "No plan exists (proven).")
		for _, x := range plan.Unplaceable {
			if _, err := fmt.Fprintln(w, x.Why); err != nil {
				return err
			}
		}
		return nil
	case visit.Unknown:
		_, err := fmt.Fprintln(w, "Neither a plan nor a proof that there is none was found in the time given.")
		return err
	}
	tw := tabwriter.NewWriter(w, 0, 4, 2, ' ', 0)
	fmt.Fprintln(tw, "Visit\tDay\tLabour h\tof\tCost\tShared set-ups\tJobs")
	for _, x := range bill.Visits {
		v := p.Visits[x.Visit]
		fmt.Fprintf(tw, "%s\t%d\t%g\t%g\t%.2f\t%s\t%s\n", v.ID, v.Day, hoursOf(p, x.Labour), hoursOf(p, v.Capacity), x.Cost,
			sharedSetups(p, x), strings.Join(jobNames(p, x.Jobs), " "))
	}
	if err := tw.Flush(); err != nil {
		return err
	}
	word := "the least possible (proven)"
	if plan.Status == visit.Feasible {
		word = fmt.Sprintf("the best found; no plan costs less than %.2f (gap %.2f %%)", plan.Bound, 100*plan.Gap)
	}
	_, err := fmt.Fprintf(w, "Cost %.2f: %s\nVisits %.2f, set-ups %.2f, jobs %.2f, too early or late %.2f\n"+
		"Source: joint replacement, Dekker, Wildeman & van der Duyn Schouten, Math. Methods of Oper. Res. 45 (1997) 411\n",
		plan.Objective, word, bill.Fixed, bill.Setups, bill.Prices, bill.Penalties)
	return err
}

func hoursOf(p visit.Problem, labour int) float64 {
	return math.Round(1e4*float64(labour)/float64(p.Hour)) / 1e4
}

// sharedSetups names the set-ups that at least two jobs of the visit need.
func sharedSetups(p visit.Problem, x visit.VisitBill) string {
	times := make([]int, len(p.Setups))
	for _, j := range x.Jobs {
		for _, s := range p.Jobs[j].Setups {
			times[s]++
		}
	}
	var names []string
	for s, n := range times {
		if n > 1 {
			names = append(names, p.Setups[s].ID)
		}
	}
	if names == nil {
		return "-"
	}
	return strings.Join(names, " ")
}
