package storetest

import (
	"testing"

	"witnessmark/shop"
)

// Run holds an engine to all that shop.Store, shop.Reader and shop.Writer promise. Each call of open gives a new empty
// store that is closed by the engine's test when it ends. Tests run in parallel, each with stores of its own.
func Run(t *testing.T, open func(t *testing.T) shop.Store) {
	for _, c := range []struct {
		name string
		test func(*testing.T, func(*testing.T) shop.Store)
	}{
		{"nothing there", testNothingThere},
		{"every kind comes back", testEveryKind},
		{"put again", testPutAgain},
		{"put something else", testConflict},
		{"missing reference", testMissingReference},
		{"what can't be stored", testInvalid},
		{"versions of a car", testCarVersions},
		{"order of days", testOrderOfDays},
		{"corrected readings", testCorrectedReadings},
		{"end of a round", testRoundEnd},
		{"photos", testPhotos},
		{"links", testShares},
		{"search", testSearch},
		{"list of cars", testListOrder},
		{"cars of a day", testDay},
		{"pages", testPages},
		{"many found", testManyFound},
		{"rollback", testRollback},
		{"panic", testPanic},
		{"own writes", testOwnWrites},
		{"snapshot", testSnapshot},
		{"cancelled", testCancelled},
		{"concurrent", testConcurrent},
		{"each stops", testEachStops},
		{"each asks", testEachAsks},
		{"what arrived when", testArrived},
		{"what was learned", testClasses},
		{"what was told and withdrawn", testWithdrawn},
		{"what no longer counts", testWithdrawals},
		{"every kind of record", testEveryRecord},
		{"records by what they are looked for", testRecordFilters},
		{"records that hang in the air", testRecordRefused},
		{"tasks", testQueue},
		{"tasks that nobody finished", testQueueLease},
		{"tasks in order", testQueueOrder},
		{"export and import", testReimport},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel() // most of the time goes by waiting for the disk
			c.test(t, open)
		})
	}
}
