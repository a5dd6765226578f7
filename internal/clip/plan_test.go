package clip

import (
	"math"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"tenoff/internal/bullpen"
	"tenoff/internal/caption"
	"tenoff/internal/film"
)

// plain is a film of n frames, fps a second, that is only thought of.
func plain(n, fps, width, height int) Source {
	s := Source{
		Path: "/film.mp4", Cut: film.Cut{Container: "mov", Audio: 1}, Width: width, Height: height,
		Clock: bullpen.Clock{Num: 1, Den: int64(fps), Slow: 1},
	}
	for i := range n {
		s.Clock.Ticks = append(s.Clock.Ticks, int64(i))
	}
	return s
}

// The window is cut to the film; the number stays for a second even when the film
// ends with the release.
func TestWindowIsCutToTheFilm(t *testing.T) {
	ms := time.Millisecond
	for _, c := range []struct {
		name            string
		source          Source
		release         int
		window          Window
		repeat          bool
		released, lasts time.Duration
	}{
		{"room on both sides", plain(300, 30, 640, 360), 150, Window{}, false, 2500 * ms, 4000 * ms},
		{"adjusted, up to a tenth", plain(300, 30, 640, 360), 150, Window{Before: 1.01, After: 0.35}, false, 1100 * ms, 1500 * ms},
		{"near the start", plain(300, 30, 640, 360), 31, Window{}, false, 1100 * ms, 2600 * ms},
		{"on the first frame", plain(300, 30, 640, 360), 0, Window{}, false, 0, 1500 * ms},
		{"near the end", plain(300, 30, 640, 360), 258, Window{}, false, 2500 * ms, 3900 * ms},
		{"on the last frame", plain(300, 30, 640, 360), 299, Window{}, false, 2500 * ms, 3500 * ms},
		{"on the last frame, little asked for", plain(300, 30, 640, 360), 299, Window{After: 0.3}, false, 2500 * ms, 2800 * ms},
		{"one frame", plain(1, 30, 640, 360), 0, Window{}, false, 0, 1000 * ms},
		{"repeat", plain(300, 30, 640, 360), 150, Window{}, true, 2500 * ms, 6750 * ms},
		{"repeat of what there is", plain(300, 30, 640, 360), 6, Window{}, true, 200 * ms, 3250 * ms},
	} {
		t.Run(c.name, func(t *testing.T) {
			p, err := PlanSingle(Single{Side: Side{c.source, c.release, facts(), nil}, Window: c.window, Repeat: c.repeat})
			if err != nil {
				t.Fatal(err)
			}
			if p.Release != c.released || p.Length != c.lasts {
				t.Errorf("released at %v, lasts %v, want %v and %v", p.Release, p.Length, c.released, c.lasts)
			}
			if end := p.Cues[len(p.Cues)-1].End; end != p.Length {
				t.Errorf("cues end at %v", end)
			}
		})
	}
}

func TestPairWindow(t *testing.T) {
	early, late := plain(300, 30, 640, 360), plain(300, 30, 640, 360)
	ms := time.Millisecond
	for _, c := range []struct {
		name            string
		left, right     int
		speed           float64
		window          Window
		released, lasts time.Duration
	}{
		{"room", 150, 150, 1, Window{}, 2500 * ms, 4000 * ms},
		{"quarter", 150, 150, 0.25, Window{}, 10 * time.Second, 16 * time.Second},
		{"one begins late", 3, 150, 1, Window{}, 2500 * ms, 4000 * ms},
		{"both begin late", 3, 30, 1, Window{}, 1000 * ms, 2500 * ms},
		{"one ends early", 150, 299, 0.5, Window{}, 5 * time.Second, 8 * time.Second},
		{"both end early", 299, 299, 1, Window{}, 2500 * ms, 3500 * ms},
	} {
		t.Run(c.name, func(t *testing.T) {
			p, err := PlanPair(Pair{Left: Side{early, c.left, facts(), nil}, Right: Side{late, c.right, facts(), nil}, Speed: c.speed, Window: c.window})
			if err != nil {
				t.Fatal(err)
			}
			if p.Release != c.released || p.Length != c.lasts {
				t.Errorf("released at %v, lasts %v, want %v and %v", p.Release, p.Length, c.released, c.lasts)
			}
		})
	}
}

// Every clip lies within 1920x1080, or 1080x1920 when it is higher than wide, in
// even numbers, however odd the film.
func TestSizes(t *testing.T) {
	films := [][2]int{{3840, 2160}, {1920, 1080}, {1080, 1920}, {2160, 3840}, {1280, 720}, {320, 240}, {641, 361}, {99, 177}, {1080, 1080}, {4000, 300}, {300, 4000}}
	check := func(t *testing.T, p Plan) {
		t.Helper()
		if p.Width%2 != 0 || p.Height%2 != 0 || max(p.Width, p.Height) > 1920 || min(p.Width, p.Height) > 1080 {
			t.Errorf("%d x %d", p.Width, p.Height)
		}
	}
	for _, f := range films {
		s := plain(300, 30, f[0], f[1])
		p, err := PlanSingle(Single{Side: Side{s, 150, facts(), nil}})
		if err != nil {
			t.Fatal(err)
		}
		check(t, p)
		shown, was := float64(p.Width)/float64(p.Bar.Top), float64(f[0])/float64(f[1])
		if math.Abs(shown/was-1) > 0.03 {
			t.Errorf("%v is shown as %d x %d", f, p.Width, p.Bar.Top)
		}
		if f[0] > 600 && f[0] < 3*f[1] && p.Width < 600 {
			t.Errorf("%v is shown %d wide", f, p.Width)
		}
		for i, g := range films {
			for _, blend := range []bool{false, true} {
				if blend != (i%2 == 0) && f != g {
					continue
				}
				p, err := PlanPair(Pair{Left: Side{s, 150, facts(), nil}, Right: Side{plain(300, 60, g[0], g[1]), 150, facts(), nil}, Blend: blend, Window: Window{Before: 0.5, After: 0.5}})
				if err != nil {
					t.Fatal(err)
				}
				check(t, p)
			}
		}
	}
}

func TestRefusedPlans(t *testing.T) {
	film := plain(300, 30, 640, 360)
	good := Side{film, 150, facts(), nil}
	relative := good
	relative.Source.Path = "film.mp4"
	nan := math.NaN()
	for name, err := range map[string]error{
		"release before the film": second(PlanSingle(Single{Side: Side{film, -1, facts(), nil}})),
		"release after the film":  second(PlanSingle(Single{Side: Side{film, 300, facts(), nil}})),
		"film not read":           second(PlanSingle(Single{Side: Side{Source{Path: "/x"}, 0, facts(), nil}})),
		"window too long":         second(PlanSingle(Single{Side: good, Window: Window{Before: 11}})),
		"window of nothing":       second(PlanSingle(Single{Side: good, Window: Window{After: -1}})),
		"no number":               second(PlanSingle(Single{Side: good, Window: Window{Before: nan}})),
		"speed of its own":        second(PlanPair(Pair{Left: good, Right: good, Speed: 0.3})),
		"other release":           second(PlanPair(Pair{Left: good, Right: Side{film, 900, facts(), nil}})),
	} {
		if bullpen.CodeOf(err) != bullpen.Invalid {
			t.Errorf("%s: %v", name, err)
		}
	}
	if _, err := PlanSingle(Single{Side: relative}); bullpen.CodeOf(err) != bullpen.Internal {
		t.Errorf("relative path: %v", err)
	}
}

func second(_ Plan, err error) error { return err }

// A plan is the same each time, and nothing that anybody typed is in it but in the
// captions' file: not in the arguments, not in a name.
func TestPlanIsPure(t *testing.T) {
	typed := `x':fontsdir=/etc,\;[in]{}%`
	f := facts()
	f.Drill, f.Pitcher, f.Note = typed, typed, typed
	film := plain(300, 30, 640, 360)
	plans := func() (out []Plan) {
		for _, make := range []func() (Plan, error){
			func() (Plan, error) { return PlanSingle(Single{Side: Side{film, 150, f, nil}, Repeat: true}) },
			func() (Plan, error) {
				return PlanPair(Pair{Left: Side{film, 150, f, nil}, Right: Side{film, 160, f, nil}})
			},
		} {
			p, err := make()
			if err != nil {
				t.Fatal(err)
			}
			out = append(out, p)
		}
		return out
	}
	first, again := plans(), plans()
	for i, p := range first {
		if !slices.Equal(p.Args, again[i].Args) || string(p.Files[0].Data) != string(again[i].Files[0].Data) {
			t.Error("planned twice, two plans")
		}
		if strings.Contains(strings.Join(p.Args, " "), "etc") {
			t.Errorf("typed text in %q", p.Args)
		}
		for _, file := range p.Files {
			if !filepath.IsLocal(file.Name) || strings.Contains(file.Name, "etc") {
				t.Errorf("a file called %q", file.Name)
			}
		}
	}
	if len(first[0].Files) != 1+len(caption.Fonts()) {
		t.Errorf("%d files", len(first[0].Files))
	}
}

// FuzzTimeline holds that the release is on its tick, that time never runs back,
// and that the window lies on the film, for any clock.
func FuzzTimeline(f *testing.F) {
	f.Add(int64(1), int64(30), 1.0, uint8(9), uint16(5), []byte{1, 1, 1, 1, 1, 1, 1, 1, 1, 1})
	f.Add(int64(1), int64(90000), 8.0, uint8(3), uint16(900), []byte{200, 100, 255, 1, 60})
	f.Add(int64(1001), int64(30000), 1.0, uint8(0), uint16(0), []byte{})
	f.Fuzz(func(t *testing.T, num, den int64, slow float64, release uint8, first uint16, gaps []byte) {
		if num <= 0 || den <= 0 || num > 1e4 || den > 1e9 || !(slow >= 1 && slow <= 100) {
			t.Skip()
		}
		s := Source{Path: "/f", Width: 64, Height: 64, Cut: film.Cut{Container: "mov", Audio: -1, FirstTick: int64(first)},
			Clock: bullpen.Clock{Num: num, Den: den, Slow: slow, Ticks: []int64{0}}}
		for _, g := range gaps {
			s.Clock.Ticks = append(s.Clock.Ticks, s.Clock.Ticks[len(s.Clock.Ticks)-1]+1+int64(g))
		}
		side := Side{s, int(release) % len(s.Clock.Ticks), caption.Facts{}, nil}
		w, err := Window{}.filled()
		if err != nil {
			t.Fatal(err)
		}
		x, end := mainStretch(side, w)
		if x.frame(side.Release) != x.at || x.at%tenth != 0 || x.at > tenths(w.Before) {
			t.Errorf("release at %d, want %d", x.frame(side.Release), x.at)
		}
		if x.first < 0 || x.first > side.Release || x.last < side.Release || x.last >= len(s.Clock.Ticks) {
			t.Errorf("frames %d to %d, release %d of %d", x.first, x.last, side.Release, len(s.Clock.Ticks))
		}
		if end <= x.at || end > x.at+tenths(w.After) || x.frame(x.last) >= end {
			t.Errorf("ends at %d, release at %d, last frame at %d", end, x.at, x.frame(x.last))
		}
		for i := x.first + 1; i <= x.last; i++ {
			if x.frame(i) < x.frame(i-1) {
				t.Errorf("frame %d goes back", i)
			}
		}
		if r, end2 := repeatStretch(side, end); r.last != side.Release || r.frame(r.last) != r.at || r.at < end || end2 <= r.at || r.at > end+4*repeatLead+tenth {
			t.Errorf("repeat %+v from %d to %d", r, end, end2)
		}
	})
}

// ffmpeg from 7 on ends with "-r/-fpsmax was specified together a non-CFR
// -vsync/-fps_mode. This is contradictory." (fftools/ffmpeg_mux_init.c), where 5.1 made
// the clip. How long the last frame lasts is seen in the clips' exact lengths.
func TestNoRateIsSetWhereFramesKeepTheirTimes(t *testing.T) {
	film := plain(300, 30, 640, 360)
	p, err := PlanSingle(Single{Side: Side{film, 150, facts(), nil}})
	if err != nil {
		t.Fatal(err)
	}
	if !slices.Contains(p.Args, "passthrough") {
		t.Fatalf("no frame keeps its time: %q", p.Args)
	}
	for _, a := range p.Args {
		if a == "-r" || strings.HasPrefix(a, "-r:") || a == "-fpsmax" {
			t.Errorf("%s stands beside passthrough", a)
		}
	}
}
