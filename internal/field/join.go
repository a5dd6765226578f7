package field

import (
	"context"

	"tenoff/internal/bullpen"
	"tenoff/internal/store"
)

// Choice is what somebody said yes to.
type Choice struct {
	Revision int64    // of the bullpen as it was looked at
	Outcome  int      // of the Standing
	Entries  []string // that join their throws, as laid
	Alone    []string // that become reps of their own, though a film is there
}

// Join makes the chosen entries parts of their reps, in one step that can be undone.
func (f *Field) Join(ctx context.Context, bullpenID string, c Choice) error {
	look, g, err := f.standing(ctx, bullpenID)
	if err != nil {
		return err
	}
	if look.Revision != c.Revision {
		return bullpen.Errorf(bullpen.Conflict, "This bullpen was changed in the meantime; look at the readings again.")
	}
	if c.Outcome < 0 || c.Outcome >= len(look.Outcomes) {
		return bullpen.Errorf(bullpen.Conflict, "The readings are being laid over the reps again; look at them in a moment.")
	}
	chosen, alone := map[string]bool{}, map[string]bool{}
	for _, id := range c.Entries {
		chosen[id] = true
	}
	for _, id := range c.Alone {
		alone[id] = true
	}
	var pairs []store.FieldPair
	behind, logged := 0, 0 // the order number of the rep thrown last before; reps logged so far
	for _, line := range look.Outcomes[c.Outcome].Lines {
		e := line.Entry
		if r := g.rep(Throw{RepID: e.RepID}); r != nil {
			behind = r.Order
		} else if line.Rep != nil {
			behind = line.Rep.Order
		}
		switch {
		case alone[e.ID] && line.Fate == NoThrow:
			r := newRep(g.pen, e)
			logged++
			r.Order = behind + logged
			pairs = append(pairs, store.FieldPair{EntryID: e.ID, Rep: r})
		case !chosen[e.ID]:
		case line.Fate == NewRep:
			pairs = append(pairs, store.FieldPair{EntryID: e.ID, Rep: newRep(g.pen, e)})
		case line.Fate == Joins && line.Rep == nil:
			r := newRep(g.pen, e)
			logged++
			r.FilmID, r.Release, r.Order = line.Throw.FilmID, line.Throw.Release, behind+logged
			pairs = append(pairs, store.FieldPair{EntryID: e.ID, ProposalID: line.Throw.ProposalID, Rep: r})
		case line.Fate == Joins || line.Fate == Differs:
			r := *line.Rep
			r.Pitch, r.Reading = e.Pitch, e.ReadingFor(g.pen)
			r.Call = orSaid(r.Call, e.Call)
			pairs = append(pairs, store.FieldPair{EntryID: e.ID, Rep: r})
		case line.Fate == Stays:
			r := *line.Rep
			r.Call = orSaid(r.Call, e.Call)
			pairs = append(pairs, store.FieldPair{EntryID: e.ID, Rep: r})
		}
	}
	if len(pairs) != len(c.Entries)+len(c.Alone) {
		return bullpen.Errorf(bullpen.Conflict, "Some of these readings have no rep any more; look at them again.")
	}
	_, err = f.store.JoinEntries(ctx, bullpenID, c.Revision, pairs)
	return err
}

// newRep is a rep that an entry becomes.
func newRep(pen bullpen.Bullpen, e bullpen.FieldEntry) bullpen.Rep {
	return bullpen.Rep{
		BullpenID: pen.ID, Drive: bullpen.Unmarked, Plant: bullpen.Unmarked, Top: bullpen.Unmarked, Release: bullpen.Unmarked,
		Pitch: e.Pitch, Reading: e.ReadingFor(pen), Call: e.Call,
	}
}

// orSaid is the call that was made in the film room, or else at the fence.
func orSaid(room, fence bullpen.Call) bullpen.Call {
	if room == bullpen.NoCall {
		return fence
	}
	return room
}
