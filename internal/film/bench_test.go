package film

import (
	"context"
	"os"
	"path/filepath"
	"syscall"
	"testing"
	"time"

	"tenoff/internal/film/filmtest"
)

// BenchmarkRead prints what it costs to read a 1080p30 film in, probing, strip,
// traces, clock and checks included, against the bare ffmpeg command that makes
// the same working copy and nothing else: processor and wall time of everything,
// taken in turns.
func BenchmarkRead(b *testing.B) {
	dir := b.TempDir()
	film := filmtest.Recipe{
		Name: "full-size.mp4", Width: 1920, Height: 1080, Frames: 600, Sound: true,
		Filter: "noise=alls=10:allf=t", Options: []string{"-preset", "veryfast", "-crf", "24"},
	}
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
	b.ReportMetric(600/30*float64(b.N)/oursWall.Seconds(), "x-real-time")
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
