package tempo

import (
	"bytes"
	"cmp"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"tenoff/internal/trace"
)

// walkers is real film of people that a package of Debian brings, opencv-doc.
const walkers = "/usr/share/doc/opencv-doc/examples/data/vtest.avi"

// realClips lists film of real movement: the walkers, and what lies in the folder of
// real clips where there is one.
func realClips(t *testing.T) []string {
	t.Helper()
	dir := os.Getenv("TENOFF_REAL_CLIPS")
	if dir == "" {
		dir = filepath.Join("..", "..", "..", "shared", "clips")
	}
	more, err := filepath.Glob(filepath.Join(dir, "*.*"))
	if err != nil {
		t.Fatal(err)
	}
	return append([]string{walkers}, slices.DeleteFunc(more, func(p string) bool { return filepath.Ext(p) == ".md" })...)
}

func command(t *testing.T, name string, args ...string) []byte {
	t.Helper()
	var errs bytes.Buffer
	c := exec.CommandContext(t.Context(), name, args...)
	c.Stderr = &errs
	out, err := c.Output()
	if err != nil {
		t.Fatalf("%s (go run ./cmd/dev setup installs it): %v\n%s", name, err, errs.String())
	}
	return out
}

// moving reads a film's motion.
func moving(t *testing.T, path string) *trace.Motion {
	t.Helper()
	said := strings.Split(strings.TrimSpace(string(command(t, "ffprobe", "-v", "error", "-select_streams", "v:0", "-show_entries", "stream=width,height", "-of", "csv=p=0", path))), ",")
	across, down := 160, 90
	if said[1] > said[0] && len(said[1]) >= len(said[0]) || len(said[1]) > len(said[0]) {
		across, down = 90, 160
	}
	gray := command(t, "ffmpeg", "-v", "error", "-nostdin", "-i", path, "-an", "-vf", fmt.Sprintf("scale=%d:%d:flags=area,format=gray", across, down), "-fps_mode", "passthrough", "-f", "rawvideo", "-")
	meter := trace.NewMeter(across, down, 1)
	var first float64
	i := 0
	for line := range strings.Lines(string(command(t, "ffprobe", "-v", "error", "-select_streams", "v:0", "-show_entries", "frame=best_effort_timestamp_time", "-of", "csv=p=0", path))) {
		at, err := strconv.ParseFloat(strings.Trim(strings.TrimSpace(line), ","), 64)
		if err != nil || (i+1)*across*down > len(gray) {
			continue
		}
		if i == 0 {
			first = at
		}
		meter.Add(gray[i*across*down:][:across*down], at-first)
		i++
	}
	return meter.Motion()
}

// Real movement, played slower by a known factor by some program that drops, doubles
// or blends frames, cropped a little, with noise on it and packed again: the whole
// delivery's stretch finds the factor to within two points.
func TestStretchOfRealMovement(t *testing.T) {
	for _, path := range realClips(t) {
		t.Run(filepath.Base(path), func(t *testing.T) {
			t.Parallel()
			said := strings.Split(strings.Trim(strings.TrimSpace(string(command(t, "ffprobe", "-v", "error", "-select_streams", "v:0", "-show_entries", "stream=avg_frame_rate", "-of", "csv=p=0", path))), ","), "/")
			num, err := strconv.ParseFloat(said[0], 64)
			if err != nil {
				t.Fatal(err)
			}
			den, err := strconv.ParseFloat(said[1], 64)
			if err != nil {
				t.Fatal(err)
			}
			// A film of few frames a second is played as if a phone had taken it.
			rate, faster := num/den, 1.0
			if rate < 20 {
				rate, faster = 30, 30*den/num
			}
			made := func(name string, slower float64, how string, more ...string) *trace.Motion {
				out := filepath.Join(t.TempDir(), name)
				args := []string{"-v", "error", "-nostdin", "-i", path, "-an", "-vf",
					strings.Join(append([]string{fmt.Sprintf("settb=1/90000,setpts=%v*PTS,%s%v", slower/faster, how, rate)}, more...), ","),
					"-t", "10", "-c:v", "libx264", "-preset", "ultrafast", "-crf", "27", out}
				command(t, "ffmpeg", args...)
				return moving(t, out)
			}
			plain := made("plain.mp4", 1, "fps=")
			if plain.DoubledShare() > mostDoubled {
				t.Logf("%.0f %% of its frames are repeats: refused", 100*plain.DoubledShare())
				if path == walkers {
					t.Error("the walkers are an ordinary film")
				}
				return
			}
			for _, c := range []struct {
				name, how string
				slower    float64
			}{{"doubled", "fps=", 1.05}, {"doubled", "fps=", 1.10}, {"blended", "framerate=fps=", 1.10}, {"doubled", "fps=", 1.15}} {
				name, slower := c.name, c.slower
				slow := made("slower.mp4", slower, c.how, "crop=2*floor(iw*0.97/2):2*floor(ih*0.97/2)", "noise=alls=6:allf=t")
				var found []float64
				for _, at := range busiest(plain, 6) {
					if f, ok := stretchBetween(plain, at, slow, at*slower); ok && f.Match >= leastMatch {
						found = append(found, f.L)
					}
				}
				slices.Sort(found)
				if len(found) == 0 {
					t.Errorf("%s %v: nothing found again", name, slower)
					continue
				}
				got := math.Exp(found[len(found)/2])
				t.Logf("%s, %.0f %% slower: %.1f %% over %d windows (%.1f to %.1f), doubled %.3f", name, 100*(slower-1), 100*(got-1), len(found), 100*math.Expm1(found[0]), 100*math.Expm1(found[len(found)-1]), slow.DoubledShare())
				if math.Abs(got-slower) > 0.02 {
					t.Errorf("%s: %.1f %% slower, found %.1f %%", name, 100*(slower-1), 100*(got-1))
				}
			}
		})
	}
}

// busiest returns the n times round which most moves, half a second apart at least.
func busiest(m *trace.Motion, n int) []float64 {
	energy := m.Energy()
	type moment struct{ at, moved float64 }
	var all []moment
	for at := -fitFrom + 0.05; at < m.End-fitTo-0.1; at += 0.1 {
		x := moment{at: at}
		for i := m.At(at + fitFrom); i <= m.At(at+fitTo); i++ {
			x.moved += energy[i]
		}
		all = append(all, x)
	}
	slices.SortFunc(all, func(a, b moment) int { return cmp.Compare(b.moved, a.moved) })
	var out []float64
	for _, x := range all {
		if len(out) < n && !slices.ContainsFunc(out, func(at float64) bool { return math.Abs(at-x.at) < 0.5 }) {
			out = append(out, x.at)
		}
	}
	return out
}

// stretchBetween lays what moved round one second of a film onto what moved round
// one of another.
func stretchBetween(a *trace.Motion, at float64, b *trace.Motion, then float64) (fit, bool) {
	raws := []raw{cut(a, at, false), cut(b, then, false)}
	for _, r := range raws {
		if len(r.cells) < 2 {
			return fit{}, false
		}
	}
	stances, mean := places(raws)
	t := meanOf([]window{raws[0].even(stances[0].DX, stances[0].DY)}, make([]fit, 1), bodyBox(mean, raws[0].cols, raws[0].rows).mask(raws[0].cols, 0, 1))
	return t.fitTo(raws[1].even(stances[1].DX, stances[1].DY)), true
}
