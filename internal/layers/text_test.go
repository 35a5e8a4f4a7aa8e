package layers

import (
	"bytes"
	"fmt"
	"strings"
	"testing"
)

// foreign are texts that must not stand in any file of this tree. They are put together here so that this file does
// not hold them itself.
var foreign = map[string]string{
	"registry" + ".npmjs.org": "names a host that serves packages: a mirror must do as well",
	"proxy" + ".golang.org":   "names a host that serves packages: a mirror must do as well",
	"sum" + ".golang.org":     "names a host that serves packages: a mirror must do as well",
	"deb" + ".debian.org":     "names a host that serves packages: a mirror must do as well",
	"index" + ".crates.io":    "names a host that serves packages: a mirror must do as well",
	"pypi" + ".org":           "names a host that serves packages: a mirror must do as well",
	"/" + "work/":             "names a directory of one machine",
	"/" + "tmp/":              "names a directory of one machine; tests take t.TempDir, scripts mktemp",
	"/" + "root/":             "names a directory of one machine",
	"/" + "home/":             "names a directory of one machine",
}

// machineBound finds those texts in one file.
func machineBound(name string, text []byte) []string {
	var found []string
	for bad, why := range foreign {
		for i, line := range bytes.Split(text, []byte("\n")) {
			if at := bytes.Index(line, []byte(bad)); at >= 0 && !partOfLonger(line, at, bad) {
				found = append(found, fmt.Sprintf("%s:%d: %q %s", name, i+1, bad, why))
			}
		}
	}
	return found
}

func TestTextBelongsToNoMachine(t *testing.T) {
	files, err := readTree()
	if err != nil {
		t.Fatal(err)
	}
	for name, text := range files {
		for _, bad := range machineBound(name, text) {
			t.Error(bad)
		}
	}
}

// partOfLonger says whether a directory begins inside a longer path or address ("/paperwork/", "example/work/").
func partOfLonger(line []byte, at int, bad string) bool {
	if !strings.HasPrefix(bad, "/") || at == 0 {
		return false
	}
	c := line[at-1]
	return c == '.' || c == '/' || c == '}' || c == '-' || '0' <= c && c <= '9' || 'A' <= c && c <= 'Z' || 'a' <= c && c <= 'z'
}
