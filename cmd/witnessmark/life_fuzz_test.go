package main

import (
	"encoding/json"
	"strings"
	"testing"

	"witnessmark/core/life"
)

// FuzzLooks: what is accepted as looks can be fitted, and the answer is JSON, in which there is no NaN or infinity.
func FuzzLooks(f *testing.F) {
	f.Add("lower,upper,count\n5,7,1\n0,9,2\n4,,3\n")
	f.Add("lower,upper,count\n5,5,1\n5.0000000001,5.0000000001,1\n")
	f.Add("lower,upper,count\n\"5\",1e308,1\n0x1p3,nan,1\n")
	f.Fuzz(func(t *testing.T, text string) {
		looks, err := readLooks(strings.NewReader(text))
		if err != nil {
			return
		}
		for m := life.Weibull; m <= life.Loglogistic; m++ {
			e, err := life.Fit(looks, m)
			if err != nil {
				t.Fatalf("accepted, but not fitted: %v", err)
			}
			if _, err := json.Marshal(describeFit(e)); err != nil {
				t.Fatalf("%+v: %v", e, err)
			}
		}
	})
}

// FuzzScenario: a scenario gives an answer that is JSON, or an error.
func FuzzScenario(f *testing.F) {
	const prior = `"dist":"weibull","prior":{"log_a_mean":0.9,"log_a_sd":0.4,"log_m_mean":9.6,"log_m_sd":0.5}`
	f.Add(`{` + prior + `,"observations":[{"type":"clear","distance":8000},{"type":"interval","lower":3,"upper":9}],"predict_distances":[5],"accepted_risk":0.1,"survived_to":3}`)
	f.Add(`{` + prior + `,"observations":[{"type":"dark","distance":8000,"sensitivity":0.9,"specificity":1e-9,"count":3},{"type":"exact","distance":1e-300}]}`)
	f.Add(`{` + strings.Replace(prior, "0.5", "5", 1) + `}`)
	f.Fuzz(func(t *testing.T, text string) {
		answer, err := lifeAnswer(strings.NewReader(text))
		if err != nil {
			return
		}
		if _, err := json.Marshal(answer); err != nil {
			t.Fatalf("%+v: %v", answer, err)
		}
	})
}
