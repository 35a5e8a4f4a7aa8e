package point

import "testing"

func TestLimitSpeaksForItsPositions(t *testing.T) {
	front, corner, all := &Limit{At: []string{"F"}}, &Limit{At: []string{"RL"}}, &Limit{}
	tests := []struct {
		name  string
		limit *Limit
		at    string
		want  bool
	}{
		{"own axle", front, "F", true},
		{"axle speaks for its corner", front, "FR", true},
		{"axle speaks for a place of its corner", front, "FL/inner", true},
		{"other axle", front, "R", false},
		{"other axle's corner", front, "RL", false},
		{"no position given", front, "", false},
		{"own corner", corner, "RL", true},
		{"corner does not speak for its axle", corner, "R", false},
		{"spare is no rear corner", &Limit{At: []string{"R"}}, "spare", false},
		{"not narrowed", all, "RR", true},
		{"not narrowed, no position", all, "", true},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := tt.limit.Speaks(tt.at); got != tt.want {
				t.Errorf("Speaks(%q) = %v, want %v", tt.at, got, tt.want)
			}
		})
	}
}
