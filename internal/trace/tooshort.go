package trace

import "slices"

// A film that somebody trimmed to one pitch begins and ends amid it: there is no
// stillness that the delivery could stand out of.
const (
	shortFilm  = 3.0 // real seconds: longer ones are none
	tooShort   = 1.5 // real seconds: with nothing found, a film may be too short to tell
	shortStill = 1.6 // real seconds of stillness put before and after it
)

// trimmedToOnePitch looks for the delivery of a short film in which none was found, as if she had
// stood still before and after it. What is found is never sure.
func trimmedToOnePitch(motion *Motion, sound *Sound, f Finding) Finding {
	real := motion.End / motion.Slow
	if len(f.Candidates) > 0 || real > shortFilm || motion.Len() < 2 {
		return f
	}
	amid := motion.amidStillness()
	found := newReel(amid).look(amid, sound, nil)
	for _, c := range found.Candidates {
		if c.Release < 0 || c.Release > motion.End {
			continue
		}
		c.From, c.To = max(c.From, 0), min(c.To, motion.End)
		c.doubt()
		f.Candidates = append(f.Candidates, c)
	}
	if len(f.Candidates) > 0 {
		f.Box, f.Unexplained = found.Box, nil
	} else if real <= tooShort && len(f.Unexplained) > 0 {
		f.TooShort, f.Unexplained = true, nil
	}
	return f
}

// amidStillness is the film with nothing moving before and after it.
func (m *Motion) amidStillness() *Motion {
	out := *m
	still := make([]float32, m.Cols*m.Rows)
	const step = 1.0 / reelRate
	out.Times = slices.Concat(
		[]float64{m.Times[0] - shortStill*m.Slow, m.Times[0] - step*m.Slow}, m.Times,
		[]float64{m.Times[m.Len()-1] + step*m.Slow, m.Times[m.Len()-1] + shortStill*m.Slow})
	none := []Shift{{}, {}}
	out.Shifts = slices.Concat(none, m.Shifts, none)
	out.Doubled = slices.Concat([]bool{false, false}, m.Doubled, []bool{false, false})
	out.packed = pack(pack(nil, still), still)
	first := len(out.packed)
	out.ends = []int{first / 2, first}
	out.packed = append(out.packed, m.packed...)
	for _, e := range m.ends {
		out.ends = append(out.ends, first+e)
	}
	for range 2 {
		out.packed = pack(out.packed, still)
		out.ends = append(out.ends, len(out.packed))
	}
	out.Said = true
	return &out
}
