package bif_test

import (
	"bytes"
	"errors"
	"math"
	"strings"
	"testing"

	"witnessmark/core/bif"
	"witnessmark/core/cause"
)

// damp is an invented network that uses everything the grammar has.
const damp = `// a comment
network "damp floor" {
  property author = nobody in particular ;
}
/* two
   lines */
variable rain { type discrete [ 2 ] { yes, no }; property "shown" ; }
variable "door seal" { type discrete[3]{sound,worn,torn}; }
variable floor { type discrete [ 2 ] { dry damp-ish }; }
probability ( rain ) { table 0.3 0.7; }
probability ( "door seal" ) { table 0.8, 0.15, 5e-2; }
probability ( floor | rain, "door seal" ) {
  default 1, 0;
  (yes, worn) 0.6, 0.4; // sometimes
  (yes, torn) 0.1, 0.9;
}
`

func TestParse(t *testing.T) {
	text := strings.Replace(damp, "dry damp-ish", "dry, damp-ish", 1)
	doc, err := bif.Parse([]byte(text))
	if err != nil {
		t.Fatal(err)
	}
	net, err := doc.Network()
	if err != nil {
		t.Fatal(err)
	}
	b, err := net.Posterior(cause.Evidence{"floor": cause.Is("damp-ish")})
	if err != nil {
		t.Fatal(err)
	}
	// 0.3*(0.15*0.4 + 0.05*0.9) = 0.0315; of it torn 0.0135.
	if p, _ := b.P("door seal", "torn"); math.Abs(b.ProbEvidence()-0.0315) > 1e-15 || math.Abs(p-0.0135/0.0315) > 1e-15 {
		t.Errorf("P(damp) = %v, P(torn | damp) = %v", b.ProbEvidence(), p)
	}
	if doc.Name != "damp floor" || doc.Properties[0] != "author = nobody in particular" || doc.Variables[0].Properties[0] != `"shown"` {
		t.Errorf("%+v", doc)
	}
	again(t, doc)
}

// again holds a document to its promise: it reads back, and gives the same bytes.
func again(t *testing.T, doc *bif.Document) {
	t.Helper()
	first := doc.Bytes()
	back, err := bif.Parse(first)
	if err != nil {
		t.Fatalf("own output refused: %v\n%s", err, first)
	}
	if second := back.Bytes(); !bytes.Equal(first, second) {
		t.Fatalf("written again it differs:\n%s\n%s", first, second)
	}
}

// TestWholeTable: one list for a variable with parents, own state slowest (the grammar) or fastest (when only that sums to 1).
func TestWholeTable(t *testing.T) {
	head := "network n { }\nvariable a { type discrete [ 2 ] { x, y }; }\nvariable b { type discrete [ 2 ] { x, y }; }\nprobability ( a ) { table 0.5, 0.5; }\n"
	for _, list := range []string{"0.9, 0.3, 0.1, 0.7", "0.9, 0.1, 0.3, 0.7"} {
		doc, err := bif.Parse([]byte(head + "probability ( b | a ) { table " + list + "; }\n"))
		if err != nil {
			t.Fatal(err)
		}
		if rows := doc.Tables[1].Rows; rows[0][0] != 0.9 || rows[1][0] != 0.3 || rows[1][1] != 0.7 {
			t.Errorf("%s: %v", list, rows)
		}
	}
}

// TestFromNetwork writes a noisy-OR out as a table and gets the same answers back.
func TestFromNetwork(t *testing.T) {
	var b cause.Builder
	b.AddCause("pump", 0.1)
	b.AddCause("hose end", 0.05)
	b.AddFinding("traces", 0.01, []cause.Link{{Cause: "pump", Q: 0.8}, {Cause: "hose end", Q: 0.5}})
	net, err := b.Build()
	if err != nil {
		t.Fatal(err)
	}
	doc, err := bif.FromNetwork("traces", net)
	if err != nil {
		t.Fatal(err)
	}
	again(t, doc)
	other, err := doc.Network()
	if err != nil {
		t.Fatal(err)
	}
	e := cause.Evidence{"traces": cause.Is(cause.Present)}
	x, _ := net.Posterior(e)
	y, err := other.Posterior(e)
	if err != nil {
		t.Fatal(err)
	}
	p, _ := x.P("pump", cause.Present)
	q, _ := y.P("pump", cause.Present)
	if math.Abs(p-q) > 1e-14 {
		t.Errorf("%v and %v", p, q)
	}
}

// TestBad: every problem names its line.
func TestBad(t *testing.T) {
	const v = "network n { }\nvariable a { type discrete [ 2 ] { x, y }; }\n"
	tests := []struct {
		text string
		line int
		want string
	}{
		{"", 1, `the end of the text, expected "network"`},
		{"net n { }", 1, `"net", expected "network"`},
		{"network n {", 1, "the end of the text"},
		{"network n { }\nfoo", 2, `"foo", expected "variable"`},
		{"network n { }\n/* never", 2, "does not end"},
		{v + "variable a { type discrete [ 1 ] { x }; }", 3, "twice"},
		{"network n { }\nvariable a { }", 2, "no type"},
		{"network n { }\nvariable a { type discrete [ 3 ] { x, y }; }", 2, "2 listed"},
		{"network n { }\nvariable a { type discrete [ 2 ] { x, x }; }", 2, `state "x" twice`},
		{v, 3, "no probability block"},
		{v + "probability ( b ) { table 1; }", 3, `no variable "b"`},
		{v + "probability ( a | c ) { table 1, 0; }", 3, `parent "c"`},
		{v + "probability ( a ) {\n table 0.5; }", 4, "1 probabilities"},
		{v + "probability ( a ) {\n table 0.5, 0.6; }", 3, "does not sum"},
		{v + "probability ( a ) {\n table 0.5, -0.5; }", 4, "expected a probability"},
		{v + "probability ( a ) {\n table 0.5, NaN; }", 4, "expected a probability"},
		{v + "probability ( a ) {\n table 0.5,, 0.5; }", 4, "expected a probability"},
		{v + "probability ( a ) {\n table 0.5, 0.5; }\nprobability ( a ) { table 1, 0; }", 5, "second probability block"},
		{v + "probability ( a | a ) { (x) 1, 0; (y) 1, 0; }", 3, "own parent"},
		{v + "probability ( a ) {\n (x) 1, 0; }", 4, "1 states given"},
		{v + "variable b { type discrete [ 2 ] { x, y }; }\nprobability ( b ) { table 1, 0; }\nprobability ( a | b ) {\n(x) 1, 0; }", 5, "lacks row 2 of 2"},
		{v + "variable b { type discrete [ 2 ] { x, y }; }\nprobability ( b ) { table 1, 0; }\nprobability ( a | b ) {\n(x) 1, 0;\n(z) 1, 0; }", 7, `no state "z"`},
		{v + "variable b { type discrete [ 2 ] { x, y }; }\nprobability ( b ) { table 1, 0; }\nprobability ( a | b ) {\n(x) 1, 0;\n(x) 1, 0; }", 7, "second row"},
	}
	for _, tt := range tests {
		doc, err := bif.Parse([]byte(tt.text))
		var at *bif.Error
		if !errors.As(err, &at) || doc != nil || at.Line != tt.line || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%q:\n got %v\nwant line %d: %s", tt.text, err, tt.line, tt.want)
		}
	}
}

// FuzzParse: whatever is accepted is written in a form that is accepted and written to the same bytes.
func FuzzParse(f *testing.F) {
	f.Add(strings.Replace(damp, "dry damp-ish", "dry, damp-ish", 1))
	f.Add("network n { }")
	f.Add("network \"table\" { property x; }\nvariable \"a b\" { type discrete [ 1 ] { / }; }\nprobability ( \"a b\" ) { default 1; }")
	f.Fuzz(func(t *testing.T, text string) {
		if doc, err := bif.Parse([]byte(text)); err == nil {
			again(t, doc)
		}
	})
}
