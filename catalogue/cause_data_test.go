package catalogue_test

import (
	"testing"

	"witnessmark/catalogue"
)

// TestNothingLeadsNowhere: whatever a point can show that is not sound leads to a cause, or a quiet entry says why not.
func TestNothingLeadsNowhere(t *testing.T) {
	cat, err := catalogue.Checked("")
	if err != nil {
		t.Fatal(err)
	}
	for _, what := range catalogue.Unexplained(cat) {
		t.Error(what)
	}
}
