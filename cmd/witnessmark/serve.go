package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/http"
	"os"
	"os/signal"
	"sync"
	"syscall"
	"time"

	"witnessmark/blob/photo"
	"witnessmark/core/point"
	"witnessmark/paper"
	"witnessmark/post"
	"witnessmark/shop"
	"witnessmark/web"
)

// listenFlags say where a server listens.
type listenFlags struct {
	Listen    string   `help:"Address to listen on." default:"127.0.0.1:8080" env:"WITNESSMARK_LISTEN"`
	PublicURL string   `help:"Where owners reach this server, for report links (https://...)." env:"WITNESSMARK_PUBLIC_URL"`
	Origin    []string `help:"A further origin whose forms are accepted, behind a proxy that changes the host name."`
}

// serveCmd serves a workshop.
type serveCmd struct {
	dataFlags
	listenFlags
	mailFlags
}

// Run serves until it is told to stop.
func (c *serveCmd) Run(con console) error {
	mailing, postman, err := c.mailFlags.open(c.PublicURL)
	if err != nil {
		return err
	}
	w, err := c.dataFlags.open()
	if err != nil {
		return err
	}
	defer w.Close()
	ctx, cancel := context.WithCancel(context.Background())
	var background sync.WaitGroup
	background.Go(func() { study(ctx, con, w.Shop) })
	background.Go(func() { keepDue(ctx, con, w.Shop) })
	if mailing.SetUp() {
		background.Go(func() { remind(ctx, con, w, mailing, postman) })
	}
	err = c.serve(ctx, con, w.Shop, mailing)
	cancel()
	background.Wait()
	return err
}

// study learns from the workshop's history in the background until ctx ends.
func study(ctx context.Context, con console, s *shop.Shop) {
	log := slog.New(slog.NewTextHandler(con.err, nil))
	s.Study(ctx, func(what string, err error) { log.Error(what, "error", err) })
}

// shutdownTime is how long open requests may take after a stop was asked for.
const shutdownTime = 10 * time.Second

// serve serves a shop until SIGINT or SIGTERM, or until ctx ends; its cause is the error then.
func (c listenFlags) serve(ctx context.Context, con console, s *shop.Shop, mailing shop.Mailing) error {
	log := slog.New(slog.NewTextHandler(con.err, nil))
	handler, err := c.handler(s, mailing, log)
	if err != nil {
		return err
	}
	l, err := net.Listen("tcp", c.Listen)
	if err != nil {
		return err
	}
	fmt.Fprintf(con.err, "listening on http://%s\n", l.Addr())
	if !loopback(l.Addr()) {
		fmt.Fprintln(con.err, "There is no sign-in yet: everybody who reaches this address can read and change everything. Put it behind a proxy that asks who they are.")
	} else {
		fmt.Fprintln(con.err, "Only this machine reaches it, because there is no sign-in yet; --listen changes that.")
	}
	srv := &http.Server{Handler: handler, ReadHeaderTimeout: 10 * time.Second, ReadTimeout: 2 * time.Minute, WriteTimeout: 2 * time.Minute,
		IdleTimeout: 2 * time.Minute, ErrorLog: slog.NewLogLogger(log.Handler(), slog.LevelWarn)}
	stopped, stop := signal.NotifyContext(ctx, os.Interrupt, syscall.SIGTERM)
	defer stop()
	done := make(chan error, 1)
	go func() { done <- srv.Serve(l) }()
	select {
	case err := <-done:
		return err
	case <-stopped.Done():
	}
	end, cancel := context.WithTimeout(context.Background(), shutdownTime)
	defer cancel()
	if err := srv.Shutdown(end); err != nil {
		return err
	}
	if err := <-done; !errors.Is(err, http.ErrServerClosed) {
		return err
	}
	if ctx.Err() != nil {
		return context.Cause(ctx)
	}
	return nil
}

// handler is the whole of the pages with what they are written with.
func (c listenFlags) handler(s *shop.Shop, mailing shop.Mailing, log *slog.Logger) (http.Handler, error) {
	return web.New(web.Config{Shop: s, ReportPDF: paper.Report, SheetPDF: sheetPDF(s), EstimatePDF: paper.Estimate, PreparePhoto: photo.NewIntake().Prepare,
		Calendar: post.Calendar, Mailing: mailing, PublicURL: c.PublicURL, TrustedOrigins: c.Origin, Log: log})
}

func loopback(a net.Addr) bool {
	t, ok := a.(*net.TCPAddr)
	return ok && t.IP.IsLoopback()
}

// sheetPDF turns a round as it is walked into the sheet for the pen.
func sheetPDF(s *shop.Shop) func(io.Writer, *shop.RoundView) error {
	return func(w io.Writer, v *shop.RoundView) error {
		data := &paper.SheetData{Car: v.Car, Depth: point.Depth(v.Round.Depth), Date: v.Round.On, Cautions: map[string]string{}}
		for id, c := range s.Catalogue().Cautions {
			data.Cautions[id] = c.Say
		}
		for _, st := range v.Steps {
			last := map[string]string{}
			for at, l := range st.Last {
				last[at] = s.Describe(v.Car, st.Point, l.Reading)
			}
			data.Steps = append(data.Steps, paper.SheetStep{Station: st.Point.Station, Point: st.Point, Slots: st.Slots, Last: last, Hint: st.Hint})
		}
		return paper.Sheet(w, data)
	}
}
