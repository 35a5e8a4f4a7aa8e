package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode/utf8"
)

// shape lists the keys that each object of a file may hold, by its kind ("" is the file, "checks[]" an object in its list checks); a key
// with ! must be there. An object that is not listed may hold any keys.
type shape map[string][]string

// mayBeNull is the entry of a shape that lists the kinds of values that null may stand for.
const mayBeNull = "(null)"

// decodeStrict reads JSON and refuses what the decoder alone lets pass: unknown keys, keys in other letters, keys that stand twice or are missing, text after
// the end. Errors name line and place.
func decodeStrict(text []byte, keys shape, v any) error {
	if !utf8.Valid(text) {
		return errors.New("not UTF-8 text")
	}
	w := &shapeWalker{text: text, dec: json.NewDecoder(bytes.NewReader(text)), keys: keys}
	if err := w.value("", "", 0); err != nil {
		return err
	}
	if _, err := w.dec.Token(); !errors.Is(err, io.EOF) {
		return fmt.Errorf("line %d: something stands after the end", w.line())
	}
	err := json.Unmarshal(text, v)
	var kind *json.UnmarshalTypeError
	if errors.As(err, &kind) {
		return fmt.Errorf("line %d: %s: a %s can't stand here", lineAt(text, kind.Offset), kind.Field, kind.Value)
	}
	return err
}

func lineAt(text []byte, offset int64) int {
	return 1 + bytes.Count(text[:min(int(offset), len(text))], []byte("\n"))
}

type shapeWalker struct {
	text []byte
	dec  *json.Decoder
	keys shape
}

func (w *shapeWalker) line() int { return lineAt(w.text, w.dec.InputOffset()) }

// mostDeep is deeper than any file of this program.
const mostDeep = 20

func (w *shapeWalker) value(where, kind string, depth int) error {
	t, err := w.dec.Token()
	if err != nil {
		return fmt.Errorf("line %d: not JSON: %w", w.line(), err)
	}
	d, opens := t.(json.Delim)
	if !opens {
		if where == "" {
			return fmt.Errorf("line %d: expected an object", w.line())
		}
		if t == nil && !slices.Contains(w.keys[mayBeNull], kind) {
			return fmt.Errorf("line %d: %s can't be null", w.line(), where)
		}
		return nil
	}
	if depth >= mostDeep {
		return fmt.Errorf("line %d: too deep", w.line())
	}
	if d == '[' {
		if where == "" {
			return fmt.Errorf("line %d: expected an object", w.line())
		}
		for i := 0; w.dec.More(); i++ {
			if err := w.value(fmt.Sprintf("%s[%d]", where, i), kind+"[]", depth+1); err != nil {
				return err
			}
		}
	} else if err := w.object(where, kind, depth); err != nil {
		return err
	}
	if _, err := w.dec.Token(); err != nil {
		return fmt.Errorf("line %d: not JSON: %w", w.line(), err)
	}
	return nil
}

func (w *shapeWalker) object(where, kind string, depth int) error {
	allowed, strict := w.keys[kind]
	seen := map[string]bool{}
	start := w.line()
	join := func(key string) string { return strings.TrimPrefix(where+"."+key, ".") }
	for w.dec.More() {
		t, err := w.dec.Token()
		if err != nil {
			return fmt.Errorf("line %d: not JSON: %w", w.line(), err)
		}
		key, _ := t.(string)
		if strict && !slices.Contains(allowed, key) && !slices.Contains(allowed, key+"!") {
			return fmt.Errorf("line %d: %s: unknown key; expected %s", w.line(), join(key), strings.ReplaceAll(strings.Join(allowed, ", "), "!", ""))
		}
		if seen[key] {
			return fmt.Errorf("line %d: %s stands twice", w.line(), join(key))
		}
		seen[key] = true
		if err := w.value(join(key), strings.TrimPrefix(kind+"."+key, "."), depth+1); err != nil {
			return err
		}
	}
	for _, k := range allowed {
		if must, ok := strings.CutSuffix(k, "!"); ok && !seen[must] {
			return fmt.Errorf("line %d: %s is missing", start, join(must))
		}
	}
	return nil
}
