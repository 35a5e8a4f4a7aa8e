package layers

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"testing"
)

// module is the path that go.mod gives to this module.
const module = "witnessmark"

// source is one Go file of the module, parsed.
type source struct {
	name string // slash-separated, from the module's root
	pkg  string // directory of name, "" for the root
	test bool
	file *ast.File
	code []byte
}

var (
	fset     = token.NewFileSet()
	readTree = sync.OnceValues(func() (map[string][]byte, error) { return textFiles(os.DirFS("../..")) })
)

// skipped directories hold what others wrote or what was built.
func skipped(dir string) bool {
	switch path.Base(dir) {
	case ".git", "node_modules", "bin", "out":
		return true
	}
	return false
}

// textFiles reads every file of the tree that is text.
func textFiles(tree fs.FS) (map[string][]byte, error) {
	files := map[string][]byte{}
	err := fs.WalkDir(tree, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() {
			if name != "." && skipped(name) {
				return fs.SkipDir
			}
			return nil
		}
		if !d.Type().IsRegular() {
			return nil
		}
		b, err := fs.ReadFile(tree, name)
		if err != nil {
			return err
		}
		if !strings.Contains(string(b[:min(len(b), 8000)]), "\x00") {
			files[filepath.ToSlash(name)] = b
		}
		return nil
	})
	return files, err
}

// sources parses every Go file of the module.
func sources(t *testing.T) []source {
	t.Helper()
	files, err := readTree()
	if err != nil {
		t.Fatal(err)
	}
	var all []source
	for name, code := range files {
		if path.Ext(name) != ".go" || strings.Contains(name, "/testdata/") {
			continue
		}
		all = append(all, parse(t, name, code))
	}
	if len(all) < 100 {
		t.Fatalf("only %d Go files found: the tree was not read", len(all))
	}
	return all
}

func parse(t *testing.T, name string, code []byte) source {
	t.Helper()
	f, err := parser.ParseFile(fset, name, code, parser.ParseComments|parser.SkipObjectResolution)
	if err != nil {
		t.Fatal(err)
	}
	dir := path.Dir(name)
	if dir == "." {
		dir = ""
	}
	return source{name, dir, strings.HasSuffix(name, "_test.go"), f, code}
}

// imports lists the import paths of a file.
func (s source) imports() []string {
	var all []string
	for _, i := range s.file.Imports {
		p, err := strconv.Unquote(i.Path.Value)
		if err == nil {
			all = append(all, p)
		}
	}
	return all
}

// own gives the directory of an import of this module, and false for any other.
func own(imported string) (string, bool) {
	if imported == module {
		return "", true
	}
	return strings.CutPrefix(imported, module+"/")
}

// under says whether dir is root or below it.
func under(dir, root string) bool { return dir == root || strings.HasPrefix(dir, root+"/") }
