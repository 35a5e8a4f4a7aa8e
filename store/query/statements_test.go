package query

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"witnessmark/shop"
	"witnessmark/store/migrations"
)

// statements reads every SQL statement of this package, with constants put together.
func statements(t *testing.T) map[string]string {
	t.Helper()
	constants := map[string]ast.Expr{}
	var loose []ast.Expr
	visit := func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.ValueSpec:
			for i, name := range n.Names {
				if i < len(n.Values) {
					constants[name.Name] = n.Values[i]
				}
			}
		case *ast.BasicLit:
			if n.Kind == token.STRING {
				loose = append(loose, n)
			}
		}
		return true
	}
	names, err := filepath.Glob("*.go")
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range names {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		file, err := parser.ParseFile(token.NewFileSet(), name, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		ast.Inspect(file, visit)
	}
	found := map[string]string{}
	for name, value := range constants {
		if sql := text(constants, value); isStatement(sql) {
			found[name] = sql
		}
	}
	for _, value := range loose {
		if sql := text(constants, value); isStatement(sql) {
			found[sql] = sql
		}
	}
	return found
}

// text puts a constant of strings together; anything else is empty.
func text(constants map[string]ast.Expr, e ast.Expr) string {
	switch e := e.(type) {
	case *ast.BasicLit:
		s, _ := strconv.Unquote(e.Value)
		return s
	case *ast.Ident:
		if value, ok := constants[e.Name]; ok {
			return text(constants, value)
		}
	case *ast.BinaryExpr:
		return text(constants, e.X) + text(constants, e.Y)
	}
	return ""
}

var statement = regexp.MustCompile(`^(SELECT|INSERT|UPDATE|DELETE|DROP|ALTER|CREATE|REPLACE|WITH|PRAGMA|TRUNCATE|MERGE)\b`)

func isStatement(s string) bool { return statement.MatchString(strings.ToUpper(strings.TrimSpace(s))) }

func TestStatementsAreFound(t *testing.T) {
	found := statements(t)
	if len(found) < 50 {
		t.Fatalf("only %d statements found", len(found))
	}
	for _, name := range []string{"readingInsert", "carUpsert", "carsClear", "sharesOfRound", "recordInsert", "recordOnce"} {
		if found[name] == "" {
			t.Errorf("%s was not found", name)
		}
	}
}

// facts are the tables that are only ever added to.
var facts = []string{"car_version", "odometer", "renewal", "round", "round_end", "reading", "photo", "share", "share_end", "classes",
	"told", "look", "confirmed", "record"}

var change = regexp.MustCompile(`(?i)\b(?:UPDATE\s+(?:OR\s+\w+\s+)?|DELETE\s+FROM\s+|REPLACE\s+INTO\s+|TRUNCATE\s+(?:TABLE\s+)?|MERGE\s+INTO\s+|DROP\s+TABLE\s+|ALTER\s+TABLE\s+)(\w+)`)

// changed gives the tables that a statement changes other than by adding a new row.
func changed(sql string) (tables []string) {
	upsert := regexp.MustCompile(`(?is)INSERT\s+(?:OR\s+\w+\s+)?INTO\s+(\w+).*(?:DO\s+UPDATE)`).FindStringSubmatch(sql)
	if upsert != nil {
		tables = append(tables, upsert[1])
		sql = strings.ReplaceAll(sql, "DO UPDATE SET", "")
	}
	for _, m := range change.FindAllStringSubmatch(sql, -1) {
		tables = append(tables, m[1])
	}
	return tables
}

func TestFactsAreOnlyAdded(t *testing.T) {
	for name, sql := range statements(t) {
		for _, table := range changed(sql) {
			if table != "car" && table != "counter" {
				t.Errorf("%s changes the table %s:\n%s", name, table, sql)
			}
		}
		if regexp.MustCompile(`(?i)INSERT\s+OR\b`).MatchString(sql) {
			t.Errorf("%s may replace a fact:\n%s", name, sql)
		}
	}
}

func TestChangedSeesEveryWay(t *testing.T) {
	for sql, want := range map[string]string{
		"UPDATE reading SET note = $1":                                               "reading",
		"update or replace reading set note = 1":                                     "reading",
		"DELETE FROM photo WHERE id = $1":                                            "photo",
		"INSERT INTO share (id) VALUES ($1) ON CONFLICT (id)\nDO UPDATE SET id = $1": "share",
		"DROP TABLE round":                                                           "round",
		"INSERT INTO round (id) VALUES ($1) ON CONFLICT DO NOTHING":                  "",
		"SELECT 1 FROM reading":                                                      "",
	} {
		if got := strings.Join(changed(sql), " "); got != want {
			t.Errorf("%q changes %q, not %q", sql, got, want)
		}
	}
}

var parameterPattern = regexp.MustCompile(`\$(\d+)`)

// inOrder reports whether parameters are numbered in order of first appearance, without gaps.
func inOrder(sql string) bool {
	next := 1
	for _, m := range parameterPattern.FindAllStringSubmatch(sql, -1) {
		n, _ := strconv.Atoi(m[1])
		if n > next {
			return false
		}
		if n == next {
			next++
		}
	}
	return next > 0 && !strings.Contains(sql, "?")
}

// foreign is what only one engine understands.
var foreign = regexp.MustCompile(`(?i)::|\b(PRAGMA|ILIKE|GLOB|REGEXP|MATCH|IFNULL|INSTR|STRFTIME|DATETIME|JULIANDAY|JSON_\w+|NOW|ROWID|AUTOINCREMENT|SERIAL|NVL|GROUP_CONCAT|STRING_AGG|TYPEOF|LAST_INSERT_ROWID|ARRAY|JSONB|TIMESTAMP\w*|WITHOUT)\b`)

func TestStatementsArePortable(t *testing.T) {
	all := statements(t)
	for _, words := range [][]string{nil, {"ab"}, {"ab", "cd"}} {
		for _, day := range []string{"", "2026-03-21"} {
			where, args := carsWhere(words, day)
			all["few "+strings.Join(words, " ")+day] = carsFew(where, len(args))
			all["page "+strings.Join(words, " ")+day] = carsPage(where, len(args))
		}
	}
	for i, f := range recordFilters() {
		sql, args := recordList(f)
		all[fmt.Sprint("records ", i)] = sql
		if n := len(parameterPattern.FindAllString(sql, -1)); n != len(args) {
			t.Errorf("%d parameters and %d values:\n%s", n, len(args), sql)
		}
	}
	for name, sql := range all {
		if !inOrder(sql) {
			t.Errorf("the parameters of %s are out of order:\n%s", name, sql)
		}
		if word := foreign.FindString(sql); word != "" {
			t.Errorf("%s uses %s, which is one engine's own:\n%s", name, word, sql)
		}
	}
	if inOrder("SELECT $2, $1") || inOrder("SELECT $1, $3") || inOrder("SELECT ?") {
		t.Error("a bad order of parameters is not seen")
	}
}

// recordFilters are all combinations of what records are looked for by.
func recordFilters() (all []shop.RecordFilter) {
	for n := range 1 << 7 {
		var f shop.RecordFilter
		has := func(bit int) bool { return n>>bit&1 == 1 }
		for bit, into := range []*string{&f.Kind, &f.CarID, &f.Ref, &f.Once} {
			if has(bit) {
				*into = "x"
			}
		}
		if f.Last = has(4); has(5) {
			f.After = 5
		}
		if has(6) {
			f.Limit = 1
		}
		all = append(all, f)
	}
	return all
}

func TestMigrationsArePortable(t *testing.T) {
	files, err := fs.Glob(migrations.FS, "*.sql")
	if err != nil || len(files) == 0 {
		t.Fatal(files, err)
	}
	all := ""
	for _, name := range files {
		data, err := migrations.FS.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		if word := foreign.FindString(string(data)); word != "" {
			t.Errorf("%s uses %s, which is one engine's own", name, word)
		}
		all += string(data)
	}
	for _, table := range facts {
		if !strings.Contains(all, "CREATE TABLE "+table+" (") {
			t.Errorf("no migration creates the table %s", table)
		}
	}
}

func TestSearchText(t *testing.T) {
	c := shop.CarVersion{Plate: "AB-12 CD", Owner: shop.Owner{Name: "Ännchen  O'Tuul", Phone: "+00 (155) 1"}, Description: "1.6 l, grey"}
	if got, want := searchText(c), "ab12cd 001551 ännchen otuul 16 l grey"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
	if got := searchText(shop.CarVersion{}); got != "" {
		t.Errorf("nothing gives %q", got)
	}
}

func TestSearchWords(t *testing.T) {
	for query, want := range map[string]string{
		"": "", "grey estate": "estate grey", "estate 77 diesel": "77 estate diesel", "ab ab12 b1": "ab12", "x-1 X1": "x1",
	} {
		words, err := searchWords(query)
		if got := strings.Join(words, " "); got != want || err != nil {
			t.Errorf("%q gives %q (%v), not %q", query, got, err, want)
		}
	}
}

func FuzzSearchWords(f *testing.F) {
	for _, s := range []string{"", "AB-12 cd", "%_!\\", "İß\u0301", "a\x00b", "\xff"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		words, err := searchWords(s)
		if err != nil {
			return
		}
		for _, w := range words {
			if w == "" || strings.ContainsAny(w, " %_\\\x00") {
				t.Errorf("%q gives the word %q", s, w)
			}
		}
		// Every car is found by its own plate, however it is typed.
		if !strings.Contains(searchText(shop.CarVersion{Plate: s}), squeezed(s)) {
			t.Errorf("a car with the plate %q is not found by it", s)
		}
	})
}
