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
)

// hearing keeps the sounds of the films looked at last; a film's sound never
// changes under its key.
type hearing struct {
	mu   sync.Mutex
	kept map[string]*trace.Sound
}

func (s *Proposer) sound(ctx context.Context, key string) (*trace.Sound, error) {
	s.hearing.mu.Lock()
	defer s.hearing.mu.Unlock()
	if sound, ok := s.hearing.kept[key]; ok {
		return sound, nil
	}
	sound := new(trace.Sound)
	if err := s.blobs.Load(ctx, key, sound); err != nil {
		return nil, err
	}
	if s.hearing.kept == nil || len(s.hearing.kept) >= mostHas {
		s.hearing.kept = map[string]*trace.Sound{}
	}
	s.hearing.kept[key] = sound
	return sound, nil
}

// Listen works out the film speed of every rep with a marked release on a film
// with sound, film by film, and doubts readings that film and gun can't both be
// right about. A pitcher without a pitching distance has no film speeds.
func (s *Proposer) FilmSpeeds(ctx context.Context, p bullpen.Pitcher, films []store.Film, reps []bullpen.Rep) FilmSpeeds {
	out := FilmSpeeds{Speeds: map[string]trace.FilmSpeed{}, Slowed: map[string]float64{}, Distance: map[string]float64{}, OutOfStep: map[string]float64{}}
	way, ok := p.Way()
	if !ok {
		return out
	}
	wayU := wayU(p)
	found := map[string]float64{}
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
		var throws []trace.Throw
		var ids []string
		for _, r := range reps {
			if r.FilmID != f.ID || r.Release < 0 || r.Release >= f.Clock.Frames() {
				continue
			}
			ids = append(ids, r.ID)
			t := throwOf(f.Clock, r)
			if at, ok := found[r.ID]; ok {
				refine(&t, at)
			}
			throws = append(throws, t)
		}
		if len(throws) == 0 {
			continue
		}
		sound, err := s.sound(ctx, f.Made.Sound)
		if err != nil {
			s.log.WarnContext(ctx, "sound can't be read", "film", f.ID, "err", err)
			continue
		}
		for i := range throws {
			throws[i].Sound = sound
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
				out.Speeds[ids[i]] = v
			}
		}
	}
	return out
}

// usualWayU is the standard uncertainty of a way whose extension is only her level's,
// metres: girls of one level let go 3 to 7 ft in front of the rubber (an assumption).
// Half of that, 0.61 m, is taken to be on the safe side, with 0.30 m for the rest of the
// way.
const usualWayU = 0.68

// wayU returns how well p's way is known, metres: 0, the usual, if she has an extension
// of her own.
func wayU(p bullpen.Pitcher) float64 {
	if p.ExtensionFeet == nil {
		return usualWayU
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
// is further from there than frame and eye may be off was set otherwise on purpose.
func refine(t *trace.Throw, found float64) {
	const astray = 2 // standard uncertainties of a mark by hand
	if math.Abs(found-t.Release)/t.Slow <= astray*t.ReleaseSD {
		t.Release, t.ReleaseSD = found, trace.FoundReleaseSD
	}
}

// throwOf takes the release as marked by hand: right to its frame and to the eye.
func throwOf(c bullpen.Clock, r bullpen.Rep) trace.Throw {
	at := r.Release
	frame := 0.0
	if at+1 < c.Frames() {
		frame = c.RealSeconds(at, at+1)
	} else if at > 0 {
		frame = c.RealSeconds(at-1, at)
	}
	t := trace.Throw{
		Slow: c.SlowFactor(), Release: c.FileSeconds(at), ReleaseSD: math.Hypot(frame/math.Sqrt(12), byEye), Pitch: r.Pitch,
	}
	if r.Reading != nil {
		t.Reading = r.Reading
	}
	return t
}
