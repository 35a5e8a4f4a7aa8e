package main

import (
	"bytes"
	"strings"
	"testing"
)

func TestTally(t *testing.T) {
	tests := []struct {
		name           string
		in             string
		passed, failed int
		shows, hides   string
	}{
		{"passed", `{"Action":"run","Package":"p","Test":"A"}
{"Action":"output","Package":"p","Test":"A","Output":"quiet\n"}
{"Action":"pass","Package":"p","Test":"A"}
{"Action":"pass","Package":"p"}`, 1, 0, "", "quiet"},
		{"subtests stand for their parent", `{"Action":"run","Package":"p","Test":"A"}
{"Action":"run","Package":"p","Test":"A/x"}
{"Action":"run","Package":"p","Test":"A/y"}
{"Action":"pass","Package":"p","Test":"A/x"}
{"Action":"output","Package":"p","Test":"A/y","Output":"loud\n"}
{"Action":"fail","Package":"p","Test":"A/y"}
{"Action":"fail","Package":"p","Test":"A"}
{"Action":"fail","Package":"p"}`, 1, 1, "loud", ""},
		{"skipped is failed", `{"Action":"run","Package":"p","Test":"A"}
{"Action":"skip","Package":"p","Test":"A"}
{"Action":"pass","Package":"p"}`, 0, 1, "skipped", ""},
		{"a package without tests is neither", `{"Action":"skip","Package":"p"}`, 0, 0, "", ""},
		{"did not build", `{"Action":"build-output","ImportPath":"p","Output":"p.go:1: undefined\n"}
{"Action":"output","Package":"p","Output":"FAIL p [build failed]\n"}
{"Action":"fail","Package":"p"}`, 0, 1, "undefined", ""},
		{"what is no event is shown", "go: a line\n", 0, 0, "go: a line", ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			var out bytes.Buffer
			got := newTally(&out)
			if err := got.read(strings.NewReader(tt.in)); err != nil {
				t.Fatal(err)
			}
			if got.passed != tt.passed || got.failed != tt.failed {
				t.Errorf("passed %d, failed %d; want %d, %d", got.passed, got.failed, tt.passed, tt.failed)
			}
			if !strings.Contains(out.String(), tt.shows) {
				t.Errorf("output %q lacks %q", out.String(), tt.shows)
			}
			if tt.hides != "" && strings.Contains(out.String(), tt.hides) {
				t.Errorf("output %q shows %q", out.String(), tt.hides)
			}
		})
	}
}
