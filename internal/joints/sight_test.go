package joints

import (
	"flag"
	"math"
	"path/filepath"
	"strings"
	"testing"

	"tenoff/internal/bullpen"
	"tenoff/internal/posture"
)

var figures = flag.String("figures", "", "a folder of more rendered deliveries, NAME.mp4 and NAME.json each as in testdata/figure, whose instants are looked for")

// compareSights holds the instants that joints show to the true ones: plant and release
// within a frame, and all within twice their uncertainty. On a smeared film the release is
// not seen.
func (f figure) compareSights(t *testing.T, name string, s posture.Sights, smeared bool) {
	t.Helper()
	for e, want := range map[bullpen.Event]float64{bullpen.Plant: f.Plant, bullpen.Top: f.Top, bullpen.Release: f.Release} {
		got := s.At(e)
		if smeared && e == bullpen.Release {
			if got.Seen() {
				t.Errorf("%s: the wrist is a smear at release, and the release is seen", name)
			}
			continue
		}
		t.Logf("%s: %s %+.1f +- %.1f ms", name, e, 1000*(got.Seconds-want), 1000*got.U)
		within := 1 / f.rate
		if e == bullpen.Top {
			within *= 2 // the finder sees a hand above the head too far on
		}
		if math.Abs(got.Seconds-want) > within || math.Abs(got.Seconds-want) > 2*got.U {
			t.Errorf("%s: %s is %.0f ms from where it is, with an uncertainty of %.0f", name, e, 1000*(got.Seconds-want), 1000*got.U)
		}
	}
}

// Where they are seen, plant and release are within a frame at 60 frames a second in nine
// deliveries of ten, whatever was thought of the release before.
func TestSightsOfMoreDeliveries(t *testing.T) {
	if *figures == "" {
		return // those of testdata are in TestRenderedDeliveries
	}
	films, err := filepath.Glob(filepath.Join(*figures, "*.json"))
	if err != nil || len(films) == 0 {
		t.Fatal(films, err)
	}
	type tally struct{ n, seen, within, sure int }
	tallies := map[bullpen.Event]*tally{bullpen.Plant: {}, bullpen.Top: {}, bullpen.Release: {}}
	for _, path := range films {
		f := figureAt(t, strings.TrimSuffix(path, ".json"))
		body, err := posture.Of(f.track(t), f.rate)
		if err != nil {
			t.Errorf("%s: %v", path, err)
			continue
		}
		exact, err := posture.Of(f.truth, f.rate)
		if err != nil {
			t.Fatal(err)
		}
		by, true_ := body.Sights(f.Release, true), exact.Sights(f.Release, true)
		for e, want := range map[bullpen.Event]float64{bullpen.Plant: f.Plant, bullpen.Top: f.Top, bullpen.Release: f.Release} {
			got := by.At(e)
			t.Logf("%s %.0f fps: %-8s %+6.1f +- %4.1f ms, by the true joints %+6.1f", filepath.Base(f.path), f.rate, e, 1000*(got.Seconds-want), 1000*got.U, 1000*(true_.At(e).Seconds-want))
			if f.rate != 60 {
				continue
			}
			c := tallies[e]
			c.n++
			if got.Seen() {
				c.seen++
			}
			if got.Seen() && math.Abs(got.Seconds-want) <= 1/f.rate {
				c.within++
			}
			if got.Seen() && math.Abs(got.Seconds-want) <= 2*got.U {
				c.sure++
			}
		}
		for _, early := range []float64{-0.06, -0.03, 0.03} {
			again := body.Sights(f.Release+early, true)
			for e := range tallies {
				if a, b := again.At(e), by.At(e); a.Seen() != b.Seen() || a.Seen() && a != b {
					t.Errorf("%s: with the release said %.0f ms off, %s is at %v, else at %v", path, 1000*early, e, a, b)
				}
			}
		}
	}
	for e, c := range tallies {
		t.Logf("60 fps: %s of %d: seen %d, within a frame %d, within twice its uncertainty %d", e, c.n, c.seen, c.within, c.sure)
		if e != bullpen.Top && 10*c.within < 9*c.seen {
			t.Errorf("%s is within a frame in %d of the %d where it is seen", e, c.within, c.seen)
		}
	}
}
