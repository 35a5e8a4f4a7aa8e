package sheet

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
)

// structure checks what the decoder lets pass: a key that stands twice in one object, and text after the sheet.
func structure(text []byte) error {
	dec := json.NewDecoder(bytes.NewReader(text))
	dec.UseNumber()
	if err := object(dec, text, 0); err != nil {
		return err
	}
	if _, err := dec.Token(); !errors.Is(err, io.EOF) {
		return fmt.Errorf("line %d: there is something after the end of the sheet", lineAt(text, dec.InputOffset()))
	}
	return nil
}

// maxDepth is far deeper than any sheet.
const maxDepth = 20

func object(dec *json.Decoder, text []byte, depth int) error {
	tok, err := dec.Token()
	if err != nil {
		if errors.Is(err, io.EOF) {
			err = errors.New("the sheet ends too early")
		}
		return place(text, dec.InputOffset(), err)
	}
	d, ok := tok.(json.Delim)
	if !ok {
		return nil
	}
	if depth > maxDepth {
		return fmt.Errorf("line %d: nested too deeply", lineAt(text, dec.InputOffset()))
	}
	seen := map[string]bool{}
	for dec.More() {
		if d == '{' {
			key, err := dec.Token()
			if err != nil {
				return place(text, dec.InputOffset(), err)
			}
			if k, _ := key.(string); seen[k] {
				return fmt.Errorf("line %d: the key %q stands twice in one object", lineAt(text, dec.InputOffset()), shorten(k))
			} else {
				seen[k] = true
			}
		}
		if err := object(dec, text, depth+1); err != nil {
			return err
		}
	}
	if _, err := dec.Token(); err != nil {
		return place(text, dec.InputOffset(), err)
	}
	return nil
}
