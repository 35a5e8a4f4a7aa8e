package estimate

import "testing"

func TestMuch(t *testing.T) {
	for want, l := range map[string]Line{"1\u00a0piece": {Milli: 1000, Unit: "piece"}, "2\u00a0pieces": {Milli: 2000, Unit: "piece"}, "0.5\u00a0sets": {Milli: 500, Unit: "set"}, "4.2\u00a0L": {Milli: 4200, Unit: "L"}} {
		if got := l.Much(); got != want {
			t.Errorf("%q, expected %q", got, want)
		}
	}
}
