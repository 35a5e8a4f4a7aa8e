package shop

import (
	"context"
	"encoding/json"
	"maps"
	"runtime"
	"slices"
	"time"

	"witnessmark/core/outlook"
)

// LearnReport says what learning gave.
type LearnReport struct {
	Fact   ClassesFact
	Fitted []outlook.Fitted
	Took   time.Duration
}

// Learn fits the laws to the history of all cars and stores the result. It reads one car after the other, each in a transaction
// of its own, and counts only facts that had arrived when it began, so that the same facts and catalogue always give the same.
// It is ErrBusy while it is under way already. Progress may be nil.
func (s *Shop) Learn(ctx context.Context, by string, progress func(done, total int)) (rep LearnReport, err error) {
	began := s.now()
	var through int64
	var total int
	err = s.store.View(ctx, func(r Reader) (err error) {
		if through, err = r.LastSeq(ctx); err != nil {
			return err
		}
		_, total, err = r.Cars(ctx, CarFilter{Limit: 1})
		return err
	})
	if err != nil {
		return rep, err
	}
	if !s.study.begin("learning", total) {
		return rep, ErrBusy
	}
	defer func() { s.study.end(err) }()
	rep.Fitted, rep.Fact, err = s.fit(ctx, through, s.today(), func(done int) {
		s.study.step(done)
		if progress != nil {
			progress(done, total)
		}
	})
	if err != nil {
		return rep, err
	}
	rep.Fact.ID, rep.Fact.By, rep.Fact.ReceivedAt = s.newID(), squeeze(by), ms(s.now())
	rep.Took = s.now().Sub(began)
	if err = s.put(ctx, Fact{Classes: &rep.Fact}); err == nil {
		s.study.learnedNow()
	}
	return rep, err
}

// fit learns from the facts up to an order of arrival, seen from a day.
func (s *Shop) fit(ctx context.Context, through int64, today string, step func(done int)) ([]outlook.Fitted, ClassesFact, error) {
	fact := ClassesFact{Through: through, Catalogue: s.cat.Version}
	classes, cars, looks, err := s.teach(ctx, window{day: today, through: through}, 1, step)
	if err != nil {
		return nil, fact, err
	}
	fact.Cars, fact.Looks = cars, looks
	fitted := make([]outlook.Fitted, 0, len(classes))
	for _, key := range slices.Sorted(maps.Keys(classes)) {
		fitted = append(fitted, classes[key])
	}
	fact.Fitted, err = json.Marshal(fitted)
	return fitted, fact, err
}

// teach learns the classes from what counts of all cars, or of every so manyth, and gives how many cars and looks that was.
func (s *Shop) teach(ctx context.Context, w window, every int, step func(done int)) (classes outlook.Classes, cars, looks int, err error) {
	type gathered struct {
		evidence outlook.Evidence
		looks    int
	}
	var l outlook.Learner
	done := 0
	err = eachCar(ctx, s, sample{w.through, every, inBackground()}, func(f *carFacts) gathered {
		h := s.historyOf(f, w)
		return gathered{outlook.Gather(s.cat, h), len(h.Looks)}
	}, func(g gathered) error {
		l.Add(g.evidence)
		if g.looks > 0 {
			cars++
			looks += g.looks
		}
		done++
		step(done)
		return ctx.Err()
	})
	if err != nil {
		return nil, 0, 0, err
	}
	fitted := make(chan outlook.Classes, 1) // fitting goes on to its end, but nobody waits for it after ctx
	go func() { fitted <- l.Fit(s.cat, nil) }()
	select {
	case classes = <-fitted:
		return classes, cars, looks, nil
	case <-ctx.Done():
		return nil, 0, 0, ctx.Err()
	}
}

// idsAtOnce is how many cars' ids are read at once.
const idsAtOnce = 500

// sample says which cars are worked on, and how many at once.
type sample struct {
	through int64 // the order of arrival by which they had come; 0 is all
	every   int   // 1 is every car, 2 every second
	atOnce  int
}

// inBackground leaves one processor to those who wait for a page.
func inBackground() int { return max(1, runtime.GOMAXPROCS(0)-1) }

// eachCar works on a sample of the cars, several at once, and hands the results to take in
// order of the cars' ids. Only a few cars are in memory at a time.
func eachCar[T any](ctx context.Context, s *Shop, of sample, work func(*carFacts) T, take func(T) error) error {
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	queue := make(chan chan T, of.atOnce-1)
	failed := make(chan error, 1)
	go func() {
		defer close(queue)
		failed <- s.eachFacts(ctx, of.through, of.every, func(c *carFacts) error {
			result := make(chan T, 1)
			select {
			case queue <- result:
			case <-ctx.Done():
				return ctx.Err()
			}
			go func() { result <- work(c) }()
			return nil
		})
	}()
	for result := range queue {
		if err := take(<-result); err != nil {
			return err
		}
	}
	return <-failed
}

// eachFacts reads every car, or every so manyth, that had come by an order of arrival, each in a transaction of its own, without remembering it.
func (s *Shop) eachFacts(ctx context.Context, through int64, every int, f func(*carFacts) error) error {
	after, n := "", 0
	for {
		var ids []string
		err := s.store.View(ctx, func(r Reader) (err error) {
			ids, err = r.CarIDs(ctx, after, idsAtOnce)
			return err
		})
		if err != nil {
			return err
		}
		for _, id := range ids {
			if n++; (n-1)%every != 0 {
				continue
			}
			var c *carFacts
			err := s.store.View(ctx, func(r Reader) (err error) {
				c, err = readFacts(ctx, r, id, &carFacts{})
				return err
			})
			if err != nil {
				return err
			}
			if through > 0 && c.versions[0].Seq > through {
				continue
			}
			if err := f(c); err != nil {
				return err
			}
		}
		if len(ids) < idsAtOnce {
			return nil
		}
		after = ids[len(ids)-1]
	}
}
