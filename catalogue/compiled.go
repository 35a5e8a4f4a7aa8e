package catalogue

import (
	"bytes"
	_ "embed" // for the compiled catalogue
	"encoding/json"
	"fmt"
	"sync"

	"witnessmark/core/point"
)

//go:generate go run ./compile

// compiled is the base catalogue after every check, so that a start need not parse YAML. It is made from data/ by go generate; a test
// compares the two.
//
//go:embed base.json
var compiled []byte

// Default gives the base catalogue, read once per process. Nobody may change it.
var Default = sync.OnceValues(func() (*point.Catalogue, error) {
	return Decode(compiled)
})

// Decode reads a compiled catalogue.
func Decode(text []byte) (*point.Catalogue, error) {
	var c point.Catalogue
	if err := json.Unmarshal(text, &c); err != nil {
		return nil, fmt.Errorf("the compiled catalogue: %w", err)
	}
	return c.New(), nil
}

// Compile loads the base catalogue from its YAML, with every check, and gives it as JSON. What is empty is left out: most fields of most
// entries are, and a start would read them all.
func Compile() ([]byte, error) {
	c, err := Checked("")
	if err != nil {
		return nil, err
	}
	full, err := json.Marshal(c)
	if err != nil {
		return nil, err
	}
	dec := json.NewDecoder(bytes.NewReader(full))
	dec.UseNumber()
	var tree any
	if err := dec.Decode(&tree); err != nil {
		return nil, err
	}
	strip(tree)
	var out bytes.Buffer
	enc := json.NewEncoder(&out)
	enc.SetEscapeHTML(false)
	err = enc.Encode(tree)
	return out.Bytes(), err
}

// strip removes the members of objects that a decoder gives without being told. Numbers stay: a limit may be given as 0, which isn't the
// same as no limit.
func strip(tree any) {
	switch t := tree.(type) {
	case map[string]any:
		for name, value := range t {
			if value == nil || value == "" || value == false {
				delete(t, name)
			} else {
				strip(value)
			}
		}
	case []any:
		for _, value := range t {
			strip(value)
		}
	}
}
