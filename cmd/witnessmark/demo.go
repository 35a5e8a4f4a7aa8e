package main

import (
	"context"
	"fmt"
	"os"
	"sync"
	"time"

	"witnessmark/internal/simulate"
	"witnessmark/shop"
)

// demoCmd serves an invented workshop from a seed; its data go when it stops.
type demoCmd struct {
	listenFlags
	Seed  uint64 `help:"Seed of the invented history." default:"1"`
	Cars  int    `help:"Number of cars." default:"40"`
	Years int    `help:"Years of history." default:"6"`
	Keep  string `help:"Keep the data in this directory, which must not exist." type:"path"`
}

// Run serves at once and invents the history meanwhile, so that the first cars can be opened within seconds.
func (c *demoCmd) Run(con console) error {
	dir, err := c.dir()
	if err != nil {
		return err
	}
	if c.Keep == "" {
		defer os.RemoveAll(dir)
	}
	w, err := dataFlags{Data: dir, Name: "Demo workshop (all invented)"}.open()
	if err != nil {
		return err
	}
	defer w.Close()
	ctx, cancel := context.WithCancelCause(context.Background())
	var filling sync.WaitGroup
	filling.Go(func() {
		if err := c.invent(ctx, con, w); err != nil && ctx.Err() == nil {
			cancel(fmt.Errorf("inventing the workshop: %w", err))
		}
		filling.Go(func() { keepDue(ctx, con, w.Shop) })
		study(ctx, con, w.Shop) // there is nothing to learn before all is there
	})
	err = c.serve(ctx, con, w.Shop, shop.Mailing{Demo: true, PublicURL: c.PublicURL}) // no postman: nothing is ever sent from a demo
	cancel(nil)
	filling.Wait()
	return err
}

// invent fills the workshop and says how far it is.
func (c *demoCmd) invent(ctx context.Context, con console, w *workshop) error {
	began := time.Now()
	fmt.Fprintf(con.err, "Inventing %d cars and %d years of rounds; they appear one by one.\n", c.Cars, c.Years)
	if err := charge(ctx, w.Shop); err != nil {
		return err
	}
	n, err := fill(ctx, w, simulate.Options{Seed: c.Seed, Cars: c.Cars, Years: c.Years, Today: time.Now()})
	if err == nil {
		err = deal(ctx, w.Shop, time.Now())
	}
	if err == nil {
		fmt.Fprintf(con.err, "All there: %d facts in %.1f s. Cars, owners and findings are invented.\n", n, time.Since(began).Seconds())
	}
	return err
}

// charge says how the invented workshop charges, the way a form would.
func charge(ctx context.Context, s *shop.Shop) error {
	if err := s.SaveTerms(ctx, "demo-terms", "", simulate.Terms()); err != nil {
		return err
	}
	return s.SavePrices(ctx, "demo-prices", "", "", simulate.PriceList(s.Catalogue()))
}

func (c *demoCmd) dir() (string, error) {
	if c.Keep == "" {
		return os.MkdirTemp("", "witnessmark-demo-")
	}
	if _, err := os.Stat(c.Keep); err == nil {
		return "", fmt.Errorf("%s exists already; the demo only writes into a new directory", c.Keep)
	}
	return c.Keep, nil
}

// batch is how many facts go into one transaction: enough to be fast, few enough that a visitor's own save waits less
// than a second behind it.
const batch = 2000

// fill puts a fleet's facts and photos into a workshop.
func fill(ctx context.Context, w *workshop, o simulate.Options) (int, error) {
	var photoErr error
	o.OnPhoto = func(_ string, jpeg []byte) {
		if _, err := w.photos.Put(ctx, jpeg); err != nil && photoErr == nil {
			photoErr = err
		}
	}
	facts, _ := simulate.Fleet(w.Catalogue(), o)
	n := 0
	var pending []shop.Fact
	flush := func() error {
		err := w.store.Update(ctx, func(wr shop.Writer) error {
			for _, f := range pending {
				if _, err := wr.Put(ctx, f); err != nil {
					return err
				}
			}
			return nil
		})
		n += len(pending)
		pending = pending[:0]
		return err
	}
	for f := range facts {
		pending = append(pending, f)
		if photoErr != nil {
			return n, photoErr
		}
		if len(pending) == batch {
			if err := flush(); err != nil {
				return n, err
			}
		}
	}
	return n, flush()
}
