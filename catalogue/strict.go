package catalogue

import (
	"fmt"
	"reflect"
	"regexp"
	"strconv"
	"strings"
	"sync"

	"go.yaml.in/yaml/v4"
)

// unknownKeys lists every key of n that type t does not know, with what it does know. The decoder itself ignores them
// when it works from nodes.
func unknownKeys(n *yaml.Node, t reflect.Type) []Problem {
	for t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	if inner, ok := wrapped(t); ok {
		return unknownKeys(n, inner)
	}
	if t == reflect.TypeFor[rawWhen]() || t == reflect.TypeFor[yaml.Node]() {
		return nil
	}
	switch {
	case t.Kind() == reflect.Slice && n.Kind == yaml.SequenceNode:
		var out []Problem
		for _, c := range n.Content {
			out = append(out, unknownKeys(c, t.Elem())...)
		}
		return out
	case t.Kind() == reflect.Struct && n.Kind == yaml.MappingNode:
		return unknownFields(n, t)
	}
	return nil
}

func unknownFields(n *yaml.Node, t reflect.Type) []Problem {
	known, names := keysOf(t)
	var out []Problem
	for i := 0; i+1 < len(n.Content); i += 2 {
		key := n.Content[i]
		ft, ok := known[key.Value]
		if !ok {
			out = append(out, Problem{Line: key.Line, Text: fmt.Sprintf("unknown key %q; expected one of %s", key.Value, strings.Join(names, ", "))})
			continue
		}
		out = append(out, unknownKeys(n.Content[i+1], ft)...)
	}
	return out
}

// keyTypes remembers the keys of each type, which are asked for at every entry.
var keyTypes sync.Map

type keyType struct {
	known map[string]reflect.Type
	names []string
}

func keysOf(t reflect.Type) (map[string]reflect.Type, []string) {
	if k, ok := keyTypes.Load(t); ok {
		return k.(keyType).known, k.(keyType).names
	}
	k := keyType{known: map[string]reflect.Type{}}
	for i := range t.NumField() {
		if name := t.Field(i).Tag.Get("yaml"); name != "" {
			k.known[name] = t.Field(i).Type
			k.names = append(k.names, name)
		}
	}
	keyTypes.Store(t, k)
	return k.known, k.names
}

// wrapped gives T of at[T].
func wrapped(t reflect.Type) (reflect.Type, bool) {
	if t.Kind() == reflect.Struct && strings.HasPrefix(t.Name(), "at[") {
		return t.Field(0).Type, true
	}
	return nil, false
}

// decode reads n strictly into out and reports faults with their lines in file.
func decode(file string, n *yaml.Node, out any) Problems {
	var ps Problems
	for _, p := range unknownKeys(n, reflect.TypeOf(out)) {
		p.File = file
		ps = append(ps, p)
	}
	if err := n.Decode(out); err != nil {
		ps = append(ps, lineOf(file, n.Line, err))
	}
	return ps
}

var linePrefix = regexp.MustCompile(`line (\d+)(?:, column \d+)?: `)

// lineOf turns a decoder's error, which holds "line N: ", into a problem at that line.
func lineOf(file string, fallback int, err error) Problem {
	text, line := err.Error(), fallback
	if m := linePrefix.FindStringSubmatchIndex(text); m != nil {
		if n, e := strconv.Atoi(text[m[2]:m[3]]); e == nil {
			line = n
		}
		text = text[m[1]:]
	}
	return Problem{File: file, Line: line, Text: strings.TrimSpace(text)}
}
