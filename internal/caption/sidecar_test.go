package caption

import (
	"bytes"
	"strings"
	"testing"
	"time"

	"github.com/asticode/go-astisub"

	"tenoff/internal/texts"
)

// Typed text reads back from WebVTT as it was typed, and makes no cue, tag or
// header of its own.
func TestTypedTextInVTT(t *testing.T) {
	for _, c := range typed {
		var b bytes.Buffer
		cues := Compose(Facts{Pitch: "ch", Drill: c.text}, Times{Release: time.Second, End: 2 * time.Second}, Whole)
		if err := WriteVTT(&b, cues); err != nil {
			t.Fatal(err)
		}
		if n := strings.Count(b.String(), "-->"); n != 2 {
			t.Errorf("%q: %d arrows in\n%s", c.text, n, &b)
		}
		read, err := astisub.ReadFromWebVTT(bytes.NewReader(b.Bytes()))
		if err != nil {
			t.Fatalf("%q: %v", c.text, err)
		}
		if len(read.Items) != 2 || read.Items[0].EndAt != time.Second {
			t.Fatalf("%q: %d cues", c.text, len(read.Items))
		}
		got := strings.ReplaceAll(read.Items[0].Lines[0].String(), "\u2060", "")
		if want := "Change-up · " + plain(c.text); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

func TestSRT(t *testing.T) {
	for _, c := range typed {
		var b bytes.Buffer
		cues := Compose(Facts{Pitch: "ch", Drill: c.text}, Times{Release: 1234 * time.Millisecond, End: 2 * time.Second}, Whole)
		if err := WriteSRT(&b, cues); err != nil {
			t.Fatal(err)
		}
		lines := strings.Split(strings.TrimPrefix(b.String(), "\ufeff"), "\n")
		want := []string{"1", "00:00:00,000 --> 00:00:01,234", "Change-up · " + plain(c.text), "no baseline yet", "",
			"2", "00:00:01,234 --> 00:00:02,000", "Change-up · no reading", ""}
		for i := range want {
			if got := strings.ReplaceAll(lines[i], "\u2060", ""); got != want[i] {
				t.Errorf("%q: line %d is %q, want %q", c.text, i, got, want[i])
			}
		}
		if strings.Count(b.String(), "-->") != 2 || strings.Contains(b.String(), "<b") || strings.Contains(b.String(), `{\`) {
			t.Errorf("%q acts:\n%s", c.text, &b)
		}
	}
}

// A pair's halves keep their sides in WebVTT, and the running clock stays out.
func TestPairSidecar(t *testing.T) {
	times := Times{Release: time.Second, End: 2 * time.Second}
	cues := append(Compose(changeUp(), times, Left), Compose(changeUp(), times, Right)...)
	var b bytes.Buffer
	if err := WriteVTT(&b, append(cues, ClockCues(texts.English, times, 120, 60, 1)...)); err != nil {
		t.Fatal(err)
	}
	if s := b.String(); strings.Count(s, "-->") != 4 || strings.Count(s, "position:25% size:50%") != 2 || strings.Count(s, "position:75% size:50%") != 2 {
		t.Error(s)
	}
}

func FuzzWriters(f *testing.F) {
	for _, c := range typed {
		f.Add(c.text)
	}
	times := Times{Release: time.Second, End: 2 * time.Second}
	f.Fuzz(func(t *testing.T, text string) {
		cues := Compose(Facts{Pitch: "ch", Drill: text, Note: text, Pitcher: text, Body: text}, times, Whole)
		bar := BarFor(640, 360, cues)
		var ass, vtt, srt bytes.Buffer
		if err := WriteASS(&ass, cues, bar); err != nil {
			t.Fatal(err)
		}
		if err := WriteVTT(&vtt, cues); err != nil {
			t.Fatal(err)
		}
		if err := WriteSRT(&srt, cues); err != nil {
			t.Fatal(err)
		}
		rows := 0
		for _, c := range cues {
			rows += len(c.Rows)
		}
		if n := strings.Count(ass.String(), "\nDialogue: "); n != rows || strings.Count(ass.String(), "\n") != n+12 {
			t.Errorf("%d events for %d rows:\n%s", n, rows, &ass)
		}
		for _, line := range strings.Split(ass.String(), "\n") {
			text, is := strings.CutPrefix(line, "Dialogue: ")
			if is && !harmless(text) {
				t.Errorf("acts: %q", line)
			}
		}
		if strings.Count(vtt.String(), "-->") != len(cues) || strings.Count(srt.String(), "-->") != len(cues) {
			t.Errorf("arrows in\n%s\n%s", &vtt, &srt)
		}
	})
}

// harmless reports whether every brace block of an event is one that we write.
func harmless(event string) bool {
	for {
		open := strings.Index(event, "{")
		if open < 0 {
			return true
		}
		if open > 0 && event[open-1] == '\\' { // a literal brace
			event = event[open+1:]
			continue
		}
		end := strings.Index(event[open:], "}")
		if end < 0 {
			return false
		}
		block := event[open+1 : open+end]
		if !strings.HasPrefix(block, `\an`) && !strings.HasPrefix(block, `\c&H`) && block != `\fnLiberation Sans` && block != `\fnDejaVu Sans` {
			return false
		}
		event = event[open+end+1:]
	}
}
