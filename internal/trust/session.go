package trust

import (
	"cmp"
	"slices"
	"time"

	"tenoff/internal/bullpen"
	"tenoff/internal/tempo"
)

// Session is one bullpen of a pitcher with its numbers.
type Session struct {
	Bullpen bullpen.Bullpen
	Reps    []bullpen.Rep
	Sheet   bullpen.Sheet // bullpen.Judge of them: one RepNumbers for each rep
	// Checks are tempo.Assess's of the bullpen; none where nothing tells of the body.
	Checks []tempo.Check
	Body   []tempo.RepBody // tempo.Assess's, one for each rep; none where nothing tells of the body
}

// check returns the same-body check of a full pitch; ok is false without one.
func (s Session) check(p bullpen.Pitch) (tempo.Check, bool) {
	return tempo.Assessment{Checks: s.Checks}.Check(tempo.Subject{Pitch: p})
}

// judged is a rep with its numbers.
type judged struct {
	rep     *bullpen.Rep
	numbers *bullpen.RepNumbers
	body    tempo.Verdict // what is told of its body; "" for nothing
}

// full returns the full pitches of the given kind, warm-up left out, in the order
// thrown.
func (s Session) full(p bullpen.Pitch) []judged {
	var all []judged
	for i := range min(len(s.Reps), len(s.Sheet.Reps)) {
		if r := &s.Reps[i]; r.Pitch == p && bullpen.DrillKey(r.Drill) == "" && !r.WarmUp {
			j := judged{rep: r, numbers: &s.Sheet.Reps[i]}
			if i < len(s.Body) {
				j.body = s.Body[i].Told
			}
			all = append(all, j)
		}
	}
	slices.SortStableFunc(all, func(a, b judged) int { return cmp.Compare(a.rep.Order, b.rep.Order) })
	return all
}

// byDay returns the sessions from the earliest to the latest day, those of one day
// as they were begun, in whatever order they came.
func byDay(sessions []Session) []Session {
	sorted := slices.Clone(sessions)
	slices.SortStableFunc(sorted, func(a, b Session) int {
		return cmp.Or(cmp.Compare(a.Bullpen.Day, b.Bullpen.Day), cmp.Compare(a.Bullpen.Begun, b.Bullpen.Begun), cmp.Compare(a.Bullpen.ID, b.Bullpen.ID))
	})
	return sorted
}

// dayNumber counts days, so that differences are days; ok is false for a text that
// is no day.
func dayNumber(day string) (n int, ok bool) {
	at, err := time.Parse(time.DateOnly, day)
	if err != nil {
		return 0, false
	}
	return int(at.Unix() / 86400), true
}
