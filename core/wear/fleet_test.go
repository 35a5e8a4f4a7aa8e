//go:build !js

// Whole fleets are forecast here, which is the same arithmetic everywhere; under WebAssembly it would take minutes.

package wear

import (
	"math"
	"testing"
)

// plainLine is the mean pinball error of the line through each life's own readings, the fleet's median wear where there is only one: what a
// careful person with a ruler would say.
func (s *set) plainLine() float64 {
	var fleet []float64
	for _, l := range s.lives {
		if n := len(l.Readings); n > 1 {
			fleet = append(fleet, (l.Readings[0].Y-l.Readings[n-1].Y)/(l.Readings[n-1].X-l.Readings[0].X))
		}
	}
	usual := quantile(fleet, 0.5)
	sum := 0.0
	for _, k := range s.tasks {
		rs := k.lives[k.running].Readings
		var sx, sy, sxx, sxy float64
		n := float64(len(rs))
		for _, r := range rs {
			sx, sy, sxx, sxy = sx+r.X, sy+r.Y, sxx+r.X*r.X, sxy+r.X*r.Y
		}
		b := -(sxy - sx*sy/n) / (sxx - sx*sx/n)
		if !(b > 0) {
			b = usual
		}
		at := math.Min(math.Max(sx/n+(sy/n-s.limit)/b, k.now), k.now+400000)
		sum += math.Abs(at-k.true) / 2 // the pinball error of a point averages to half its distance
	}
	return sum / float64(len(s.tasks))
}

// TestFleets draws invented fleets of many kinds, with fixed seeds, and holds forecasts against the truth: the 80 % range covers as much, the
// pinball error is close to that of a forecaster who knows how the fleet was made, and far below that of a plain line.
func TestFleets(t *testing.T) {
	for _, r := range recipes() {
		t.Run(r.name, func(t *testing.T) {
			rounds := 1
			if r.units < 50 {
				rounds = 6
			}
			var ours, best, line, in80 float64
			n := 0
			for i := range rounds {
				s := r.draw(uint64(100 + i))
				c, rep, err := FitClass(s.lives, Weak(s.lives, s.step))
				if err != nil || !rep.Done {
					t.Fatalf("fit: %v, %+v", err, rep)
				}
				got := s.measure(t, c)
				ours, best, line = ours+got.pinball, best+s.measure(t, r.truth()).pinball, line+s.plainLine()
				in80 += got.in80 * float64(got.n)
				n += got.n
			}
			in80 /= float64(n)
			t.Logf("80 %% range covers %.3f of %d; error %.3f of the best possible, %.3f of a plain line", in80, n, ours/best, ours/line)
			// Fleets of a dozen share what is wrong with their class, so coverage swings more than a coin's.
			if wide := 3*math.Sqrt(0.8*0.2/float64(n)) + 0.01; math.Abs(in80-0.8) > wide {
				t.Errorf("the 80 %% range covers %.3f, not within %.3f of 0.8", in80, wide)
			}
			near := 1.1
			if r.units < 50 { // a few units can't show for certain what the knowing forecaster knows, such as a curve
				near = 1.3
			}
			if ours > near*best {
				t.Errorf("the error is %.3f of the best possible", ours/best)
			}
			if ours > 0.8*line {
				t.Errorf("the error is %.3f of a plain line's", ours/line)
			}
		})
	}
}
