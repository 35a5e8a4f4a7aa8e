package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"sort"
	"strconv"
	"text/tabwriter"

	"witnessmark/core/life"
)

// lifePosteriorCmd joins what was seen of one item of a car with what is known of its class.
type lifePosteriorCmd struct {
	Scenario string `arg:"" help:"Prior and observations (JSON), or - for standard input."`
	JSON     bool   `help:"Write JSON."`
}

// lifeScenario is the file; numbers are pointers where absence must be told from 0.
type lifeScenario struct {
	Name  string `json:"name"`
	Dist  string `json:"dist"`
	Prior struct {
		AMean *float64 `json:"log_a_mean"`
		ASD   *float64 `json:"log_a_sd"`
		MMean *float64 `json:"log_m_mean"`
		MSD   *float64 `json:"log_m_sd"`
	} `json:"prior"`
	Observations []lifeSeen `json:"observations"`
	Predict      []float64  `json:"predict_distances"`
	SurvivedTo   *float64   `json:"survived_to"`
	AcceptedRisk *float64   `json:"accepted_risk"`
}

type lifeSeen struct {
	Type        string   `json:"type"`
	Distance    *float64 `json:"distance"`
	Lower       *float64 `json:"lower"`
	Upper       *float64 `json:"upper"`
	Sensitivity *float64 `json:"sensitivity"`
	Specificity *float64 `json:"specificity"`
	Count       *int     `json:"count"`
}

// lifePosterior is the answer; keys of the maps are the numbers that were asked for.
type lifePosterior struct {
	LogMarginal float64                       `json:"log_marginal_likelihood"`
	Survival    map[string]float64            `json:"predictive_survival"`
	Quantiles   map[string]float64            `json:"predictive_life_quantiles"`
	Lives       map[string]map[string]float64 `json:"life_quantiles"`
	Interval    *float64                      `json:"interval,omitempty"`
}

// Run reads the scenario and writes what the observations leave of the prior.
func (c *lifePosteriorCmd) Run(con console) error {
	in, name, err := open(c.Scenario, con)
	if err != nil {
		return err
	}
	defer in.Close()
	out, err := lifeAnswer(in)
	if err != nil {
		return fmt.Errorf("%s: %w", name, err)
	}
	if c.JSON {
		return writeJSON(con.out, out)
	}
	return writePosterior(con.out, out)
}

// lifeAnswer works a scenario out.
func lifeAnswer(in io.Reader) (*lifePosterior, error) {
	s, err := readLifeScenario(in)
	if err != nil {
		return nil, err
	}
	model, prior, obs, err := s.resolve()
	if err != nil {
		return nil, err
	}
	p, err := life.NewPosterior(model, prior, obs)
	if bad := (*life.ErrObservation)(nil); errors.As(err, &bad) {
		return nil, fmt.Errorf("observations[%d]: %s", bad.Index, bad.Text)
	}
	if err != nil {
		return nil, err
	}
	out := &lifePosterior{LogMarginal: p.LogMarginal(), Survival: map[string]float64{}, Quantiles: map[string]float64{}, Lives: map[string]map[string]float64{"0.1": {}}}
	for _, x := range s.Predict {
		out.Survival[strconv.FormatFloat(x, 'f', -1, 64)] = p.Survival(x)
	}
	for _, q := range []float64{0.05, 0.1, 0.5, 0.9} {
		out.Quantiles[strconv.FormatFloat(q, 'f', -1, 64)] = p.Quantile(q)
	}
	for _, q := range []float64{0.05, 0.5, 0.95} {
		out.Lives["0.1"][strconv.FormatFloat(q, 'f', -1, 64)] = p.LifeQuantile(0.1, q)
	}
	if s.AcceptedRisk != nil {
		survived := 0.0
		if s.SurvivedTo != nil {
			survived = *s.SurvivedTo
		}
		interval := p.QuantileGiven(*s.AcceptedRisk, survived)
		out.Interval = &interval
	}
	return out, nil
}

func readLifeScenario(in io.Reader) (s lifeScenario, err error) {
	dec := json.NewDecoder(io.LimitReader(in, 64<<20))
	dec.DisallowUnknownFields()
	if err := dec.Decode(&s); err != nil {
		return s, fmt.Errorf("%w; expected a scenario as docs/formats/life.md describes it", err)
	}
	if _, err := dec.Token(); !errors.Is(err, io.EOF) {
		return s, errors.New("text after the scenario; expected one JSON object")
	}
	return s, nil
}

// resolve turns the file's words and numbers into those of the arithmetic.
func (s *lifeScenario) resolve() (m life.Model, prior life.Prior, obs []life.Observation, err error) {
	if s.Dist != "weibull" && s.Dist != "lognormal" {
		return m, prior, nil, fmt.Errorf("dist: %q; expected weibull or lognormal", s.Dist)
	}
	if m, err = life.ParseModel(s.Dist); err != nil {
		return m, prior, nil, err
	}
	for _, p := range []struct {
		name string
		from *float64
		to   *float64
	}{{"log_a_mean", s.Prior.AMean, &prior.LogShapeMean}, {"log_a_sd", s.Prior.ASD, &prior.LogShapeSD}, {"log_m_mean", s.Prior.MMean, &prior.LogScaleMean}, {"log_m_sd", s.Prior.MSD, &prior.LogScaleSD}} {
		if p.from == nil {
			return m, prior, nil, fmt.Errorf("prior.%s: this is missing; expected a number", p.name)
		}
		*p.to = *p.from
	}
	for i, o := range s.Observations {
		seen, err := o.observation()
		if err != nil {
			return m, prior, nil, fmt.Errorf("observations[%d].%w", i, err)
		}
		obs = append(obs, seen)
	}
	for i, x := range s.Predict {
		if !(x > 0) {
			return m, prior, nil, fmt.Errorf("predict_distances[%d]: %v; expected a number above 0", i, x)
		}
	}
	if r := s.AcceptedRisk; r != nil && !(*r > 0 && *r < 1) {
		return m, prior, nil, fmt.Errorf("accepted_risk: %v; expected a number between 0 and 1", *r)
	}
	if x := s.SurvivedTo; x != nil && !(*x >= 0 && !math.IsInf(*x, 0)) {
		return m, prior, nil, fmt.Errorf("survived_to: %v; expected 0 or more", *x)
	}
	return m, prior, obs, nil
}

// observation checks that the fields of its type are there and no others.
func (o lifeSeen) observation() (out life.Observation, err error) {
	kinds := map[string]life.Kind{"clear": life.Clear, "dark": life.Dark, "exact": life.Exact, "interval": life.Between}
	kind, ok := kinds[o.Type]
	if !ok {
		return out, fmt.Errorf("type: %q; expected clear, dark, exact or interval", o.Type)
	}
	out.Kind = kind
	interval, look := kind == life.Between, kind == life.Clear || kind == life.Dark
	for _, f := range []struct {
		name        string
		from        *float64
		to          *float64
		need, allow bool
	}{{"distance", o.Distance, &out.At, !interval, !interval}, {"lower", o.Lower, &out.Lower, interval, interval}, {"upper", o.Upper, &out.Upper, interval, interval},
		{"sensitivity", o.Sensitivity, &out.Sensitivity, false, look}, {"specificity", o.Specificity, &out.Specificity, false, look}} {
		switch {
		case f.from == nil && f.need:
			return out, fmt.Errorf("%s: this is missing; %s needs it", f.name, o.Type)
		case f.from != nil && !f.allow && *f.from != 1:
			return out, fmt.Errorf("%s: %s has none", f.name, o.Type)
		case f.from != nil && f.allow:
			*f.to = *f.from
		}
	}
	for name, p := range map[string]*float64{"sensitivity": o.Sensitivity, "specificity": o.Specificity} {
		if p != nil && !(*p > 0 && *p <= 1) {
			return out, fmt.Errorf("%s: %v; expected above 0, at most 1", name, *p)
		}
	}
	if o.Count != nil {
		if *o.Count < 1 {
			return out, fmt.Errorf("count: %d; expected 1 or more", *o.Count)
		}
		out.Count = *o.Count
	}
	return out, nil
}

func writePosterior(w io.Writer, p *lifePosterior) error {
	tw := tabwriter.NewWriter(w, 0, 4, 2, ' ', 0)
	fmt.Fprintf(tw, "Log marginal likelihood\t%.6f\n", p.LogMarginal)
	for _, x := range byNumber(p.Survival) {
		fmt.Fprintf(tw, "Still good at %s\t%.1f %%\n", x, 100*p.Survival[x])
	}
	for _, q := range byNumber(p.Quantiles) {
		fmt.Fprintf(tw, "Share %s has turned by\t%.6g\n", q, p.Quantiles[q])
	}
	for _, q := range byNumber(p.Lives["0.1"]) {
		fmt.Fprintf(tw, "Life of the first tenth, quantile %s\t%.6g\n", q, p.Lives["0.1"][q])
	}
	if p.Interval != nil {
		fmt.Fprintf(tw, "Longest interval with the accepted risk\t%.6g\n", *p.Interval)
	}
	return tw.Flush()
}

// byNumber sorts keys by the numbers that they are.
func byNumber(m map[string]float64) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	sort.Slice(keys, func(i, j int) bool {
		a, _ := strconv.ParseFloat(keys[i], 64)
		b, _ := strconv.ParseFloat(keys[j], 64)
		return a < b
	})
	return keys
}
