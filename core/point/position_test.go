package point_test

import (
	"testing"
	"time"

	"witnessmark/catalogue"
	"witnessmark/core/round"
)

// TestWhereOnACar: a counted part has its number only on a car that has several; what is not counted keeps its place.
func TestWhereOnACar(t *testing.T) {
	cat, err := catalogue.Default()
	if err != nil {
		t.Fatal(err)
	}
	for _, tc := range []struct{ count, point, job, at, want string }{
		{"1", "air-filter", "renew-air-filter", "1", ""},
		{"2", "air-filter", "renew-air-filter", "1", "no. 1"},
		{"2", "air-filter", "renew-air-filter", "2", "no. 2"},
		{"2", "air-filter", "renew-air-filter", "", ""},
		{"1", "pad-thickness", "renew-pads", "F", "front axle"},
		{"1", "pad-thickness", "renew-pads", "FL/inner", "front left, inner"},
		{"1", "wiper-arms", "renew-wiper-arm", "1", "no. 1"},
	} {
		facets := round.Resolve(cat, map[string]string{"fuel": "petrol", "air-filter-count": tc.count}, "", time.Time{})
		if got := cat.Point(tc.point).Where(tc.at, facets); got != tc.want {
			t.Errorf("%s at %q of %s: %q, expected %q", tc.point, tc.at, tc.count, got, tc.want)
		}
		if got := cat.JobWhere(tc.job, tc.at, facets); got != tc.want {
			t.Errorf("%s at %q of %s: %q, expected %q", tc.job, tc.at, tc.count, got, tc.want)
		}
	}
}
