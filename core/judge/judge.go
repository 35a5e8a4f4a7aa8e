package judge

import (
	"cmp"
	"slices"
	"sort"

	"witnessmark/core/point"
	"witnessmark/core/round"
	"witnessmark/core/verdict"
)

// Judge judges the readings of one round of the given depth against the catalogue. Readings must have passed
// round.Check. When a place has several readings the last counts. Nothing given is changed.
func Judge(cat *point.Catalogue, car round.Car, taken round.Taken, depth point.Depth) Result {
	car.Specs = round.WithFamilies(cat, car.Facets, car.Specs)
	j := &judging{cat: cat, car: car, taken: taken, by: map[string]map[string]*round.Reading{}}
	for i := range taken.Readings {
		r := &taken.Readings[i]
		if j.by[r.Point] == nil {
			j.by[r.Point] = map[string]*round.Reading{}
		}
		j.by[r.Point][r.At] = r
	}
	steps, absent := round.Walk(cat, depth, round.Known{Facets: car.Facets})
	out := Result{Catalogue: cat.Version}
	// A point that was read although the round does not ask for it comes after those of the walk.
	walked := map[string]int{}
	for i, p := range cat.Points {
		walked[p.ID] = len(cat.Points) + i
	}
	for i, s := range steps {
		walked[s.Point.ID] = i
		out.Places += len(s.Slots)
	}
	for _, p := range cat.Points {
		out.Findings = append(out.Findings, j.point(p)...)
	}
	for _, s := range steps {
		missing, looked := j.missing(s)
		out.NotLooked = append(out.NotLooked, missing...)
		out.Looked += looked
	}
	for _, a := range absent {
		if reason, ok := j.absent(a); ok {
			out.NotApplicable = append(out.NotApplicable, NotApplicable{a.Point, reason})
		}
	}
	out.Findings = sorted(out.Findings, walked)
	for i := range out.Findings {
		f := &out.Findings[i]
		f.Where = f.Point.Where(f.At, car.Facets)
	}
	return out
}

// judging is the state of one judgement.
type judging struct {
	cat   *point.Catalogue
	car   round.Car
	taken round.Taken
	// by holds the last reading of each place: point, then position.
	by map[string]map[string]*round.Reading
}

// point judges all readings of one point, and what they say together.
func (j *judging) point(p *point.Point) []Finding {
	ats := j.lookedAt(p)
	out := make([]Finding, 0, len(ats))
	for _, at := range ats {
		f := j.one(p, j.by[p.ID][at], at)
		j.severalReadings(&f)
		j.renewal(&f)
		j.finish(&f)
		out = append(out, f)
	}
	for _, f := range append(j.pairs(p), j.derivedShapes(p)...) {
		j.finish(&f)
		out = append(out, f)
	}
	return out
}

// lookedAt lists the positions of a point that have a reading which is no skip, in the order of the car's slots.
func (j *judging) lookedAt(p *point.Point) []string {
	var ats []string
	for at, r := range j.by[p.ID] {
		if r.Skipped == "" {
			ats = append(ats, at)
		}
	}
	if len(ats) < 2 {
		return ats
	}
	rank := map[string]int{}
	for i, s := range p.Positions.Slots(j.car.Facets) {
		rank[s] = i + 1
	}
	sort.Slice(ats, func(a, b int) bool {
		if ra, rb := rank[ats[a]], rank[ats[b]]; ra != rb {
			return ra < rb
		}
		return ats[a] < ats[b]
	})
	return ats
}

// one judges one reading on its own: its state and its limits.
func (j *judging) one(p *point.Point, r *round.Reading, at string) Finding {
	f := Finding{Point: p, At: at, Verdict: verdict.Unjudged, Reading: r, units: j.car.Units}
	if p.Kind == point.State || p.Kind == point.Level {
		j.state(&f)
	}
	if len(p.Limits) > 0 {
		j.limits(&f)
	}
	return f
}

// missing lists a step's places that nobody looked at; when that is all of them, it is one entry for the point.
func (j *judging) missing(s round.Step) (out []NotLooked, looked int) {
	readings := j.by[s.Point.ID]
	for _, slot := range s.Slots {
		r := covering(readings, slot)
		switch {
		case r == nil && j.derived(s.Point, slot):
			looked++
		case r == nil:
			out = append(out, NotLooked{s.Point, slot, "no reading"})
		case r.Skipped != "":
			out = append(out, NotLooked{s.Point, slot, r.Skipped})
		default:
			looked++
		}
	}
	if looked == 0 && len(out) > 1 && sameReason(out) {
		out = []NotLooked{{s.Point, "", out[0].Reason}}
	}
	return append(out, j.skippedBeside(s)...), looked
}

// skippedBeside lists positions that the round does not ask for one by one, but that somebody named in order to skip
// them while another was looked at.
func (j *judging) skippedBeside(s round.Step) (out []NotLooked) {
	readings := j.by[s.Point.ID]
	if !s.Point.Positions.Single() || covering(readings, "") == nil || covering(readings, "").Skipped != "" {
		return nil
	}
	for _, at := range s.Point.Positions.Also {
		if r := readings[at]; r != nil && r.Skipped != "" {
			out = append(out, NotLooked{s.Point, at, r.Skipped})
		}
	}
	return out
}

func sameReason(ms []NotLooked) bool {
	for _, m := range ms {
		if m.Reason != ms[0].Reason {
			return false
		}
	}
	return true
}

// covering finds the reading that speaks for a slot: its own, its corner's, one of its places', or the whole's.
func covering(readings map[string]*round.Reading, slot string) *round.Reading {
	if r := readings[slot]; r != nil {
		return r
	}
	base, place := point.SplitAt(slot)
	if place != "" {
		if r := readings[base]; r != nil {
			return r
		}
	}
	if slot != "" {
		return readings[""]
	}
	// A single place may have been read under a position of its own (a hose at FL); a look counts before a skip.
	var first *round.Reading
	for _, r := range readings {
		if first == nil || before(r, first) {
			first = r
		}
	}
	return first
}

// before orders readings of one point: looks before skips, then by position.
func before(a, b *round.Reading) bool {
	if skipA, skipB := a.Skipped != "", b.Skipped != ""; skipA != skipB {
		return skipB
	}
	return a.At < b.At
}

// absent gives the reason why a point does not apply. A skip's own reason is the better one; a point that was read
// after all, because only a default spoke against it, is not absent.
func (j *judging) absent(a round.Absent) (string, bool) {
	for _, r := range j.by[a.Point.ID] {
		if r.Skipped == "" {
			return "", false
		}
	}
	if r := covering(j.by[a.Point.ID], ""); r != nil {
		return a.Why + " (" + r.Skipped + ")", true
	}
	return a.Why, true
}

// finish adds what every finding needs: jobs that fit the car, cautions, texts for the owner.
func (j *judging) finish(f *Finding) {
	p := f.Point
	if f.Verdict.Place() >= verdict.Due.Place() && len(f.Jobs) == 0 {
		f.Jobs = p.Jobs
	}
	f.Jobs = j.fitting(f.Jobs)
	f.Quantities = j.quantities(f)
	f.Cautions = j.cautions(f)
	if f.Recheck == "" && f.Verdict.Place() >= verdict.Watch.Place() && len(f.Jobs) > 0 {
		f.Recheck = p.Recheck
	}
	if f.Means == "" {
		f.Means = p.Means
	}
	if f.Wait == "" {
		f.Wait = p.Wait
	}
	if f.Source == "" && f.Limit != nil {
		f.Source = f.Limit.Source
	}
	if f.Source == "" {
		f.Source = j.cat.Cite(p.Source)
	}
}

// fitting leaves out the jobs that are for other cars. When none would be left, what was said of the car does not go
// with what was seen on it, and all are kept: a finding that asks for work must say for which.
func (j *judging) fitting(ids []string) []string {
	fit, all := []string{}, []string{}
	for _, id := range ids {
		if contains(all, id) {
			continue
		}
		all = append(all, id)
		if job := j.cat.Jobs[id]; job != nil {
			if ok, _ := job.When.Holds(j.car.Facets); !ok {
				continue
			}
		}
		fit = append(fit, id)
	}
	if len(fit) == 0 {
		return all
	}
	return fit
}

// cautions joins the point's, the state's and the jobs' cautions for findings that ask for work, as texts.
func (j *judging) cautions(f *Finding) []string {
	ids := append([]string(nil), f.Cautions...)
	if f.Verdict != verdict.Sound {
		ids = append(ids, f.Point.Cautions...)
		for _, id := range f.Jobs {
			if job := j.cat.Jobs[id]; job != nil {
				ids = append(ids, job.Cautions...)
			}
		}
	}
	out := []string{}
	for _, id := range ids {
		if c := j.cat.Cautions[id]; c != nil && !contains(out, c.Say) {
			out = append(out, c.Say)
		}
	}
	return out
}

func contains(list []string, s string) bool {
	for _, x := range list {
		if x == s {
			return true
		}
	}
	return false
}

// sorted puts the worst first, then the gravest consequence, then the walking order and the position. Places are sorted
// rather than findings, which are large.
func sorted(fs []Finding, walked map[string]int) []Finding {
	type place struct{ urgency, rank, walk, i int }
	places := make([]place, len(fs))
	for i := range fs {
		f := &fs[i]
		places[i] = place{-f.Verdict.Urgency(), -f.Point.Consequence.Rank(), walked[f.Point.ID], i}
	}
	slices.SortFunc(places, func(a, b place) int {
		return cmp.Or(cmp.Compare(a.urgency, b.urgency), cmp.Compare(a.rank, b.rank), cmp.Compare(a.walk, b.walk), cmp.Compare(a.i, b.i))
	})
	out := make([]Finding, len(fs))
	for k, p := range places {
		out[k] = fs[p.i]
	}
	return out
}
