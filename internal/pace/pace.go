// Package pace gathers what is known of the body in a bullpen: the marks, the
// instants that were found, how closely the instructor marks, and what tempo makes
// of them.
package pace

import (
	"cmp"
	"context"

	"tenoff/internal/bullpen"
	"tenoff/internal/store"
	"tenoff/internal/tempo"
)

// Pace is what is known of the body in one bullpen.
type Pace struct {
	Found    map[string]store.Instants  // by rep: found on its film, apart from its marks
	Followed []store.Followed           // what the last search for instants said, by film
	Cadences map[string]bullpen.Cadence // how films had been re-timed, by ID, as that search saw it
	Eye      Eye
	Body     tempo.Assessment // one pace for each rep, in order
}

// Of reads what is known of the body in a bullpen: its reps on its films. sheet is
// bullpen.Judge of the reps.
func Of(ctx context.Context, s *store.Store, p bullpen.Pitcher, pen bullpen.Bullpen, films []store.Film, reps []bullpen.Rep, sheet bullpen.Sheet) (Pace, error) {
	eye, err := EyeOf(ctx, s)
	if err != nil {
		return Pace{}, err
	}
	followed, err := s.Followed(ctx, pen.ID)
	if err != nil {
		return Pace{}, err
	}
	found, err := s.Instants(ctx, pen.ID)
	if err != nil {
		return Pace{}, err
	}
	accepted := map[string]store.Accepted{}
	if len(found) > 0 {
		if accepted, err = s.Accepted(ctx, pen.ID); err != nil {
			return Pace{}, err
		}
	}
	by := make(map[string]bullpen.Film, len(films))
	for _, f := range films {
		by[f.ID] = f.Film
	}
	out := Pace{Followed: followed, Eye: eye, Found: standing(reps, by, found), Cadences: store.Cadences(followed, films)}
	timings := make([]tempo.RepTiming, len(reps))
	for i, r := range reps {
		var t *tempo.Transferred
		if x, ok := out.Found[r.ID]; ok {
			t = transferred(x)
			if a, ok := accepted[r.ID]; ok {
				leaveMoved(t, r, a)
			}
		}
		timings[i] = tempo.TimingOf(r, by[r.FilmID], out.Cadences[r.FilmID], t)
	}
	out.Body = tempo.Assess(timings, tempo.Options{Baseline: p.BaselinePitch, Eye: eye.Seconds, Gaps: meanGaps(sheet), Thrown: thrown(pen, reps, sheet), Unit: cmp.Or(p.Unit, pen.Unit)})
	return out, nil
}

// standing returns, by rep, those of the found instants that still belong to it.
func standing(reps []bullpen.Rep, films map[string]bullpen.Film, found []store.Instants) map[string]store.Instants {
	by := make(map[string]store.Instants, len(found))
	for _, i := range found {
		by[i.RepID] = i
	}
	out := map[string]store.Instants{}
	for _, r := range reps {
		if i, ok := by[r.ID]; ok && i.Holds(r, films[r.FilmID]) {
			out[r.ID] = i
		}
	}
	return out
}

func transferred(i store.Instants) *tempo.Transferred {
	return &tempo.Transferred{
		Drive: tempo.Found(i.Drive), Plant: tempo.Found(i.Plant), Top: tempo.Found(i.Top), Release: tempo.Found(i.Release),
		Stretch: i.Stretch, Match: i.Match,
	}
}

// leaveMoved has the marks of a rep count that somebody moved away from where an
// instant was found: a mark that is as near as marks come would else stand for it.
func leaveMoved(t *tempo.Transferred, r bullpen.Rep, a store.Accepted) {
	for _, m := range []struct {
		mark, was int
		found     *tempo.Found
	}{{r.Drive, a.Drive, &t.Drive}, {r.Plant, a.Plant, &t.Plant}, {r.Top, a.Top, &t.Top}} {
		if m.was >= 0 && m.mark >= 0 && m.mark != m.was {
			m.found.Sure = false
		}
	}
}

// meanGaps are the pitches' mean gaps.
func meanGaps(sheet bullpen.Sheet) map[tempo.Subject]tempo.MeanGap {
	out := map[tempo.Subject]tempo.MeanGap{}
	for at, s := range mostRead(sheet) {
		g := tempo.MeanGap{Baseline: s.Baseline.Speed, Gap: s.MeanGap.MPH}
		if s.StandardError != nil {
			g.U = *s.StandardError
		}
		out[at] = g
	}
	return out
}

// mostRead are the summaries that have a gap; of a pitch that was read from several
// places the one that rests on most readings.
func mostRead(sheet bullpen.Sheet) map[tempo.Subject]bullpen.Summary {
	out := map[tempo.Subject]bullpen.Summary{}
	for _, s := range sheet.Summaries {
		at := tempo.SubjectOf(s.Pitch, s.Drill)
		if s.MeanGap != nil && s.Baseline != nil && s.N > out[at].N {
			out[at] = s
		}
	}
	return out
}

// thrown are the readings that meanGaps rest on.
func thrown(pen bullpen.Bullpen, reps []bullpen.Rep, sheet bullpen.Sheet) map[string]tempo.Thrown {
	out, most := map[string]tempo.Thrown{}, mostRead(sheet)
	for i, r := range reps {
		speed := sheet.Reps[i].Speed
		if speed == nil || r.WarmUp {
			continue
		}
		if s, ok := most[tempo.SubjectOf(r.Pitch, r.Drill)]; ok && s.Gun == pen.Fill(*r.Reading).Gun {
			out[r.ID] = tempo.Thrown{Order: r.Order, Reading: *speed}
		}
	}
	return out
}
