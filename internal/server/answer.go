package server

import (
	"context"
	"slices"

	"tenoff/internal/bullpen"
	"tenoff/internal/homework"
	"tenoff/internal/judged"
	"tenoff/internal/server/wire"
	"tenoff/internal/shelf"
	"tenoff/internal/texts"
)

// slipAnswer is what came back, as the student sees it.
func (s *Server) slipAnswer(ctx context.Context, p homework.Pass, her bullpen.Pitcher, l texts.Language) (*wire.SlipAnswer, error) {
	sent := p.Homework.Sent
	shown, err := s.shownWith(ctx, p.Homework)
	if err != nil {
		return nil, err
	}
	out := &wire.SlipAnswer{SentAt: sent.SentAt, Words: sent.Words, Clips: []wire.SlipClip{}, Drawings: []wire.SlipDrawing{}, Reps: []wire.SlipRep{}, Aims: []wire.SlipAim{}}
	for _, r := range shown.Reps {
		rep := wire.SlipRepOf(r)
		rep.Body = judged.BodySaid(l, r.Body)
		out.Reps = append(out.Reps, rep)
	}
	for _, a := range shown.Aims {
		aim := aimSaid(l, her.Unit, wire.SlipAimOf(a))
		aim.Body = a.Body[string(l)]
		out.Aims = append(out.Aims, aim)
	}
	for _, t := range shown.Told {
		if t.Language == string(l) {
			out.Moves, out.Tell = t.Moves, t.Tell
		}
	}
	if sent.Next != nil {
		next := workoutSaid(l, wire.WorkoutTextOf(*sent.Next))
		out.Next = &next
	}
	gone := 0
	for _, id := range sent.ClipIDs {
		c, err := s.deps.Shelf.Sent(ctx, p.Homework, id)
		if bullpen.CodeOf(err) == bullpen.NotFound || err == nil && c.Made == "" {
			gone++ // what it showed was deleted since
			continue
		}
		if err != nil {
			return nil, err
		}
		out.Clips = append(out.Clips, wire.SlipClip{
			Title: titleSaid(l, shown, id), Kind: c.Kind, File: s.ticket(p, "clip", id), Captions: s.ticket(p, "captions", id),
			Language: string(texts.LanguageOf(her.Language)), FileName: c.FileName, Bytes: c.Bytes, Seconds: c.Seconds, ReleaseSeconds: c.ReleaseAt,
		})
	}
	if gone > 0 {
		out.Gone = l.Say("answer.gone", texts.V{"n": gone})
	}
	for _, d := range shown.Drawings {
		_, _, err := s.onFilm(ctx, d.RepID)
		switch bullpen.CodeOf(err) {
		case bullpen.NotFound, bullpen.Invalid:
			continue // the rep or its film was taken away since
		}
		if err != nil {
			return nil, err
		}
		name := frameName(bullpen.DrawingOf{RepID: d.RepID, Frame: d.Frame})
		out.Drawings = append(out.Drawings, wire.SlipDrawing{Order: shown.Orders[d.RepID], Picture: s.ticket(p, "frame", name), Shapes: wire.ShapesOf(d)})
	}
	return out, nil
}

// shownWith is what a reply was sent with; one from before that was kept shows what
// is true now.
func (s *Server) shownWith(ctx context.Context, h bullpen.Homework) (bullpen.Shown, error) {
	if h.Sent.Shown == nil {
		return s.toShow(ctx, h.BullpenID, h.Sent)
	}
	return *h.Sent.Shown, nil
}

// moved reports whether she would be told other numbers now than the answer told her; not
// so for one from before they were kept, which shows what is true now.
func (s *Server) moved(ctx context.Context, h bullpen.Homework) (bool, error) {
	if h.Sent.Shown == nil {
		return false, nil
	}
	now, err := s.toShow(ctx, h.BullpenID, bullpen.Reply{})
	return err == nil && !h.Sent.Shown.TellsLike(now), err
}

// toShow is what a reply would be sent with now.
func (s *Server) toShow(ctx context.Context, bullpenID string, reply bullpen.Reply) (bullpen.Shown, error) {
	out := bullpen.Shown{
		Form: bullpen.ShownForm, Titles: map[string]string{}, Clips: map[string]bullpen.ShownClip{}, Drawings: []bullpen.ShownDrawing{}, Orders: map[string]int{},
		Reps: []bullpen.ShownRep{}, Aims: []bullpen.ShownAim{},
	}
	for _, id := range reply.ClipIDs {
		e, err := s.deps.Shelf.Entry(ctx, id)
		if bullpen.CodeOf(err) == bullpen.NotFound {
			continue
		}
		if err != nil {
			return out, err
		}
		of, err := s.shownClip(ctx, e)
		if err != nil {
			return out, err
		}
		out.Clips[id] = of
		out.Titles[id] = titleSaid(texts.English, out, id)
	}
	for _, d := range reply.Drawings {
		r, f, err := s.onFilm(ctx, d.RepID)
		switch bullpen.CodeOf(err) {
		case bullpen.NotFound, bullpen.Invalid:
			continue
		}
		if err != nil {
			return out, err
		}
		drawn, err := s.deps.Store.Drawings(ctx, d.RepID)
		if err != nil {
			return out, err
		}
		if at := slices.IndexFunc(drawn, func(x bullpen.Drawing) bool { return x.Frame == d.Frame }); at >= 0 {
			out.Drawings = append(out.Drawings, wire.DrawingOf(drawn[at], f.Width, f.Height).Shown())
			out.Orders[d.RepID] = r.Order
		}
	}
	b, err := s.deps.Judged.Of(ctx, bullpenID)
	if err != nil {
		return out, err
	}
	for i, r := range b.Reps {
		if r.WarmUp {
			continue
		}
		full := wire.RepOf(r, b.Sheet.Reps[i])
		kept := wire.SlipRep{
			Order: r.Order, Set: r.Set, Number: r.Number, Drill: r.Drill, Pitch: r.Pitch,
			Reading: full.Reading, Gap: full.Judged.Gap, Verdict: full.Judged.Verdict, EdgeOf: full.Judged.EdgeOf, SoFar: full.Judged.SoFar,
		}.ShownRep()
		kept.Body = judged.ShownBody(b.Body.Reps[i])
		out.Reps = append(out.Reps, kept)
	}
	for _, sum := range b.Sheet.Summaries {
		out.Aims = append(out.Aims, aimToShow(b, sum))
	}
	return out, nil
}

// aimToShow is what an answer keeps of the pitch of a summary. That it can be thrown faster is
// not told beside a body that slowed, as little as on a shared result.
func aimToShow(b judged.Bullpen, sum bullpen.Summary) bullpen.ShownAim {
	if sum.ComeBackOn = b.BackOn(sum); sum.ComeBackOn == nil {
		sum.ComeBackOnSaid = ""
	}
	full := wire.SummaryOf(sum)
	kept := wire.SlipAim{
		Pitch: full.Pitch, Drill: full.Drill, Reps: full.N, MeanGap: full.MeanGap, Verdict: full.Verdict, EdgeOf: full.EdgeOf, SoFar: full.SoFar,
		Aim: full.Aim, AimSaid: full.AimSaid, ComeBackOn: full.ComeBackOn, BackOnSaid: full.BackOnSaid, Moment: full.Moment,
	}.ShownAim()
	kept.Body, kept.Decided = bodyByLanguage(b, sum), b.BodyDecided(sum)
	return kept
}

// bodyByLanguage is what is said of her body on the pitch of a summary, in all languages;
// nil where nothing is.
func bodyByLanguage(b judged.Bullpen, sum bullpen.Summary) map[string]string {
	out := map[string]string{}
	for _, l := range texts.Languages {
		if said := b.BodyTold(l, sum); said != "" {
			out[string(l)] = said
		}
	}
	if len(out) == 0 {
		return nil
	}
	return out
}

// toldToHer is what an answer tells her of how she moves, in all languages: her page may be
// read in each. That she is told nothing differs beside legs that slowed is as little said
// here as on a shared result.
func (s *Server) toldToHer(ctx context.Context, bullpenID string) ([]bullpen.ShownTold, error) {
	b, err := s.deps.Judged.Of(ctx, bullpenID)
	if err != nil {
		return nil, err
	}
	tracks := s.deps.Judged.Tracks(ctx)
	tells, err := b.Tells(tracks)
	if err != nil {
		return nil, err
	}
	moves, err := b.MovesToHer(tracks, texts.Languages...)
	if err != nil {
		return nil, err
	}
	var out []bullpen.ShownTold
	for i, l := range texts.Languages {
		if t := (bullpen.ShownTold{Language: string(l), Moves: moves[i], Tell: b.GivenAway(l, tells, moves[i])}); t.Moves != "" || t.Tell != "" {
			out = append(out, t)
		}
	}
	return out, nil
}

// shownClip names the reps of a clip.
func (s *Server) shownClip(ctx context.Context, e shelf.Entry) (out bullpen.ShownClip, err error) {
	r, err := s.deps.Store.Rep(ctx, e.RepID)
	if err != nil {
		return out, err
	}
	out.Order, out.Pitch = r.Order, r.Pitch
	if e.OtherID == "" {
		return out, nil
	}
	other, err := s.deps.Store.Rep(ctx, e.OtherID)
	out.OtherOrder, out.OtherPitch = other.Order, other.Pitch
	return out, err
}

// titleSaid says what a clip of an answer shows. One of an answer from before its reps were
// kept has the English title that it was sent with.
func titleSaid(l texts.Language, shown bullpen.Shown, id string) string {
	c, ok := shown.Clips[id]
	switch {
	case !ok:
		return shown.Titles[id]
	case c.OtherOrder == 0:
		return l.Say("answer.clip", texts.V{"order": c.Order, "pitch": l.Pitch(string(c.Pitch))})
	}
	return l.Say("answer.pair", texts.V{
		"order": c.Order, "pitch": l.Pitch(string(c.Pitch)),
		"otherOrder": c.OtherOrder, "otherPitch": l.Pitch(string(c.OtherPitch)),
	})
}

// aimSaid says what to aim at in the reader's language.
func aimSaid(l texts.Language, unit bullpen.Unit, a wire.SlipAim) wire.SlipAim {
	ranged := func(r *wire.SpeedRange) string {
		if r == nil {
			return ""
		}
		return judged.Aimed(l, bullpen.Range{Lo: bullpen.Speed(r.Lo.MPH), Hi: bullpen.Speed(r.Hi.MPH)}, unit)
	}
	a.Drill = l.Given(a.Drill)
	a.AimSaid, a.BackOnSaid = ranged(a.Aim), ranged(a.ComeBackOn)
	return a
}

// workoutSaid names the starter drills that nobody changed in the reader's language.
func workoutSaid(l texts.Language, w wire.WorkoutText) wire.WorkoutText {
	w.Title, w.Note = l.Given(w.Title), l.Given(w.Note)
	for _, set := range w.Sets {
		for i := range set.Lines {
			set.Lines[i].Drill = l.Given(set.Lines[i].Drill)
		}
	}
	return w
}

// handedSaid does the same with every rep of it.
func handedSaid(l texts.Language, w wire.HandedWorkout) wire.HandedWorkout {
	w.WorkoutText = workoutSaid(l, w.WorkoutText)
	for i := range w.Places {
		w.Places[i].Drill = l.Given(w.Places[i].Drill)
	}
	return w
}
