package main

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"text/tabwriter"

	"witnessmark/core/life"
)

// lifeFitCmd fits a model to censored looks.
type lifeFitCmd struct {
	Looks string `arg:"" help:"The looks (CSV with lower,upper,count), or - for standard input."`
	Model string `enum:"weibull,lognormal,loglogistic" default:"weibull" help:"weibull, lognormal or loglogistic."`
	JSON  bool   `help:"Write JSON."`
}

// lifeQuantiles are the shares whose lives the fit gives.
var lifeQuantiles = []string{"0.05", "0.1", "0.5"}

// lifeFit is the answer as JSON. Which of the parameters are there depends on the model.
type lifeFit struct {
	Model     string             `json:"model"`
	Looks     int                `json:"looks"`
	Exists    bool               `json:"mle_exists"`
	Reason    string             `json:"reason,omitempty"`
	Shape     *float64           `json:"shape,omitempty"`
	Scale     *float64           `json:"scale,omitempty"`
	Mu        *float64           `json:"mu,omitempty"`
	Sigma     *float64           `json:"sigma,omitempty"`
	LogMedian *float64           `json:"log_median,omitempty"`
	Intercept *float64           `json:"intercept_mu,omitempty"`
	SigmaLog  *float64           `json:"sigma_log,omitempty"`
	SE        *lifeErrors        `json:"se,omitempty"`
	LogLik    *float64           `json:"loglik,omitempty"`
	Quantiles map[string]float64 `json:"quantiles,omitempty"`
}

type lifeErrors struct {
	Intercept float64 `json:"intercept_mu"`
	LogSigma  float64 `json:"log_sigma"`
}

// Run reads the looks, fits and writes the estimate, or why there is none.
func (c *lifeFitCmd) Run(con console) error {
	model, err := life.ParseModel(c.Model)
	if err != nil {
		return usageError{err.Error()}
	}
	in, name, err := open(c.Looks, con)
	if err != nil {
		return err
	}
	defer in.Close()
	looks, err := readLooks(in)
	if err != nil {
		return fmt.Errorf("%s: %w", name, err)
	}
	estimate, err := life.Fit(looks, model)
	if err != nil {
		return fmt.Errorf("%s: %w", name, err)
	}
	out := describeFit(estimate)
	if c.JSON {
		return writeJSON(con.out, out)
	}
	return writeFit(con.out, out)
}

// mostLooks bounds what is read: a workshop's history is far below it.
const mostLooks = 1_000_000

// readLooks reads lower,upper,count; an error names the line and what was expected.
func readLooks(in io.Reader) ([]life.Look, error) {
	r := csv.NewReader(in)
	r.FieldsPerRecord, r.ReuseRecord = -1, true
	header, err := r.Read()
	if err != nil || len(header) != 3 || strings.TrimPrefix(header[0], "\ufeff") != "lower" || header[1] != "upper" || header[2] != "count" {
		return nil, errors.New("line 1: expected the header lower,upper,count")
	}
	var looks []life.Look
	for {
		row, err := r.Read()
		if errors.Is(err, io.EOF) {
			return looks, nil
		}
		if err != nil {
			return nil, err
		}
		line, _ := r.FieldPos(0)
		look, err := readLook(row)
		if err != nil {
			return nil, fmt.Errorf("line %d: %w", line, err)
		}
		if looks = append(looks, look); len(looks) > mostLooks {
			return nil, fmt.Errorf("line %d: more than %d looks", line, mostLooks)
		}
	}
}

func readLook(row []string) (look life.Look, err error) {
	if len(row) != 3 {
		return look, fmt.Errorf("%d columns; expected lower,upper,count", len(row))
	}
	look.Upper = math.Inf(1)
	if look.Lower, err = readExposure(row[0]); err != nil {
		return look, fmt.Errorf("lower is %q; expected 0 (had turned already) or an exposure", row[0])
	}
	if row[1] != "" {
		if look.Upper, err = readExposure(row[1]); err != nil {
			return look, fmt.Errorf("upper is %q; expected an exposure, or nothing (still good)", row[1])
		}
	}
	if look.Count, err = strconv.Atoi(row[2]); err != nil || look.Count > mostLooks {
		return look, fmt.Errorf("count is %q; expected a whole number from 1 to %d", row[2], mostLooks)
	}
	return look, look.Check()
}

// readExposure reads a finite decimal number.
func readExposure(s string) (float64, error) {
	x, err := strconv.ParseFloat(s, 64)
	if err == nil && (math.IsNaN(x) || math.IsInf(x, 0) || strings.ContainsAny(s, "xX_")) {
		err = strconv.ErrRange
	}
	return x, err
}

func describeFit(e life.Estimate) lifeFit {
	out := lifeFit{Model: e.Model.String(), Looks: e.Looks, Exists: e.Exists, Reason: e.Reason}
	if !e.Exists {
		return out
	}
	shape, scale := e.Shape(), e.Scale()
	switch e.Model {
	case life.Weibull:
		out.Shape, out.Scale = &shape, &scale
	case life.Lognormal:
		out.Mu, out.Sigma = &e.Mu, &e.Sigma
	case life.Loglogistic:
		out.LogMedian, out.Shape = &e.Mu, &shape
	}
	out.Intercept, out.SigmaLog, out.LogLik = &e.Mu, &e.Sigma, &e.LogLik
	out.SE = &lifeErrors{e.SEMu, e.SELogSigma}
	out.Quantiles = map[string]float64{}
	for _, p := range lifeQuantiles {
		x, _ := strconv.ParseFloat(p, 64)
		out.Quantiles[p] = e.Quantile(x)
	}
	return out
}

func writeFit(w io.Writer, f lifeFit) error {
	fmt.Fprintf(w, "%s, %d looks\n", f.Model, f.Looks)
	if !f.Exists {
		_, err := fmt.Fprintln(w, "No estimate: "+f.Reason)
		return err
	}
	tw := tabwriter.NewWriter(w, 0, 4, 2, ' ', 0)
	for _, row := range []struct {
		title string
		value *float64
	}{{"Shape", f.Shape}, {"Scale", f.Scale}, {"Location of ln T", f.Intercept}, {"Scale of ln T", f.SigmaLog},
		{"Standard error of the location", &f.SE.Intercept}, {"Standard error of ln scale", &f.SE.LogSigma}, {"Log-likelihood", f.LogLik}} {
		if row.value != nil {
			fmt.Fprintf(tw, "  %s\t%.6g\n", row.title, *row.value)
		}
	}
	for _, p := range lifeQuantiles {
		fmt.Fprintf(tw, "  Share %s has turned by\t%.6g\n", p, f.Quantiles[p])
	}
	return tw.Flush()
}
