package judged

import (
	"cmp"

	"tenoff/internal/bullpen"
	"tenoff/internal/store"
	"tenoff/internal/tempo"
)

// body judges the body from marks and found instants, and where the gap came from by the
// numbers of the sheet.
func (b Bullpen) body() tempo.Assessment {
	films := make(map[string]bullpen.Film, len(b.Films))
	for _, f := range b.Films {
		films[f.ID] = f.Film
	}
	timings := make([]tempo.RepTiming, len(b.Reps))
	for i, r := range b.Reps {
		var t *tempo.Transferred
		if x, ok := b.Found[r.ID]; ok {
			t = transferred(x)
			if a, ok := b.Accepted[r.ID]; ok {
				leaveMoved(t, r, a)
			}
		}
		timings[i] = tempo.TimingOf(r, films[r.FilmID], b.Cadences[r.FilmID], t)
	}
	most := mostRead(b.Sheet)
	return tempo.Assess(timings, tempo.Options{
		Baseline: b.Pitcher.BaselinePitch, Eye: b.Eye.Seconds,
		Gaps: meanGaps(most), Thrown: b.thrown(most), Unit: cmp.Or(b.Pitcher.Unit, b.Pen.Unit),
	})
}

func transferred(i store.Instants) *tempo.Transferred {
	return &tempo.Transferred{
		Drive: tempo.Found(i.Drive), Plant: tempo.Found(i.Plant), Top: tempo.Found(i.Top), Release: tempo.Found(i.Release),
		Stretch: i.Stretch, Match: i.Match,
	}
}

// leaveMoved has the marks of a rep count that somebody moved away from where an instant
// was found. Otherwise what was found would stand for a mark as near as marks come.
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
func meanGaps(most map[tempo.Subject]bullpen.Summary) map[tempo.Subject]tempo.MeanGap {
	out := map[tempo.Subject]tempo.MeanGap{}
	for at, s := range most {
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

// thrown are the readings that the mean gaps rest on, by rep.
func (b Bullpen) thrown(most map[tempo.Subject]bullpen.Summary) map[string]tempo.Thrown {
	out := map[string]tempo.Thrown{}
	for i, r := range b.Reps {
		speed := b.Sheet.Reps[i].Speed
		if speed == nil || r.WarmUp {
			continue
		}
		if s, ok := most[tempo.SubjectOf(r.Pitch, r.Drill)]; ok && s.Gun == b.Pen.Fill(*r.Reading).Gun {
			out[r.ID] = tempo.Thrown{Order: r.Order, Reading: *speed}
		}
	}
	return out
}
