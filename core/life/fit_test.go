package life

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"math"
	"strconv"
	"strings"
	"testing"

	"witnessmark/internal/published"
)

var models = []Model{Weibull, Lognormal, Loglogistic}

// nist20 are the 20 units of NIST/SEMATECH e-Handbook 8.4.1.2: ten failures, ten still running at 500 h.
var nist20 = append(func() (looks []Look) {
	for _, t := range []float64{54, 187, 216, 240, 244, 335, 361, 373, 375, 386} {
		looks = append(looks, Look{t, t, 1})
	}
	return looks
}(), Look{500, math.Inf(1), 10})

func near(t testing.TB, what string, got, want, rel float64) {
	t.Helper()
	if !(math.Abs(got-want) <= rel*math.Abs(want)) {
		t.Errorf("%s = %.12g, want %.12g to %g relative", what, got, want, rel)
	}
}

// TestFitPublished holds the fit against printed results. The handbook prints shape 1.7208, scale 606.5280 and a log-likelihood of
// -75.135 (8.4.1.2, maximum likelihood for the data of 8.4.2.1).
func TestFitPublished(t *testing.T) {
	e, err := Fit(nist20, Weibull)
	if err != nil || !e.Exists {
		t.Fatal(err, e.Reason)
	}
	for _, c := range []struct {
		what string
		got  float64
		want string
	}{{"shape", e.Shape(), "1.7208"}, {"scale", e.Scale(), "606.53"}, {"log-likelihood", e.LogLik, "-75.135"}} {
		if !published.Printed(c.got, c.want) {
			t.Errorf("%s = %.8g, printed as %s", c.what, c.got, c.want)
		}
	}
}

// TestLognormalExact is the closed form for complete samples: mean and standard deviation (divisor n) of the logarithms, standard
// errors sigma/sqrt(n) and 1/sqrt(2n) (Meeker & Escobar 1998, 8.3).
func TestLognormalExact(t *testing.T) {
	var looks []Look
	for _, y := range []float64{-1, 0, 0, 1} {
		looks = append(looks, Look{math.Exp(7 + y), math.Exp(7 + y), 1})
	}
	e, err := Fit(looks, Lognormal)
	if err != nil || !e.Exists {
		t.Fatal(err, e.Reason)
	}
	near(t, "mu", e.Mu, 7, 1e-12)
	near(t, "sigma", e.Sigma, math.Sqrt(0.5), 1e-9)
	near(t, "SE of mu", e.SEMu, math.Sqrt(0.5/4), 1e-8)
	near(t, "SE of ln sigma", e.SELogSigma, math.Sqrt(1.0/8), 1e-8)
	near(t, "median", e.Quantile(0.5), math.Exp(7), 1e-12)
}

func looksCSV(t testing.TB, text []byte) (looks []Look) {
	rows, err := csv.NewReader(bytes.NewReader(text)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range rows[1:] {
		lower, _ := strconv.ParseFloat(r[0], 64)
		upper, n := math.Inf(1), 0
		if r[1] != "" {
			upper, _ = strconv.ParseFloat(r[1], 64)
		}
		n, err = strconv.Atoi(r[2])
		if err != nil {
			t.Fatal(err)
		}
		looks = append(looks, Look{lower, upper, n})
	}
	return looks
}

// TestFitReference compares with high-precision maximisation, itself checked against R's survreg.
func TestFitReference(t *testing.T) {
	text, ok := published.File(t, "oracle", "life", "expected_mle.json")
	if !ok {
		return
	}
	var all map[string]map[string]json.RawMessage
	if err := json.Unmarshal(text, &all); err != nil {
		t.Fatal(err)
	}
	for name, set := range all {
		data, _ := published.File(t, "oracle", "life", "data", name+".csv")
		looks := looksCSV(t, data)
		for _, m := range models {
			var want struct {
				Exists   bool    `json:"mle_exists"`
				Mu       float64 `json:"intercept_mu"`
				Sigma    float64 `json:"sigma"`
				LogLik   float64 `json:"loglik"`
				SEMu     float64 `json:"se_mu"`
				SELog    float64 `json:"se_log_sigma"`
				Quantile map[string]struct {
					Life float64 `json:"life"`
				} `json:"quantiles"`
			}
			if err := json.Unmarshal(set[m.String()], &want); err != nil {
				t.Fatal(err)
			}
			got, err := Fit(looks, m)
			if err != nil || got.Exists != want.Exists || got.Exists == (got.Reason != "") {
				t.Errorf("%s %v: exists %v (%q), %v", name, m, got.Exists, got.Reason, err)
				continue
			}
			if !want.Exists {
				continue
			}
			at := name + " " + m.String() + " "
			near(t, at+"mu", got.Mu, want.Mu, 1e-6)
			near(t, at+"sigma", got.Sigma, want.Sigma, 1e-6)
			near(t, at+"log-likelihood", got.LogLik, want.LogLik, 1e-8/math.Abs(want.LogLik))
			near(t, at+"SE of mu", got.SEMu, want.SEMu, 1e-5)
			near(t, at+"SE of ln sigma", got.SELogSigma, want.SELog, 1e-5)
			for p, q := range want.Quantile {
				x, _ := strconv.ParseFloat(p, 64)
				near(t, at+p, got.Quantile(x), q.Life, 1e-6)
			}
		}
	}
}

func TestNoMaximumIsSaid(t *testing.T) {
	inf := math.Inf(1)
	tests := []struct {
		name   string
		looks  []Look
		exists bool
		reason string
	}{
		{"nothing", nil, false, "no looks"},
		{"says nothing", []Look{{0, inf, 3}}, false, "no looks"},
		{"only clear", []Look{{4000, inf, 1}, {9000, inf, 2}}, false, "still good"},
		{"only dark", []Look{{0, 4000, 1}, {0, 9000, 2}}, false, "turned already"},
		{"separated", []Look{{4000, inf, 1}, {0, 9000, 2}}, false, "separated"},
		{"clear and dark at one exposure", []Look{{4000, inf, 1}, {0, 4000, 2}}, false, "separated"},
		{"reversed", []Look{{0, 4000, 1}, {9000, inf, 2}}, false, "reversed"},
		{"mixed with equal means", []Look{{0, 4000, 1}, {0, 9000, 1}, {4000, inf, 1}, {9000, inf, 1}}, false, "reversed"},
		{"mixed, dark later", []Look{{0, 4000, 1}, {0, 9000, 2}, {4000, inf, 2}, {9000, inf, 1}}, true, ""},
		{"one exact", []Look{{12000, 12000, 1}}, false, "one life"},
		{"equal exact", []Look{{12000, 12000, 3}, {12000, 12000, 1}}, false, "one life"},
		{"equal exact, clear before, dark after", []Look{{12000, 12000, 3}, {5000, inf, 1}, {0, 12000, 1}}, false, "one life"},
		{"exact, clear later", []Look{{12000, 12000, 1}, {13000, inf, 1}}, true, ""},
		{"exact, dark earlier", []Look{{12000, 12000, 1}, {0, 9000, 1}}, true, ""},
		{"two exact", []Look{{12000, 12000, 1}, {9000, 9000, 1}}, true, ""},
		{"intervals that overlap", []Look{{5000, 9000, 1}, {8000, 12000, 1}, {7000, inf, 1}}, false, "separated"},
		{"intervals that touch", []Look{{5000, 8000, 1}, {8000, 12000, 1}}, false, "separated"},
		{"intervals apart", []Look{{5000, 8000, 1}, {9000, 12000, 1}}, true, ""},
		{"exact within an interval", []Look{{8500, 8500, 1}, {8000, 9000, 4}}, false, "one life"},
		{"exact outside", []Look{{9500, 9500, 1}, {8000, 9000, 4}}, true, ""},
		{"clear after an interval", []Look{{9500, inf, 1}, {8000, 9000, 4}}, true, ""},
	}
	for _, tt := range tests {
		for _, m := range models {
			e, err := Fit(tt.looks, m)
			if err != nil || e.Exists != tt.exists || !strings.Contains(e.Reason, tt.reason) || (e.Reason == "") != tt.exists {
				t.Errorf("%s %v: %+v, %v", tt.name, m, e, err)
			}
		}
	}
}

func TestFitRefusesWhatCannotBe(t *testing.T) {
	for _, l := range []Look{{math.NaN(), 3, 1}, {1, math.NaN(), 1}, {-1, 3, 1}, {0, 0, 1}, {0, -3, 1}, {3, 2, 1}, {math.Inf(1), math.Inf(1), 1}, {1, 2, 0}, {1, 2, -1}} {
		if _, err := Fit([]Look{{1, 2, 1}, l}, Weibull); err == nil || !strings.HasPrefix(err.Error(), "look 2: ") {
			t.Errorf("%v: %v", l, err)
		}
	}
	if _, err := Fit(nist20, Model(7)); err == nil {
		t.Error("an unknown model fits")
	}
}
