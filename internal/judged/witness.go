package judged

import (
	"tenoff/internal/bullpen"
	"tenoff/internal/posture"
	"tenoff/internal/propose"
	"tenoff/internal/store"
	"tenoff/internal/tempo"
)

// Beside says how an instant that her joints show stands to what else is known of it: a
// mark that somebody placed, else what was found, sure or not.
func (b Bullpen) Beside(r bullpen.Rep, f store.Film, e bullpen.Event) posture.Beside {
	seen, ok := b.Seen[r.ID]
	if !ok {
		return posture.BesideNothing
	}
	if mark := r.Frame(e); mark >= 0 && mark < f.Clock.Frames() {
		eye := b.Eye.Seconds
		if eye == 0 {
			eye = tempo.EyeSpread
		}
		at := f.Clock.RealSeconds(0, mark)
		return propose.Beside(seen.At(e), b.Cadences[f.ID].Taken(at), tempo.MarkUncertainty(propose.GapAt(f.Clock, at), eye), f.Clock)
	}
	if found, ok := b.Found[r.ID]; ok {
		return propose.Beside(seen.At(e), foundAt(found, e).Seconds, tempo.FoundU(e), f.Clock)
	}
	return posture.BesideNothing
}

func foundAt(i store.Instants, e bullpen.Event) store.FoundInstant {
	switch e {
	case bullpen.Plant:
		return i.Plant
	case bullpen.Top:
		return i.Top
	case bullpen.Release:
		return i.Release
	}
	return i.Drive
}
