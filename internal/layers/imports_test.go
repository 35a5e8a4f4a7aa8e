package layers

import (
	"fmt"
	"go/ast"
	"slices"
	"strings"
	"testing"
)

// pure is what the core may import beside itself, each with the reason why it does not disturb: the core gives the
// same bytes for the same input on a server and on a phone, so nothing in it may reach a file, a socket, a log, a clock,
// the environment or a generator of chance that nobody seeded.
var pure = map[string]string{
	"cmp":           "comparison of two values",
	"crypto/sha256": "pure functions",
	"encoding/hex":  "text and bytes",
	"encoding/json": "text from values in memory",
	"errors":        "values",
	"fmt":           "text from values; printing to the standard output is refused below",
	"iter":          "types of iterators",
	"maps":          "maps in memory",
	"math":          "pure functions",
	"math/big":      "pure functions",
	"math/bits":     "pure functions",
	"regexp":        "matching of strings",
	"slices":        "slices in memory",
	"sort":          "slices in memory",
	"strconv":       "text and numbers",
	"strings":       "text",
	"time":          "types and calendar arithmetic; reading the clock is refused below",
	"unicode":       "tables",
	"unicode/utf8":  "text",
	"unicode/utf16": "text",
}

// impureImports finds what the core imports beside itself and the list.
func impureImports(s source) []string {
	var bad []string
	if !under(s.pkg, "core") || s.test {
		return nil
	}
	for _, imported := range s.imports() {
		if dir, ok := own(imported); ok && under(dir, "core") {
			continue
		}
		if pure[imported] == "" {
			bad = append(bad, fmt.Sprintf("%s imports %s: the core imports only the core and what `pure` lists", s.name, imported))
		}
	}
	return bad
}

// impure are functions of packages that the core may import, with the reason why it must not call them.
var impure = map[string]map[string]string{
	"time": {
		"Now": "reads the clock", "Since": "reads the clock", "Until": "reads the clock", "Sleep": "waits",
		"After": "waits", "AfterFunc": "waits", "Tick": "waits", "NewTimer": "waits", "NewTicker": "waits",
		"Local": "depends on the machine's time zone", "LoadLocation": "reads the machine's time zone files",
	},
	"fmt": {
		"Print": "writes to the standard output", "Printf": "writes to the standard output",
		"Println": "writes to the standard output", "Scan": "reads the standard input",
		"Scanf": "reads the standard input", "Scanln": "reads the standard input",
	},
}

// impureCalls finds uses of those functions in the core.
func impureCalls(s source) []string {
	var bad []string
	if !under(s.pkg, "core") || s.test {
		return nil
	}
	ast.Inspect(s.file, func(n ast.Node) bool {
		sel, ok := n.(*ast.SelectorExpr)
		if !ok {
			return true
		}
		if x, ok := sel.X.(*ast.Ident); ok {
			if why := impure[x.Name][sel.Sel.Name]; why != "" {
				bad = append(bad, fmt.Sprintf("%s: %s.%s in the core: %s; take it as a parameter", at(n), x.Name, sel.Sel.Name, why))
			}
		}
		return true
	})
	return bad
}

// layer is what the packages under one directory may import of this module beside their own directory.
type layer struct {
	may []string
	why string
}

var layers = map[string]layer{
	"core":      {nil, "the core knows nothing of who asks; the phone runs it too"},
	"catalogue": {[]string{"core"}, "the trade's knowledge is data and a loader into types of the core"},
	"sheet":     {[]string{"core"}, "a round on paper is read against any catalogue, which it is given"},
	"shop":      {[]string{"core"}, "what the workshop does; it declares the stores that it needs and knows none"},
	"store":     {[]string{"core", "shop"}, "an adapter: exchangeable as long as no other adapter knows it"},
	"blob":      {[]string{"core", "shop"}, "an adapter: exchangeable as long as no other adapter knows it"},
	"web":       {[]string{"core", "shop"}, "an adapter: exchangeable as long as no other adapter knows it"},
	"paper":     {[]string{"core", "shop"}, "an adapter: exchangeable as long as no other adapter knows it"},
	"post":      {[]string{"core", "shop"}, "an adapter: exchangeable as long as no other adapter knows it"},
	"internal":  {[]string{"core", "catalogue", "shop", "sheet"}, "helpers of the demo and of tests know what the workshop does, not where it is kept"},
	"tools":     {nil, "run beside the build; the program does not need them"},
	"cmd":       {[]string{"core", "catalogue", "sheet", "shop", "store", "blob", "web", "paper", "post", "internal"}, "wires everything; nothing imports it"},
}

// testMay are imports that only tests have: a test may put real parts together.
var testMay = map[string][]string{
	"shop":  {"catalogue", "store", "blob", "post", "internal"},
	"store": {"catalogue", "internal"},
	"sheet": {"catalogue"},
	"web":   {"catalogue", "store", "blob", "internal"},
	"paper": {"catalogue", "store", "blob", "internal"},
	"post":  {"catalogue", "store", "blob", "internal"},
	"core":  {"catalogue", "internal"}, // reference tables and scenarios
}

// crossed finds imports that go against the layers.
func crossed(s source) []string {
	top := first(s.pkg)
	rule, ok := layers[top]
	if !ok {
		return []string{fmt.Sprintf("%s: the directory %q has no rule in `layers`; give it one with its reason", s.name, top)}
	}
	var bad []string
	for _, imported := range s.imports() {
		dir, ok := own(imported)
		if !ok || slices.Contains(rule.may, first(dir)) || s.test && slices.Contains(testMay[top], first(dir)) {
			continue
		}
		// What stands in internal is not one thing: each directory there stands alone.
		if first(dir) == top && (top != "internal" || under(dir, s.pkg) || under(s.pkg, dir)) {
			continue
		}
		bad = append(bad, fmt.Sprintf("%s imports %s; %s may import %v: %s", s.name, imported, top, rule.may, rule.why))
	}
	return bad
}

// first is the first directory of a path.
func first(dir string) string {
	top, _, _ := strings.Cut(dir, "/")
	return top
}

func TestCoreImportsOnlyWhatIsPure(t *testing.T)        { report(t, impureImports) }
func TestCoreReadsNoClockAndPrintsNothing(t *testing.T) { report(t, impureCalls) }
func TestLayersAreKept(t *testing.T)                    { report(t, crossed) }
