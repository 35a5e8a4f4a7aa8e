package layers

import (
	"strings"
	"testing"
)

// TestRulesBite shows each rule something that it must refuse and something that it must let pass: a rule that
// cannot fail protects nothing.
func TestRulesBite(t *testing.T) {
	long := strings.Repeat("\n", funcFail+1)
	tests := []struct {
		name, file, code string
		rule             func(source) []string
		refused          int
	}{
		{"core imports os", "core/x/a.go", `import "os"`, impureImports, 1},
		{"core imports the shop", "core/x/a.go", `import "witnessmark/shop"`, impureImports, 1},
		{"core imports the core", "core/x/a.go", `import "witnessmark/core/unit"; import "math"`, impureImports, 0},
		{"core tests read files", "core/x/a_test.go", `import "os"`, impureImports, 0},
		{"core reads the clock", "core/x/a.go", `import "time"; var x = time.Now()`, impureCalls, 1},
		{"core hands the clock on", "core/x/a.go", `import "time"; var x = time.Now`, impureCalls, 1},
		{"core prints", "core/x/a.go", `import "fmt"; func f() { fmt.Println() }`, impureCalls, 1},
		{"core formats", "core/x/a.go", `import "fmt"; func f() string { return fmt.Sprint(time.Date) }`, impureCalls, 0},
		{"web imports the store", "web/a.go", `import "witnessmark/store/sqlite"`, crossed, 1},
		{"store imports paper", "store/sqlite/a.go", `import "witnessmark/paper"`, crossed, 1},
		{"shop imports web", "shop/a.go", `import "witnessmark/web"`, crossed, 1},
		{"catalogue imports the shop", "catalogue/a.go", `import "witnessmark/shop"`, crossed, 1},
		{"sheet imports the catalogue", "sheet/a.go", `import "witnessmark/catalogue"`, crossed, 1},
		{"a test of the sheet does", "sheet/a_test.go", `import "witnessmark/catalogue"`, crossed, 0},
		{"a directory without a rule", "extra/a.go", ``, crossed, 1},
		{"the command wires", "cmd/witnessmark/a.go", `import "witnessmark/web"; import "witnessmark/store/sqlite"`, crossed, 0},
		{"internal packages stand alone", "internal/a/a.go", `import "witnessmark/internal/b"`, crossed, 1},
		{"an amount in floating point", "core/money/a.go", `func f(x float64) float64 { return x * 1.19 }`, floats, 3},
		{"an amount in whole units", "core/money/a.go", `func f(x int64) int64 { return x * 19 / 100 }`, floats, 0},
		{"a length in floating point", "core/wear/a.go", `func f(x float64) float64 { return x * 1.19 }`, floats, 0},
		{"a vague package", "shop/utils/a.go", ``, vagueName, 1},
		{"no comment", "shop/a.go", "func Open() {}", undescribed, 1},
		{"a comment that begins otherwise", "shop/a.go", "// This opens.\nfunc Open() {}", undescribed, 1},
		{"a comment", "shop/a.go", "// Open opens.\nfunc Open() {}", undescribed, 0},
		{"a method", "shop/a.go", "// T is one.\ntype T struct{}\nfunc (t *T) Do() {}", undescribed, 1},
		{"a method that nobody reaches", "shop/a.go", "type t struct{}\nfunc (t *t) Do() {}", undescribed, 0},
		{"a variable", "shop/a.go", "var Limit = 1", undescribed, 1},
		{"a group", "shop/a.go", "// Limits.\nvar (\nLow = 1\nHigh = 2\n)", undescribed, 0},
		{"a skipped test", "shop/a_test.go", "func TestA(t *testing.T) { t.Skip() }", skips, 1},
		{"a skipped subtest", "shop/a_test.go", "func TestA(t *testing.T) { t.Run(``, func(t *testing.T) { t.Skipf(``) }) }", skips, 1},
		{"a dropped draw", "shop/a_test.go", "func TestA(t *testing.T) { rapid.Check(t, func(t *rapid.T) { t.Skip() }) }", skips, 0},
		{"a dropped fuzz input", "shop/a_test.go", "func FuzzA(f *testing.F) { f.Fuzz(func(t *testing.T, s string) { t.Skip() }) }", skips, 0},
		{"a long function", "shop/a.go", "func f() {" + long + "}", tooLong, 1},
		{"a long table", "shop/a_test.go", "func TestA() { _ = []int{" + long + "} }", tooLong, 0},
		{"a long file", "shop/a.go", strings.Repeat("\n", fileFail), tooLong, 1},
		{"a registry", "README.md", "// see https://" + "registry" + ".npmjs.org/x", machineText, 1},
		{"a machine's directory", "x.sh", "// cd /" + "work/main", machineText, 1},
		{"a longer path", "x.sh", "// cd $HOME/paper/" + "work/main", machineText, 0},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s := parse(t, tt.file, []byte("package x\n"+tt.code))
			if got := tt.rule(s); len(got) != tt.refused {
				t.Errorf("found %q, want %d", got, tt.refused)
			}
		})
	}
	if got := undocumented([]source{parse(t, "shop/a.go", []byte("package shop"))}); len(got) != 1 {
		t.Errorf("a package without a comment passes: %q", got)
	}
}

func tooLong(s source) []string {
	bad, _ := lengths(s)
	return bad
}

func machineText(s source) []string { return machineBound(s.name, s.code) }
