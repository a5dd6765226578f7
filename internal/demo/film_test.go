package demo

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"tenoff/internal/proc"
)

// write makes a film and fails the test if it can't.
func write(t *testing.T, o Options, name string) (Truth, string) {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	truth, err := Write(t.Context(), o, path)
	if err != nil {
		t.Fatal(err)
	}
	return truth, path
}

// run runs a program and returns what it prints.
func run(t *testing.T, name string, args ...string) []byte {
	t.Helper()
	var out []byte
	_, err := proc.Run(t.Context(), proc.Cmd{Name: name, Args: args, Stdout: func(r io.Reader) (err error) {
		out, err = io.ReadAll(r)
		return err
	}})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// decode returns the film's frames, upright, small and gray.
func decode(t *testing.T, path string, w, h int) [][]byte {
	t.Helper()
	raw := run(t, "ffmpeg", "-nostdin", "-v", "error", "-i", path, "-an", "-vf", fmt.Sprintf("scale=%d:%d:flags=area", w, h),
		"-fps_mode", "passthrough", "-f", "rawvideo", "-pix_fmt", "gray", "-")
	return slices.Collect(slices.Chunk(raw, w*h))
}

// probed is what ffprobe says of a film.
type probed struct {
	Packets []struct {
		PTS int64 `json:"pts"`
	}
	Streams []struct {
		CodecType string `json:"codec_type"`
		TimeBase  string `json:"time_base"`
		StartPTS  int64  `json:"start_pts"`
		Tags      map[string]string
	}
	Format struct{ Tags map[string]string }
}

func probe(t *testing.T, path string) probed {
	t.Helper()
	var p probed
	out := run(t, "ffprobe", "-v", "error", "-of", "json", "-show_format", "-show_streams", "-select_streams", "v", "-show_entries", "packet=pts", path)
	if err := json.Unmarshal(out, &p); err != nil {
		t.Fatal(err)
	}
	return p
}

// Every film shows every frame at its true tick, upright, in whatever way it is
// stored.
func TestFilmIsTheTake(t *testing.T) {
	tests := map[string]struct {
		o    Options
		name string
	}{
		"60":             {Options{Pace: FPS(60, 1)}, "a.mp4"},
		"59.94 mov":      {Options{Pace: FPS(60000, 1001)}, "a.mov"},
		"uneven":         {Options{Pace: Uneven(30, 1)}, "a.mp4"},
		"dim light":      {Options{Pace: DimLight(30, 1, 20)}, "a.mp4"},
		"turned 90":      {Options{Rotation: 90}, "a.mp4"},
		"turned 180":     {Options{Rotation: 180}, "a.mov"},
		"turned 270":     {Options{Rotation: 270}, "a.mp4"},
		"slowed 8 times": {Options{Pace: FPS(240, 1), Slow: 8, SlowTag: true}, "a.mp4"},
		"doubled":        {Options{Doubled: 6, Tags: true}, "a.mp4"},
	}
	for name, test := range tests {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			o := short(test.o)
			o.Width, o.Height, o.FrameNumber = 192, 108, true
			o.Lead, o.Tail = .6, .2
			truth, path := write(t, o, test.name)
			frames := decode(t, path, 96, 54)
			if len(frames) != truth.Clock.Frames() {
				t.Fatalf("%d frames decoded, %d filmed", len(frames), truth.Clock.Frames())
			}
			for i, f := range frames {
				if n, ok := ReadNumber(f, 96, 54); n != i || !ok {
					t.Fatalf("frame %d reads %d, %v", i, n, ok)
				}
			}
			p := probe(t, path)
			if want := "1/" + strconv.FormatInt(truth.Clock.Den, 10); p.Streams[0].TimeBase != want {
				t.Fatalf("time base %s, want %s", p.Streams[0].TimeBase, want)
			}
			for i, k := range p.Packets {
				if k.PTS-p.Packets[0].PTS != truth.Clock.Ticks[i] {
					t.Fatalf("frame %d at tick %d, not %d", i, k.PTS, truth.Clock.Ticks[i])
				}
			}
			if p.Packets[0].PTS != 0 {
				t.Errorf("starts at tick %d", p.Packets[0].PTS)
			}
			capture := p.Format.Tags["com.android.capture.fps"]
			if want := map[bool]string{true: "240.000000"}[o.SlowTag]; capture != want {
				t.Errorf("capture rate %q, want %q", capture, want)
			}
			if tagged := strings.Contains(p.Format.Tags["location"], "+10"); tagged != o.Tags {
				t.Errorf("location in the file: %v", p.Format.Tags)
			}
		})
	}
}

// The gray frames that tests work on are what scaling the film down would give.
func TestGrayIsTheFilmScaledDown(t *testing.T) {
	o := short(Options{Seed: 9, Handheld: 3, Noise: 4, Width: 640, Height: 360})
	o.Lead, o.Tail = .6, .2
	take := plan(t, o)
	_, path := write(t, o, "a.mp4")
	film := decode(t, path, 160, 90)
	var worst float64
	err := take.Gray(t.Context(), 160, 90, func(i int, _ float64, p []byte) error {
		var sum float64
		for k, v := range p {
			// ffmpeg's gray is full range.
			full := (float64(v) - 16) * 255 / 219
			sum += math.Abs(full - float64(film[i][k]))
		}
		worst = max(worst, sum/float64(len(p)))
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if worst > 3.5 {
		t.Errorf("a gray frame is off the film by %.2f levels on average", worst)
	}
}

// The sound lies where the picture says it should, through AAC and the container.
func TestSoundInTheFilm(t *testing.T) {
	o := Options{Seed: 3, Width: 192, Height: 108, Pace: FPS(30, 1), Reps: Series(2, 0, Same, 1), Lead: 1, Tail: 1, Rest: 4.5, Sound: Sound{PopLevel: 30}}
	truth, path := write(t, o, "a.mp4")
	raw := run(t, "ffmpeg", "-nostdin", "-v", "error", "-copyts", "-i", path, "-vn", "-af", "aresample=48000:async=1:first_pts=0", "-ac", "1", "-f", "s16le", "-")
	pcm := make([]int16, len(raw)/2)
	for i := range pcm {
		pcm[i] = int16(uint16(raw[2*i]) | uint16(raw[2*i+1])<<8)
	}
	for i, r := range truth.Reps {
		// The first millisecond that stands out; AAC smears a little ahead.
		hiss := power(pcm, 48000, r.Pop-.1, r.Pop-.02)
		first := math.Inf(1)
		for s := r.Pop - .015; s < r.Pop+.015; s += .0005 {
			if power(pcm, 48000, s, s+.001) > 40*hiss {
				first = s
				break
			}
		}
		if d := first - r.Pop; math.Abs(d) > .004 {
			t.Errorf("rep %d: the pop is heard %.1f ms off", i+1, 1000*d)
		}
	}
}

func TestWriteLeavesNothingBehind(t *testing.T) {
	dir := t.TempDir()
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	_, err := Write(ctx, short(Options{}), filepath.Join(dir, "a.mp4"))
	if !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled: %v", err)
	}
	if _, err := Write(t.Context(), short(Options{}), filepath.Join(dir, "no", "such", "a.mp4")); err == nil {
		t.Error("wrote into a folder that is not there")
	}
	left, err := os.ReadDir(dir)
	if err != nil || len(left) != 0 {
		t.Errorf("left behind: %v, %v", left, err)
	}
}
