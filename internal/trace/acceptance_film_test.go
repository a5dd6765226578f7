package trace

import (
	"bytes"
	"encoding/binary"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"gonum.org/v1/gonum/stat"

	"tenoff/internal/bullpen"
	"tenoff/internal/demo"
	"tenoff/internal/demo/demotest"
)

// watch films a bullpen and notes what is found in it.
func (a *tally) watch(b testing.TB, name string, o demo.Options) {
	s := newSession(b, name, o)
	a.films, a.reps = 1, len(s.truth.Reps)
	got := s.compare(Find(s.motion, s.sound))
	a.sure, a.asked, a.silent = got.sure, got.asked, got.silent
	a.falseSure, a.falseAsked, a.mimics = got.false_, got.ask_, got.mimics
	frame := s.truth.Clock.RealSeconds(0, 1)
	for _, e := range got.errors {
		a.rough = append(a.rough, e/frame)
	}
	// The first rep that was found is marked to the nearest frame.
	first := 0
	for first < len(got.hit)-1 && got.hit[first] < 0 {
		first++
	}
	mark := s.truth.Clock.FileSeconds(s.truth.Reps[first].Release.Frame)
	own := mark/s.truth.Clock.Slow - s.truth.Reps[first].Release.Seconds
	taken := s.motion.Cadence().Taken(mark/s.truth.Clock.Slow) - s.truth.Reps[first].Release.Seconds
	f := Transfer(s.motion, s.sound, []float64{mark})
	after := s.compare(f)
	a.sureMarked = after.sure
	if !o.Sound.Off && !o.Sound.Net {
		a.caught, a.sureCaught = a.reps, a.sure
	}
	releases := make([]Candidate, len(s.truth.Reps)) // Release NaN where not found
	var known knownTo
	for i, k := range after.hit {
		releases[i].Release = math.NaN()
		if k < 0 {
			continue
		}
		releases[i] = f.Candidates[k]
		if i != first {
			e := f.Candidates[k].Release/s.truth.Clock.Slow - s.truth.Reps[i].Release.Seconds - own
			a.late, a.frames = append(a.late, e), append(a.frames, e/frame)
			if c := f.Candidates[k]; c.Sure && !math.IsNaN(c.Found) {
				a.found++
				within := max(math.Ceil(Surely*c.Spread/s.truth.Clock.Slow/frame), 1)
				if within == 1 {
					a.sureToFrame++
				}
				off := math.Abs(c.Found/s.truth.Clock.Slow - s.truth.Reps[i].Release.Seconds - taken)
				if off <= 1.0001*within*frame {
					a.near++
				}
				known.of++
				if off <= Surely*c.Spread/s.truth.Clock.Slow {
					known.near++
				}
			}
		}
	}
	a.known = map[int]knownTo{int(math.Round(1 / frame)): known}
	if len(a.late) > 1 {
		a.sd = []float64{stat.StdDev(a.late, nil)}
	}
	a.right = after.pops
	if s.sound != nil {
		a.listen(b, s, o)
		a.clock(s, releases)
	}
}

// heardWithin is how far from a pop's beginning, in real seconds, an onset may be
// that counts as hearing it.
const heardWithin = 0.025

// listen counts the pops that were heard, and those that aubio hears in the same
// sound.
func (a *tally) listen(b testing.TB, s session, o demo.Options) {
	slow := s.truth.Clock.Slow
	var own []float64
	for _, onset := range s.sound.Onsets {
		own = append(own, onset.Time/slow)
	}
	theirs := aubioOnsets(b, o)
	for i := range theirs {
		theirs[i] /= slow
	}
	nearest := func(onsets []float64, t float64) float64 {
		best := math.Inf(1)
		for _, x := range onsets {
			if math.Abs(x-t) < math.Abs(best) {
				best = x - t
			}
		}
		return best
	}
	var sharp []float64 // everything that pops
	for _, r := range s.truth.Reps {
		if !r.Popped {
			continue
		}
		a.popped++
		sharp = append(sharp, r.Pop)
		if e := nearest(own, r.Pop); math.Abs(e) < heardWithin {
			a.heard++
			a.popErrors = append(a.popErrors, math.Abs(e))
		}
		if math.Abs(nearest(theirs, r.Pop)) < heardWithin {
			a.aubio++
		}
	}
	for _, d := range s.truth.Decoys {
		if d.Kind == "other pop" || d.Kind == "return" || d.Kind == "fence" {
			sharp = append(sharp, d.Seconds)
		}
	}
	count := func(onsets []float64) (n int) {
		for _, t := range onsets {
			if math.Abs(nearest(sharp, t)) < heardWithin {
				n++
			}
		}
		return n
	}
	a.onsets, a.trueOnsets = len(own), count(own)
	a.aubioOnsets, a.aubioTrue = len(theirs), count(theirs)
}

// aubioOnsets returns where aubioonset hears onsets in a bullpen's sound, seconds.
// Its best setting for pops is used (found by trying).
func aubioOnsets(b testing.TB, o demo.Options) []float64 {
	out, err := demotest.Kept(*filmsKeep, "aubio", o, func() ([]byte, error) {
		const rate = 48000
		take, err := demo.Plan(o)
		if err != nil {
			return nil, err
		}
		path := filepath.Join(b.TempDir(), "sound.wav")
		if err := os.WriteFile(path, wav(take.Sound(rate), rate), 0o600); err != nil {
			return nil, err
		}
		return exec.Command("aubioonset", "-O", "hfc", "-B", "256", "-H", "64", "-s", "-60", "-M", "0.06", "-i", path).Output()
	})
	if err != nil {
		b.Fatalf("aubioonset, of Debian's aubio-tools: %v", err)
	}
	var onsets []float64
	for word := range strings.FieldsSeq(string(out)) {
		t, err := strconv.ParseFloat(word, 64)
		if err != nil {
			b.Fatal(err)
		}
		onsets = append(onsets, t)
	}
	return onsets
}

// wav returns pcm as a RIFF WAVE file of one channel.
func wav(pcm []int16, rate uint32) []byte {
	var w bytes.Buffer
	put := func(v any) { _ = binary.Write(&w, binary.LittleEndian, v) }
	bytes := uint32(2 * len(pcm))
	w.WriteString("RIFF")
	put(36 + bytes)
	w.WriteString("WAVEfmt ")
	put(struct {
		Size              uint32
		Format, Channels  uint16
		Rate, ByteRate    uint32
		Align, BitsSample uint16
	}{16, 1, 1, rate, 2 * rate, 2, 16})
	w.WriteString("data")
	put(bytes)
	put(pcm)
	return w.Bytes()
}

// clock works out the film speeds as the program does, from releases as found about
// one mark, and once more from the nearest frames alone, as of marks set by hand; and
// plants mistakes one at a time.
func (a *tally) clock(s session, releases []Candidate) {
	c := s.truth.Clock
	frame, cadence := c.RealSeconds(0, 1), s.motion.Cadence()
	var throws, framed []Throw
	var truth []bullpen.Speed
	for i, r := range s.truth.Reps {
		if math.IsNaN(releases[i].Release) {
			continue
		}
		reading := r.Reading
		at := c.FileSeconds(c.At(releases[i].Release + frame*c.Slow/2))
		t := Throw{
			Sound: s.sound, Slow: c.Slow, Release: cadence.Taken(at/c.Slow) * c.Slow, ReleaseSD: math.Hypot(frame/math.Sqrt(12), 0.008),
			Reading: &reading, Pitch: r.Pitch,
		}
		framed = append(framed, t)
		if found := releases[i].Found; !math.IsNaN(found) {
			t.Release, t.ReleaseSD = found, releases[i].Spread/c.Slow
		}
		throws = append(throws, t)
		truth = append(truth, r.Speed)
	}
	// Nobody measured how far in front of the rubber she lets go: her level's 6 ft, of which
	// the generated pitchers are 2.4 short in every film.
	level, _ := bullpen.LevelOf("14U")
	p := bullpen.NewPitcher("Wren", level)
	p.DistanceFeet = s.truth.DistanceFeet
	way, _ := p.Way()
	set := Setting{Way: way, Glove: 0.6, WayU: LevelWayU}
	said := FilmSpeedsOf(throws, set)
	if s.popped() && len(throws) >= leastOwn {
		a.calibrates++
		if said.Calibrated {
			a.calibrated++
		}
	}
	if !said.Calibrated {
		return
	}
	for i, f := range said.Throws {
		a.readings++
		if f.Doubt != NoDoubt {
			a.falseFlags++
		}
		if f.Speed == 0 {
			continue
		}
		e := float64(f.Speed - truth[i])
		a.speeds = append(a.speeds, e)
		in := 0.0
		if math.Abs(e) <= 2*float64(f.U) {
			in = 1
		}
		a.inside = append(a.inside, in)
	}
	for i, f := range FilmSpeedsOf(framed, set).Throws {
		if f.Speed != 0 {
			a.framed = append(a.framed, float64(f.Speed-truth[i]))
		}
	}
	a.mistake(throws, set, said)
	a.offset(throws, set, said)
}

// popped says whether the film's pitches were caught in a glove.
func (s session) popped() bool {
	return slices.ContainsFunc(s.truth.Reps, func(r demo.RepTruth) bool { return r.Popped })
}

// mistake plants swapped digits and slips of 8 mph, one at a time, in readings
// whose pop was heard.
func (a *tally) mistake(throws []Throw, set Setting, said FilmSpeeds) {
	plant := func(i int, r bullpen.Reading) bool {
		was := throws[i].Reading
		throws[i].Reading = &r
		doubt := FilmSpeedsOf(throws, set).Throws[i].Doubt
		throws[i].Reading = was
		return doubt != NoDoubt
	}
	for i, t := range throws {
		if said.Throws[i].Speed == 0 {
			continue
		}
		if r, ok := t.Reading.Swapped(); ok && math.Abs(r.Value-t.Reading.Value) >= 8 {
			a.swaps++
			if plant(i, r) {
				a.swapsCaught++
			}
		}
		for _, off := range []float64{-8, 8} {
			r := *t.Reading
			r.Value += off
			a.eights++
			if plant(i, r) {
				a.eight++
			}
		}
	}
}

// offset moves the sound by 40 ms either way.
func (a *tally) offset(throws []Throw, set Setting, said FilmSpeeds) {
	for _, off := range []float64{-0.04, 0.04} {
		moved := make([]Throw, len(throws))
		sound := *throws[0].Sound
		sound.Onsets = nil
		for _, o := range throws[0].Sound.Onsets {
			o.Time += off * throws[0].Slow
			sound.Onsets = append(sound.Onsets, o)
		}
		for i, t := range throws {
			t.Sound = &sound
			moved[i] = t
		}
		for i, f := range FilmSpeedsOf(moved, set).Throws {
			a.moved = max(a.moved, math.Abs(float64(f.Speed-said.Throws[i].Speed)))
		}
	}
}
