package tells

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"tenoff/internal/bullpen"
	"tenoff/internal/posture"
)

// rendered is a rendered delivery, its joints as the finder found them on the film.
type rendered struct {
	body           *posture.Body
	release, plant float64
}

// renderedOf reads the deliveries of a kind out of testdata/tells. The release is the
// nearest frame, as somebody marks it, and the plant is where the joints show it.
func renderedOf(t *testing.T, kind string) (out []rendered) {
	t.Helper()
	text, err := os.ReadFile("../../testdata/tells/releases.json")
	if err != nil {
		t.Fatal(err)
	}
	var releases map[string]float64 // seconds from the first frame
	if err := json.Unmarshal(text, &releases); err != nil {
		t.Fatal(err)
	}
	names, err := filepath.Glob("../../testdata/tells/" + kind + "-*.track")
	if err != nil {
		t.Fatal(err)
	}
	clock := bullpen.Clock{Num: 1, Den: 60, Ticks: make([]int64, 1000)}
	for i := range clock.Ticks {
		clock.Ticks[i] = int64(i)
	}
	for _, name := range names {
		packed, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		track, err := posture.Unpack(packed, clock)
		if err != nil {
			t.Fatal(err)
		}
		body, err := posture.Of(track, 60)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		r := rendered{body: body, release: math.Round(60*releases[strings.TrimSuffix(filepath.Base(name), ".track")]) / 60}
		var ok bool
		if r.plant, ok = body.FootContact(r.release, true); !ok {
			t.Fatalf("%s: no foot contact", name)
		}
		out = append(out, r)
	}
	return out
}

// followed are the deliveries' aspects, warped to one another.
func followed(all []rendered) (out []Delivery, phases Phases) {
	var instants []Instants
	for _, r := range all {
		instants = append(instants, Instants{Drive: math.NaN(), Plant: r.release - r.plant, Top: math.NaN()})
	}
	phases = Warp(instants)
	for i, r := range all {
		var d Delivery
		for _, a := range posture.Aspects() {
			var course []float64
			for _, before := range phases.Own[i] {
				course = append(course, r.body.Aspect(a, r.release-before, true))
			}
			d = append(d, course)
		}
		out = append(out, d)
	}
	return out, phases
}

// another draws a delivery that scatters as those seen do: their mean, and a sum of how
// each of them differs from it, so that all covariances are theirs.
func another(dice *rand.Rand, seen []Delivery) Delivery {
	weights := make([]float64, len(seen))
	for i := range weights {
		weights[i] = dice.NormFloat64() / math.Sqrt(float64(len(seen)-1))
	}
	out := make(Delivery, len(seen[0]))
	for m := range out {
		out[m] = make([]float64, len(seen[0][m]))
		for s := range out[m] {
			mean := 0.0
			for _, d := range seen {
				mean += d[m][s] / float64(len(seen))
			}
			out[m][s] = mean
			for i, d := range seen {
				out[m][s] += weights[i] * (d[m][s] - mean)
			}
		}
	}
	return out
}

// spread is the standard deviation of a measure at a step.
func spread(seen []Delivery, m, s int) float64 {
	mean, square := 0.0, 0.0
	for _, d := range seen {
		mean += d[m][s] / float64(len(seen))
	}
	for _, d := range seen {
		square += (d[m][s] - mean) * (d[m][s] - mean)
	}
	return math.Sqrt(square / float64(len(seen)-1))
}

// On bullpens of deliveries that scatter as rendered ones do on which the finder looked
// for joints, a glove that is held otherwise for 0.2 s before the drive is found there,
// and where nothing was planted hardly anything is.
func TestRenderedTells(t *testing.T) {
	fast := renderedOf(t, "base")
	seen, phases := followed(fast)
	steps := len(phases.Before)
	glove := slices.Index(posture.Aspects(), posture.GloveHeight)
	from := slices.IndexFunc(phases.Before, func(before float64) bool { return before < 0.75 })
	const run = 5
	bullpens, most := 120, 199
	if *long {
		bullpens, most = 1000, 399
	}
	for k, c := range []struct {
		fast, off int
		by, least float64
	}{{6, 6, 0, 0}, {6, 6, 3, 0.85}, {8, 8, 2.5, 0.85}, {8, 8, 0, 0}, {4, 4, 3, 0}, {6, 6, 2.5, 0}, {10, 10, 2, 0}, {4, 4, 0, 0}, {12, 6, 0, 0}} {
		if !*long && k > 2 {
			break
		}
		dice := rand.New(rand.NewPCG(uint64(k), 5))
		right, said := 0.0, 0.0
		for range bullpens {
			var groups [2][]Delivery
			for i := range c.fast + c.off {
				d := another(dice, seen)
				which := 0
				if i >= c.fast {
					which = 1
					for s := from; s < from+run; s++ {
						d[glove][s] += c.by * spread(seen, glove, s)
					}
				}
				groups[which] = append(groups[which], d)
			}
			// What an eye can see is left out: here it is about what can be told apart.
			found, _ := find(groups[0], groups[1], make([]float64, len(seen[0])), Origin{}, most)
			if len(found.Tells) > 0 {
				said += 1 / float64(bullpens)
				if x := found.Tells[0]; x.Measure == glove && x.Step >= from-1 && x.Step < from+run {
					right += 1 / float64(bullpens)
				}
			}
		}
		t.Logf("%d + %d, planted %.1f spreads: found at its time in %.1f %%, something said in %.1f %% (%d steps)", c.fast, c.off, c.by, 100*right, 100*said, steps)
		luck := func(share float64) float64 { return 2.5 * math.Sqrt(share*(1-share)/float64(bullpens)) }
		if c.by == 0 && said > 0.05+luck(0.05) {
			t.Errorf("%d + %d: something is said in %.1f %% where nothing was planted", c.fast, c.off, 100*said)
		}
		if right < c.least-luck(0.85) {
			t.Errorf("%d + %d, planted %.1f spreads: found in %.1f %%", c.fast, c.off, c.by, 100*right)
		}
	}
}
