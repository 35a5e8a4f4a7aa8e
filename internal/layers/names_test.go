package layers

import (
	"fmt"
	"go/ast"
	"strings"
	"testing"
)

// undescribed finds exported names without a comment that begins with the name. Programs and tests export to nobody.
func undescribed(s source) []string {
	if s.test || s.file.Name.Name == "main" {
		return nil
	}
	var bad []string
	want := func(name *ast.Ident, docs ...*ast.CommentGroup) {
		if name.IsExported() && !begins(docs, name.Name) {
			bad = append(bad, fmt.Sprintf("%s: %s needs a comment that begins with its name: a reader meets it without its code", at(name), name.Name))
		}
	}
	for _, d := range s.file.Decls {
		switch d := d.(type) {
		case *ast.FuncDecl:
			if reachable(d) {
				want(d.Name, d.Doc)
			}
		case *ast.GenDecl:
			for _, spec := range d.Specs {
				switch spec := spec.(type) {
				case *ast.TypeSpec:
					want(spec.Name, spec.Doc, d.Doc)
				case *ast.ValueSpec:
					if grouped(d, spec) {
						continue
					}
					for _, name := range spec.Names {
						want(name, spec.Doc, d.Doc)
					}
				}
			}
		}
	}
	return bad
}

// grouped says whether a constant or variable leans on the comment of its group or stands beside one of its own,
// because "the verdicts, from best to worst" says more than seven single sentences.
func grouped(d *ast.GenDecl, spec *ast.ValueSpec) bool {
	return d.Lparen.IsValid() && (d.Doc != nil || spec.Doc != nil || spec.Comment != nil)
}

// begins says whether the first comment that is there begins with the name, an article before it aside.
func begins(docs []*ast.CommentGroup, name string) bool {
	for _, doc := range docs {
		if doc == nil {
			continue
		}
		words := strings.Fields(doc.Text())
		for len(words) > 0 && (words[0] == "A" || words[0] == "An" || words[0] == "The") {
			words = words[1:]
		}
		return len(words) > 0 && (strings.TrimRight(words[0], ",:.;") == name || strings.HasPrefix(words[0], name+"'"))
	}
	return false
}

// reachable says whether other packages can call a function: it is no method, or one of an exported type.
func reachable(f *ast.FuncDecl) bool {
	if f.Recv == nil {
		return true
	}
	x := f.Recv.List[0].Type
	for {
		switch y := x.(type) {
		case *ast.StarExpr:
			x = y.X
		case *ast.IndexExpr:
			x = y.X
		case *ast.IndexListExpr:
			x = y.X
		case *ast.Ident:
			return y.IsExported()
		default:
			return false
		}
	}
}

func TestExportedNamesAreDescribed(t *testing.T) { report(t, undescribed) }
