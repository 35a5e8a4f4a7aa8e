package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"testing"
)

// What is accepted gives finite figures that can be written as JSON; everything else gives an error. Nothing panics.
func FuzzRenewCase(f *testing.F) {
	for _, s := range []string{
		`{"dist":"weibull","shape":"2.8","scale":13000,"cp":60,"cf":"900"}`,
		`{"dist":"lognormal","sigma":0.5,"median":1,"cp":1,"cf":20}`,
		`{"dist":"weibull_mixture","weights":["0.2",0.8],"components":[{"shape":2,"scale":9000},{"shape":"3.5","scale":1.8e4}],"cp":60,"cf":900}`,
		`{"dist":"weibull","shape":1e4,"scale":1e-12,"cp":1e-9,"cf":1e15}`,
		`{"dist":"weibull","shape":null,"scale":"","cp":{},"cf":[]}`, `[]`, `{`, ``,
	} {
		f.Add([]byte(s))
	}
	dir := f.TempDir()
	f.Fuzz(func(t *testing.T, text []byte) {
		if len(text) > 2000 {
			return // long mixtures only take long
		}
		name := filepath.Join(dir, "case.json")
		if err := os.WriteFile(name, text, 0o600); err != nil {
			t.Fatal(err)
		}
		var out, errs bytes.Buffer
		err := (&renewCmd{Case: name, JSON: true}).Run(console{nil, &out, &errs})
		if err != nil {
			if out.Len() > 0 || err.Error() == "" {
				t.Fatalf("an error and yet %q", out.String())
			}
			return
		}
		var a map[string]any
		if err := json.Unmarshal(out.Bytes(), &a); err != nil || a["cost_rate"].(float64) <= 0 || a["reason"] == "" {
			t.Fatalf("%s: %v", out.String(), err)
		}
	})
}
