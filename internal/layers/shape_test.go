package layers

import (
	"bytes"
	"fmt"
	"go/ast"
	"path"
	"strings"
	"testing"
)

// vague names of packages say nothing of what is inside, so anything ends up there.
var vague = map[string]bool{"util": true, "utils": true, "common": true, "helper": true, "helpers": true, "misc": true,
	"shared": true, "lib": true, "base": true}

func vagueName(s source) []string {
	if vague[path.Base(s.pkg)] || vague[s.file.Name.Name] {
		return []string{fmt.Sprintf("%s: package %s: name it after what it provides", s.name, s.file.Name.Name)}
	}
	return nil
}

// undocumented lists the packages of which no file has a package comment.
func undocumented(all []source) []string {
	documented := map[string]bool{}
	for _, s := range all {
		if s.test {
			continue
		}
		want := "Package " + s.file.Name.Name
		if s.file.Name.Name == "main" {
			want = "Command " + path.Base(s.pkg)
		}
		documented[s.pkg] = documented[s.pkg] || s.file.Doc != nil && strings.HasPrefix(s.file.Doc.Text(), want+" ")
	}
	var bad []string
	for pkg, ok := range documented {
		if !ok {
			bad = append(bad, pkg+": no file has a package comment (\"Package x …\", \"Command x …\"): nobody can tell what it is for")
		}
	}
	return bad
}

// Lengths: the tail is where taste is lost. Long files and functions are looked at again at the first number and refused
// at the second; no exception is listed here, so one would have to be argued for in this file.
const (
	fileLook, fileFail = 400, 600
	funcLook, funcFail = 45, 70
)

// lengths returns what is too long, and what deserves another look.
func lengths(s source) (bad, look []string) {
	switch lines := bytes.Count(s.code, []byte("\n")); {
	case lines > fileFail:
		bad = append(bad, fmt.Sprintf("%s has %d lines, more than %d: split it by what it is about", s.name, lines, fileFail))
	case lines > fileLook:
		look = append(look, fmt.Sprintf("%s has %d lines", s.name, lines))
	}
	for _, d := range s.file.Decls {
		f, ok := d.(*ast.FuncDecl)
		if !ok {
			continue
		}
		switch n := linesOf(f) + 1; {
		case n > funcFail && !isTable(f):
			bad = append(bad, fmt.Sprintf("%s: %s has %d lines, more than %d: give its steps names", at(f), f.Name.Name, n, funcFail))
		case n > funcLook && !s.test:
			look = append(look, fmt.Sprintf("%s: %s has %d lines", at(f), f.Name.Name, n))
		}
	}
	return bad, look
}

// isTable says whether a test is long only because of the table in it: what is left without its largest composite
// literal must be short.
func isTable(f *ast.FuncDecl) bool {
	if !strings.HasPrefix(f.Name.Name, "Test") || f.Body == nil {
		return false
	}
	largest := 0
	ast.Inspect(f.Body, func(n ast.Node) bool {
		if c, ok := n.(*ast.CompositeLit); ok {
			largest = max(largest, linesOf(c))
		}
		return true
	})
	return linesOf(f)-largest <= funcLook
}

func linesOf(n ast.Node) int { return fset.Position(n.End()).Line - fset.Position(n.Pos()).Line }

// at is where a node stands, as an editor takes it.
func at(n ast.Node) string { return fset.Position(n.Pos()).String() }

// skips finds tests that leave before they have shown anything. A fuzz target or a property that drops one drawn
// input has others; it is let through.
func skips(s source) []string {
	var bad []string
	if !s.test {
		return nil
	}
	drops := map[ast.Node]bool{}
	ast.Inspect(s.file, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.FuncDecl:
			drops[n.Body] = strings.HasPrefix(n.Name.Name, "Fuzz")
			markDrops(drops, n.Body, n.Type, drops[n.Body])
		case *ast.FuncLit:
			markDrops(drops, n.Body, n.Type, drops[n])
		case *ast.CallExpr:
			sel, ok := n.Fun.(*ast.SelectorExpr)
			if ok && strings.HasPrefix(sel.Sel.Name, "Skip") && len(sel.Sel.Name) <= len("SkipNow") && !drops[n] {
				bad = append(bad, at(n)+": a skipped test has shown nothing; make it run or take it away")
			}
		}
		return true
	})
	return bad
}

// markDrops marks everything in the body of a function that may drop inputs: in a fuzz target, or one that takes *rapid.T.
func markDrops(drops map[ast.Node]bool, body *ast.BlockStmt, typ *ast.FuncType, inside bool) {
	for _, p := range typ.Params.List {
		if star, ok := p.Type.(*ast.StarExpr); ok {
			if sel, ok := star.X.(*ast.SelectorExpr); ok {
				x, _ := sel.X.(*ast.Ident)
				inside = inside || x != nil && x.Name == "rapid"
			}
		}
	}
	if !inside || body == nil {
		return
	}
	ast.Inspect(body, func(n ast.Node) bool {
		if n != nil {
			drops[n] = true
		}
		return true
	})
}

func TestPackagesSayWhatTheyAre(t *testing.T) {
	report(t, vagueName)
	for _, bad := range undocumented(sources(t)) {
		t.Error(bad)
	}
}

func TestFilesAndFunctionsStayShort(t *testing.T) {
	for _, s := range sources(t) {
		bad, look := lengths(s)
		for _, b := range bad {
			t.Error(b)
		}
		for _, l := range look {
			t.Log("look again: " + l)
		}
	}
}

func TestNoTestIsSkipped(t *testing.T) { report(t, skips) }

// report applies a rule to every file.
func report(t *testing.T, rule func(source) []string) {
	t.Helper()
	for _, s := range sources(t) {
		for _, bad := range rule(s) {
			t.Error(bad)
		}
	}
}
