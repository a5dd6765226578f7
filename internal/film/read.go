package film

import (
	"context"
	"encoding"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"runtime"

	"tenoff/internal/bullpen"
	"tenoff/internal/disk"
	"tenoff/internal/proc"
	"tenoff/internal/trace"
)

// The names of what the pass makes.
const (
	workingName = "working.mp4"
	stripName   = "strip.jpegs"
	motionName  = "motion.trace"
	soundName   = "sound.trace"
	cutName     = "cut.mp4"
)

// scratch begins the name of the folder, inside the one given, in which things
// are made.
const scratch = ".reading-"

// Read decodes the film at path once and makes all of Made in dir, which must
// exist and belong to this film alone. facts are Probe's. progress, when not nil,
// is told the share done, in [0, 1] and rising. Files appear in dir only when all
// of them are complete; after an error none is left. The error is ctx's when that
// ended, else a *bullpen.Error: of code Refused only when the film itself is shown to
// be to blame, Unavailable when this machine or its ffmpeg is, or may be.
func Read(ctx context.Context, path string, facts Facts, dir string, progress func(done float64)) (Products, error) {
	return ReadAlong(ctx, path, facts, dir, Along{Progress: progress})
}

// Along is what is told while a film is read; nil for what nobody wants to hear.
type Along struct {
	Progress func(done float64) // the share done, in [0, 1] and rising
	// Grown is told whenever another stretch of the working copy is complete. Whoever
	// hears of it closes it, some time after the film was read: until then what others
	// are looking at can still be read from it. It must not take long.
	Grown func(*Growing)
	// Seen is told now and then what was measured of the film's pictures so far. It must
	// not take long.
	Seen func(*trace.Motion)
}

// ReadAlong is Read, and tells along how far it has come.
func ReadAlong(ctx context.Context, path string, facts Facts, dir string, along Along) (Products, error) {
	stale, err := filepath.Glob(filepath.Join(dir, scratch+"*")) // of a run that was killed
	if err != nil {
		return Products{}, err
	}
	for _, s := range stale {
		if err := disk.RemoveAll(s); err != nil {
			return Products{}, err
		}
	}
	if err := room(facts, dir); err != nil {
		return Products{}, err
	}
	temp, err := os.MkdirTemp(dir, scratch)
	if err != nil {
		return Products{}, blame(ctx, facts.Name, err)
	}
	defer disk.RemoveAll(temp)
	r := reading{facts: facts, temp: temp, from: source{path: path, cut: facts.Cut, heard: facts.Heard != nil}, progress: rising(along.Progress), along: along}
	made, err := r.run(ctx)
	if err != nil {
		return Products{}, r.why(ctx, err)
	}
	if err := publish(made.Files(), temp, dir); err != nil {
		return Products{}, blame(ctx, facts.Name, err)
	}
	r.progress(1)
	return made, nil
}

// reading is one film being read.
type reading struct {
	facts    Facts
	temp     string // folder
	from     source
	progress func(float64)
	along    Along
}

func (r *reading) run(ctx context.Context) (Products, error) {
	if r.facts.Container == mpegts {
		if err := r.repack(ctx); err != nil {
			return Products{}, err
		}
	}
	p, err := r.decode(ctx)
	if err != nil {
		return Products{}, err
	}
	if p.first != r.from.cut.FirstTick {
		// The frames that the file promises first can't be decoded. Sound is placed
		// relative to the first one, so it has to be placed anew.
		p.growing.Close()
		r.from.cut.FirstTick, r.from.heard = p.first, false
		again, err := r.decode(ctx)
		if err != nil {
			return Products{}, err
		}
		if again.first != p.first {
			return Products{}, fmt.Errorf("the first frame is at tick %d, then at %d", p.first, again.first)
		}
		p = again
	}
	made, err := r.made(p)
	if err != nil || r.along.Grown == nil || runtime.GOOS == "windows" { // where an open file can't be moved
		err = errors.Join(err, p.growing.Close())
	}
	return made, err
}

// made checks what a pass made and writes what lies in memory yet.
func (r *reading) made(p passed) (Products, error) {
	made := Products{
		Working: workingName, Strip: stripName, Motion: motionName,
		Clock: p.clock, Cut: r.from.cut, Lost: max(0, r.facts.Clock.Frames()-p.clock.Frames()),
	}
	if r.complete(made.Clock) != nil {
		if why := machine(p.said); why != "" {
			return Products{}, kept(r.facts.Name, errLost, "%s. Try again.", why)
		}
		return Products{}, errLost
	}
	if err := p.growing.finish(); err != nil {
		return Products{}, err
	}
	if err := r.sameFrames(made.Clock); err != nil {
		return Products{}, err
	}
	files := map[string]encoding.BinaryMarshaler{stripName: &p.strip, motionName: p.motion}
	if p.sound != nil {
		made.Sound = soundName
		files[soundName] = p.sound
	}
	for name, what := range files {
		data, err := what.MarshalBinary()
		if err != nil {
			return Products{}, err
		}
		if err := os.WriteFile(filepath.Join(r.temp, name), data, 0o600); err != nil {
			return Products{}, err
		}
	}
	return made, nil
}

// complete refuses a film of which got is all that could be decoded, if that is too
// little: more than a few damaged spots are missing.
func (r *reading) complete(got bullpen.Clock) error {
	promised := r.facts.Clock
	if got.Frames() < minFrames {
		return damaged(r.facts.Name, errLost)
	}
	missing := promised.FileSeconds(promised.Frames()-1) - got.FileSeconds(got.Frames()-1)
	lost := promised.Frames() - got.Frames()
	if missing > 1 || 50*max(0, lost-3) > promised.Frames() && oneToOne(r.facts) {
		return because(refused(r.facts.Name, "is damaged: only %d of its %d frames can be decoded. Copy it from the phone again.",
			got.Frames(), promised.Frames()), errLost)
	}
	return nil
}

// oneToOne reports whether every packet of the film is one shown frame. VP8 and
// its descendants have packets that only later frames refer to.
func oneToOne(f Facts) bool {
	switch f.Codec {
	case "vp8", "vp9", "av1":
		return false
	}
	return true
}

// sameFrames makes sure that the working copy has the clock's frames at the
// promised times: everything that is marked depends on it.
func (r *reading) sameFrames(c bullpen.Clock) error {
	file, err := os.Open(filepath.Join(r.temp, workingName))
	if err != nil {
		return err
	}
	defer file.Close()
	got, err := frameTimes(file)
	if err != nil {
		return err
	}
	want := WorkingTicks(c)
	if len(got) != len(want) {
		return fmt.Errorf("%w: %d, and the film %d", errMoved, len(got), len(want))
	}
	for i := range want {
		if got[i] != want[i] {
			return fmt.Errorf("%w: frame %d is at %d, not at %d", errMoved, i, got[i], want[i])
		}
	}
	return nil
}

// repack copies the film, as it is coded, into an MP4 to decode and cut from: in a
// transport stream ffmpeg can't find a time exactly.
func (r *reading) repack(ctx context.Context) error {
	path := filepath.Join(r.temp, cutName)
	args := append([]string{"-hide_banner", "-nostdin", "-loglevel", "error", "-y"}, SafeInput(r.from.path, r.from.cut.Container)...)
	args = append(args, "-map", fmt.Sprintf("0:%d", r.from.cut.Video))
	if r.from.cut.Audio >= 0 {
		args = append(args, "-map", fmt.Sprintf("0:%d", r.from.cut.Audio))
	}
	args = append(args, "-c", "copy", "-map_metadata", "-1", "-map_chapters", "-1",
		"-video_track_timescale", fmt.Sprint(WorkingRate), "-movie_timescale", fmt.Sprint(WorkingRate), "-f", "mp4", SafeName(path))
	if _, err := proc.Run(ctx, proc.Cmd{Name: "ffmpeg", Args: args, Limit: readLimit(r.facts)}); err != nil {
		return err
	}
	packed := Facts{Name: r.facts.Name, Container: mov}
	if err := packed.ask(ctx, path); err != nil {
		return err
	}
	packed.Clock.Slow = r.facts.Clock.Slow
	r.facts.Clock = packed.Clock
	packed.Cut.File = cutName
	r.from = source{path: path, cut: packed.Cut}
	return nil
}

// publish moves files into dir, all or none.
func publish(names []string, from, dir string) error {
	for i, name := range names {
		if err := os.Rename(filepath.Join(from, name), filepath.Join(dir, name)); err != nil {
			for _, done := range names[:i] {
				os.Remove(filepath.Join(dir, done))
			}
			return err
		}
	}
	return nil
}

// rising returns tell without the calls that would go back, and never nil.
func rising(tell func(float64)) func(float64) {
	var last float64
	return func(done float64) {
		done = min(max(done, 0), 1)
		if tell != nil && done > last {
			last = done
			tell(done)
		}
	}
}
