package caption

import (
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"tenoff/internal/bullpen"
	"tenoff/internal/texts"
)

func speed(v float64) *bullpen.Speed { return new(bullpen.Speed(v)) }

// text is what a cue says, one line a row.
func (c Cue) text() string {
	var rows []string
	for _, row := range c.Rows {
		var s strings.Builder
		for i, span := range row {
			if i > 0 {
				s.WriteString(span.Join)
			}
			s.WriteString(span.Text)
		}
		rows = append(rows, s.String())
	}
	return strings.Join(rows, "\n")
}

func changeUp() Facts {
	return Facts{
		Language: texts.English.Plain(),
		Pitch:    bullpen.ChangeUp, Drill: "flip drill", Order: 10, Set: 2, Number: 3, Unit: bullpen.MPH,
		Reading:       &bullpen.Reading{Value: 50, Unit: bullpen.MPH, Step: 1},
		BaselinePitch: bullpen.Fastball, Baseline: speed(60.3333), Gap: speed(10.3333), Verdict: bullpen.InBand,
	}
}

func TestComposeSaysWhatIsKnown(t *testing.T) {
	with := func(change func(*Facts)) Facts {
		f := changeUp()
		change(&f)
		return f
	}
	for _, c := range []struct {
		name          string
		facts         Facts
		before, after string
	}{
		{"everything", changeUp(),
			"Change-up · flip drill · pitch 10 (set 2, no. 3)\nher fastball 60.3 mph",
			"Change-up 50 mph · 10.3 under\n● in the band"},
		{"the body", with(func(f *Facts) {
			f.Body, f.Split = "legs at 87 % of her fastball's speed", "all change-ups: mean gap 9.8, legs about 7, grip and hand about 3"
		}),
			"Change-up · flip drill · pitch 10 (set 2, no. 3)\nher fastball 60.3 mph",
			"Change-up 50 mph · 10.3 under\n● in the band\nlegs at 87 % of her fastball's speed\nall change-ups: mean gap 9.8, legs about 7, grip and hand about 3"},
		{"full pitch, nothing said", Facts{Pitch: bullpen.Fastball},
			"Fastball\nno baseline yet", "Fastball · no reading"},
		{"too soft, of few reps", with(func(f *Facts) {
			f.Verdict, f.SoFar, f.Gap = bullpen.TooSoft, true, speed(20)
		}), "Change-up · flip drill · pitch 10 (set 2, no. 3)\nher fastball 60.3 mph",
			"Change-up 50 mph · 20 under\n■ too slow, so far"},
		{"too firm, on the edge", with(func(f *Facts) { f.Verdict, f.EdgeOf, f.Gap = bullpen.TooFirm, bullpen.InBand, speed(7.96) }),
			"Change-up · flip drill · pitch 10 (set 2, no. 3)\nher fastball 60.3 mph",
			"Change-up 50 mph · 8.0 under\n▲ too fast, on the edge of the band"},
		{"soft", with(func(f *Facts) { f.Verdict, f.Gap = bullpen.Soft, speed(13) }),
			"Change-up · flip drill · pitch 10 (set 2, no. 3)\nher fastball 60.3 mph",
			"Change-up 50 mph · 13 under\n▼ a bit slow"},
		{"faster than the baseline", with(func(f *Facts) { f.Verdict, f.Gap = "", speed(-2.04) }),
			"Change-up · flip drill · pitch 10 (set 2, no. 3)\nher fastball 60.3 mph",
			"Change-up 50 mph · 2 over"},
		{"no gap at all", with(func(f *Facts) { f.Verdict, f.Gap = "", speed(-0.04) }),
			"Change-up · flip drill · pitch 10 (set 2, no. 3)\nher fastball 60.3 mph",
			"Change-up 50 mph · no gap"},
		// 60.3333 mph x 1.609344 = 97.0971 km/h, 50 mph = 80.4672 km/h (NIST SP 811).
		{"shown in km/h, read in mph", with(func(f *Facts) { f.Unit = bullpen.KMH }),
			"Change-up · flip drill · pitch 10 (set 2, no. 3)\nher fastball 97.1 km/h",
			"Change-up 80.5 km/h · 16.6 under\n● in the band"},
		{"read to a tenth in km/h", with(func(f *Facts) {
			f.Unit, f.Reading = bullpen.KMH, &bullpen.Reading{Value: 80.1, Unit: bullpen.KMH, Step: 0.1}
		}), "Change-up · flip drill · pitch 10 (set 2, no. 3)\nher fastball 97.1 km/h",
			"Change-up 80.1 km/h · 16.6 under\n● in the band"},
		{"name, body speed and note when asked for", with(func(f *Facts) {
			f.Pitcher, f.Body, f.Note, f.Set = "K.", "legs at 97 % of her fastball's speed", "wrist late", 0
		}), "K. · Change-up · flip drill · pitch 10 (no. 3)\nher fastball 60.3 mph\nwrist late",
			"K. · Change-up 50 mph · 10.3 under\n● in the band\nlegs at 97 % of her fastball's speed\nwrist late"},
		{"typed text on one row, without what turns our words round", with(func(f *Facts) { f.Drill = " a\r\n\tb\u202e\u2067c\x00 " }),
			"Change-up · a bc · pitch 10 (set 2, no. 3)\nher fastball 60.3 mph",
			"Change-up 50 mph · 10.3 under\n● in the band"},
		{"unknown pitch", Facts{Pitch: "zz"}, "Zz\nno baseline yet", "Zz · no reading"},
	} {
		t.Run(c.name, func(t *testing.T) {
			cues := Compose(c.facts, Times{Release: 2500 * time.Millisecond, End: 4 * time.Second}, Whole)
			if len(cues) != 2 {
				t.Fatalf("%d cues", len(cues))
			}
			if d := cmp.Diff([]string{c.before, c.after}, []string{cues[0].text(), cues[1].text()}); d != "" {
				t.Error(d)
			}
		})
	}
}

func TestComposeTimes(t *testing.T) {
	ms := time.Millisecond
	for _, c := range []struct {
		name  string
		times Times
		want  []time.Duration // starts, then the last end
	}{
		{"usual", Times{Release: 2500 * ms, End: 4000 * ms}, []time.Duration{0, 2500 * ms, 4000 * ms}},
		{"repeat", Times{Release: 2500 * ms, Repeat: 4000 * ms, End: 6750 * ms}, []time.Duration{0, 2500 * ms, 4000 * ms, 6750 * ms}},
		{"release at once", Times{End: 1500 * ms}, []time.Duration{0, 1500 * ms}},
	} {
		t.Run(c.name, func(t *testing.T) {
			var got []time.Duration
			end := time.Duration(0)
			for _, cue := range Compose(changeUp(), c.times, Whole) {
				if cue.Start != end {
					t.Errorf("a cue starts at %v, the last ends at %v", cue.Start, end)
				}
				got, end = append(got, cue.Start), cue.End
			}
			if d := cmp.Diff(c.want, append(got, end)); d != "" {
				t.Error(d)
			}
		})
	}
}

// A pair's halves keep their rows at the release, so that no space stands empty
// before it.
func TestComposeHalf(t *testing.T) {
	off, fast := changeUp(), changeUp()
	off.Body, off.Split = "legs at 87 % of her fastball's speed", "all change-ups: mean gap 9.8, legs about 7, grip and hand about 3"
	fast.Pitch, fast.Gap, fast.Verdict, fast.Body = bullpen.Fastball, nil, "", "legs at 101 % of her fastball's speed"
	for _, c := range []struct {
		facts         Facts
		place         Place
		before, after string
	}{
		{off, Left,
			"Change-up · flip drill\npitch 10 (set 2, no. 3) · her fastball 60.3 mph\nlegs at 87 % of her fastball's speed\nall change-ups: mean gap 9.8, legs about 7, grip and hand about 3",
			"Change-up 50 mph · 10.3 under\n● in the band\nlegs at 87 % of her fastball's speed\nall change-ups: mean gap 9.8, legs about 7, grip and hand about 3"},
		{fast, Right,
			"Fastball · flip drill\npitch 10 (set 2, no. 3)\nlegs at 101 % of her fastball's speed",
			"Fastball 50 mph\npitch 10 (set 2, no. 3)\nlegs at 101 % of her fastball's speed"},
		{Facts{Pitch: bullpen.ChangeUp}, Left, "Change-up\nno baseline yet", "Change-up · no reading"},
	} {
		cues := Compose(c.facts, Times{Release: time.Second, End: 2 * time.Second}, c.place)
		if cues[0].Place != c.place || cues[1].Place != c.place {
			t.Error(cues)
		}
		if d := cmp.Diff([]string{c.before, c.after}, []string{cues[0].text(), cues[1].text()}); d != "" {
			t.Error(d)
		}
	}
}

func TestClockCues(t *testing.T) {
	cues := ClockCues(texts.English, Times{Release: 2 * time.Second, End: 4 * time.Second}, 240, 60, 0.25)
	for frame, want := range map[int]string{0: "−0.500 s", 119: "−0.004 s", 120: "release", 122: "+0.008 s", 239: "+0.496 s"} {
		if got := cues[frame].text(); got != want {
			t.Errorf("frame %d says %q, want %q", frame, got, want)
		}
	}
}

func TestFactsOf(t *testing.T) {
	gap, base := bullpen.Gap{MPH: 20}, bullpen.Baseline{Speed: 60, Pitch: bullpen.Drop}
	n := bullpen.RepNumbers{Baseline: &base, Gap: &gap, Verdict: bullpen.TooSoft, OnEdge: true, EdgeOf: bullpen.Soft, SoFar: true}
	rep := bullpen.Rep{Pitch: bullpen.ChangeUp, Drill: "K", Order: 4, Set: 1, Number: 2, Note: "low", Reading: &bullpen.Reading{Value: 40}}
	pen := bullpen.Bullpen{Unit: bullpen.KMH, Step: 1, Gun: bullpen.BehindCatcher}
	want := Facts{
		Language: texts.English.Plain(),
		Pitch:    bullpen.ChangeUp, Drill: "K", Order: 4, Set: 1, Number: 2, Unit: bullpen.MPH,
		Reading:       &bullpen.Reading{Value: 40, Unit: bullpen.KMH, Step: 1, Gun: bullpen.BehindCatcher},
		BaselinePitch: bullpen.Drop, Baseline: speed(60), Gap: speed(20),
		Verdict: bullpen.TooSoft, EdgeOf: bullpen.Soft, SoFar: true,
	}
	p := bullpen.Pitcher{Label: "K.", Unit: bullpen.MPH}
	if d := cmp.Diff(want, FactsOf(p, pen, rep, n, Asked{})); d != "" {
		t.Error(d)
	}
	want.Pitcher, want.Note, want.Body = "K.", "low", "body 97 %"
	if d := cmp.Diff(want, FactsOf(p, pen, rep, n, Asked{Label: true, Note: true, Body: "body 97 %"})); d != "" {
		t.Error(d)
	}
}

// A caption is said whole in the language of those who look at it.
func TestComposeInSpanish(t *testing.T) {
	f := changeUp()
	f.Language, f.Drill, f.EdgeOf, f.SoFar = texts.Spanish, "Wrist snap", bullpen.Soft, true
	cues := Compose(f, Times{Release: time.Second, Repeat: 2 * time.Second, End: 3 * time.Second}, Whole)
	want := []string{
		"Cambio · Golpe de muñeca · lanzamiento 10 (serie 2, n.º 3)\nsu recta 60.3 mph",
		"Cambio 50 mph · 10.3 menos\n● en el rango, al borde de algo lento, por ahora",
		"Cambio 50 mph · 10.3 menos\n● en el rango, al borde de algo lento, por ahora · a 1/4 de velocidad",
	}
	for i, c := range cues {
		if c.text() != want[i] {
			t.Errorf("%q, want %q", c.text(), want[i])
		}
	}
	for language, want := range map[string]texts.Language{"es": texts.Spanish, "en": texts.English.Plain(), "": texts.English.Plain()} {
		if got := FactsOf(bullpen.Pitcher{Language: language}, bullpen.Bullpen{}, bullpen.Rep{}, bullpen.RepNumbers{}, Asked{}).Language; got != want {
			t.Errorf("captions of a pitcher who reads %q are in %q", language, got)
		}
	}
}

// A clip of hers is made again when it says something in other words, so each text that
// clips say is one of those that her language is asked for.
func TestWhatClipsSay(t *testing.T) {
	names, err := filepath.Glob("../shelf/*.go")
	if err != nil {
		t.Fatal(err)
	}
	own, err := filepath.Glob("*.go")
	if err != nil {
		t.Fatal(err)
	}
	found := map[string]bool{}
	for _, name := range append(append(names, own...), "../judged/words.go") {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		code, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range regexp.MustCompile(`"(([a-z]+)\.[A-Za-z]+)"`).FindAllStringSubmatch(string(code), -1) {
			if key := texts.Key(m[1]); texts.English.Say(key) != m[1] {
				found[m[2]] = true
			}
		}
	}
	for group := range found {
		if !slices.Contains(said, group) {
			t.Errorf("clips say texts of %q", group)
		}
	}
	if len(found) < 8 {
		t.Errorf("clips say only %v", found)
	}
}
