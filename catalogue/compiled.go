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

// Compile loads the base catalogue from its YAML, with every check, and gives it as JSON.
func Compile() ([]byte, error) {
	c, err := Checked("")
	if err != nil {
		return nil, err
	}
	var out bytes.Buffer
	enc := json.NewEncoder(&out)
	enc.SetEscapeHTML(false)
	err = enc.Encode(c)
	return out.Bytes(), err
}
