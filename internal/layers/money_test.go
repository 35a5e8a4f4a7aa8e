package layers

import (
	"go/ast"
	"go/token"
	"strings"
	"testing"
)

// floats finds floating-point types and numbers in the packages that compute with amounts.
func floats(s source) []string {
	if !under(s.pkg, "core/money") && !under(s.pkg, "core/estimate") || s.test {
		return nil
	}
	var bad []string
	ast.Inspect(s.file, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.Ident:
			if n.Name == "float64" || n.Name == "float32" {
				bad = append(bad, s.name+" uses "+n.Name)
			}
		case *ast.BasicLit:
			// 1e15 is a whole number where an integer is asked for; a literal with a point never is.
			if n.Kind == token.FLOAT && strings.Contains(n.Value, ".") {
				bad = append(bad, s.name+" has the number "+n.Value)
			}
		}
		return true
	})
	return bad
}

// TestNoFloatTouchesAnAmount: amounts are whole minor units from the first to the last step.
func TestNoFloatTouchesAnAmount(t *testing.T) {
	found := 0
	for _, s := range sources(t) {
		if under(s.pkg, "core/money") && !s.test {
			found++
		}
		for _, bad := range floats(s) {
			t.Error(bad)
		}
	}
	if found == 0 {
		t.Error("core/money was not read")
	}
}
