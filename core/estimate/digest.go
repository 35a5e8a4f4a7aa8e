package estimate

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
)

// form names the canonical form, so that a digest never means two things.
const form = "witnessmark-estimate-1\n"

// Canonical is the one text of an estimate whose digest proves what was shown: the form's name, then the estimate as JSON in the
// order of its fields. The same estimate always gives the same bytes, and different ones never do.
func Canonical(e Estimate) []byte {
	data, err := json.Marshal(e)
	if err != nil {
		// Only channels, functions and numbers that are none can't be written, and an estimate holds none.
		panic(err)
	}
	return append([]byte(form), data...)
}

// Digest is SHA-256 of the canonical form (FIPS 180-4), in hex.
func Digest(e Estimate) string {
	sum := sha256.Sum256(Canonical(e))
	return hex.EncodeToString(sum[:])
}
