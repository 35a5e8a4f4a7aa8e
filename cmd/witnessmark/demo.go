package main

import (
	"context"
	"fmt"
	"os"
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

// Run invents the workshop and serves it.
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
	began := time.Now()
	fmt.Fprintf(con.err, "Inventing %d cars and %d years of rounds ...\n", c.Cars, c.Years)
	n, err := fill(context.Background(), w, simulate.Options{Seed: c.Seed, Cars: c.Cars, Years: c.Years, Today: time.Now()})
	if err != nil {
		return err
	}
	fmt.Fprintf(con.err, "%d facts in %.1f s. Cars, owners and findings are invented.\n", n, time.Since(began).Seconds())
	return c.serve(con, w.Shop)
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

// batch is how many facts go into one transaction: enough to be fast, few enough to see progress.
const batch = 20000

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
