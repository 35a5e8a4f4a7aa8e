package judge

import (
	"testing"

	"witnessmark/core/unit"
)

func TestAmount(t *testing.T) {
	for _, tc := range []struct {
		x    float64
		name string
		sys  unit.System
		want string
	}{
		{1.6, "mm", unit.Metric, "1.6 mm"},
		{0.025, "mm", unit.Metric, "0.025 mm"},
		{1.5875, "mm", unit.US, "2/32 in"},
		{22.4, "mm", unit.US, "0.88 in"},
		{0.05, "mm", unit.US, "0.002 in"},
		{182400, "km", unit.Metric, "182 400 km"},
		{2.3, "bar", unit.US, "33 psi"},
		{-37, "degC", unit.Metric, "-37 °C"},
		{-37, "degC", unit.US, "-35 °F"},
		{58, "percent", unit.US, "58 %"},
		{0.2, "fraction", unit.Metric, "20 %"},
		{10, "years", unit.US, "10 years"},
		{24, "months", unit.Metric, "24 months"},
		{1.03, "lambda", unit.Metric, "1.03"},
		{0.9, "L", unit.Metric, "0.9 L"},
	} {
		if got := Amount(tc.x, tc.name, tc.sys); got != tc.want {
			t.Errorf("%g %s in %s units: %q, want %q", tc.x, tc.name, tc.sys, got, tc.want)
		}
	}
}
