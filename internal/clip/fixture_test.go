package clip

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"

	"tenoff/internal/film"
	"tenoff/internal/proc"
)

// Films for the tests: every frame carries its number as a 16-bit pattern in the
// top left corner, row 0 the bits, row 1 their complement, so that a frame is
// recognised in the finished clip by its pixels alone.
const (
	filmWidth, filmHeight = 192, 108
	bit                   = 8 // pixels of one bit's cell
)

func pattern() string {
	var s strings.Builder
	fmt.Fprintf(&s, "drawbox=x=0:y=0:w=%d:h=%d:color=black:t=fill", 16*bit, 2*bit)
	for i := range 16 {
		for row, on := range []string{"mod(floor(n/%d),2)", "1-mod(floor(n/%d),2)"} {
			fmt.Fprintf(&s, ",drawbox=x=%d:y=%d:w=%d:h=%d:color=white:t=fill:enable='%s'",
				i*bit, row*bit, bit, bit, fmt.Sprintf(on, 1<<i))
		}
	}
	return s.String()
}

// recipe is how a film is made.
type recipe struct {
	size    string  // default 192x108
	fps     string  // default 30
	seconds float64 // of the file, default 6
	noise   int
	times   string   // a setpts expression in a time base of 1/90000
	base    int      // the container's ticks a second
	sound   bool     // a 20 ms beep at x.5 s of the file
	input   []string // options before the picture's input
	output  []string // options of the output
	filter  string   // after the pattern
	ext     string   // default .mp4
	then    []string // a second ffmpeg that copies or turns the film IN
}

// films makes each film of the tests once.
type films struct {
	dir   string
	mu    sync.Mutex
	ready map[string]func() Source
}

var shared films

func TestMain(m *testing.M) {
	dir, err := os.MkdirTemp("", "tenoff-clip-")
	if err != nil {
		panic(err)
	}
	shared = films{dir: dir, ready: map[string]func() Source{}}
	code := m.Run()
	os.RemoveAll(dir)
	os.Exit(code)
}

// make returns the film called name, made by r.
func (f *films) make(t testing.TB, name string, r recipe) Source {
	t.Helper()
	f.mu.Lock()
	once, ok := f.ready[name]
	if !ok {
		once = sync.OnceValue(func() Source { return f.film(t, name, r) })
		f.ready[name] = once
	}
	f.mu.Unlock()
	return once()
}

func (f *films) film(t testing.TB, name string, r recipe) Source {
	size, fps, seconds, ext := r.size, r.fps, r.seconds, r.ext
	if size == "" {
		size = fmt.Sprintf("%dx%d", filmWidth, filmHeight)
	}
	if fps == "" {
		fps = "30"
	}
	if seconds == 0 {
		seconds = 6
	}
	if ext == "" {
		ext = ".mp4"
	}
	scene := fmt.Sprintf("testsrc2=s=%s:r=%s:d=%g", size, fps, seconds)
	if r.noise > 0 {
		scene += fmt.Sprintf(",noise=alls=%d:allf=t", r.noise)
	}
	scene += "," + pattern()
	if r.filter != "" {
		scene += "," + r.filter
	}
	if r.times != "" {
		scene += ",settb=1/90000,setpts='" + r.times + "'"
	}
	args := append([]string{}, r.input...)
	args = append(args, "-f", "lavfi", "-i", scene)
	if r.sound {
		args = append(args, "-f", "lavfi", "-i", fmt.Sprintf("aevalsrc='0.8*sin(2*PI*1000*t)*between(mod(t,1),0.5,0.52)':s=48000:d=%g", seconds))
	}
	args = append(args, "-c:v", "libx264", "-preset", "ultrafast", "-g", "30", "-bf", "2", "-pix_fmt", "yuv420p", "-c:a", "aac")
	if r.base > 0 {
		args = append(args, "-fps_mode", "passthrough", "-enc_time_base", fmt.Sprintf("1/%d", r.base), "-video_track_timescale", strconv.Itoa(r.base))
	}
	path := filepath.Join(f.dir, name+ext)
	first := path
	if r.then != nil {
		first = filepath.Join(f.dir, name+"-first"+ext)
	}
	ffmpeg(t, append(append(args, r.output...), first)...)
	if r.then != nil {
		ffmpeg(t, append(replaceIn(r.then, first), path)...)
	}
	return inspect(t, path)
}

func replaceIn(args []string, path string) []string {
	args = slices.Clone(args)
	for i, a := range args {
		if a == "IN" {
			args[i] = path
		}
	}
	return args
}

func ffmpeg(t testing.TB, args ...string) {
	t.Helper()
	run(t, "ffmpeg", append([]string{"-hide_banner", "-nostdin", "-y", "-v", "error"}, args...)...)
}

// run returns what a program prints.
func run(t testing.TB, name string, args ...string) []byte {
	t.Helper()
	var out bytes.Buffer
	_, err := proc.Run(context.Background(), proc.Cmd{Name: name, Args: args, Stdout: func(r io.Reader) error {
		_, err := io.Copy(&out, r)
		return err
	}})
	if err != nil {
		t.Fatalf("%v\n%s %q", err, name, args)
	}
	return out.Bytes()
}

// inspect describes a film by its packets, as film.Probe does, but written apart
// from it.
func inspect(t testing.TB, path string) Source {
	t.Helper()
	var seen struct {
		Packets []struct {
			CodecType string `json:"codec_type"`
			PTS       int64
			Flags     string
		}
		Streams []struct {
			Index         int
			CodecType     string `json:"codec_type"`
			Width, Height int
			TimeBase      string                   `json:"time_base"`
			Transfer      string                   `json:"color_transfer"`
			SideData      []struct{ Rotation int } `json:"side_data_list"`
		}
		Format struct {
			Name string `json:"format_name"`
		}
	}
	if err := json.Unmarshal(run(t, "ffprobe", "-v", "error", "-of", "json", "-show_streams", "-show_format", "-show_packets", path), &seen); err != nil {
		t.Fatal(err)
	}
	s := Source{Path: path, Cut: film.Cut{Container: strings.Split(seen.Format.Name, ",")[0], Audio: -1}}
	for _, st := range seen.Streams {
		switch st.CodecType {
		case "audio":
			s.Cut.Audio = st.Index
		case "video":
			s.Cut.Video, s.Width, s.Height = st.Index, st.Width, st.Height
			for _, d := range st.SideData {
				if d.Rotation%180 != 0 {
					s.Width, s.Height = s.Height, s.Width
				}
			}
			s.HDR = st.Transfer == "arib-std-b67" || st.Transfer == "smpte2084"
			if _, err := fmt.Sscanf(st.TimeBase, "%d/%d", &s.Clock.Num, &s.Clock.Den); err != nil {
				t.Fatal(err)
			}
		}
	}
	for _, p := range seen.Packets {
		if p.CodecType == "video" && !strings.Contains(p.Flags, "D") {
			s.Clock.Ticks = append(s.Clock.Ticks, p.PTS)
		}
	}
	slices.Sort(s.Clock.Ticks)
	s.Clock.Slow = 1
	s.Cut.FirstTick = s.Clock.Ticks[0]
	return s
}

// slowed returns the film as the phone slowed it.
func (s Source) slowed(factor float64) Source {
	s.Clock.Slow = factor
	return s
}

// shownFrame is a frame of a finished clip.
type shownFrame struct {
	at     int64   // 1/90000 s
	number int     // of the film's frame, -1 when unreadable
	bar    [64]int // the bar, very small
}

// place is where in a clip a film is: its top left corner, how wide it is there
// and how wide it was.
type place struct{ x, y, width, of int }

// look reads every frame of a clip: its time, the film's frame number at a place,
// and what the bar from barX to barX+barW looks like.
func look(t testing.TB, path string, p Plan, at place, barX, barW int) []shownFrame {
	t.Helper()
	cell := float64(bit) * float64(at.width) / float64(at.of)
	graph := fmt.Sprintf("[0:v]split[a][b];[a]crop=%d:%d:%d:%d,scale=16:2:flags=area,format=gray[n];[b]crop=%d:%d:%d:%d,scale=16:4:flags=area,format=gray[c];[n][c]vstack",
		int(16*cell), int(2*cell), at.x, at.y, barW, p.Bar.Height, barX, p.Bar.Top)
	var pixels, times bytes.Buffer
	into := func(b *bytes.Buffer) func(io.Reader) error {
		return func(r io.Reader) error { _, err := io.Copy(b, r); return err }
	}
	_, err := proc.Run(context.Background(), proc.Cmd{Name: "ffmpeg",
		Args: []string{"-v", "error", "-nostdin", "-copyts", "-i", path, "-filter_complex", graph + ",split[p][t]",
			"-map", "[p]", "-fps_mode", "passthrough", "-f", "rawvideo", "pipe:3",
			"-map", "[t]", "-fps_mode", "passthrough", "-enc_time_base", "1/90000", "-f", "framecrc", "pipe:4"},
		Pipes: []proc.Pipe{{Read: into(&pixels)}, {Read: into(&times)}}})
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(times.String(), "#tb 0: 1/90000") {
		t.Fatalf("another time base:\n%.200s", &times)
	}
	var out []shownFrame
	for line := range strings.Lines(times.String()) {
		if strings.HasPrefix(line, "#") {
			continue
		}
		px := pixels.Next(96)
		if len(px) < 96 {
			t.Fatal("more frames with a time than with pixels")
		}
		f := shownFrame{number: number(px[:32])}
		if f.at, err = strconv.ParseInt(strings.TrimSpace(strings.Split(line, ",")[2]), 10, 64); err != nil {
			t.Fatal(err)
		}
		for k, v := range px[32:] {
			f.bar[k] = int(v)
		}
		out = append(out, f)
	}
	return out
}

func number(cells []byte) int {
	n := 0
	for i := range 16 {
		switch on, off := int(cells[i]), int(cells[16+i]); {
		case on-off > 60:
			n |= 1 << i
		case off-on > 60:
		default:
			return -1
		}
	}
	return n
}

// differs reports how unlike two bars are: the mean difference of their parts.
func (f shownFrame) differs(g shownFrame) float64 {
	sum := 0
	for i := range f.bar {
		sum += max(f.bar[i]-g.bar[i], g.bar[i]-f.bar[i])
	}
	return float64(sum) / float64(len(f.bar))
}
