package paper

import (
	"bytes"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

var update = flag.Bool("update", false, "write the golden files anew")

// tool runs a program of poppler-utils on a document. A machine without them fails the test: the text of a document
// that nobody read back is not known.
func tool(t testing.TB, pdf []byte, name string, args ...string) []byte {
	t.Helper()
	path := filepath.Join(t.TempDir(), "in.pdf")
	if err := os.WriteFile(path, pdf, 0o600); err != nil {
		t.Fatal(err)
	}
	for i, a := range args {
		if a == "IN" {
			args[i] = path
		}
	}
	cmd := exec.Command(name, args...)
	var out, problems bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &problems
	if err := cmd.Run(); err != nil {
		t.Fatalf("%s (from poppler-utils): %v\n%s", name, err, problems.Bytes())
	}
	if problems.Len() > 0 {
		t.Errorf("%s complains: %s", name, problems.Bytes())
	}
	return out.Bytes()
}

// pages gives the text of each page, in the order in which it was drawn, with spaces evened out.
func pages(t testing.TB, pdf []byte) []string {
	t.Helper()
	all := strings.Split(string(tool(t, pdf, "pdftotext", "-raw", "IN", "-")), "\f")
	all = all[:len(all)-1] // a form feed ends every page
	for i, p := range all {
		var lines []string
		for l := range strings.Lines(p) {
			if l = strings.Join(strings.Fields(l), " "); l != "" {
				lines = append(lines, l)
			}
		}
		all[i] = strings.Join(lines, "\n") + "\n"
	}
	return all
}

// flat gives a document's text in one line.
func flat(t testing.TB, pdf []byte) string {
	return strings.Join(strings.Fields(strings.Join(pages(t, pdf), " ")), " ")
}

// golden compares a text with the one in testdata.
func golden(t *testing.T, name, got string) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if *update {
		if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(want), got); diff != "" {
		t.Errorf("%s (-want +got):\n%s", name, diff)
	}
}

// grey is a page as seen: one byte for a dot, 0 is black.
type grey struct {
	w, h int
	dots []byte
}

// look renders a page at 100 dots to the inch.
func look(t testing.TB, pdf []byte, page int) grey {
	t.Helper()
	n := fmt.Sprint(page)
	data := tool(t, pdf, "pdftoppm", "-gray", "-r", "100", "-f", n, "-l", n, "IN")
	var g grey
	var deepest int
	if _, err := fmt.Fscanf(bytes.NewReader(data), "P5\n%d %d\n%d\n", &g.w, &g.h, &deepest); err != nil || g.w*g.h > len(data) {
		t.Fatalf("pdftoppm gave no picture: %v", err)
	}
	g.dots = data[len(data)-g.w*g.h:]
	return g
}

// darkness is the mean darkness, 0 to 255, of a rectangle in mm.
func (g grey) darkness(x, y, w, h float64) float64 {
	const dots = 100 / 25.4
	sum, n := 0, 0
	for py := int(y * dots); py < int((y+h)*dots); py++ {
		for px := int(x * dots); px < int((x+w)*dots); px++ {
			sum += 255 - int(g.dots[py*g.w+px])
			n++
		}
	}
	return float64(sum) / float64(n)
}
