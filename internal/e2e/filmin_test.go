package e2e

import (
	"errors"
	"flag"
	"fmt"
	"io"
	"io/fs"
	"math"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"tenoff/internal/bullpen"
	"tenoff/internal/demo"
	"tenoff/internal/film/filmtest"
	"tenoff/internal/server/wire"
)

var (
	filmPath    = flag.String("film", "", "BenchmarkFilmIn: the film to send in; drawn there if it is missing")
	filmMinutes = flag.Int("film.minutes", 2, "BenchmarkFilmIn: how long a film to draw")
)

// BenchmarkFilmIn sends a 1080p30 film to a program that serves, waits until its
// reps are proposed, and prints what that took: the share of the film's own length,
// the processor time of everything against the bare encode of the working copy in
// the same run, what of it went into looking for reps, and the most memory of the
// program and of ffmpeg. Whether memory grows as a film is read shows in the
// program's most over the first and the second half of that time.
//
//	go test ./internal/e2e -run '^$' -bench FilmIn -benchtime 1x -film.minutes 30 -timeout 60m
func BenchmarkFilmIn(b *testing.B) {
	path := *filmPath
	if path == "" {
		path = filepath.Join(b.TempDir(), "long.mp4")
	}
	if _, err := os.Stat(path); errors.Is(err, fs.ErrNotExist) {
		drawLong(b, path, *filmMinutes)
	}
	for b.Loop() {
		filmIn(b, path)
	}
}

// drawLong draws a film of a hand-held phone, coded as a phone codes (17 Mb/s, a
// common rate of 1080p30; from memory), with a camera's noise, and plays it over and
// over, as it is coded, until it lasts that long: nobody's work depends on whether a
// pitch was seen before.
func drawLong(b *testing.B, path string, minutes int) {
	b.Helper()
	const rest = 7
	reps := min(60*minutes, 170) / rest
	drawn, once := path+".drawn.mp4", path+".once.mp4"
	defer os.Remove(drawn)
	defer os.Remove(once)
	truth, err := demo.Write(b.Context(), demo.Options{
		Seed: 44, Width: 1920, Height: 1080, Pace: demo.FPS(30, 1), Rest: rest, Handheld: 4, Noise: 4,
		Reps: demo.Series(reps-reps/2, reps/2, demo.Same, 1),
	}, drawn)
	if err != nil {
		b.Fatal(err)
	}
	if err := filmtest.FFmpeg(b.Context(), "-i", drawn, "-vf", "noise=alls=6:allf=t", "-c:v", "libx264", "-preset", "superfast",
		"-b:v", "17M", "-bf", "0", "-g", "30", "-c:a", "copy", once); err != nil {
		b.Fatal(err)
	}
	seconds := truth.Clock.FileSeconds(truth.Clock.Frames() - 1)
	again := math.Ceil(60*float64(minutes)/seconds) - 1
	if err := filmtest.FFmpeg(b.Context(), "-stream_loop", fmt.Sprint(again), "-i", once, "-c", "copy", path); err != nil {
		b.Fatal(err)
	}
}

func filmIn(b *testing.B, path string) {
	p := serve(b, b.TempDir())
	w := watch(p.cmd.Process.Pid)
	var pen wire.Bullpen
	p.must(b, http.MethodPost, "/api/bullpens", wire.NewBullpen{PitcherLabel: "Wren"}, &pen)
	file, err := os.Open(path)
	if err != nil {
		b.Fatal(err)
	}
	defer file.Close()
	idle, from := w.cpu(b), time.Now()
	var sent wire.UploadResult
	p.must(b, http.MethodPut, "/api/bullpens/"+pen.ID+"/films?name="+filepath.Base(path), io.Reader(file), &sent)
	received := time.Since(from)
	var film wire.Film
	p.waitFor(b, "/api/films/"+sent.Film.ID, &film, func() bool { return film.State != bullpen.FilmReading })
	if film.State != bullpen.FilmReady {
		b.Fatal(film.Refusal)
	}
	read := w.cpu(b)
	var sheet wire.Sheet
	p.waitFor(b, "/api/bullpens/"+pen.ID, &sheet, func() bool { return looked(sheet) })
	ready, used := time.Since(from), w.cpu(b)
	server, ffmpeg := w.stop(b)

	encode := exec.Command("ffmpeg", append([]string{"-v", "error"}, filmtest.Bare(path, filepath.Join(b.TempDir(), "bare.mp4"))...)...)
	began := time.Now()
	if out, err := encode.CombinedOutput(); err != nil {
		b.Fatalf("ffmpeg: %v: %s", err, out)
	}
	wall, bare := time.Since(began), encode.ProcessState.UserTime()+encode.ProcessState.SystemTime()

	b.ReportMetric(film.Seconds, "film-s")
	b.ReportMetric(ready.Seconds()/film.Seconds, "of-length")
	b.ReportMetric(received.Seconds()/film.Seconds, "of-length-received")
	b.ReportMetric(wall.Seconds()/film.Seconds, "of-length-bare")
	b.ReportMetric((used-idle).Seconds()/film.Seconds, "cpu-of-length")
	b.ReportMetric(float64(used-idle)/float64(bare), "cpu-ratio")
	b.ReportMetric(float64(used-read)/float64(bare), "cpu-ratio-finding")
	half := len(server) / 2
	b.ReportMetric(mib(slices.Max(server[:half])), "MiB-first-half")
	b.ReportMetric(mib(slices.Max(server[half:])), "MiB-second-half")
	b.ReportMetric(mib(ffmpeg), "MiB-ffmpeg")
	b.ReportMetric(float64(len(sheet.Proposals)), "proposals")
}

// waitFor is until for long work: so seldom that asking costs next to nothing.
func (p *program) waitFor(b *testing.B, path string, out any, good func() bool) {
	b.Helper()
	for p.must(b, http.MethodGet, path, nil, out); !good(); p.must(b, http.MethodGet, path, nil, out) {
		time.Sleep(time.Second / 4)
	}
}

func mib(bytes int64) float64 { return float64(bytes) / (1 << 20) }

// watched is a process whose memory is looked at four times a second, as Linux
// tells it.
type watched struct {
	pid  int
	quit chan struct{}
	over chan struct{}

	resident []int64 // bytes
	child    int64   // the most of any of its children
}

func watch(pid int) *watched {
	w := &watched{pid: pid, quit: make(chan struct{}), over: make(chan struct{})}
	go func() {
		defer close(w.over)
		tick := time.NewTicker(time.Second / 4)
		defer tick.Stop()
		for {
			select {
			case <-w.quit:
				return
			case <-tick.C:
				w.resident = append(w.resident, statusBytes(strconv.Itoa(pid), "VmRSS:"))
				for _, id := range childrenOf(pid) {
					w.child = max(w.child, statusBytes(id, "VmHWM:"))
				}
			}
		}
	}()
	return w
}

// stop ends the watching. It returns the process' memory over time and the most that
// one of its children had.
func (w *watched) stop(b *testing.B) (resident []int64, child int64) {
	b.Helper()
	close(w.quit)
	<-w.over
	if len(w.resident) < 2 || w.child == 0 {
		b.Fatal("no memory seen: it is read from /proc, as Linux has it")
	}
	return w.resident, w.child
}

// childrenOf lists a process' children.
func childrenOf(pid int) []string {
	lists, _ := filepath.Glob(fmt.Sprintf("/proc/%d/task/*/children", pid))
	var out []string
	for _, l := range lists {
		text, _ := os.ReadFile(l) // a thread may end meanwhile
		out = append(out, strings.Fields(string(text))...)
	}
	return out
}

// statusBytes returns a size out of a process' status, 0 where it has ended.
func statusBytes(pid, name string) int64 {
	text, _ := os.ReadFile("/proc/" + pid + "/status")
	_, rest, _ := strings.Cut(string(text), name)
	var kib int64
	_, _ = fmt.Sscan(rest, &kib)
	return kib << 10
}

// cpu returns the processor time of the process and of the children it waited for:
// fields 14 to 17 of /proc/PID/stat, in ticks of 1/100 s.
func (w *watched) cpu(b *testing.B) time.Duration {
	b.Helper()
	text, err := os.ReadFile(fmt.Sprintf("/proc/%d/stat", w.pid))
	if err != nil {
		b.Fatal(err)
	}
	fields := strings.Fields(string(text[strings.LastIndexByte(string(text), ')')+1:]))
	var ticks int64
	for _, f := range fields[11:15] {
		n, err := strconv.ParseInt(f, 10, 64)
		if err != nil {
			b.Fatal(err)
		}
		ticks += n
	}
	return time.Duration(ticks) * (time.Second / 100)
}
