package sqlite

import (
	"testing"

	"witnessmark/shop"
	"witnessmark/store/storetest"
)

func TestConformance(t *testing.T) {
	storetest.Run(t, func(t *testing.T) shop.Store { return fresh(t) })
}
