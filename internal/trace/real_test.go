package trace

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
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
		"-show_entries", "frame=best_effort_timestamp_time", "-of", "csv=p=0", path))) {
		v, err := strconv.ParseFloat(strings.Trim(strings.TrimSpace(line), ","), 64)
		if err != nil {
			continue
		}
		times = append(times, v)
	}
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
		ear := NewEar(24000)
		ear.Add(pcm)
		sound = ear.Sound()
	}
	return meter.Motion(), sound
}

// realClips returns the folder of real clips, "" where there is none.
func realClips() string {
	dir := os.Getenv("TENOFF_REAL_CLIPS")
	if dir == "" {
		dir = filepath.Join("..", "..", "..", "shared", "clips")
	}
	if _, err := os.Stat(dir); err != nil {
		return ""
	}
	return dir
}

func TestReal(t *testing.T) {
	for _, p := range []string{realClips() + "/pitch-overhand-320x240.avi", realClips() + "/ball-juggling-720p24.mp4", realClips() + "/ball-dribble-portrait-12fps.mp4",
		"/usr/share/doc/opencv-doc/examples/data/vtest.avi", "/usr/share/doc/opencv-doc/examples/data/tree.avi", "/usr/share/doc/opencv-doc/examples/data/Megamind.avi"} {
		m, s := decoded(t, p, "", strings.Contains(p, "portrait"))
		f := Find(m, s)
		t.Logf("%s: %d samples %.1f s, doubled %.3f, sound %v", filepath.Base(p), m.Len(), m.End, m.DoubledShare(), s != nil)
		for _, c := range f.Candidates {
			t.Logf("   %+v", c)
		}
		t.Logf("   unexplained %v", f.Unexplained)
		if strings.Contains(p, "pitch") {
			for i, e := range m.Energy() {
				t.Logf("%3d %.3f %v %6.0f  cam %.2f %.2f", i, m.Times[i], m.Doubled[i], e, m.Shifts[i].X, m.Shifts[i].Y)
			}
		}
	}
}
