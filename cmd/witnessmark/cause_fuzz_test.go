package main

import (
	"encoding/json"
	"math"
	"strings"
	"testing"

	"witnessmark/core/nextlook"
)

// FuzzCauseNet: a network and evidence that are accepted give finite probabilities, whatever stands in them.
func FuzzCauseNet(f *testing.F) {
	f.Add(`{"causes":[{"id":"a","prior":0.1}],"findings":[{"id":"f","leak":0.1,"links":[{"cause":"a","q":0.5}]}]}`, `{"positive":["f"],"soft":{"a":{"present":1,"absent":0.5}}}`)
	f.Add("network n { }\nvariable a { type discrete [ 2 ] { x, y }; }\nprobability ( a ) { table 0.5, 0.5; }", `{"a":{"x":0.5,"y":1e-300}}`)
	f.Fuzz(func(t *testing.T, net, seen string) {
		n, err := parseNet([]byte(net))
		if err != nil {
			return
		}
		e, err := n.evidence([]byte(seen))
		if err != nil {
			return
		}
		b, err := n.Posterior(e)
		if err != nil {
			return
		}
		for _, id := range n.asked {
			d, err := b.Distribution(id)
			if err != nil {
				t.Fatal(err)
			}
			sum := 0.0
			for _, p := range d {
				sum += p
			}
			if !(math.Abs(sum-1) < 1e-6) {
				t.Fatalf("%s: %v", id, d)
			}
		}
		if math.IsNaN(b.LogProbEvidence()) || math.IsInf(b.LogProbEvidence(), 0) {
			t.Fatal(b.LogProbEvidence())
		}
	})
}

// FuzzNextCase: a case that is accepted gets an answer that JSON can write.
func FuzzNextCase(f *testing.F) {
	f.Add(`{"causes":["a","b"],"prior":[0.5,0.5],"repair_cost":[1,null],"checks":[{"id":"k","cost":1,"p_positive":[0,1]}],"escalate_cost":9,"setups":[{"cost":1,"causes":["a"]}]}`)
	f.Fuzz(func(t *testing.T, text string) {
		c, err := parseNext([]byte(text))
		if err != nil || len(c.Causes) > 6 || len(c.Checks) > 6 {
			return
		}
		a, err := nextlook.Solve(c, 100)
		if err != nil {
			return
		}
		if _, err := json.Marshal(a); err != nil || strings.Contains(a.Reason.Sentence, "NaN") {
			t.Fatal(err, a.Reason.Sentence)
		}
	})
}

// TestDecodeStrict: what the decoder alone would let pass is refused with its line.
func TestDecodeStrict(t *testing.T) {
	keys := shape{"": {"a!", "b"}, "b[]": {"c!"}}
	for text, want := range map[string]string{
		``: "not JSON", `[]`: "expected an object", `{"a":1,"a":2}`: "a stands twice", `{"A":1}`: "A: unknown key; expected a, b", `{}`: "a is missing",
		`{"a":1} x`: "after the end", "{\"a\":1,\n\"b\":[{}]}": "line 2: b[0].c is missing", `{"a":null}`: "a can't be null", `{"a":"x"}`: "a: a string can't stand here",
		"{\"a\":\"\xff\"}": "UTF-8", `{"a":1`: "not JSON", `{"b":` + strings.Repeat("[", 30): "too deep",
	} {
		var v struct {
			A int              `json:"a"`
			B []map[string]int `json:"b"`
		}
		if err := decodeStrict([]byte(text), keys, &v); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v, want %q", text, err, want)
		}
	}
}
