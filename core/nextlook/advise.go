package nextlook

import (
	"cmp"
	"slices"
)

// Kind is what an option does.
type Kind string

// The kinds of options.
const (
	DoRepair Kind = "repair"
	DoCheck  Kind = "check"
	HandOn   Kind = "escalate"
)

// Option is a first step, with what comes after it.
type Option struct {
	Kind     Kind
	ID       string  // of the repair or check
	Cost     float64 // of the step itself
	Expected float64 // until the job is done: this step, then the plan
	Saving   float64 // expected, net of the step's own cost, against the best plan without any check
	Exact    bool    // no plan that begins with this step is cheaper
	index    int
}

// Name is "repair:ID", "check:ID" or "escalate".
func (o Option) Name() string {
	if o.Kind == HandOn {
		return string(HandOn)
	}
	return string(o.Kind) + ":" + o.ID
}

// Advice is the answer: what to do first and what that costs in expectation until the job is done.
type Advice struct {
	First    Option
	Exact    bool     // no plan is cheaper; otherwise it is at least as good as one-step look-ahead, within the work allowed
	Options  []Option // the cheapest first
	NoChecks float64  // expected cost of the best plan that checks nothing
	Work     int      // states looked into
	Reason   Reason
}

// DefaultWork is a limit of work that takes some seconds and some 100 MB at most.
const DefaultWork = 200_000

// Solve advises. limit bounds the work: that many states in the pruned exact search; else 64 times as many in a full table where the case
// fits; else the look-ahead with ten times as many plans without checks. 0 stands for DefaultWork. The same limit gives the same answer on
// every machine. Errors: those of Case.Check.
func Solve(c Case, limit int) (*Advice, error) {
	if err := c.Check(); err != nil {
		return nil, err
	}
	if limit <= 0 {
		limit = DefaultWork
	}
	a := &Advice{NoChecks: noChecks(c, limit)}
	options, exact, work := exactly(c, limit)
	if a.Exact, a.Work = exact, work; !exact {
		options, work = look(c, limit)
		a.Work += work
	}
	for i := range options {
		options[i].Saving = a.NoChecks - options[i].Expected
	}
	slices.SortStableFunc(options, func(x, y Option) int { return cmp.Compare(x.Expected, y.Expected) })
	a.Options, a.First = options, options[0]
	a.Reason = explain(c, a)
	return a, nil
}

// steps lists the first steps that can settle anything: handing on, repairs, checks.
func (c Case) steps() []Option {
	out := []Option{{Kind: HandOn, Cost: c.Escalate, index: -1}}
	for i, r := range c.actions() {
		for _, f := range r.Fixes {
			if c.Prior[f] > 0 {
				out = append(out, Option{Kind: DoRepair, ID: r.ID, Cost: r.Cost, index: i})
				break
			}
		}
	}
	for i, k := range c.Checks {
		out = append(out, Option{Kind: DoCheck, ID: k.ID, Cost: k.Cost, index: i})
	}
	return out
}

// noChecks is the least expected cost without checks, or that of repairs in order when the search is too large.
func noChecks(c Case, limit int) float64 {
	c.Checks = nil
	s := newSolver(c, min(limit, 20_000))
	plain, _ := s.order(c.Prior)
	if v := s.value(state{}, c.Prior, plain*2+1); !s.over {
		return v
	}
	return plain
}
