package shop

import (
	"context"
	"runtime"
)

// Refresh computes the outlook of every car, several at once, and hands them over in order of the cars' ids. Only a few are in
// memory at a time, and no transaction is held between cars, so that it may take as long as it takes.
func (s *Shop) Refresh(ctx context.Context, take func(*CarOutlook) error) error {
	classes, learned, err := s.Classes(ctx)
	if err != nil {
		return err
	}
	w := window{day: s.today()}
	return eachCar(ctx, s, sample{every: 1, atOnce: runtime.GOMAXPROCS(0)}, func(f *carFacts) *CarOutlook { return s.outlookOf(f, w, classes, learned) }, take)
}
