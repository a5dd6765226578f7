package shelf

import (
	"context"
	"encoding/json"

	"tenoff/internal/bullpen"
	"tenoff/internal/store"
	"tenoff/internal/tempo"
)

// eyeSetting is the academy's setting that holds an Eye.
const eyeSetting = "eye"

// Eye is the instructor's own spread when marking, from the mark-again exercise.
type Eye struct {
	Seconds float64 `json:"seconds"` // of one mark; 0: never measured
	Marks   int     `json:"marks"`   // marks that it rests on
	Day     string  `json:"day"`     // when it was measured
}

// Eye returns the instructor's own spread.
func (s *Shelf) Eye(ctx context.Context) (e Eye, err error) {
	text, err := s.store.Setting(ctx, eyeSetting)
	if err != nil || text == "" {
		return e, err
	}
	return e, json.Unmarshal([]byte(text), &e)
}

// SaveEye stores the instructor's own spread; the zero Eye forgets it.
func (s *Shelf) SaveEye(ctx context.Context, e Eye) error {
	text, err := json.Marshal(e)
	if err != nil {
		return err
	}
	return s.store.SaveSetting(ctx, eyeSetting, string(text))
}

// assess reads what was found in the board's reps and says what it tells of the
// body.
func (s *Shelf) assess(ctx context.Context, b *Board) error {
	eye, err := s.Eye(ctx)
	if err != nil {
		return err
	}
	if b.Followed, err = s.store.Followed(ctx, b.Bullpen.ID); err != nil {
		return err
	}
	found, err := s.store.Instants(ctx, b.Bullpen.ID)
	if err != nil {
		return err
	}
	b.Eye, b.Found = eye, standing(b.Reps, b.plainFilms(), found)
	b.Body = Body(b.Pitcher, b.Sheet, b.Reps, b.plainFilms(), b.Found, eye)
	return nil
}

// standing returns, by rep, those of the found instants that still belong to it.
func standing(reps []bullpen.Rep, films []bullpen.Film, found []store.Instants) map[string]store.Instants {
	by := make(map[string]store.Instants, len(found))
	for _, i := range found {
		by[i.RepID] = i
	}
	out := map[string]store.Instants{}
	for _, r := range reps {
		for _, f := range films {
			if i, ok := by[r.ID]; ok && i.Holds(r, f) {
				out[r.ID] = i
			}
		}
	}
	return out
}

// Body says what marks and found instants of a bullpen tell about the body. sheet is
// bullpen.Judge of its reps.
func Body(p bullpen.Pitcher, sheet bullpen.Sheet, reps []bullpen.Rep, films []bullpen.Film, found map[string]store.Instants, eye Eye) tempo.Assessment {
	by := make(map[string]bullpen.Film, len(films))
	for _, f := range films {
		by[f.ID] = f
	}
	timings := make([]tempo.RepTiming, len(reps))
	for i, r := range reps {
		var t *tempo.Transferred
		if x, ok := found[r.ID]; ok {
			t = transferred(x)
		}
		timings[i] = tempo.TimingOf(r, by[r.FilmID], t)
	}
	return tempo.Assess(timings, tempo.Options{Baseline: p.BaselinePitch, Eye: eye.Seconds, Gaps: meanGaps(sheet)})
}

func transferred(i store.Instants) *tempo.Transferred {
	return &tempo.Transferred{
		Drive: tempo.Found(i.Drive), Plant: tempo.Found(i.Plant), Top: tempo.Found(i.Top), Release: tempo.Found(i.Release),
		Stretch: i.Stretch, Match: i.Match,
	}
}

// meanGaps are the pitches' mean gaps; of one that was read from several places the
// one that rests on most readings.
func meanGaps(sheet bullpen.Sheet) map[tempo.Subject]tempo.MeanGap {
	out, n := map[tempo.Subject]tempo.MeanGap{}, map[tempo.Subject]int{}
	for _, s := range sheet.Summaries {
		at := tempo.Subject{Pitch: s.Pitch, Drill: s.Drill}
		if s.MeanGap == nil || s.Baseline == nil || s.N <= n[at] {
			continue
		}
		g := tempo.MeanGap{Baseline: s.Baseline.Speed, Gap: s.MeanGap.MPH}
		if s.StandardError != nil {
			g.U = *s.StandardError
		}
		out[at], n[at] = g, s.N
	}
	return out
}
