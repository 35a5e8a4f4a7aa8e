package script

import (
	"fmt"

	"witnessmark/core/round"
)

// see gives a state: "see brake-fluid-level low", "see track-rod-end FL slight, mm 0.4".
func see(st *stage, s Step) error {
	r, rest, err := head(s, 1, "a point, a position if it has one, and a state")
	if err != nil {
		return err
	}
	if rest[0].Quoted {
		return fmt.Errorf("expected a point, a position if it has one, and a state")
	}
	r.State = rest[0].Text
	return st.take(r, s)
}

// measure gives numbers: "measure pad-thickness FL/inner 3 mm", "measure steering-free-play 60 mm, wheel_mm 406".
func measure(st *stage, s Step) error {
	r, rest, err := head(s, 2, "a point, a position if it has one, a number and its unit")
	if err != nil {
		return err
	}
	if rest[1].Quoted {
		return fmt.Errorf("expected a point, a position if it has one, a number and its unit")
	}
	x, err := number(rest[0].Text)
	if err != nil {
		return err
	}
	r.Values = map[string]float64{rest[1].Text: x}
	return st.take(r, s)
}

// read gives a code: "read tyre-date FL 1217".
func read(st *stage, s Step) error {
	r, rest, err := head(s, 1, "a point, a position if it has one, and a code")
	if err != nil {
		return err
	}
	r.Code = rest[0].Text
	return st.take(r, s)
}

// skip says why there is no reading: `skip fan-rock "electric fan"`.
func skip(st *stage, s Step) error {
	r, rest, err := head(s, 1, "a point, a position if it has one, and the reason in quotation marks")
	if err != nil {
		return err
	}
	if !rest[0].Quoted || len(s.Parts) != 1 {
		return fmt.Errorf("expected a point, a position if it has one, and the reason in quotation marks")
	}
	r.Skipped = rest[0].Text
	return st.take(r, s)
}

// head reads a point, a position if there is one, and the n words that say what was seen.
func head(s Step, n int, expected string) (r round.Reading, rest []Word, err error) {
	p := s.Parts[0]
	if len(p) != n+1 && len(p) != n+2 || p[0].Quoted || p[1].Quoted && len(p) == n+2 {
		return r, nil, fmt.Errorf("expected %s", expected)
	}
	r.Point = p[0].Text
	if len(p) == n+2 {
		r.At = p[1].Text
	}
	return r, p[len(p)-n:], nil
}

// take adds a reading, with the values that stand after commas: "wheel_mm 406".
func (st *stage) take(r round.Reading, s Step) error {
	for _, p := range s.Parts[1:] {
		if len(p) != 2 {
			return fmt.Errorf("expected a value's name and a number after the comma, such as wheel_mm 406")
		}
		x, err := number(p[1].Text)
		if err != nil {
			return err
		}
		if r.Values == nil {
			r.Values = map[string]float64{}
		}
		r.Values[p[0].Text] = x
	}
	st.readings = append(st.readings, r)
	st.lines = append(st.lines, s.Line)
	return nil
}
