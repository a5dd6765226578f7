package clip

import (
	"context"
	"path/filepath"
	"testing"

	"tenoff/internal/bullpen"
	"tenoff/internal/caption"
)

func facts() caption.Facts {
	baseline, gap := bullpen.Speed(60.3), bullpen.Speed(10.3)
	return caption.Facts{
		Pitch: bullpen.ChangeUp, Drill: "flip drill", Set: 2, Number: 3, Unit: bullpen.MPH,
		Reading:       &bullpen.Reading{Value: 50, Unit: bullpen.MPH, Step: 1},
		BaselinePitch: bullpen.Fastball, Baseline: &baseline, Gap: &gap, Verdict: bullpen.InBand,
	}
}

// jitter is a phone's clock in 1/600 s: 16.7, 33.3 and 50 ms between frames.
const jitter = "150*(20*N+20*floor(N/10)+5*mod(N*7,4))"

// The films that clips are cut from. first is the number that the film's frame 0
// carries.
var cuts = []struct {
	name     string
	recipe   recipe
	slow     float64
	first    int
	window   Window // half a second both ways unless said
	releases []int
	thinned  bool // faster than a clip
	repeat   bool
}{
	{name: "30 a second", recipe: recipe{sound: true}, releases: []int{100}, window: DefaultWindow, repeat: true},
	{name: "jitter in 600ths", recipe: recipe{times: jitter, base: 600, ext: ".mov", sound: true}, releases: []int{83, 97}, repeat: true},
	{name: "jitter in 90000ths", recipe: recipe{times: "3000*N+floor(900*sin(N))+if(gt(N,60),3000,0)", base: 90000}, releases: []int{77}},
	{name: "dim light, 30 to 20", recipe: recipe{times: "if(lt(N,60),3000*N,180000+4500*(N-60))", base: 90000}, releases: []int{61}, window: DefaultWindow},
	{name: "held upright", recipe: recipe{filter: "transpose=2", then: []string{"-i", "IN", "-c", "copy", "-metadata:s:v:0", "rotate=270"}}, releases: []int{90}},
	{name: "29.97", recipe: recipe{fps: "30000/1001", base: 30000}, releases: []int{95}},
	{name: "59.94", recipe: recipe{fps: "60000/1001", base: 60000, seconds: 5}, releases: []int{171}},
	{name: "true 120", recipe: recipe{fps: "120", seconds: 3, base: 12000}, releases: []int{201}, window: Window{Before: 1, After: 0.5}, thinned: true},
	{name: "true 240", recipe: recipe{fps: "240", seconds: 2, base: 2400, sound: true}, releases: []int{257}, window: Window{Before: 0.6, After: 0.5}, thinned: true, repeat: true},
	{name: "slowed 8 times", recipe: recipe{seconds: 12, sound: true}, slow: 8, releases: []int{203}, window: Window{Before: 0.7, After: 0.5}, thinned: true, repeat: true},
	{name: "late picture", recipe: recipe{input: []string{"-itsoffset", "0.25"}, base: 15360, sound: true}, releases: []int{90}},
	{name: "trimmed in the phone", recipe: recipe{seconds: 8, sound: true, then: []string{"-ss", "1.4", "-i", "IN", "-map", "0", "-c", "copy"}}, first: 42, releases: []int{100}},
	{name: "matroska", recipe: recipe{ext: ".mkv", sound: true}, releases: []int{100}},
}

// The release frame is on show from the promised time on, to the tick; everything
// else in the window is there once, in order, and the number appears with it.
func TestReleaseFrame(t *testing.T) {
	for _, c := range cuts {
		for _, release := range c.releases {
			t.Run(c.name, func(t *testing.T) {
				t.Parallel()
				if c.window == (Window{}) {
					c.window = Window{Before: 0.5, After: 0.5}
				}
				film := shared.make(t, c.name, c.recipe).slowed(max(c.slow, 1))
				p, err := PlanSingle(Single{Side: Side{film, release, facts(), nil}, Window: c.window, Repeat: c.repeat})
				if err != nil {
					t.Fatal(err)
				}
				out := filepath.Join(t.TempDir(), "out.mp4")
				if err := Run(context.Background(), p, out, nil); err != nil {
					t.Fatal(err)
				}
				frames := look(t, out, p, place{width: p.Width, of: film.Width}, 0, p.Width)
				want := int64(p.Release.Seconds()*rate + 0.5)
				if want%tenth != 0 {
					t.Errorf("promised %v, not a tenth", p.Release)
				}
				checkSwitch(t, frames, release+c.first, want)
				checkFrames(t, frames, c.thinned)
				if c.repeat {
					checkRepeat(t, frames, release+c.first, p)
				}
				if got, end := frames[len(frames)-1].at, int64(p.Length.Seconds()*rate+0.5); got >= end || got < end-4500 {
					t.Errorf("last frame at %d, the clip ends at %d", got, end)
				}
			})
		}
	}
}

// checkSwitch finds the release frame first at tick want, with the bar's change.
func checkSwitch(t *testing.T, frames []shownFrame, release int, want int64) {
	t.Helper()
	at := -1
	for i, f := range frames {
		if f.number < 0 {
			t.Fatalf("frame %d of the clip is not readable", i)
		}
		if f.number == release {
			at = i
			break
		}
	}
	if at < 1 {
		t.Fatalf("release frame %d is not in the clip, or its first", release)
	}
	if frames[0].at != 0 {
		t.Errorf("first frame at %d", frames[0].at)
	}
	if frames[at].at != want {
		t.Errorf("release frame at %d, promised %d", frames[at].at, want)
	}
	for i := 1; i <= at; i++ {
		d := frames[i].differs(frames[i-1])
		if i < at && d > 1 || i == at && d < 4 {
			t.Errorf("bar changes by %.1f at frame %d; the release is %d", d, i, at)
		}
	}
}

// checkFrames expects every frame of the film between the first and the last one
// of the window, once, in order; of a thinned film no more than 60 a second.
func checkFrames(t *testing.T, frames []shownFrame, thinned bool) {
	t.Helper()
	for i := 1; i < len(frames); i++ {
		if thinned {
			if d := frames[i].at - frames[i-1].at; d != beat {
				t.Fatalf("frame %d stays for %d", i-1, d)
			}
			continue
		}
		step := frames[i].number - frames[i-1].number
		if step < 0 {
			break // the repeat
		}
		held := i == len(frames)-1 || frames[i+1].number < frames[i].number
		if step != 1 && !(step == 0 && held) {
			t.Errorf("frame %d of the clip goes on by %d", i, step)
		}
	}
}

// checkRepeat expects the last half second before release once more, four times
// as long, up to the release frame and no further.
func checkRepeat(t *testing.T, frames []shownFrame, release int, p Plan) {
	t.Helper()
	start := -1
	for i := 1; i < len(frames); i++ {
		if frames[i].number < frames[i-1].number {
			start = i
		}
	}
	if start < 0 {
		t.Fatal("nothing is repeated")
	}
	again := frames[start:]
	i := 0
	for again[i].number != release {
		i++
	}
	lead := again[i].at - again[0].at
	if lead < 19*tenth || lead > 21*tenth {
		t.Errorf("the repeat takes %d ticks to its release", lead)
	}
	if last := again[len(again)-1].number; last != release {
		t.Errorf("the repeat goes on to frame %d, the release is %d", last, release)
	}
	if d := again[0].differs(frames[start-1]); d < 1 {
		t.Errorf("the repeat is not announced: the bar changes by %.1f", d)
	}
}
