package life

import (
	"fmt"
	"math"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func good(at float64) Seen   { return Seen{At: at} }
func turned(at float64) Seen { return Seen{At: at, Turned: true} }

func TestMerge(t *testing.T) {
	tests := []struct {
		name  string
		cycle Cycle
		want  []Observation
		asks  string // of the one question, "" for none
	}{
		{"nothing seen", Cycle{RenewedAt: 9000}, nil, ""},
		{"clear twice is clear once, at the later", Cycle{Seen: []Seen{good(5000), good(8000)}}, clears(8000), ""},
		{"dark twice is dark once, at the earlier", Cycle{Seen: []Seen{turned(12000), turned(9000)}}, darks(9000), ""},
		{"clear then dark is an interval", Cycle{Seen: []Seen{turned(14000), good(5000), good(8000)}, RenewedAt: 14000}, []Observation{{Kind: Between, Lower: 8000, Upper: 14000}}, ""},
		{"dark then clear asks", Cycle{Seen: []Seen{turned(9000), good(11000)}}, darks(9000), "turned at 9 000, good at 11 000"},
		{"what holds of the new fill is used", Cycle{Seen: []Seen{good(4000), turned(9000), good(11000), good(16000), turned(21000)}},
			[]Observation{{Kind: Between, Lower: 4000, Upper: 9000}, {Kind: Between, Lower: 5000, Upper: 12000}}, "turned at 9 000, good at 11 000"},
		{"both at once asks", Cycle{Seen: []Seen{turned(9000), good(9000), good(4000)}}, clears(4000), "seen both good and turned at 9 000"},
		{"after its renewal asks", Cycle{Seen: []Seen{good(9000), turned(12000)}, RenewedAt: 10000}, clears(9000), "renewed at 10 000, but looked at as the old one at 12 000"},
		{"no exposure asks", Cycle{Seen: []Seen{good(0), good(9000)}}, clears(9000), "at what exposure"},
		{"start unknown", Cycle{Seen: []Seen{good(4000), turned(9000)}, StartUnknown: true}, clears(4000), ""},
		{"one look that errs", Cycle{Seen: []Seen{{At: 9000, Turned: true, Sensitivity: 0.9}}}, []Observation{{Kind: Dark, At: 9000, Sensitivity: 0.9, Specificity: 1}}, ""},
		{"looks that err contradict each other", Cycle{Seen: []Seen{{At: 6000, Turned: true, Sensitivity: 0.9, Specificity: 0.8}, {At: 9000, Sensitivity: 0.9, Specificity: 0.8}}},
			// T before 6000: 0.9*0.1; between: 0.2*0.1; later: 0.2*0.8 - relative to the largest.
			[]Observation{{Kind: Steps, Breaks: []float64{6000, 9000}, Weights: []float64{0.09 / 0.16, 0.02 / 0.16, 1}}}, ""},
	}
	for _, tt := range tests {
		obs, questions := Merge([]Cycle{tt.cycle})
		if !alike2(obs, tt.want) {
			t.Errorf("%s: %+v, want %+v", tt.name, obs, tt.want)
		}
		if (tt.asks == "") != (len(questions) == 0) || len(questions) > 0 && !strings.Contains(questions[0].Text, tt.asks) {
			t.Errorf("%s: asks %+v, want %q", tt.name, questions, tt.asks)
		}
	}
}

// alike2 compares observations, weights to the last digits but two.
func alike2(a, b []Observation) bool {
	text := func(obs []Observation) string {
		out := ""
		for _, o := range obs {
			out += fmt.Sprintf("%v %v %v %v %v %v %v %.12f\n", o.Kind, o.At, o.Lower, o.Upper, o.Sensitivity, o.Specificity, o.Breaks, o.Weights)
		}
		return out
	}
	return text(a) == text(b)
}

// TestMergeIsTheLikelihood: the weights of a merged fill are the product of what its looks say, for any T; checked on fills of looks
// that can err with a life on either side of each.
func TestMergeIsTheLikelihood(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		looks := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) Seen {
			return Seen{At: float64(rapid.IntRange(1, 6).Draw(t, "at")), Turned: rapid.Bool().Draw(t, "turned"),
				Sensitivity: rapid.SampledFrom([]float64{0.7, 0.95}).Draw(t, "sensitivity"), Specificity: rapid.SampledFrom([]float64{0.6, 0.99}).Draw(t, "specificity")}
		}), 2, 5).Draw(t, "looks")
		obs, questions := Merge([]Cycle{{Seen: looks}})
		if len(obs) != 1 || len(questions) != 0 || obs[0].Kind != Steps {
			t.Fatalf("%+v %+v", obs, questions)
		}
		at := func(life float64) (product, weight float64) {
			product = 1
			for _, s := range looks {
				product *= s.says(life <= s.At)
			}
			k := 0
			for k < len(obs[0].Breaks) && life > obs[0].Breaks[k] {
				k++
			}
			return product, obs[0].Weights[k]
		}
		p0, w0 := at(0.5)
		for life := 1.5; life < 8; life++ {
			if p, w := at(life); math.Abs(p*w0-w*p0) > 1e-12 {
				t.Fatalf("life %v: product %v, weight %v; at 0.5 %v and %v", life, p, w, p0, w0)
			}
		}
	})
}

// TestMergeNeverBreaks: whatever was written down, what comes out can be observed.
func TestMergeNeverBreaks(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		value := rapid.SampledFrom([]float64{-1, 0, 0.5, 0.9, 1, 2, 3, 5000, 9000, math.NaN(), math.Inf(1)})
		look := rapid.Custom(func(t *rapid.T) Seen {
			return Seen{value.Draw(t, "at"), rapid.Bool().Draw(t, "turned"), value.Draw(t, "sensitivity"), value.Draw(t, "specificity")}
		})
		var cycles []Cycle
		for range rapid.IntRange(0, 3).Draw(t, "cycles") {
			cycles = append(cycles, Cycle{rapid.SliceOfN(look, 0, 6).Draw(t, "looks"), value.Draw(t, "renewed"), rapid.Bool().Draw(t, "start unknown")})
		}
		obs, questions := Merge(cycles)
		for _, o := range obs {
			if _, text := o.check(); text != "" {
				t.Fatalf("%+v: %s", o, text)
			}
		}
		for _, q := range questions {
			if q.Text == "" || q.Cycle < 0 || q.Cycle >= len(cycles) {
				t.Fatalf("%+v", q)
			}
		}
		if again, _ := Merge(cycles); !reflect.DeepEqual(obs, again) {
			t.Fatal("twice is not once")
		}
	})
}
