package judged

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"runtime/debug"
	"sync"
	"time"

	"tenoff/internal/bullpen"
	"tenoff/internal/store"
	"tenoff/internal/trust"
)

const (
	// fewUnjudged is how many bullpens a search may still have to judge; with more of
	// them it can't go by the stored verdicts yet.
	fewUnjudged = 24
	// settle lets a lesson's changes come to rest before a bullpen is judged for later.
	settle = 2 * time.Second
)

// KeepVerdicts stores the verdicts of a few of the bullpens that changed since theirs
// were stored, at most so many, and reports whether all of the academy's are stored now:
// those of a bullpen that changes while it is judged are not.
func (s *Bullpens) KeepVerdicts(ctx context.Context, most int) (all bool, err error) {
	by, err := s.method(ctx)
	if err != nil {
		return false, err
	}
	if err := s.store.CatchUp(ctx); err != nil {
		return false, err
	}
	ids, err := s.store.Unjudged(ctx, by, most)
	if err != nil || len(ids) == 0 {
		return err == nil, err
	}
	made := make([]store.Verdicts, 0, len(ids))
	for _, id := range ids {
		v, err := s.verdicts(ctx, id)
		if bullpen.CodeOf(err) == bullpen.NotFound {
			continue // removed meanwhile
		}
		if err != nil {
			return false, err
		}
		made = append(made, v)
	}
	if err := s.store.KeepVerdicts(ctx, made); err != nil {
		return false, err
	}
	left, err := s.store.Unjudged(ctx, by, 1)
	return err == nil && len(left) == 0, err
}

// Searchable reports whether reps can be searched by their stored verdicts, which it
// brings up to date where few bullpens have changed.
func (s *Bullpens) Searchable(ctx context.Context) (bool, error) {
	by, err := s.method(ctx)
	if err != nil {
		return false, err
	}
	if behind, err := s.store.Behind(ctx); err != nil || behind {
		return false, err
	}
	ids, err := s.store.Unjudged(ctx, by, fewUnjudged+1)
	if err != nil || len(ids) == 0 {
		return err == nil, err
	}
	if len(ids) > fewUnjudged {
		return false, nil
	}
	return s.KeepVerdicts(ctx, fewUnjudged)
}

func (s *Bullpens) verdicts(ctx context.Context, bullpenID string) (v store.Verdicts, err error) {
	// The revision is read first: what changes in between is not stored as of it.
	if _, v.Revision, err = s.store.Bullpen(ctx, bullpenID); err != nil {
		return v, err
	}
	b, err := s.Of(ctx, bullpenID)
	if err != nil {
		return v, err
	}
	v.BullpenID, v.Of, v.Glance = bullpenID, make(map[string]bullpen.Verdict, len(b.Sheet.Reps)), b.Glance()
	v.Spreads = bullpen.SpreadsIn(b.Pen, b.Reps)
	for _, n := range b.Sheet.Reps {
		v.Of[n.RepID] = n.Verdict
	}
	v.Week, err = json.Marshal(b.Week())
	return v, err
}

// Tend keeps all stored verdicts up to date until ctx ends.
func (s *Bullpens) Tend(ctx context.Context) error {
	changes, stop := s.store.Watch()
	defer stop()
	look := time.After(0)
	for {
		select {
		case <-ctx.Done():
			return nil
		case c := <-changes:
			switch {
			case c.Behind: // open pages wait to be told
				look = time.After(0)
			case c.BullpenID != "" && look == nil:
				look = time.After(settle)
			}
		case <-look:
			look = nil
			err := s.store.InEach(ctx, func(ctx context.Context) error {
				for {
					all, err := s.KeepVerdicts(ctx, fewUnjudged)
					if all || err != nil {
						return err
					}
				}
			})
			if ctx.Err() != nil {
				return nil
			}
			if err != nil { // a busy or full disk: nothing is lost but speed
				look = time.After(time.Minute)
			}
		}
	}
}

// method names how an academy's bullpens are judged: by this program, and by how closely
// its instructor marks, which the body's verdicts hang on.
func (s *Bullpens) method(ctx context.Context) (string, error) {
	eye, err := EyeOf(ctx, s.store)
	return fmt.Sprintf("%s, eye %.4g s", method(), eye.Seconds), err
}

// method names how this program judges: what it says of a fixed set of readings, and its
// build. A program that judges otherwise does not believe the verdicts of an earlier one.
var method = sync.OnceValue(func() string {
	sum := sha256.New()
	into := json.NewEncoder(sum)
	for i := range 24 {
		p, pen, reps := sample(i)
		sheet := bullpen.Judge(p, pen, nil, reps)
		for _, said := range []any{sheet, trust.Session{Bullpen: pen, Reps: reps, Sheet: sheet}.Week()} {
			if err := into.Encode(said); err != nil {
				panic(err) // numbers and words, which always encode
			}
		}
	}
	build := "unknown"
	if info, ok := debug.ReadBuildInfo(); ok {
		build = info.Main.Version
		for _, s := range info.Settings {
			if s.Key == "vcs.revision" || s.Key == "vcs.modified" {
				build += " " + s.Value
			}
		}
	}
	return fmt.Sprintf("%s %s", hex.EncodeToString(sum.Sum(nil)[:8]), build)
})

// sample is one of the bullpens that a judging is known by: of every policy, unit and
// kind of pitch, with gaps from too firm to too soft, drills, warm-ups and two places of
// the gun.
func sample(i int) (bullpen.Pitcher, bullpen.Bullpen, []bullpen.Rep) {
	level := bullpen.Levels[i%len(bullpen.Levels)]
	p := bullpen.NewPitcher("", level)
	p.Policy = []bullpen.Policy{bullpen.MeanOf, bullpen.Hardest, bullpen.Last, bullpen.Typed}[i%4]
	p.TypedBaseline = 52
	unit, scale := bullpen.MPH, 1.0
	if i%3 == 2 {
		unit, scale = bullpen.KMH, bullpen.KMHPerMPH
	}
	pen := p.Begin("2026-04-11")
	pen.Unit, pen.Step = unit, 1
	var reps []bullpen.Rep
	for k := range 30 {
		t := bullpen.PitchTypes[(k*(i+1))%len(bullpen.PitchTypes)]
		speed := 52 + float64((k*7+i)%4)
		if t.Band != nil {
			speed -= float64((k * (5 + i)) % 18)
		}
		r := bullpen.Rep{ID: fmt.Sprint(i, " ", k), Order: k + 1, Pitch: t.Code, WarmUp: k < 2}
		if k%8 == 3 {
			r.Drill = "wall"
		}
		if k%11 != 10 {
			r.Reading = &bullpen.Reading{Value: float64(int(speed*scale + 0.5)), Unit: unit, Step: 1, Gun: bullpen.BehindCatcher}
		}
		reps = append(reps, r)
	}
	return p, pen, reps
}
