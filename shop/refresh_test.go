package shop_test

import (
	"errors"
	"reflect"
	"testing"

	"witnessmark/shop"
)

func TestRefreshIsEveryCarsOutlook(t *testing.T) {
	b, _ := fleet(t, small)
	ids := b.cars(t)
	var got []string
	err := b.Refresh(ctx, func(o *shop.CarOutlook) error {
		got = append(got, o.Car.CarID)
		one, err := b.Outlook(ctx, o.Car.CarID)
		if err != nil || !reflect.DeepEqual(one, o) {
			t.Errorf("%s differs from its own page, or %v", o.Car.Plate, err)
		}
		return err
	})
	if err != nil || !reflect.DeepEqual(got, ids) {
		t.Errorf("%v, not %v: %v", got, ids, err)
	}
	stop, n := errors.New("stop"), 0
	if err := b.Refresh(ctx, func(*shop.CarOutlook) error { n++; return stop }); !errors.Is(err, stop) || n != 1 {
		t.Errorf("stopped after %d with %v", n, err)
	}
}
