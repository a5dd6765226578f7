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
	asked   []*throw // left out of throws, because they are asked about
	sample  Sample   // of the speeds, mph
	hardest *throw
	number  int // of its group in the line
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
		if t.settled() {
			s.throws = append(s.throws, t)
		} else {
			s.asked = append(s.asked, t)
		}
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
	speeds := make([]float64, len(s.throws))
	for i, t := range s.throws {
		speeds[i] = float64(t.speed)
		if s.hardest == nil || t.speed > s.hardest.speed {
			s.hardest = t
		}
	}
	s.sample = SampleOf(speeds)
}

// spread returns the sample's deviation, or nil below two numbers.
func spread(s Sample) *Speed {
	if s.N < 2 {
		return nil
	}
	sd := Speed(s.SD)
	return &sd
}
