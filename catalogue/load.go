package catalogue

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"io/fs"
	"path"
	"sort"
	"strings"
	"sync"

	"go.yaml.in/yaml/v4"

	"witnessmark/core/point"
)

// Layer is one directory of catalogue files; later layers add to earlier ones and may change their entries.
type Layer struct {
	Name  string
	Files fs.FS
}

// maxFile bounds one catalogue file, so that a wrong path can't eat the memory.
const maxFile = 8 << 20

// entry is one item of a list, before it is decoded.
type entry struct {
	kind, id string
	file     string
	node     *yaml.Node
}

// lists names the top-level keys and the kind of entry under each.
var lists = map[string]string{"points": "point", "jobs": "job", "cautions": "caution", "sources": "source", "specs": "spec",
	"facets": "facet", "tables": "table", "regulations": "regulation", "laws": "law", "risks": "risk",
	"signs": "sign", "causes": "cause", "complaints": "complaint", "quiet": "quiet",
	"setups": "setup", "parts": "part", "work": "work"}

// Load reads the layers in order and checks the result. The error is a Problems value when the data are bad; no
// catalogue is returned then.
func Load(layers ...Layer) (*point.Catalogue, error) {
	b := &builder{byKey: map[string]*entry{}}
	digest := sha256.New()
	for _, l := range layers {
		if err := b.layer(l, digest); err != nil {
			return nil, err
		}
	}
	cat := b.build()
	if len(b.problems) > 0 {
		return nil, b.problems.sorted()
	}
	cat.Version = hex.EncodeToString(digest.Sum(nil))[:12]
	return cat, nil
}

// builder collects entries and problems over all layers.
type builder struct {
	entries  []*entry
	byKey    map[string]*entry
	families []*entry
	laws     []lawEntry
	reasons  reasonEntries
	setups   []setupEntry
	work     []workEntry
	problems Problems
}

func (b *builder) fault(file string, line int, format string, args ...any) {
	b.problems = append(b.problems, Problem{File: file, Line: line, Text: fmt.Sprintf(format, args...)})
}

func (b *builder) layer(l Layer, digest io.Writer) error {
	var names []string
	err := fs.WalkDir(l.Files, ".", func(name string, d fs.DirEntry, err error) error {
		if err == nil && !d.IsDir() && path.Ext(name) == ".yaml" {
			names = append(names, name)
		}
		return err
	})
	if err != nil {
		return fmt.Errorf("reading %s: %w", l.Name, err)
	}
	sort.Strings(names)
	files := make([]parsed, len(names))
	var parsing sync.WaitGroup
	for i, name := range names {
		text, err := readFile(l.Files, name)
		if err != nil {
			return fmt.Errorf("reading %s: %w", path.Join(l.Name, name), err)
		}
		fmt.Fprintf(digest, "%s %d\n", name, len(text))
		digest.Write(text)
		// Parsing takes most of the time of a load, and the files know nothing of one another.
		parsing.Go(func() { files[i].err = yaml.Unmarshal(text, &files[i].doc) })
	}
	parsing.Wait()
	var changes []*entry
	for i, name := range names {
		changes = append(changes, b.file(path.Join(l.Name, name), &files[i])...)
	}
	for _, c := range changes {
		b.change(c)
	}
	return nil
}

func readFile(files fs.FS, name string) ([]byte, error) {
	f, err := files.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	text, err := io.ReadAll(io.LimitReader(f, maxFile+1))
	if err == nil && len(text) > maxFile {
		err = fmt.Errorf("the file is larger than %d MB", maxFile>>20)
	}
	return text, err
}

// parsed is one file as the parser left it.
type parsed struct {
	doc yaml.Node
	err error
}

// file takes one file's entries and gives back its changes, to be carried out once the layer is read.
func (b *builder) file(name string, f *parsed) (changes []*entry) {
	if f.err != nil {
		b.problems = append(b.problems, lineOf(name, 1, f.err))
		return nil
	}
	if len(f.doc.Content) == 0 {
		return nil // an empty file says nothing
	}
	root := f.doc.Content[0]
	if root.Kind != yaml.MappingNode {
		b.fault(name, root.Line, "expected lists such as points: or jobs:")
		return nil
	}
	for i := 0; i+1 < len(root.Content); i += 2 {
		key, val := root.Content[i], root.Content[i+1]
		switch kind := lists[key.Value]; {
		case key.Value == "family":
			b.families = append(b.families, &entry{kind: "family", file: name, node: val})
		case kind == "" && key.Value != "change":
			b.fault(name, key.Line, "unknown list %q; expected points, jobs, cautions, sources, specs, facets, tables, regulations, laws, risks, signs, causes, complaints, quiet, setups, parts, work, family or change", key.Value)
		case val.Kind != yaml.SequenceNode:
			b.fault(name, val.Line, "expected a list after %s:", key.Value)
		case key.Value == "change":
			for _, n := range val.Content {
				changes = append(changes, &entry{kind: "change", file: name, node: n})
			}
		default:
			b.list(name, kind, val)
		}
	}
	return changes
}

func (b *builder) list(file, kind string, list *yaml.Node) {
	for _, n := range list.Content {
		id := field(n, "id")
		if id == nil || id.Kind != yaml.ScalarNode || id.Value == "" {
			b.fault(file, n.Line, "a %s needs an id", kind)
			continue
		}
		name := id.Value
		if kind == "law" {
			name, _, _ = strings.Cut(name, "/") // the axle is checked with the law
		}
		if !isID(name) && kind != "regulation" {
			b.fault(file, id.Line, "id %q: expected lower-case words, digits and hyphens", id.Value)
		}
		e := &entry{kind: kind, id: id.Value, file: file, node: n}
		key := kind + " " + e.id
		if old := b.byKey[key]; old != nil {
			b.fault(file, id.Line, "%s is defined already at %s:%d; to change it use change:", key, old.file, old.node.Line)
			continue
		}
		b.byKey[key] = e
		b.entries = append(b.entries, e)
	}
}

// change replaces keys of an earlier entry.
func (b *builder) change(c *entry) {
	var raw rawChange
	if ps := decode(c.file, c.node, &raw); len(ps) > 0 {
		b.problems = append(b.problems, ps...)
		return
	}
	old := b.byKey[raw.Kind+" "+raw.ID]
	if old == nil {
		b.fault(c.file, c.node.Line, "change: there is no %s %q to change", raw.Kind, raw.ID)
		return
	}
	if raw.Set.Kind != yaml.MappingNode {
		b.fault(c.file, c.node.Line, "change: expected set: with the keys to replace")
		return
	}
	merged := *old.node
	merged.Content = append([]*yaml.Node(nil), old.node.Content...)
	for i := 0; i+1 < len(raw.Set.Content); i += 2 {
		k, v := raw.Set.Content[i], raw.Set.Content[i+1]
		if k.Value == "id" {
			b.fault(c.file, k.Line, "change: an id can't be changed")
			return
		}
		if at := fieldIndex(&merged, k.Value); at >= 0 {
			merged.Content[at] = v
		} else {
			merged.Content = append(merged.Content, k, v)
		}
	}
	// Faults in a changed entry are laid to the file that changed it, at the change's line: that is where the mend is.
	merged.Line = c.node.Line
	old.node, old.file = &merged, c.file
}

func field(n *yaml.Node, key string) *yaml.Node {
	if i := fieldIndex(n, key); i >= 0 {
		return n.Content[i]
	}
	return nil
}

func fieldIndex(n *yaml.Node, key string) int {
	if n.Kind != yaml.MappingNode {
		return -1
	}
	for i := 0; i+1 < len(n.Content); i += 2 {
		if n.Content[i].Value == key {
			return i + 1
		}
	}
	return -1
}

func isID(s string) bool {
	if s == "" || strings.HasPrefix(s, "-") || strings.HasSuffix(s, "-") {
		return false
	}
	for _, r := range s {
		if (r < 'a' || r > 'z') && (r < '0' || r > '9') && r != '-' && r != '.' && (r < 'A' || r > 'Z') {
			return false
		}
	}
	return true
}
