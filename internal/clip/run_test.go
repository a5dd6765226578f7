package clip

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"go.uber.org/goleak"

	"tenoff/internal/bullpen"
	"tenoff/internal/film"
)

// tagged is a film as a phone writes it: where, when and with what it was filmed,
// once as QuickTime keys and once as a location box.
func tagged(t *testing.T, name, ext string, output ...string) Source {
	t.Helper()
	return shared.make(t, name, recipe{ext: ext, sound: true, seconds: 3, output: append([]string{
		"-metadata", "creation_time=2026-04-11T17:12:13Z", "-metadata", "location=+37.3349-122.0090/", "-metadata", "location-eng=+37.3349-122.0090/",
	}, output...)})
}

// No clip carries a word of the films' metadata: no place, no phone, no time.
func TestClipsCarryNoMetadata(t *testing.T) {
	quick := tagged(t, "tagged quicktime", ".mov", "-movflags", "use_metadata_tags",
		"-metadata", "com.apple.quicktime.location.ISO6709=+37.3349-122.0090+012.345/",
		"-metadata", "com.apple.quicktime.make=Phonemaker", "-metadata", "com.apple.quicktime.model=Phone_15")
	boxed := tagged(t, "tagged box", ".mp4")
	words := []string{"37.33", "122.0", "37 deg", "Phone", "2026", "GPS", "Location", "location", "loci", "\xa9xyz", "com.apple"}
	if before := exif(t, quick.Path) + exif(t, boxed.Path); !strings.Contains(before, "37 deg") || !strings.Contains(before, "Phone_15") {
		t.Fatalf("the films are not tagged: %s", before)
	}
	w := Window{Before: 0.3, After: 0.3}
	for name, plan := range map[string]func() (Plan, error){
		"quicktime": func() (Plan, error) { return PlanSingle(Single{Side: Side{quick, 45, facts(), nil}, Window: w}) },
		"box":       func() (Plan, error) { return PlanSingle(Single{Side: Side{boxed, 45, facts(), nil}, Window: w}) },
		"pair": func() (Plan, error) {
			return PlanPair(Pair{Left: Side{quick, 45, facts(), nil}, Right: Side{boxed, 45, facts(), nil}, Window: w})
		},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			out := made(t, plan)
			raw, err := os.ReadFile(out)
			if err != nil {
				t.Fatal(err)
			}
			seen := exif(t, out) + string(run(t, "ffprobe", "-v", "error", "-show_entries", "format_tags:stream_tags", out))
			for _, w := range words {
				if strings.Contains(seen, w) || bytes.Contains(raw, []byte(w)) {
					t.Errorf("%q is in the clip", w)
				}
			}
			// moov before mdat: it plays while it still loads.
			if moov, mdat := bytes.Index(raw, []byte("moov")), bytes.Index(raw, []byte("mdat")); moov < 0 || moov > mdat {
				t.Errorf("moov at %d, mdat at %d", moov, mdat)
			}
		})
	}
}

// exif is everything exiftool finds in a file, but nothing of the file system's.
func exif(t *testing.T, path string) string {
	t.Helper()
	return string(run(t, "exiftool", "-a", "-u", "-ee", "-G", "--System:all", "--File:all", "--ExifTool:all", path))
}

// made runs a plan and returns the clip.
func made(t testing.TB, plan func() (Plan, error)) string {
	t.Helper()
	p, err := plan()
	if err != nil {
		t.Fatal(err)
	}
	out := filepath.Join(t.TempDir(), "out.mp4")
	if err := Run(context.Background(), p, out, nil); err != nil {
		t.Fatal(err)
	}
	return out
}

// A phone plays it: H.264 in 4:2:0, AAC, even sizes within 1080p, one bar high
// enough for the rows.
func TestClipPlaysOnAPhone(t *testing.T) {
	out := made(t, func() (Plan, error) {
		return PlanSingle(Single{Side: Side{shared.make(t, "30 a second", recipe{sound: true}), 100, facts(), nil}, Window: Window{Before: 0.3, After: 0.3}})
	})
	var seen struct {
		Streams []struct {
			Name      string `json:"codec_name"`
			Format    string `json:"pix_fmt"`
			Duration  string
			StartTime string `json:"start_time"`
			Width     int
			Height    int
		}
	}
	if err := json.Unmarshal(run(t, "ffprobe", "-v", "error", "-of", "json", "-show_streams", out), &seen); err != nil {
		t.Fatal(err)
	}
	if len(seen.Streams) != 2 {
		t.Fatalf("%d streams", len(seen.Streams))
	}
	v, a := seen.Streams[0], seen.Streams[1]
	if v.Name != "h264" || v.Format != "yuv420p" || a.Name != "aac" || v.Width%2 != 0 || v.Height%2 != 0 {
		t.Errorf("%+v", seen.Streams)
	}
	for _, s := range seen.Streams {
		if s.StartTime != "0.000000" || s.Duration != "0.600000" {
			t.Errorf("%s starts at %s, lasts %s", s.Name, s.StartTime, s.Duration)
		}
	}
}

func TestProgressRises(t *testing.T) {
	p, err := PlanSingle(Single{Side: Side{shared.make(t, "30 a second", recipe{sound: true}), 100, facts(), nil}, Window: Window{Before: 0.3, After: 0.3}})
	if err != nil {
		t.Fatal(err)
	}
	var told []float64
	if err := Run(context.Background(), p, filepath.Join(t.TempDir(), "out.mp4"), func(done float64) { told = append(told, done) }); err != nil {
		t.Fatal(err)
	}
	for i, d := range told {
		if d < 0 || d > 1 || i > 0 && d < told[i-1] {
			t.Fatalf("told %v", told)
		}
	}
	if len(told) == 0 || told[len(told)-1] != 1 {
		t.Errorf("told %v", told)
	}
}

// Cancelled in the middle, or failed, nothing is left: no clip, no folder, no
// process.
func TestNothingIsLeft(t *testing.T) {
	defer goleak.VerifyNone(t)
	film := shared.make(t, "30 a second", recipe{sound: true})
	p, err := PlanSingle(Single{Side: Side{film, 100, facts(), nil}, Repeat: true})
	if err != nil {
		t.Fatal(err)
	}
	t.Run("cancelled", func(t *testing.T) {
		dir := t.TempDir()
		ctx, cancel := context.WithCancel(context.Background())
		err := Run(ctx, p, filepath.Join(dir, "out.mp4"), func(float64) { cancel() })
		if !errors.Is(err, context.Canceled) {
			t.Errorf("error %v", err)
		}
		empty(t, dir)
	})
	t.Run("film is gone", func(t *testing.T) {
		dir := t.TempDir()
		gone := film
		gone.Path = filepath.Join(dir, "gone.mp4")
		q, err := PlanSingle(Single{Side: Side{gone, 100, facts(), nil}})
		if err != nil {
			t.Fatal(err)
		}
		err = Run(context.Background(), q, filepath.Join(dir, "out.mp4"), nil)
		if bullpen.CodeOf(err) != bullpen.Internal || strings.Contains(bullpen.MessageOf(err), dir) {
			t.Errorf("error %v", err)
		}
		empty(t, dir)
	})
	t.Run("an old clip stays", func(t *testing.T) {
		dir := t.TempDir()
		out := filepath.Join(dir, "out.mp4")
		if err := os.WriteFile(out, []byte("old"), 0o600); err != nil {
			t.Fatal(err)
		}
		ctx, cancel := context.WithCancel(context.Background())
		if err := Run(ctx, p, out, func(float64) { cancel() }); !errors.Is(err, context.Canceled) {
			t.Errorf("error %v", err)
		}
		if b, err := os.ReadFile(out); err != nil || string(b) != "old" {
			t.Errorf("the old clip is %q, %v", b, err)
		}
	})
}

func empty(t *testing.T, dir string) {
	t.Helper()
	var left []string
	err := filepath.WalkDir(dir, func(path string, _ fs.DirEntry, err error) error {
		if path != dir {
			left = append(left, path)
		}
		return err
	})
	if err != nil || len(left) > 0 {
		t.Errorf("left behind: %v %v", left, err)
	}
}

// The sound stays with the picture: the beep at x.5 s of the film's own time is
// heard when its frame is seen, also in a film that is played faster and in one
// whose picture starts late.
func TestSoundStaysWithThePicture(t *testing.T) {
	for _, c := range []struct {
		name    string
		recipe  recipe
		slow    float64
		release int
		window  Window
		beep    float64 // seconds of the film
	}{
		{"30 a second", recipe{sound: true}, 1, 100, Window{Before: 1, After: 0.1}, 2.5},
		{"late picture", recipe{input: []string{"-itsoffset", "0.25"}, base: 15360, sound: true}, 1, 90, Window{Before: 1, After: 0.1}, 2.5},
		{"slowed 8 times", recipe{seconds: 12, sound: true}, 8, 203, Window{Before: 0.2, After: 0.1}, 5.5},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			film := shared.make(t, c.name, c.recipe).slowed(c.slow)
			p, err := PlanSingle(Single{Side: Side{film, c.release, facts(), nil}, Window: c.window})
			if err != nil {
				t.Fatal(err)
			}
			out := made(t, func() (Plan, error) { return p, nil })
			heard := beep(t, out)
			if want := p.Release.Seconds() - (float64(film.ticks(c.release))/rate-c.beep)/c.slow; heard < want-0.004 || heard > want+0.004 {
				t.Errorf("beep at %.4f s, want %.4f", heard, want)
			}
		})
	}
}

// beep returns the time of the first loud sample.
func beep(t *testing.T, path string) float64 {
	t.Helper()
	raw := run(t, "ffmpeg", "-v", "error", "-i", path, "-af", "aresample=48000:async=1:first_pts=0", "-ac", "1", "-f", "s16le", "-")
	for i := 0; i+1 < len(raw); i += 2 {
		if v := int16(raw[i]) | int16(raw[i+1])<<8; v > 5000 || v < -5000 {
			return float64(i/2) / samples
		}
	}
	t.Fatal("no beep")
	return 0
}

// A film of a wider range of light comes out in the ordinary one, neither blown
// out nor black: its gray levels keep their order and use most of the range, and are
// those that the film room shows. Some phones name the transfer and nothing else.
func TestHDRIsBroughtIn(t *testing.T) {
	for name, c := range map[string]struct{ transfer, primaries, matrix string }{
		"hlg":      {"arib-std-b67", "bt2020", "bt2020nc"},
		"pq":       {"smpte2084", "bt2020", "bt2020nc"},
		"hlg-bare": {"arib-std-b67", "unknown", "unknown"},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			params := fmt.Sprintf("log-level=error:transfer=%s:range=limited", c.transfer)
			if c.primaries != "unknown" {
				params += fmt.Sprintf(":colorprim=%s:colormatrix=%s", c.primaries, c.matrix)
			}
			source := shared.make(t, name, recipe{seconds: 2, ext: ".mov",
				filter: "drawbox=x=0:y=54:w=64:h=54:color=0x404040:t=fill,drawbox=x=64:y=54:w=64:h=54:color=0x707070:t=fill,drawbox=x=128:y=54:w=64:h=54:color=0xa0a0a0:t=fill,scale=out_color_matrix=bt2020:out_range=tv,format=yuv420p10le," +
					"setparams=color_primaries=" + c.primaries + ":colorspace=" + c.matrix,
				output: []string{"-c:v", "libx265", "-tag:v", "hvc1", "-pix_fmt", "yuv420p10le", "-color_primaries", c.primaries, "-color_trc", c.transfer, "-colorspace", c.matrix, "-color_range", "tv",
					"-x265-params", params}})
			if !source.HDR {
				t.Fatal("not a film of a wider range")
			}
			out := made(t, func() (Plan, error) {
				return PlanSingle(Single{Side: Side{source, 30, facts(), nil}, Window: Window{Before: 0.3, After: 0.3}})
			})
			// Three gray fields, 640 pixels wide as the whole picture.
			raw := run(t, "ffmpeg", "-v", "error", "-i", out, "-frames:v", "1", "-vf", "crop=640:150:0:200,scale=3:1:flags=area,format=gray", "-f", "rawvideo", "-")
			dark, mid, light := raw[0], raw[1], raw[2]
			if !(dark+15 < mid && mid+15 < light) || light > 245 {
				t.Errorf("grays %d, %d, %d", dark, mid, light)
			}
			room := run(t, "ffmpeg", "-v", "error", "-i", workingCopy(t, source.Path), "-frames:v", "1", "-vf", "crop=iw:ih*150/360:0:ih*200/360,scale=3:1:flags=area,format=gray", "-f", "rawvideo", "-")
			for i := range room {
				if d := int(room[i]) - int(raw[i]); d < -3 || d > 3 {
					t.Errorf("grays %v in the clip, %v in the film room", raw, room)
				}
			}
			tags := string(run(t, "ffprobe", "-v", "error", "-select_streams", "v", "-show_entries", "stream=pix_fmt,color_transfer,color_primaries,color_space", "-of", "csv=p=0", out))
			if strings.TrimSpace(tags) != "yuv420p,bt709,bt709,bt709" {
				t.Errorf("tags %s", tags)
			}
		})
	}
}

// workingCopy returns the path of what the film room shows of a film.
func workingCopy(t *testing.T, path string) string {
	t.Helper()
	facts, err := film.Probe(t.Context(), path, "")
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	made, err := film.Read(t.Context(), path, facts, dir, nil)
	if err != nil {
		t.Fatal(err)
	}
	return filepath.Join(dir, made.Working)
}
