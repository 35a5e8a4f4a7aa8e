package main

import (
	"bytes"
	"cmp"
	"fmt"
	"io"
	"maps"
	"slices"
	"text/tabwriter"

	"witnessmark/core/cause"
)

// causeCmd reasons from findings to causes.
type causeCmd struct {
	Ask  causeAskCmd  `cmd:"" default:"withargs" help:"How probable each cause is, given what was seen."`
	Next causeNextCmd `cmd:"" help:"What to do next: the check or repair with the smallest expected cost until the job is done."`
}

// causeAskCmd works out the posterior of a network.
type causeAskCmd struct {
	Net      string `arg:"" help:"The network: BIF, or JSON with causes and findings; - for standard input."`
	Evidence string `arg:"" help:"What was seen (JSON); - for standard input."`
	JSON     bool   `help:"Write JSON."`
}

// causeAnswer is the posterior as JSON. A cause has one number, a variable with a table one by state.
type causeAnswer struct {
	Prob      float64        `json:"prob_evidence"`
	LogProb   float64        `json:"log_prob_evidence"`
	Posterior map[string]any `json:"posterior"`
}

// Run reads the network and the evidence and writes the posterior.
func (c *causeAskCmd) Run(con console) error {
	if c.Net == "-" && c.Evidence == "-" {
		return usageError{"the network and the evidence can't both be standard input"}
	}
	text, name, err := readBounded(c.Net, con)
	if err != nil {
		return err
	}
	net, err := parseNet(text)
	if err != nil {
		return fmt.Errorf("%s: %s", name, indentLines(err, name))
	}
	if text, name, err = readBounded(c.Evidence, con); err != nil {
		return err
	}
	seen, err := net.evidence(text)
	if err != nil {
		return fmt.Errorf("%s: %s", name, indentLines(err, name))
	}
	b, err := net.Posterior(seen)
	if err != nil {
		return fmt.Errorf("%s: %s", name, indentLines(err, name))
	}
	answer := causeAnswer{b.ProbEvidence(), b.LogProbEvidence(), map[string]any{}}
	for _, id := range net.asked {
		if s, ok := seen[id]; ok && s.Likelihood == nil && !net.layers {
			continue
		}
		d, err := b.Distribution(id)
		if err != nil {
			return err
		}
		answer.Posterior[id] = net.show(id, d)
	}
	if c.JSON {
		return writeJSON(con.out, answer)
	}
	return writeCauses(con.out, answer)
}

// show is a distribution as the answer writes it.
func (n *askedNet) show(id string, d []float64) any {
	states, _ := n.States(id)
	if n.layers && slices.Equal(states, []string{cause.Absent, cause.Present}) {
		return d[1]
	}
	out := map[string]float64{}
	for i, s := range states {
		out[s] = d[i]
	}
	return out
}

func writeCauses(w io.Writer, a causeAnswer) error {
	type line struct {
		text string
		p    float64
	}
	var lines []line
	for _, id := range slices.Sorted(maps.Keys(a.Posterior)) {
		switch d := a.Posterior[id].(type) {
		case float64:
			lines = append(lines, line{id, d})
		case map[string]float64:
			for _, s := range slices.Sorted(maps.Keys(d)) {
				lines = append(lines, line{id + " = " + s, d[s]})
			}
		}
	}
	slices.SortStableFunc(lines, func(a, b line) int { return cmp.Compare(b.p, a.p) })
	tw := tabwriter.NewWriter(w, 0, 4, 2, ' ', 0)
	for _, l := range lines {
		fmt.Fprintf(tw, "%s\t%.2f %%\n", l.text, 100*l.p)
	}
	if err := tw.Flush(); err != nil {
		return err
	}
	_, err := fmt.Fprintf(w, "\nProbability of what was seen: %s (logarithm %s)\nSource: Pearl, Probabilistic Reasoning in Intelligent Systems (1988)\n"+
		"Caution: A probable cause is a place to look, not a diagnosis; the network is a judgement.\n", figure(a.Prob), figure(a.LogProb))
	return err
}

// mostNet bounds a network, evidence or case.
const mostNet = 16 << 20

// readBounded reads a named file, or standard input for "-", to its end.
func readBounded(file string, con console) (text []byte, name string, err error) {
	in, name, err := open(file, con)
	if err != nil {
		return nil, name, err
	}
	defer in.Close()
	if text, err = io.ReadAll(io.LimitReader(in, mostNet+1)); err != nil {
		return nil, name, fmt.Errorf("%s: %w", name, err)
	}
	if len(text) > mostNet {
		return nil, name, fmt.Errorf("%s: larger than %d MB", name, mostNet>>20)
	}
	return text, name, nil
}

// indentLines puts the file's name before every line of an error but the first.
func indentLines(err error, name string) string {
	return string(bytes.ReplaceAll([]byte(err.Error()), []byte("\n"), []byte("\n"+name+": ")))
}
