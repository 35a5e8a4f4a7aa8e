package main

import (
	"fmt"
	"io"
	"math"
	"text/tabwriter"

	"witnessmark/core/slope"
)

// wearFitCmd fits the linear mixed model with random intercept and slope.
type wearFitCmd struct {
	Readings     string `arg:"" help:"Readings (CSV with the columns g, x and y), or - for standard input."`
	ML           bool   `help:"Full instead of restricted maximum likelihood."`
	Uncorrelated bool   `help:"Hold the covariance of intercept and slope at nought."`
	JSON         bool   `help:"Write JSON."`
}

// wearFit is a fit as JSON, in the units of the readings.
type wearFit struct {
	Fixed        [2]float64    `json:"fixed"`
	FixedCov     [2][2]float64 `json:"fixed_cov"`
	VarIntercept float64       `json:"var_intercept"`
	VarSlope     float64       `json:"var_slope"`
	Cov          float64       `json:"cov_intercept_slope"`
	Sigma        float64       `json:"sigma"`
	LogLik       float64       `json:"loglik"`
	Singular     bool          `json:"singular"`
}

// Run reads the readings, fits and writes the estimate.
func (c *wearFitCmd) Run(con console) error {
	in, name, err := open(c.Readings, con)
	if err != nil {
		return err
	}
	defer in.Close()
	groups, err := readGroups(in)
	if err != nil {
		return fmt.Errorf("%s: %w", name, err)
	}
	e, err := slope.Fit(groups, slope.Options{ML: c.ML, Uncorrelated: c.Uncorrelated})
	if err != nil {
		return fmt.Errorf("%s: %w", name, err)
	}
	if c.JSON {
		return writeJSON(con.out, wearFit{e.Fixed, e.FixedCov, e.VarIntercept, e.VarSlope, e.Cov, e.Sigma, e.LogLik, e.Singular})
	}
	return c.table(con.out, e)
}

// table writes the estimate for the eye.
func (c *wearFitCmd) table(w io.Writer, e slope.Estimate) error {
	method, tied := "restricted maximum likelihood", "free"
	if c.ML {
		method = "maximum likelihood"
	}
	if c.Uncorrelated {
		tied = "held at 0"
	}
	fmt.Fprintf(w, "A line for each of %d groups, %d readings; %s, correlation %s.\n", e.Groups, e.N, method, tied)
	tw := tabwriter.NewWriter(w, 0, 4, 2, ' ', 0)
	fmt.Fprintf(tw, "\tmean\tstandard error\tspread of the groups (sd)\n")
	fmt.Fprintf(tw, "  intercept (x = 0)\t%.6g\t%.4g\t%.6g\n", e.Fixed[0], math.Sqrt(e.FixedCov[0][0]), math.Sqrt(e.VarIntercept))
	fmt.Fprintf(tw, "  slope per unit of x\t%.6g\t%.4g\t%.6g\n", e.Fixed[1], math.Sqrt(e.FixedCov[1][1]), math.Sqrt(e.VarSlope))
	if err := tw.Flush(); err != nil {
		return err
	}
	if size := math.Sqrt(e.VarIntercept) * math.Sqrt(e.VarSlope); size > 0 && !c.Uncorrelated {
		fmt.Fprintf(w, "Correlation of intercept and slope: %.3f\n", min(1, max(-1, e.Cov/size)))
	}
	fmt.Fprintf(w, "Scatter of a reading about its line (sd): %.6g\nLog-likelihood: %.4f\n", e.Sigma, e.LogLik)
	if e.Singular {
		fmt.Fprintln(w, "Note: the readings don't show intercepts and slopes that differ independently of each other; one spread, or both, is 0 or follows from the other.")
	}
	_, err := fmt.Fprintln(w, "Source: Laird & Ware, Biometrics 38 (1982) 963; Bates et al., J. Stat. Softw. 67 (2015) no. 1")
	return err
}
