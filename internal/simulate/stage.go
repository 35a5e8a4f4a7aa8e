package simulate

import (
	"witnessmark/core/point"
	"witnessmark/core/verdict"
)

// drawStages decides which of a point's states this cycle will go through: perhaps one that is only watched, then one that
// asks for work.
func (c *car) drawStages(p *point.Point) []stage {
	if len(p.States) == 0 {
		return nil
	}
	out := []stage{{p.States[0].ID, 0}}
	var watch, bad, worse []string
	for _, s := range p.States[1:] {
		switch s.Verdict {
		case verdict.Watch:
			watch = append(watch, s.ID)
		case verdict.Due:
			bad = append(bad, s.ID)
		case verdict.Overdue:
			worse = append(worse, s.ID)
		}
	}
	if len(watch) > 0 {
		out = append(out, stage{pick(c.laws, watch), 0.88})
	}
	if len(bad) == 0 || (len(worse) > 0 && c.laws.chance(0.12)) {
		bad, worse = worse, nil
	}
	if len(bad) == 0 {
		bad = []string{p.States[len(p.States)-1].ID}
		if len(watch) > 0 {
			bad = watch
		}
	}
	out = append(out, stage{bad[0], 1})
	if len(bad) > 1 {
		out[len(out)-1].state = pick(c.laws, bad[:2])
	}
	if len(worse) > 0 {
		out = append(out, stage{worse[0], 1.5})
	}
	return out
}

// mostlyUnsafe reports a point whose first failing state is already unsafe; such things are rare.
func mostlyUnsafe(p *point.Point) bool {
	for _, s := range p.States {
		switch s.Verdict {
		case verdict.Unsafe:
			return true
		case verdict.Due, verdict.Overdue:
			return false
		}
	}
	return false
}

// stageAt finds the state that shows at a share of the life.
func (l *condition) stageAt(share float64) (state string, index int) {
	for i, s := range l.stages {
		if share >= s.from {
			state, index = s.state, i
		}
	}
	return state, index
}
