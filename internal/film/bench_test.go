//go:build unix

package film

import (
	"context"
	"os"
	"path/filepath"
	"syscall"
	"testing"
	"time"

	"tenoff/internal/demo"
	"tenoff/internal/film/filmtest"
	"tenoff/internal/trace"
)

// BenchmarkRead prints what it costs to read a film in, probing, strip, traces, clock and
// checks included, against the bare ffmpeg command that makes the same working copy and
// nothing else: processor and wall time of everything, taken in turns. The films are of
// the kinds that phones make: 1080p30, slow motion of 720p240, and 4K coded as HEVC.
//
//	go test ./internal/film -run '^$' -bench Read -benchtime 3x -timeout 30m
func BenchmarkRead(b *testing.B) {
	for _, film := range []filmtest.Recipe{
		{Name: "1080p30.mp4", Width: 1920, Height: 1080, Frames: 600, Options: []string{"-preset", "veryfast", "-crf", "24"}},
		{Name: "720p240.mp4", Width: 1280, Height: 720, Rate: "240", Frames: 1200, Options: []string{"-preset", "veryfast", "-crf", "24"}},
		{Name: "4K-HEVC.mp4", Width: 3840, Height: 2160, Codec: "hevc", Frames: 120},
	} {
		film.Sound, film.Filter = true, "noise=alls=10:allf=t"
		b.Run(film.Name, func(b *testing.B) { readIn(b, film) })
	}
}

func readIn(b *testing.B, film filmtest.Recipe) {
	dir := b.TempDir()
	path, err := film.Make(context.Background(), dir)
	if err != nil {
		b.Fatal(err)
	}
	made := filepath.Join(dir, "made")
	if err := os.Mkdir(made, 0o700); err != nil {
		b.Fatal(err)
	}
	var ours, theirs, oursWall, theirsWall time.Duration
	for b.Loop() {
		used, from := cpu(), time.Now()
		facts, err := Probe(context.Background(), path, film.Name)
		if err != nil {
			b.Fatal(err)
		}
		if _, err := Read(context.Background(), path, facts, made, func(float64) {}); err != nil {
			b.Fatal(err)
		}
		ours, oursWall = ours+cpu()-used, oursWall+time.Since(from)
		used, from = cpu(), time.Now()
		if err := filmtest.FFmpeg(context.Background(), filmtest.Bare(path, filepath.Join(dir, "bare.mp4"))...); err != nil {
			b.Fatal(err)
		}
		theirs, theirsWall = theirs+cpu()-used, theirsWall+time.Since(from)
	}
	b.ReportMetric(float64(ours)/float64(theirs), "cpu-ratio")
	b.ReportMetric(float64(oursWall)/float64(theirsWall), "wall-ratio")
	b.ReportMetric(float64(film.Frames*b.N)/oursWall.Seconds(), "frames-per-s")
}

// BenchmarkSignals measures a generated film of three minutes and forty reps, 640x360 at
// 60 frames a second, for its traces alone, decoding included, as is done when their
// method has changed; and looks for the reps in them, first in the rough and then from
// one marked release. It prints seconds of the wall clock and of the processor.
//
//	go test ./internal/film -run '^$' -bench Signals -benchtime 3x -timeout 30m
func BenchmarkSignals(b *testing.B) {
	path := filepath.Join(b.TempDir(), "signals.mp4")
	truth, err := demo.Write(b.Context(), demo.Options{
		Seed: 45, Width: 640, Height: 360, Pace: demo.FPS(60, 1), Rest: 4.5, Handheld: 4, Noise: 5,
		Reps: demo.Series(20, 20, demo.Same, 1),
	}, path)
	if err != nil {
		b.Fatal(err)
	}
	facts, err := Probe(b.Context(), path, "signals.mp4")
	if err != nil {
		b.Fatal(err)
	}
	clock, made := truth.Clock, b.TempDir()
	read, err := Read(b.Context(), path, facts, made, func(float64) {})
	if err != nil {
		b.Fatal(err)
	}
	var pass, passCPU, fits time.Duration
	for b.Loop() {
		used, from := cpu(), time.Now()
		motion, sound, err := Measure(b.Context(), path, "signals.mp4", read.Cut, clock, func(float64) {})
		if err != nil {
			b.Fatal(err)
		}
		pass, passCPU = pass+time.Since(from), passCPU+cpu()-used
		used = cpu()
		trace.Find(motion, sound)
		found := trace.Transfer(motion, sound, []float64{clock.FileSeconds(truth.Reps[0].Release.Frame)})
		fits += cpu() - used
		if len(found.Candidates) != len(truth.Reps) {
			b.Errorf("%d of %d reps are found", len(found.Candidates), len(truth.Reps))
		}
	}
	n := float64(b.N)
	b.ReportMetric(clock.FileSeconds(clock.Frames()-1), "film-s")
	b.ReportMetric(pass.Seconds()/n, "pass-s")
	b.ReportMetric(passCPU.Seconds()/n, "pass-cpu-s")
	b.ReportMetric(fits.Seconds()/n, "find-cpu-s")
}

// cpu is the processor time of this process and of those it waited for.
func cpu() time.Duration {
	var sum time.Duration
	for _, who := range []int{syscall.RUSAGE_SELF, syscall.RUSAGE_CHILDREN} {
		var u syscall.Rusage
		if syscall.Getrusage(who, &u) == nil {
			sum += time.Duration(u.Utime.Nano() + u.Stime.Nano())
		}
	}
	return sum
}
