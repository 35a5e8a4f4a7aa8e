package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"witnessmark/core/sums"
)

// sumsCmd works a sum of the workshop out, or lists those that there are.
type sumsCmd struct {
	Name   string   `arg:"" optional:"" help:"Name of the sum; without it every sum is listed."`
	Values []string `arg:"" optional:"" name:"key=value" help:"What the sum asks for, each value with its unit: now=-20C drain=4L."`
	JSON   bool     `help:"Write JSON."`
}

// usageError is wrong usage that only the command itself can see; the program then exits with 2.
type usageError struct{ text string }

// Error gives the sentence.
func (e usageError) Error() string { return e.text }

// Run lists the sums or works one out.
func (c *sumsCmd) Run(con console) error {
	if c.Name == "" {
		if c.JSON {
			return writeJSON(con.out, describeSums())
		}
		return listSums(con.out)
	}
	sum, ok := sums.Find(c.Name)
	if !ok {
		return usageError{fmt.Sprintf("there is no sum %q%s; witnessmark sums lists them all", c.Name, similarSum(c.Name))}
	}
	args := map[string]string{}
	for _, v := range c.Values {
		key, value, ok := strings.Cut(v, "=")
		if !ok || key == "" {
			return usageError{fmt.Sprintf("%q is no key=value; %s takes %s", v, sum.Name, sumKeys(sum))}
		}
		if _, twice := args[key]; twice {
			return usageError{fmt.Sprintf("%s is given twice", key)}
		}
		args[key] = value
	}
	result, err := sum.Run(args)
	if err != nil {
		return err
	}
	if c.JSON {
		return writeSumJSON(con.out, result)
	}
	return writeSum(con.out, sum, result)
}

func sumKeys(s sums.Sum) string {
	names := make([]string, len(s.Keys))
	for i, k := range s.Keys {
		names[i] = k.Name
	}
	return strings.Join(names, ", ")
}

// similarSum names the sums that share the first word of what was typed.
func similarSum(name string) string {
	first, _, _ := strings.Cut(strings.ToLower(name), "-")
	var found []string
	for _, s := range sums.All() {
		if first != "" && (strings.Contains(s.Name, first) || strings.HasPrefix(first, s.Name)) {
			found = append(found, s.Name)
		}
	}
	if len(found) == 0 {
		return ""
	}
	return "; did you mean " + strings.Join(found, " or ") + "?"
}

// writeSumJSON writes the fields in the order in which the sum declares them, then source and notes.
func writeSumJSON(w io.Writer, r sums.Result) error {
	fields := append([]sums.Field{}, r.Fields...)
	fields = append(fields, sums.Field{Name: "source", Value: r.Source})
	if len(r.Notes) > 0 {
		fields = append(fields, sums.Field{Name: "notes", Value: r.Notes})
	}
	b := []byte("{")
	for i, f := range fields {
		if i > 0 {
			b = append(b, ',')
		}
		var value bytes.Buffer
		if err := writeJSON(&value, f.Value); err != nil {
			return err
		}
		b = fmt.Appendf(b, "%q:%s", f.Name, bytes.TrimSpace(value.Bytes()))
	}
	var out bytes.Buffer
	if err := json.Indent(&out, append(b, '}'), "", "  "); err != nil {
		return err
	}
	out.WriteByte('\n')
	_, err := w.Write(out.Bytes())
	return err
}

// writeSum writes the answer as a table, then what must be known beside it.
func writeSum(w io.Writer, s sums.Sum, r sums.Result) error {
	fmt.Fprintln(w, s.Title)
	tw := tabwriter.NewWriter(w, 0, 4, 2, ' ', 0)
	for _, f := range r.Fields {
		o := s.Output(f.Name)
		fmt.Fprintf(tw, "  %s\t%s\t%s\n", o.Title, o.WithUnit(f.Value), o.Name)
	}
	if err := tw.Flush(); err != nil {
		return err
	}
	for _, n := range r.Notes {
		fmt.Fprintln(w, "Note:", n)
	}
	_, err := fmt.Fprintf(w, "Source: %s\nCaution: %s\n", r.Source, s.Caution)
	return err
}
