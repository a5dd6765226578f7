package trace

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// decoded reads a film through ffmpeg into a Meter and an Ear. filter, if any,
// changes the picture first.
func decoded(t *testing.T, path, filter string, portrait bool) (*Motion, *Sound) {
	t.Helper()
	width, height := 160, 90
	if portrait {
		width, height = 90, 160
	}
	run := func(name string, args ...string) []byte {
		t.Helper()
		var errs bytes.Buffer
		c := exec.Command(name, args...)
		c.Stderr = &errs
		out, err := c.Output()
		if err != nil {
			t.Fatalf("%s: %v\n%s", name, err, errs.String())
		}
		return out
	}
	if filter != "" {
		filter += ","
	}
	filter += fmt.Sprintf("scale=%d:%d:flags=area,format=gray", width, height)
	gray := run("ffmpeg", "-v", "error", "-nostdin", "-i", path, "-an", "-vf", filter, "-fps_mode", "passthrough", "-f", "rawvideo", "-")
	var times []float64
	for line := range strings.Lines(string(run("ffprobe", "-v", "error", "-select_streams", "v:0",
		"-show_entries", "packet=pts_time", "-of", "csv=p=0", path))) { // of packets: nothing is decoded twice
		v, err := strconv.ParseFloat(strings.Trim(strings.TrimSpace(line), ","), 64)
		if err != nil {
			continue
		}
		times = append(times, v)
	}
	slices.Sort(times) // packets come as they are decoded
	meter := NewMeter(width, height, 1)
	for i := range len(gray) / (width * height) {
		at := times[min(i, len(times)-1)] - times[0]
		meter.Add(gray[i*width*height:][:width*height], at)
	}
	var sound *Sound
	if len(run("ffprobe", "-v", "error", "-select_streams", "a", "-show_entries", "stream=index", "-of", "csv=p=0", path)) > 0 {
		raw := run("ffmpeg", "-v", "error", "-nostdin", "-i", path, "-vn", "-ac", "1", "-ar", "24000", "-f", "s16le", "-")
		pcm := make([]int16, len(raw)/2)
		for i := range pcm {
			pcm[i] = int16(binary.LittleEndian.Uint16(raw[2*i:]))
		}
		ear := NewEar(24000, 1)
		ear.Add(pcm)
		sound = ear.Sound()
	}
	return meter.Motion(), sound
}

// realClips is the folder of real films; without one, the test is left out.
func realClips(t *testing.T) string {
	t.Helper()
	dir := os.Getenv("TENOFF_REAL_CLIPS")
	if dir == "" {
		dir = filepath.Join("..", "..", "..", "shared", "clips")
		if _, err := os.Stat(dir); err != nil {
			t.Skip("no real films here: TENOFF_REAL_CLIPS names a folder that has some")
		}
	}
	return dir
}

// Real throws are found where there is film of them: in the folder that
// TENOFF_REAL_CLIPS names, or beside the repository.
func TestRealThrowIsFound(t *testing.T) {
	t.Parallel()
	dir := realClips(t)
	// The ball leaves the hand between these two seconds: seen by stepping through it.
	const from, to = 2.34, 2.44
	motion, sound := decoded(t, filepath.Join(dir, "pitch-overhand-320x240.avi"), "", false)
	if motion.DoubledShare() < 0.02 {
		t.Errorf("of a re-timed film only %.3f are doubled frames", motion.DoubledShare())
	}
	f := Find(motion, sound)
	if len(f.Candidates) != 1 {
		t.Fatalf("one throw, %d candidates", len(f.Candidates))
	}
	c := f.Candidates[0]
	if c.From > from || c.To < to || c.Release < from-0.25 || c.Release > to+0.25 {
		t.Errorf("thrown between %g and %g s; found %+v", from, to, c)
	}
	// One mark is believed.
	f = Transfer(motion, sound, []float64{2.4})
	if len(f.Candidates) != 1 || f.Candidates[0].Release != 2.4 || !f.Candidates[0].Sure {
		t.Errorf("with the release marked: %+v", f.Candidates)
	}
}

// A real throw, of which the file shows some ten pictures a second, played seven times in a
// row by a program that plays some of them slower and repeats pictures to do so. So few
// pictures tell no release to a frame: none is surely found from one mark, whatever the
// rate; at 30 frames a second all the others are found all the same, and to within a frame.
func TestAMarkCarriesOverToARealThrowPlayedSlower(t *testing.T) {
	t.Parallel()
	clip := filepath.Join(realClips(t), "pitch-overhand-320x240.avi")
	const release, frame = 2.4, 1.0 / 30 // see TestRealThrowIsFound
	for _, fps := range []int{30, 60} {
		played := map[float64][][]byte{}
		for _, slower := range []float64{1, 1.10, 1.15} {
			part := filepath.Join(t.TempDir(), "part.mp4")
			if out, err := exec.Command("ffmpeg", "-v", "error", "-nostdin", "-i", clip, "-an", "-vf", fmt.Sprintf("setpts=%g*PTS,fps=%d", slower, fps),
				"-c:v", "libx264", "-preset", "veryfast", "-crf", "20", part).CombinedOutput(); err != nil {
				t.Fatalf("%v\n%s", err, out)
			}
			gray, err := exec.Command("ffmpeg", "-v", "error", "-nostdin", "-i", part, "-vf", "scale=160:90:flags=area,format=gray", "-f", "rawvideo", "-").Output()
			if err != nil {
				t.Fatal(err)
			}
			for ; len(gray) >= 160*90; gray = gray[160*90:] {
				played[slower] = append(played[slower], gray[:160*90])
			}
		}
		for _, row := range [][]float64{
			{1, 1, 1, 1, 1, 1, 1}, {1.10, 1, 1.10, 1, 1.10, 1, 1.10}, {1, 1, 1.10, 1, 1.15, 1.10, 1.15},
			{1, 1.10, 1.10, 1.10, 1.10, 1.10, 1.10}, {1, 1.15, 1.15, 1.15, 1.15, 1.15, 1.15},
		} {
			meter, n := NewMeter(160, 90, 1), 0
			var truth []float64
			for _, slower := range row {
				truth = append(truth, float64(n)/float64(fps)+slower*release)
				for _, gray := range played[slower] {
					meter.Add(gray, float64(n)/float64(fps))
					n++
				}
			}
			motion := meter.Motion()
			for m := range 2 {
				found := Transfer(motion, nil, truth[m:m+1]).Candidates
				said := ""
				for i, at := range truth {
					k := slices.IndexFunc(found, func(c Candidate) bool { return math.Abs(c.Release-at) < 1 })
					if k < 0 {
						said += " -"
						if fps == 30 {
							t.Errorf("30 frames a second, %v, marked %d: delivery %d is not found", row, m+1, i+1)
						}
						continue
					}
					off, sure := found[k].Release-at, found[k].Sure && !math.IsNaN(found[k].Found)
					said += fmt.Sprintf(" %.0f ms (%v)", 1000*off, sure)
					if sure || fps == 30 && math.Abs(off) > frame {
						t.Errorf("%d frames a second, %v, marked %d: release %d is %.0f ms off, surely found: %v", fps, row, m+1, i+1, 1000*off, sure)
					}
				}
				t.Logf("%d frames a second, %v, marked %d, %.3f repeats:%s", fps, row, m+1, motion.DoubledShare(), said)
			}
		}
	}
}

// Whoever juggles a ball, shovels, swims, skips or dribbles throws nothing.
func TestRealMovementIsNoThrow(t *testing.T) {
	t.Parallel()
	dir := realClips(t)
	all, err := filepath.Glob(filepath.Join(dir, "no-throw", "*.*"))
	if err != nil {
		t.Fatal(err)
	}
	all = append(all, filepath.Join(dir, "ball-juggling-720p24.mp4"), filepath.Join(dir, "ball-dribble-portrait-12fps.mp4"))
	for _, path := range all {
		t.Run(filepath.Base(path), func(t *testing.T) {
			motion, sound := decoded(t, path, "", false)
			f := Find(motion, sound)
			for _, c := range f.Candidates {
				if c.Sure || c.Confidence > doubtful {
					t.Errorf("sure of a throw: %+v", c)
				}
			}
			if f.Slowed != 1 {
				t.Errorf("said to be slowed %g times", f.Slowed)
			}
		})
	}
}

// Nothing in a film of people walking is taken for a rep with any confidence.
func TestWalkersThrowNothing(t *testing.T) {
	t.Parallel()
	const film = "/usr/share/doc/opencv-doc/examples/data/vtest.avi" // of Debian's package opencv-doc
	if _, err := os.Stat(film); err != nil {
		t.Fatalf("%s is missing; `go run ./cmd/dev setup` installs it", film)
	}
	motion, sound := decoded(t, film, "", false)
	f := Find(motion, sound)
	for _, c := range f.Candidates {
		if c.Sure || c.Confidence > doubtful {
			t.Errorf("sure of a rep among walkers: %+v", c)
		}
	}
	if len(f.Candidates)+len(f.Unexplained) == 0 {
		t.Error("nothing moves in a film of walkers")
	}
}
