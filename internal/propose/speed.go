package propose

import (
	"context"
	"math"
	"sync"

	"tenoff/internal/bullpen"
	"tenoff/internal/store"
	"tenoff/internal/trace"
)

// FilmSpeeds is what the films of a bullpen say about its readings.
type FilmSpeeds struct {
	Speeds map[string]trace.FilmSpeed // by rep; only those with a speed or a doubt
	// Slowed names films whose flights all last so many times too long: slow motion
	// that nobody declared.
	Slowed map[string]float64
	// Distance is the pitching distance in feet that all flights of a film fit, by
	// film: only of those that do not fit the one that is set.
	Distance map[string]float64
	// OutOfStep is how many real seconds a film's sound lags its picture (negative: leads),
	// by film: only of those on which that is neither as usual nor as somebody accepted it.
	OutOfStep map[string]float64
}

// glove is how far behind the plate's rear point the ball is caught, metres: an
// assumption, like the spread of a mark by eye.
const (
	glove   = 0.6
	byEye   = 0.008 // seconds
	mostHas = 64    // films whose sound is kept in memory
	mostCad = 4096  // and films whose cadence is
)

// hearing keeps the sounds of the films looked at last, and how they had been re-timed.
type hearing struct {
	sounds   memory[string, *trace.Sound]
	cadences memory[cadenceKey, bullpen.Cadence] // steps in file seconds
}

// memory keeps what was read from films' traces last, which never change under their keys.
type memory[K comparable, V any] struct {
	mu   sync.Mutex
	kept map[K]V
}

// get returns what is kept under a key, or else what read returns; so much is kept at most.
func (m *memory[K, V]) get(key K, most int, read func() (V, error)) (V, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if v, ok := m.kept[key]; ok {
		return v, nil
	}
	v, err := read()
	if err != nil {
		return v, err
	}
	if m.kept == nil || len(m.kept) >= most {
		m.kept = map[K]V{}
	}
	m.kept[key] = v
	return v, nil
}

// cadenceKey is what a film's cadence hangs on: its motion, and where in the picture that is
// looked at.
type cadenceKey struct {
	motion string
	box    bullpen.Box
}

func (s *Proposer) sound(ctx context.Context, key string) (*trace.Sound, error) {
	return s.hearing.sounds.get(key, mostHas, func() (*trace.Sound, error) {
		sound := new(trace.Sound)
		return sound, s.blobs.Load(ctx, key, sound)
	})
}

// cadence returns how a film had been re-timed, as a search for its reps sees it, in the real
// seconds of its clock.
func (s *Proposer) cadence(ctx context.Context, f store.Film) (bullpen.Cadence, error) {
	k, err := s.hearing.cadences.get(cadenceKey{f.Made.Motion, f.Box}, mostCad, func() (k bullpen.Cadence, err error) {
		motion := new(trace.Motion)
		if err := s.blobs.Load(ctx, f.Made.Motion, motion); err != nil {
			return k, err
		}
		k = motion.Within(f.Box).Cadence().Cadence
		k.Step *= motion.Slow
		return k, nil
	})
	k.Step /= f.Clock.SlowFactor()
	return k, err
}

// FilmSpeeds works out the film speed of every rep with a marked release on a film
// with sound, film by film, and doubts readings that film and gun can't both be
// right about. A pitcher without a pitching distance has no film speeds.
func (s *Proposer) FilmSpeeds(ctx context.Context, p bullpen.Pitcher, films []store.Film, reps []bullpen.Rep) FilmSpeeds {
	out := FilmSpeeds{Speeds: map[string]trace.FilmSpeed{}, Slowed: map[string]float64{}, Distance: map[string]float64{}, OutOfStep: map[string]float64{}}
	way, ok := p.Way()
	if !ok {
		return out
	}
	wayU := wayU(p)
	found := map[string]store.FoundRelease{}
	if len(reps) > 0 {
		var err error
		if found, err = s.store.FoundReleases(ctx, reps[0].BullpenID); err != nil {
			s.log.WarnContext(ctx, "releases between frames can't be read", "bullpen", reps[0].BullpenID, "err", err)
		}
	}
	for _, f := range films {
		if f.State != bullpen.FilmReady || f.Made.Sound == "" {
			continue
		}
		var thrown []bullpen.Rep
		for _, r := range reps {
			if r.FilmID == f.ID && r.Release >= 0 && r.Release < f.Clock.Frames() {
				thrown = append(thrown, r)
			}
		}
		if len(thrown) == 0 {
			continue
		}
		cadence, err := s.cadence(ctx, f)
		if err != nil { // as if the film had not been re-timed, which few are
			s.log.WarnContext(ctx, "how a film was re-timed can't be read", "film", f.ID, "err", err)
		}
		sound, err := s.sound(ctx, f.Made.Sound)
		if err != nil {
			s.log.WarnContext(ctx, "sound can't be read", "film", f.ID, "err", err)
			continue
		}
		throws := make([]trace.Throw, len(thrown))
		for i, r := range thrown {
			throws[i] = throwOf(f.Clock, cadence, r)
			throws[i].Sound = sound
			if at, ok := found[r.ID]; ok {
				refine(&throws[i], at)
			}
		}
		said := trace.FilmSpeedsOf(throws, trace.Setting{Way: way, Glove: glove, Late: f.SoundLate, WayU: wayU})
		if said.Slowed > 1 && !f.SlowKnown {
			out.Slowed[f.ID] = said.Slowed
		}
		if said.Distance != nil {
			out.Distance[f.ID] = usualDistance(p.DistanceFeet + p.FeetMore(said.Distance.Metres))
		}
		if said.OutOfStep != 0 {
			out.OutOfStep[f.ID] = f.SoundLate + said.OutOfStep
		}
		for i, v := range said.Throws {
			if v.Speed > 0 || v.Doubt != trace.NoDoubt {
				out.Speeds[thrown[i].ID] = v
			}
		}
	}
	return out
}

// wayU returns how well p's way is known, metres: 0, the usual, if she has an extension
// of her own.
func wayU(p bullpen.Pitcher) float64 {
	if p.ExtensionFeet == nil {
		return trace.LevelWayU
	}
	return 0
}

// usualDistance returns the distance that some level pitches from, if one is as near
// as the film can tell, else whole feet.
func usualDistance(feet float64) float64 {
	const apart = 2 // feet: what a film's distance is known to, the phone's place unknown
	best := math.Inf(1)
	for _, l := range bullpen.Levels {
		if math.Abs(l.DistanceFeet-feet) < math.Abs(best-feet) {
			best = l.DistanceFeet
		}
	}
	if math.Abs(best-feet) <= apart {
		return best
	}
	return math.Round(feet)
}

// refine takes t's release from between the frames, where the motion puts it; a mark that
// is further from there than frame and eye may be off was set otherwise on purpose. Both are
// when a picture was taken.
func refine(t *trace.Throw, found store.FoundRelease) {
	const astray = 2 // standard uncertainties of a mark by hand
	if math.Abs(found.Seconds-t.Release)/t.Slow <= astray*t.ReleaseSD {
		t.Release, t.ReleaseSD = found.Seconds, found.Spread
	}
}

// throwOf takes the release as marked by hand, when its picture was taken: right to the wider
// of the steps to the pictures before and after, one of which a re-timed film may have left
// out, and to the eye.
func throwOf(c bullpen.Clock, k bullpen.Cadence, r bullpen.Rep) trace.Throw {
	at := r.Release
	taken := func(i int) float64 { return k.Taken(c.RealSeconds(0, i)) }
	step := 0.0
	if at+1 < c.Frames() {
		step = taken(at+1) - taken(at)
	}
	if at > 0 {
		step = max(step, taken(at)-taken(at-1))
	}
	t := trace.Throw{
		Slow: c.SlowFactor(), Release: taken(at) * c.SlowFactor(), ReleaseSD: math.Hypot(step/math.Sqrt(12), byEye), Pitch: r.Pitch,
	}
	if r.Reading != nil {
		t.Reading = r.Reading
	}
	return t
}
