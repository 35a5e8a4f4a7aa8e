package catalogue_test

import (
	"bytes"
	"os"
	"testing"

	"witnessmark/catalogue"
)

func TestCompiledIsCurrent(t *testing.T) {
	want, err := catalogue.Compile()
	if err != nil {
		t.Fatal(err)
	}
	got, err := os.ReadFile("base.json")
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Error("base.json is not what data/ gives; run go generate ./catalogue")
	}
}

// BenchmarkDefault reads the compiled catalogue as every start does. Budget: 20 ms.
func BenchmarkDefault(b *testing.B) {
	text, err := os.ReadFile("base.json")
	if err != nil {
		b.Fatal(err)
	}
	b.SetBytes(int64(len(text)))
	for b.Loop() {
		if _, err := catalogue.Decode(text); err != nil {
			b.Fatal(err)
		}
	}
}
