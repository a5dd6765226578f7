package bullpen

// group is what readings have to share to be compared: the drill and the place of
// the gun, within one bullpen.
type group struct {
	drill string // as DrillKey gives it
	gun   GunPlace
}

// setKey is what the readings of one summary share.
type setKey struct {
	pitch Pitch
	group
}

// set is the readings of one pitch in one group.
type set struct {
	setKey
	drill   string   // as first written
	throws  []*throw // in the order thrown
	sample  Sample   // of the speeds, mph
	own     float64  // mean square of the readings' own uncertainties
	hardest *throw
	mean    Baseline // what the set is as a baseline
}

// setsOf gathers the throws that count, the sets in the order of their first throw.
func setsOf(thrown []*throw) (sets []*set, byKey map[setKey]*set) {
	byKey = map[setKey]*set{}
	for _, t := range thrown {
		if !t.counts() {
			continue
		}
		key := setKey{t.pitch, t.in}
		s := byKey[key]
		if s == nil {
			s = &set{setKey: key, drill: t.rep.Drill}
			byKey[key] = s
			sets = append(sets, s)
		}
		s.throws = append(s.throws, t)
	}
	for _, s := range sets {
		s.describe()
	}
	return sets, byKey
}

// fasterOf describes, by group, the speeds that count of pitches that are not meant to be
// slower.
func fasterOf(thrown []*throw) map[group]Sample {
	speeds := map[group][]float64{}
	for _, t := range thrown {
		if t.counts() && !isSlower(t.pitch) {
			speeds[t.in] = append(speeds[t.in], float64(t.speed))
		}
	}
	out := make(map[group]Sample, len(speeds))
	for g, s := range speeds {
		out[g] = SampleOf(s)
	}
	return out
}

// describe computes what hangs on all throws together.
func (s *set) describe() {
	n := len(s.throws)
	speeds := make([]float64, n)
	for i, t := range s.throws {
		speeds[i] = float64(t.speed)
		s.own += float64(t.u*t.u) / float64(n)
		if s.hardest == nil || t.speed > s.hardest.speed {
			s.hardest = t
		}
	}
	s.sample = SampleOf(speeds)
	s.mean = Baseline{
		Speed: Speed(s.sample.Mean), Policy: MeanOf, Pitch: s.pitch, N: n,
		SD: spread(s.sample), uncertainty: ofMean(n, s.sample.SD, s.own),
	}
}

// spread returns the sample's deviation, or nil below two numbers.
func spread(s Sample) *Speed {
	if s.N < 2 {
		return nil
	}
	sd := Speed(s.SD)
	return &sd
}
