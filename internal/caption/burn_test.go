package caption

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
	"unicode"

	"tenoff/internal/proc"
)

// burn renders cues on a black picture, one frame a second from half a second on,
// and returns the frames as gray pixels.
func burn(t *testing.T, cues []Cue, bar Bar, frames int) [][]byte {
	t.Helper()
	dir := t.TempDir()
	for _, f := range Fonts() {
		if err := os.WriteFile(filepath.Join(dir, f.Name), f.TTF, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	var ass bytes.Buffer
	if err := WriteASS(&ass, cues, bar); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, "captions.ass"), ass.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	w, h := bar.Width, bar.Top+bar.Height
	var out bytes.Buffer
	res, err := proc.Run(context.Background(), proc.Cmd{Name: "ffmpeg", Dir: dir,
		Args: []string{"-v", "verbose", "-f", "lavfi", "-i", fmt.Sprintf("color=black:s=%dx%d:r=1:d=%d", w, h, frames),
			"-vf", "setpts=PTS+0.5/TB,ass=captions.ass:fontsdir=.,format=gray", "-fps_mode", "passthrough", "-f", "rawvideo", "-"},
		Stdout: func(r io.Reader) error { _, err := io.Copy(&out, r); return err }})
	if err != nil {
		t.Fatal(err)
	}
	// The machine's own fonts are never asked.
	for line := range strings.Lines(res.Stderr) {
		if strings.Contains(line, "selecting one more font") {
			t.Error(line)
		}
	}
	if out.Len() != w*h*frames {
		t.Fatalf("%d bytes of pixels", out.Len())
	}
	var pictures [][]byte
	for range frames {
		pictures = append(pictures, out.Next(w*h))
	}
	return pictures
}

// ink is the smallest box around what is drawn in a picture.
type ink struct{ left, top, right, bottom int }

func inkOf(picture []byte, width int) ink {
	b := ink{width, len(picture), -1, -1}
	for i, v := range picture {
		if v > 40 {
			x, y := i%width, i/width
			b = ink{min(b.left, x), min(b.top, y), max(b.right, x), max(b.bottom, y)}
		}
	}
	return b
}

// secondEach puts one row per second.
func secondEach(rows []Row, place Place) []Cue {
	var cues []Cue
	for i, row := range rows {
		cues = append(cues, Cue{Start: time.Duration(i) * time.Second, End: time.Duration(i+1) * time.Second, Place: place, Rows: shown([]Row{row})})
	}
	return cues
}

// Typed text is drawn literally: in its own row and no other, as wide as its
// letters are in the font, so that nothing of it is missing and nothing of it acts.
func TestTypedTextIsBurnedLiterally(t *testing.T) {
	face, err := loadTypeface()
	if err != nil {
		t.Fatal(err)
	}
	var rows []Row
	for _, c := range typed {
		rows = append(rows, Row{{Text: c.text, User: true}})
	}
	cues := secondEach(rows, Whole)
	bar := BarFor(1280, 40, cues)
	x, y, _ := bar.cell(Whole, 0)
	for i, picture := range burn(t, cues, bar, len(typed)) {
		c := typed[i]
		want := c.drawn
		if want == "" {
			want = c.text
		}
		row, shrink := face.fit(cues[i].Rows[0], float64(bar.Width-2*x)/float64(bar.Em))
		if row[0].Text != want {
			t.Errorf("%q: %q is drawn, want %q", c.text, row[0].Text, want)
		}
		got := inkOf(picture, bar.Width)
		if half := bar.line() / 2; got.top < y-half || got.bottom > y+half {
			t.Errorf("%q: drawn from %d to %d, its row is %d to %d", c.text, got.top, got.bottom, y-half, y+half)
		}
		width := face.width(want) * shrink * float64(bar.Em)
		narrow := 0.97
		if strings.ContainsFunc(want, func(r rune) bool { return unicode.Is(unicode.Arabic, r) }) {
			narrow = 0.6 // letters that join are narrower than each by itself
		}
		if got.left < x-2 || got.left > x+bar.Em/3 || float64(got.right-x) > width+3 || float64(got.right-x) < narrow*width-float64(bar.Em)/4 {
			t.Errorf("%q: drawn from %d to %d, want %d to %.0f", c.text, got.left, got.right, x, float64(x)+width)
		}
	}
}

// However long the text, however narrow the picture: it stays in its cell, and the
// words that are not typed stay whole.
func TestRowsNeverOverflow(t *testing.T) {
	long := strings.Repeat("very long drill name ", 12)
	rows := []Row{
		{{Text: long, User: true}, {Join: dot, Text: "set 12, rep 16"}},
		{{Text: strings.Repeat("W", 300), User: true}, {Join: dot, Text: "Change-up"}, {Join: dot, Text: long, User: true}},
		{{Text: "Change-up 100.5 km/h"}, {Join: dot, Text: "20.3 under"}, {Join: dot, Text: "8.3 to 12.3 can come back on", Tone: TooSoft}},
	}
	for _, width := range []int{1920, 640, 320} {
		for _, place := range []Place{Whole, Left, Right} {
			cues := secondEach(rows, place)
			bar := BarFor(width, 20, cues)
			x, _, room := bar.cell(place, 0)
			for i, picture := range burn(t, cues, bar, len(rows)) {
				got := inkOf(picture, width)
				if got.left < x-1 || got.right > x+room {
					t.Errorf("%d wide, place %d, row %d: drawn from %d to %d, its cell is %d to %d", width, place, i, got.left, got.right, x, x+room)
				}
				if got.right < x+room*3/4 {
					t.Errorf("%d wide, place %d, row %d: only %d of %d pixels are used", width, place, i, got.right-x, room)
				}
			}
		}
	}
}

func TestFitKeepsOurWords(t *testing.T) {
	face, err := loadTypeface()
	if err != nil {
		t.Fatal(err)
	}
	row, shrink := face.fit(Row{{Text: "Change-up"}, {Join: dot, Text: strings.Repeat("drill ", 40), User: true}, {Join: dot, Text: "set 2, rep 3"}}, 24)
	if shrink < smallest-1e-9 || row[0].Text != "Change-up" || row[2].Text != "set 2, rep 3" || !strings.HasSuffix(row[1].Text, ellipsis) {
		t.Errorf("%v at %.2f", row, shrink)
	}
	row, shrink = face.fit(Row{{Text: "Change-up"}, {Join: dot, Text: "🔥", User: true}}, 24)
	if len(row) != 1 || shrink != 1 {
		t.Errorf("%v at %.2f: what is not drawn leaves its dot", row, shrink)
	}
}

// Every shape and sign of ours is in the first font, so no verdict ever lacks its
// shape.
func TestOurSignsAreInTheFont(t *testing.T) {
	face, err := loadTypeface()
	if err != nil {
		t.Fatal(err)
	}
	signs := ellipsis + dot + "-+/%0123456789"
	for _, m := range marks {
		signs += m.shape
	}
	for _, r := range signs {
		if _, ok := face[0].advance(r); !ok {
			t.Errorf("%q is not in the font", r)
		}
	}
}

// The verdicts differ in shape, not in colour alone: drawn in white, no two are
// alike.
func TestVerdictShapesDiffer(t *testing.T) {
	var rows []Row
	for _, m := range marks {
		rows = append(rows, Row{{Text: m.shape}})
	}
	cues := secondEach(rows, Whole)
	bar := BarFor(240, 20, cues)
	pictures := burn(t, cues, bar, len(rows))
	for i := range pictures {
		for k := range i {
			differ := 0
			for p := range pictures[i] {
				if d := int(pictures[i][p]) - int(pictures[k][p]); d > 100 || d < -100 {
					differ++
				}
			}
			if differ < bar.Em {
				t.Errorf("%v and %v differ in %d pixels", rows[i], rows[k], differ)
			}
		}
	}
}
