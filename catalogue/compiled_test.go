package catalogue_test

import (
	"bytes"
	"os"
	"reflect"
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

// TestCompiledLosesNothing holds what a start reads against what the YAML says.
func TestCompiledLosesNothing(t *testing.T) {
	want, err := catalogue.Checked("")
	if err != nil {
		t.Fatal(err)
	}
	text, err := catalogue.Compile()
	if err != nil {
		t.Fatal(err)
	}
	got, err := catalogue.Decode(text)
	if err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(got, want) {
		t.Error("the compiled catalogue differs from the one in data/")
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
