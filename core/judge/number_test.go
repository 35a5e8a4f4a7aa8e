package judge

import "testing"

// Run-out and thickness variation are judged by the hundredth of a millimetre and finer, so a limit of 0.025 mm must
// not be written as 0.03.
func TestNumberKeepsSmallDigits(t *testing.T) {
	tests := []struct {
		x    float64
		want string
	}{
		{0, "0"}, {0.025, "0.025"}, {0.015, "0.015"}, {-0.0254, "-0.025"}, {0.05, "0.05"},
		{0.1, "0.1"}, {0.79, "0.79"}, {1.6, "1.6"}, {57.15, "57.15"}, {22.404, "22.4"}, {182400, "182400"},
	}
	for _, tt := range tests {
		if got := num(tt.x); got != tt.want {
			t.Errorf("num(%v) = %q, want %q", tt.x, got, tt.want)
		}
	}
}
