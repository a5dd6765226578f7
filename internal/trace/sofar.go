package trace

import "slices"

// SoFar returns what was measured of the frames so far, as Motion would if the last of
// them were the film's; more may be added afterwards.
func (m *Meter) SoFar() *Motion {
	c := m.motion
	c.Times, c.Shifts = slices.Clone(c.Times), slices.Clone(c.Shifts)
	c.packed, c.ends = slices.Clone(c.packed), slices.Clone(c.ends)
	mendRepeatedFrames(&c, m.novelty, m.spans)
	return &c
}

// Until returns the sound up to a time, file seconds.
func (s *Sound) Until(end float64) *Sound {
	if s == nil || end >= s.End {
		return s
	}
	c := &Sound{End: end, Level: s.Level[:min(len(s.Level), max(int(end/s.End*float64(len(s.Level))), 0))]}
	for _, o := range s.Onsets {
		if o.Time <= end {
			c.Onsets = append(c.Onsets, o)
		}
	}
	return c
}
