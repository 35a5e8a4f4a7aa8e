package main

import (
	"encoding/csv"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"witnessmark/core/slope"
)

func TestReadGroups(t *testing.T) {
	want := [][]slope.Point{{{X: 1, Y: 2.5}, {X: 3, Y: -4}}, {{X: 0.2, Y: 1e3}}}
	for name, text := range map[string]string{
		"plain":           "g,x,y\na,1,2.5\nb,.2,1e3\na,3,-4\n",
		"any order":       "y,g,x\n2.5,a,1\n1000,b,0.2\n-4,a,3\n",
		"spreadsheet":     "\ufeffg,x,y\r\na,1,2.5\r\nb,0.2,1000\r\na,3,-4\r\n",
		"blanks and gaps": " g , x,y\n\na, 1,+2.5 \nb ,0.2,1000\n\na,3,-4",
		"quoted":          "\"g\",\"x\",\"y\"\n\"a\",\"1\",\"2.5\"\nb,0.2,1000\na,3,-4\n",
	} {
		got, err := readGroups(strings.NewReader(text))
		if err != nil || !cmp.Equal(got, want) {
			t.Errorf("%s: %v, %v", name, got, err)
		}
	}
}

func TestReadGroupsNamesLineAndWhatWasExpected(t *testing.T) {
	for text, want := range map[string]string{
		"":                              "line 1: nothing there, expected a header with the columns g, x and y",
		"g;x;y\n1;2;3\n":                `line 1: the columns are ["g;x;y"]; expected g, x and y, separated by commas: g is missing`,
		"g,x\na,1\n":                    "y is missing",
		"g,x,y,z\na,1,2,3\n":            "expected g, x and y and no others",
		"g,x,y,x\na,1,2,3\n":            `line 1: the column "x" stands there twice`,
		"g,x,y\na,1,2\na,1\n":           "line 3: 2 values, expected 3: g, x and y",
		"g,x,y\na,1,2,\n":               "line 2: 4 values, expected 3",
		"g,x,y\n ,1,2\n":                "line 2: g is empty",
		"g,x,y\na,1,2\n\na,one,2\n":     `line 4: x is "one", expected a number such as 12.5`,
		"g,x,y\na,1,\"2,5\"\n":          `line 2: y is "2,5", expected a number`,
		"g,x,y\na,1,\n":                 `line 2: y is "", expected a number`,
		"g,x,y\na,1,NA\n":               `line 2: y is "NA"`,
		"g,x,y\na,1,NaN\n":              `line 2: y is "NaN"`,
		"g,x,y\na,1,Inf\n":              `line 2: y is "Inf"`,
		"g,x,y\na,1,1e999\n":            `line 2: y is "1e999"`,
		"g,x,y\na,0x10,1\n":             `line 2: x is "0x10"`,
		"g,x,y\na,1,2\na,\"1,2\n":       "expected values separated by commas",
		"g,x,y\na,1,2\nb,1\"2,3\n":      "line 3, column",
		strings.Repeat("c,", 99) + "\n": "line 1: the column \"c\" stands there twice",
	} {
		if got, err := readGroups(strings.NewReader(text)); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, %v; want %q", text, got, err, want)
		}
	}
}

// FuzzReadGroups: whatever the bytes are, they are refused with a sentence, or they are readings that come back from their plain form, and
// fitting them ends in an error or in finite numbers.
func FuzzReadGroups(f *testing.F) {
	for _, s := range []string{"", "g,x,y\n", "g,x,y\na,1,2\n", "y,x,g\n1,2,a\n2,3,a\n4,4,a\n1,1,b\n2,2,b\n4,3.5,b\n", "g,x,y\n\"a\n\",1e308,-1e308\na,0,1\nb,5e-324,2\nb,2,3\nb,4,4"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		groups, err := readGroups(strings.NewReader(string(text)))
		if err != nil {
			if strings.TrimSpace(err.Error()) == "" {
				t.Fatal("refused without a word")
			}
			return
		}
		var plain strings.Builder
		w := csv.NewWriter(&plain)
		w.Write([]string{"g", "x", "y"})
		for i, g := range groups {
			for _, p := range g {
				w.Write([]string{fmt.Sprint("n", i), fmt.Sprint(p.X), fmt.Sprint(p.Y)})
			}
		}
		w.Flush()
		again, err := readGroups(strings.NewReader(plain.String()))
		if err != nil || !cmp.Equal(again, groups) {
			t.Fatalf("%q became %q: %v, %v", text, plain.String(), again, err)
		}
		for _, o := range []slope.Options{{}, {ML: true, Uncorrelated: true}} {
			e, err := slope.Fit(groups, o)
			if err == nil && math.IsNaN(e.LogLik-e.LogLik+e.VarSlope-e.VarSlope+e.Fixed[0]-e.Fixed[0]) {
				t.Fatalf("%q: %+v", text, e)
			}
		}
	})
}
