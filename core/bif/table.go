package bif

import "slices"

// table puts a block together once all variables are known.
func (p *parser) table(r raw) error {
	at, ok := p.byName[r.table.Variable]
	if !ok {
		return wrong(r.line, "there is no variable %q", r.table.Variable)
	}
	for _, t := range p.doc.Tables {
		if t.Variable == r.table.Variable {
			return wrong(r.line, "a second probability block for %q", t.Variable)
		}
	}
	states := p.doc.Variables[at].States
	var parents [][]string
	rows := 1
	for i, name := range r.table.Parents {
		j, ok := p.byName[name]
		if name == r.table.Variable {
			return wrong(r.line, "%q can't be its own parent", name)
		}
		if !ok || slices.Contains(r.table.Parents[:i], name) {
			return wrong(r.line, "the parent %q is unknown or there twice", name)
		}
		parents = append(parents, p.doc.Variables[j].States)
		if rows *= len(parents[i]); rows > maxRows {
			return wrong(r.line, "the table of %q has more than %d rows", r.table.Variable, maxRows)
		}
	}
	r.table.Rows = make([][]float64, rows)
	var rest []float64
	for _, e := range r.entries {
		if err := fill(&r, e, states, parents, &rest); err != nil {
			return err
		}
	}
	for i, row := range r.table.Rows {
		if row == nil {
			if rest == nil {
				return wrong(r.line, "the table of %q lacks row %d of %d", r.table.Variable, i+1, rows)
			}
			r.table.Rows[i] = slices.Clone(rest)
		}
		if !sums(r.table.Rows[i]) {
			return wrong(r.line, "row %d of the table of %q does not sum to 1", i+1, r.table.Variable)
		}
	}
	p.doc.Tables = append(p.doc.Tables, r.table)
	return nil
}

// fill puts one entry in its place.
func fill(r *raw, e entry, states []string, parents [][]string, rest *[]float64) error {
	want := len(states)
	if e.what == "table" {
		want *= len(r.table.Rows)
	}
	if len(e.values) != want {
		return wrong(e.line, "%d probabilities for %q, expected %d", len(e.values), r.table.Variable, want)
	}
	switch e.what {
	case "default":
		if *rest != nil {
			return wrong(e.line, "a second default for %q", r.table.Variable)
		}
		*rest = e.values
	case "table":
		for i := range r.table.Rows {
			if r.table.Rows[i] != nil {
				return wrong(e.line, "row %d of %q is there already", i+1, r.table.Variable)
			}
		}
		r.table.Rows = whole(e.values, len(states))
	default:
		row, err := place(r, e, parents)
		if err != nil {
			return err
		}
		if r.table.Rows[row] != nil {
			return wrong(e.line, "a second row for the same states of the parents of %q", r.table.Variable)
		}
		r.table.Rows[row] = e.values
	}
	return nil
}

func place(r *raw, e entry, parents [][]string) (int, error) {
	if len(e.given) != len(parents) {
		return 0, wrong(e.line, "%d states given, but %q has %d parents", len(e.given), r.table.Variable, len(parents))
	}
	row := 0
	for i, g := range e.given {
		s := slices.Index(parents[i], g)
		if s < 0 {
			return 0, wrong(e.line, "the parent %q has no state %q", r.table.Parents[i], g)
		}
		row = row*len(parents[i]) + s
	}
	return row, nil
}

// whole cuts one list into rows: own state slowest as the grammar has it, unless only the other way gives rows with the sum 1.
func whole(values []float64, own int) [][]float64 {
	n := len(values) / own
	slow, fast := make([][]float64, n), make([][]float64, n)
	good := true
	for i := range n {
		fast[i] = slices.Clone(values[i*own : (i+1)*own])
		for s := range own {
			slow[i] = append(slow[i], values[s*n+i])
		}
		good = good && sums(slow[i])
	}
	if good {
		return slow
	}
	return fast
}
