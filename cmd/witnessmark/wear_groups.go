package main

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"witnessmark/core/slope"
)

// groupColumns are the columns of a table of grouped readings, found by their names in any order.
var groupColumns = [3]string{"g", "x", "y"}

// readGroups reads a CSV table with the columns g (the group's name), x and y; groups in the order in which they first appear. Errors name
// the line and what was expected there.
func readGroups(in io.Reader) ([][]slope.Point, error) {
	r := csv.NewReader(in)
	r.FieldsPerRecord = -1 // told more plainly below
	r.ReuseRecord = true
	head, err := r.Read()
	if err == io.EOF {
		return nil, errors.New("line 1: nothing there, expected a header with the columns g, x and y")
	}
	if err != nil {
		return nil, plainCSV(err)
	}
	at, err := findColumns(head)
	if err != nil {
		return nil, fmt.Errorf("line 1: %w", err)
	}
	index := map[string]int{}
	var groups [][]slope.Point
	for {
		row, err := r.Read()
		if err == io.EOF {
			return groups, nil
		}
		if err != nil {
			return nil, plainCSV(err)
		}
		name, p, err := readPoint(row, at)
		if err != nil {
			line, _ := r.FieldPos(0)
			return nil, fmt.Errorf("line %d: %w", line, err)
		}
		i, ok := index[name]
		if !ok {
			i = len(groups)
			index[strings.Clone(name)] = i
			groups = append(groups, nil)
		}
		groups[i] = append(groups[i], p)
	}
}

// findColumns says where each of the three columns stands.
func findColumns(head []string) (at [3]int, err error) {
	found := map[string]int{}
	for i, h := range head {
		h = strings.TrimSpace(strings.TrimPrefix(h, "\ufeff"))
		if _, twice := found[h]; twice {
			return at, fmt.Errorf("the column %q stands there twice, expected g, x and y once each", h)
		}
		found[h] = i
	}
	for i, name := range groupColumns {
		pos, ok := found[name]
		if !ok {
			return at, fmt.Errorf("the columns are %s; expected g, x and y, separated by commas: %s is missing", quoted(head), name)
		}
		at[i] = pos
	}
	if len(head) > len(groupColumns) {
		return at, fmt.Errorf("the columns are %s; expected g, x and y and no others", quoted(head))
	}
	return at, nil
}

// quoted lists names, a few of them when there are many.
func quoted(names []string) string {
	const few = 8
	if len(names) > few {
		return fmt.Sprintf("%q and %d more", names[:few], len(names)-few)
	}
	return fmt.Sprintf("%q", names)
}

// readPoint reads one row.
func readPoint(row []string, at [3]int) (group string, p slope.Point, err error) {
	if len(row) != len(at) {
		return "", p, fmt.Errorf("%d values, expected 3: g, x and y", len(row))
	}
	if group = strings.TrimSpace(row[at[0]]); group == "" {
		return "", p, errors.New("g is empty, expected the name of the group")
	}
	if p.X, err = plainNumber("x", row[at[1]]); err != nil {
		return "", p, err
	}
	p.Y, err = plainNumber("y", row[at[2]])
	return group, p, err
}

// plainNumber reads a finite decimal number with a point.
func plainNumber(column, text string) (float64, error) {
	text = strings.TrimSpace(text)
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || math.IsInf(v, 0) || strings.Trim(text, "0123456789+-.eE") != "" {
		return 0, fmt.Errorf("%s is %q, expected a number such as 12.5", column, text)
	}
	return v, nil
}

// plainCSV words an error of the format.
func plainCSV(err error) error {
	if pe := (*csv.ParseError)(nil); errors.As(err, &pe) {
		return fmt.Errorf("line %d, column %d: %w; expected values separated by commas", pe.Line, pe.Column, pe.Err)
	}
	return err
}
