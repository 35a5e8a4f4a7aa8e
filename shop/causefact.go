package shop

import (
	"errors"
	"fmt"
	"slices"
)

// ToldFact is a complaint in the owner's words, with the signs of the catalogue that the adviser took it to mean. A later fact that
// withdraws it takes it back.
type ToldFact struct {
	ID      string `json:"id"`
	RoundID string `json:"round"`
	CarID   string `json:"car"`
	Words   string `json:"words,omitempty"`
	// Signs are ids of the catalogue; empty while nothing was matched.
	Signs []string `json:"signs,omitempty"`
	// Withdraws is the id of an earlier one that no longer counts; such a fact says nothing else.
	Withdraws  string `json:"withdraws,omitempty"`
	By         string `json:"by"`
	ReceivedAt int64  `json:"received_at"`
	// Seq is the order of arrival, given by the store.
	Seq int64 `json:"-"`
}

// Answers of a LookFact. A look without an answer is one that is to be made.
const (
	LookWanted   = ""
	LookThere    = "there"
	LookNotThere = "not-there"
	LookOpen     = "open" // looked, and it can't be told
	LookOff      = "off"  // taken off the list
)

// LookAnswers are all that a LookFact may say.
var LookAnswers = []string{LookWanted, LookThere, LookNotThere, LookOpen, LookOff}

// LookFact puts a sign of the catalogue on a round's list of looks that settle a cause, or answers one that has no point of its own.
// The last of a round and sign counts.
type LookFact struct {
	ID         string `json:"id"`
	RoundID    string `json:"round"`
	CarID      string `json:"car"`
	Sign       string `json:"sign"`
	Answer     string `json:"answer,omitempty"`
	By         string `json:"by"`
	ReceivedAt int64  `json:"received_at"`
	// Seq is the order of arrival, given by the store.
	Seq int64 `json:"-"`
}

// CauseElse is the cause of a ConfirmedFact that the catalogue does not know.
const CauseElse = "something-else"

// ConfirmedFact is what the cause of a complaint turned out to be once the work was done. A later fact that withdraws it takes it
// back, and what was learned from it.
type ConfirmedFact struct {
	ID        string `json:"id"`
	RoundID   string `json:"round"`
	CarID     string `json:"car"`
	Complaint string `json:"complaint,omitempty"`
	// Cause is an id of the catalogue or CauseElse.
	Cause string `json:"cause,omitempty"`
	// Seen says of the complaint's signs that were looked for whether they were there, as the round stood then.
	Seen map[string]bool `json:"seen,omitempty"`
	Note string          `json:"note,omitempty"`
	// Withdraws is the id of an earlier one that no longer counts; such a fact says nothing else.
	Withdraws  string `json:"withdraws,omitempty"`
	By         string `json:"by"`
	ReceivedAt int64  `json:"received_at"`
	// Seq is the order of arrival, given by the store.
	Seq int64 `json:"-"`
}

func checkTold(f *ToldFact) error {
	err := needs("told", f.ID, f.RoundID, f.CarID)
	if f.Withdraws == "" && f.Words == "" {
		err = errors.Join(err, errors.New("told: no words"))
	}
	return errors.Join(err, onlyWithdraws("told", f.Withdraws, f.Words != "" || len(f.Signs) > 0))
}

func checkLook(f *LookFact) error {
	err := needs("look", f.ID, f.RoundID, f.CarID, f.Sign)
	if !slices.Contains(LookAnswers, f.Answer) {
		err = errors.Join(err, fmt.Errorf("look: answer is %q; expected there, not-there, open, off or none", f.Answer))
	}
	return err
}

func checkConfirmed(f *ConfirmedFact) error {
	err := needs("confirmed", f.ID, f.RoundID, f.CarID)
	if f.Withdraws == "" {
		err = errors.Join(err, needs("confirmed", f.Complaint, f.Cause))
	}
	return errors.Join(err, onlyWithdraws("confirmed", f.Withdraws, f.Complaint != "" || f.Cause != "" || len(f.Seen) > 0 || f.Note != ""))
}

// onlyWithdraws refuses a fact that withdraws another and says something else too.
func onlyWithdraws(kind, withdraws string, more bool) error {
	if withdraws != "" && more {
		return errors.New(kind + ": it withdraws another and says something else too")
	}
	return nil
}

// standing gives those facts of a list in order of arrival that were not withdrawn, and not the withdrawals.
func standing[T any](list []T, id, withdraws func(T) string) []T {
	gone := map[string]bool{}
	for _, f := range list {
		if w := withdraws(f); w != "" {
			gone[w] = true
		}
	}
	var out []T
	for _, f := range list {
		if withdraws(f) == "" && !gone[id(f)] {
			out = append(out, f)
		}
	}
	return out
}

// toldNow are the complaints that stand.
func toldNow(list []ToldFact) []ToldFact {
	return standing(list, func(f ToldFact) string { return f.ID }, func(f ToldFact) string { return f.Withdraws })
}

// confirmedStanding are the confirmations that were not withdrawn, also those that a later one of the same round and complaint replaces.
func confirmedStanding(list []ConfirmedFact) []ConfirmedFact {
	return standing(list, func(f ConfirmedFact) string { return f.ID }, func(f ConfirmedFact) string { return f.Withdraws })
}

// confirmedNow are the confirmations that stand; of one round and complaint the last.
func confirmedNow(list []ConfirmedFact) []ConfirmedFact {
	all := confirmedStanding(list)
	last := map[[2]string]int{}
	for i, f := range all {
		last[[2]string{f.RoundID, f.Complaint}] = i
	}
	var out []ConfirmedFact
	for i, f := range all {
		if last[[2]string{f.RoundID, f.Complaint}] == i {
			out = append(out, f)
		}
	}
	return out
}

// looksNow is the last fact of each sign, in order of first arrival, without those taken off.
func looksNow(list []LookFact) []LookFact {
	var out []LookFact
	for _, f := range list {
		if i := slices.IndexFunc(out, func(g LookFact) bool { return g.Sign == f.Sign }); i >= 0 {
			out[i] = f
			continue
		}
		out = append(out, f)
	}
	return slices.DeleteFunc(out, func(f LookFact) bool { return f.Answer == LookOff })
}
