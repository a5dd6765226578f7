package propose

import (
	"context"
	"hash/maphash"
	"math"
	"sync"

	"tenoff/internal/bullpen"
	"tenoff/internal/posture"
	"tenoff/internal/store"
	"tenoff/internal/tempo"
)

// Witness has the instants that her joints show stand beside those that are found by the
// film's motion. Without it nothing stands beside them.
func (s *Proposer) Witness(j *Joints) { s.joints = j }

// Sights returns, by rep, the instants that her joints show round the releases of a
// bullpen's reps; a rep round which she was not looked for, or not seen, has none. right
// is the hand that she throws with. They are when pictures were taken, as found instants
// are. Nothing of it is stored: what her joints show changes with them, and with a mark.
func (s *Proposer) Sights(ctx context.Context, bullpenID string, films []store.Film, reps []bullpen.Rep, cadences map[string]bullpen.Cadence, right bool) (map[string]posture.Sights, error) {
	if s.joints == nil {
		return nil, nil
	}
	return s.joints.sights(ctx, bullpenID, films, reps, cadences, right)
}

// Tracks gives where her joints are in the frames round one of a film: nil where nobody
// looked. It keeps what it has read of a film for as long as it is kept itself.
func (s *Proposer) Tracks(ctx context.Context) func(f store.Film, frame int) (posture.Track, error) {
	known := map[string][]store.Joints{}
	return func(f store.Film, frame int) (posture.Track, error) {
		if s.joints == nil {
			return nil, nil
		}
		all, ok := known[f.ID]
		if !ok {
			var err error
			if all, err = s.store.Joints(ctx, f.ID); err != nil {
				return nil, err
			}
			known[f.ID] = all
		}
		for _, x := range all {
			if x.Version == s.joints.version && x.First <= frame && frame <= x.Last {
				return posture.Unpack(x.Poses, f.Clock)
			}
		}
		return nil, nil
	}
}

func (j *Joints) sights(ctx context.Context, bullpenID string, films []store.Film, reps []bullpen.Rep, cadences map[string]bullpen.Cadence, right bool) (map[string]posture.Sights, error) {
	all, err := j.store.BullpenJoints(ctx, bullpenID)
	if err != nil || len(all) == 0 {
		return nil, err
	}
	out := map[string]posture.Sights{}
	for _, r := range reps {
		for _, f := range films {
			if f.ID != r.FilmID || f.State != bullpen.FilmReady || r.Release < 0 || r.Release >= f.Clock.Frames() {
				continue
			}
			for _, x := range all {
				if x.FilmID != f.ID || x.Version != j.version || r.Release < x.First || r.Release > x.Last {
					continue
				}
				seen, err := j.seen.look(x, f.Clock, r.Release, right)
				if err != nil {
					return nil, err
				}
				if k := cadences[f.ID]; k.Every > 0 {
					for _, at := range []*posture.Sight{&seen.Plant, &seen.Top, &seen.Release} {
						if at.Seen() {
							at.Seconds = k.Taken(at.Seconds)
						}
					}
				}
				if seen.Plant.Seen() || seen.Top.Seen() || seen.Release.Seen() {
					out[r.ID] = seen
				}
			}
		}
	}
	return out, nil
}

// Checked returns found instants as they stand beside what her joints show: where the two
// lie more than two frames apart, the one that was found is not sure.
func Checked(i store.Instants, s posture.Sights, c bullpen.Clock) store.Instants {
	for e, f := range map[bullpen.Event]*store.FoundInstant{bullpen.Plant: &i.Plant, bullpen.Top: &i.Top, bullpen.Release: &i.Release} {
		if f.Sure && Beside(s.At(e), f.Seconds, tempo.FoundU(e), c) == posture.BesideDiffers {
			f.Sure = false
		}
	}
	return i
}

// Beside compares what her joints show of an instant with what else says it of a film with
// clock c, with a standard uncertainty of u seconds.
func Beside(s posture.Sight, seconds, u float64, c bullpen.Clock) posture.Beside {
	return s.Beside(seconds, u, GapAt(c, seconds))
}

// checked is Checked for all found instants of reps.
func checked(found []store.Instants, seen map[string]posture.Sights, films []store.Film) []store.Instants {
	for k, i := range found {
		s, ok := seen[i.RepID]
		for _, f := range films {
			if ok && f.ID == i.FilmID {
				found[k] = Checked(i, s, f.Clock)
			}
		}
	}
	return found
}

// GapAt returns the mean time between a film's frames round a real second.
func GapAt(c bullpen.Clock, seconds float64) float64 {
	at := c.At(seconds * c.SlowFactor())
	before, after := max(at-1, 0), min(at+1, c.Frames()-1)
	if after == before {
		return math.Inf(1)
	}
	return c.RealSeconds(before, after) / float64(after-before)
}

// keptSights is how many deliveries' sights are kept in memory.
const keptSights = 8192

// sightsSeen keeps what was worked out, by all that it hangs on.
type sightsSeen struct {
	mu   sync.Mutex
	seed maphash.Seed
	kept map[sightsOf]posture.Sights
}

type sightsOf struct {
	film    string
	poses   uint64 // a digest
	release int
	slow    float64
	right   bool
}

func (k *sightsSeen) look(x store.Joints, c bullpen.Clock, release int, right bool) (posture.Sights, error) {
	k.mu.Lock()
	if k.kept == nil || len(k.kept) >= keptSights {
		k.kept, k.seed = map[sightsOf]posture.Sights{}, maphash.MakeSeed()
	}
	of := sightsOf{x.FilmID, maphash.Bytes(k.seed, x.Poses), release, c.SlowFactor(), right}
	known, ok := k.kept[of]
	k.mu.Unlock()
	if ok {
		return known, nil
	}
	track, err := posture.Unpack(x.Poses, c)
	if err != nil {
		return posture.Sights{}, err
	}
	seen := posture.SightsIn(track, c.RealSeconds(0, release), right)
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.kept != nil {
		k.kept[of] = seen
	}
	return seen, nil
}
