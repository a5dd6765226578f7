package tempo

import (
	"math"
	"strings"
	"testing"

	"tenoff/internal/bullpen"
)

func momentsOf(drive, plant, top, release, u float64) Moments {
	at := func(s float64) *Moment {
		if math.IsNaN(s) {
			return nil
		}
		return &Moment{Seconds: s, U: u, From: ByFinder}
	}
	return Moments{at(drive), at(plant), at(top), at(release)}
}

func TestPhases(t *testing.T) {
	none := math.NaN()
	off := momentsOf(10, 10.50, 10.46, 10.60, 0.003)
	fast := momentsOf(3, 3.45, 3.44, 3.56, 0.003)
	for _, c := range []struct {
		name      string
		off, fast Moments
		words     string
		stretch   float64
		n         int
	}{
		{"all", off, fast, "Legs, drive to plant 50 ms longer · arm, top to release 20 ms longer", 0.60 / 0.56, 4},
		{"turned round", fast, off, "Legs, drive to plant 50 ms shorter · arm, top to release 20 ms shorter", 0.56 / 0.60, 4},
		{"the same", off, off, "Legs, drive to plant alike (0 ms, too close to tell) · arm, top to release alike (0 ms, too close to tell)", 1, 4},
		{"legs only", momentsOf(10, 10.50, none, none, 0.003), fast, "Legs, drive to plant 50 ms longer", 0, 1},
		{"no drive", momentsOf(none, 10.50, 10.46, 10.60, 0.003), fast, "Arm, top to release 20 ms longer", 0.14 / 0.12, 2},
		{"plant and release", momentsOf(none, 10.50, none, 10.62, 0.003), fast, "Plant to release alike (+10 ms, too close to tell)", 0.12 / 0.11, 1},
		{"nothing", Moments{}, fast, "", 0, 0},
		{"shaky", momentsOf(10, 10.50, 10.46, 10.60, 0.02), fast, "Legs, drive to plant alike (+50 ms, too close to tell) · arm, top to release alike (+20 ms, too close to tell)", 0.60 / 0.56, 4},
	} {
		apart := &BodySpeed{Percent: 90}
		phases := Phases(RepBody{Moments: c.off, Legs: apart, Arm: apart}, RepBody{Moments: c.fast})
		if got := PhaseWords(phases); got != c.words || len(phases) != c.n {
			t.Errorf("%s: %d phases, %q, want %q", c.name, len(phases), got, c.words)
		}
		times, ok := Stretch(phases)
		if ok != (c.stretch > 0) || ok && math.Abs(times-c.stretch) > 1e-9 {
			t.Errorf("%s: stretch %v, %v; want %v", c.name, times, ok, c.stretch)
		}
	}
}

// Two reps side by side are called clearly apart only where the bullpen's page calls them
// apart too: a difference that lies among her own fastballs, or that too few fastballs
// tell, is a number and no finding.
func TestAPairClaimsNoMoreThanTheBullpen(t *testing.T) {
	off := momentsOf(10, 10.50, 10.46, 10.60, 0.003)
	fast := momentsOf(3, 3.45, 3.44, 3.56, 0.003)
	within, beyond := &BodySpeed{Percent: 97, Within: true}, &BodySpeed{Percent: 86}
	for _, c := range []struct {
		name                string
		legs, arm, fastLegs *BodySpeed
		words, cell         string
	}{
		{"both beyond", beyond, beyond, within, "Legs, drive to plant 50 ms longer · arm, top to release 20 ms longer", "50 ms longer"},
		{"among her fastballs", within, beyond, within, "Legs, drive to plant +50 ms (within her usual spread) · arm, top to release 20 ms longer", "+50 ms: within her usual spread"},
		{"too few", nil, nil, nil, "Legs, drive to plant +50 ms (too few reps to tell) · arm, top to release +20 ms (too few reps to tell)", "+50 ms: too few reps to tell"},
		{"beside an odd fastball", beyond, nil, beyond, "Legs, drive to plant +50 ms (the other rep is unlike her others) · arm, top to release +20 ms (too few reps to tell)", "+50 ms: the other rep is unlike her others"},
	} {
		phases := Phases(RepBody{Moments: off, Legs: c.legs, Arm: c.arm}, RepBody{Moments: fast, Legs: c.fastLegs})
		if got := PhaseWords(phases); got != c.words || phases[0].Said() != c.cell {
			t.Errorf("%s: %q, %q; want %q, %q", c.name, got, phases[0].Said(), c.words, c.cell)
		}
		for _, p := range phases {
			judged := p.Own == OwnBeyond
			if p.Clear() != judged {
				t.Errorf("%s: %s is clear %v, judged apart %v", c.name, p, p.Clear(), judged)
			}
		}
	}
}

// What is shown adds up: each time rounded, and the difference that of the two.
func TestPhasesShownAddUp(t *testing.T) {
	for _, c := range []struct {
		off, fast       float64
		a, b, different int
		words           string
	}{
		{0.5786, 0.5704, 579, 570, 9, "drive to plant 9 ms longer"}, // 8.2 apart
		{0.5704, 0.5786, 570, 579, -9, "drive to plant 9 ms shorter"},
		{0.4504, 0.4495, 450, 450, 0, "drive to plant alike (0 ms, too close to tell)"},
	} {
		p := Phase{From: bullpen.Drive, To: bullpen.Plant, Off: c.off, Fast: c.fast, U: 0.002, Own: OwnBeyond}
		if a, b, d := p.Whole(); a != c.a || b != c.b || d != c.different || p.String() != c.words {
			t.Errorf("%v beside %v: %d - %d = %d, %q", c.off, c.fast, a, b, d, p)
		}
	}
}

// A drill is compared with the fastballs of that drill, and with nothing where there
// are none.
func TestAssessWithinADrill(t *testing.T) {
	wall := session(8, bullpen.ViewSide, 1.15, 1.15, 0.02)
	for i := range wall {
		wall[i].Drill = []string{"wall", "Wall", " WALL "}[i%3] // one drill, however it is typed
		wall[i].RepID += "wall"
	}
	lone := foundRep("lone", bullpen.ChangeUp, bullpen.ViewSide, 0.45, 0.13)
	lone.Drill = "flip"
	a := Assess(append(append(session(8, bullpen.ViewSide, 1, 1, 0.02), wall...), lone), Options{})
	if len(a.Checks) != 2 {
		t.Fatalf("%d checks", len(a.Checks))
	}
	for s, want := range map[Subject]Verdict{SubjectOf(bullpen.ChangeUp, " "): SameBody, SubjectOf(bullpen.ChangeUp, "Wall"): SlowedBody} {
		if c, ok := a.Check(s); !ok || c.Verdict != want || c.Fast != 8 || c.Off != 8 {
			t.Errorf("%+v: %+v", s, c)
		}
	}
	if r, _ := a.Rep("lone"); r.Legs != nil || !strings.Contains(r.Pending, "three other fastballs") {
		t.Errorf("%+v", r)
	}
}

// Why there is no body speed is said of every rep without one.
func TestAssessSaysWhyNot(t *testing.T) {
	reps := session(4, bullpen.ViewSide, 1, 1, 0.02)
	unsure := foundRep("unsure", bullpen.ChangeUp, bullpen.ViewSide, 0.45, 0.13)
	unsure.Found.Plant.Sure = false
	bare := RepTiming{RepID: "bare", Pitch: bullpen.ChangeUp, Full: true, View: bullpen.ViewSide, Marked: Unknown(), Gaps: Unknown()}
	warm := foundRep("warm", bullpen.ChangeUp, bullpen.ViewSide, 0.45, 0.13)
	warm.Full = false
	a := Assess(append(reps, unsure, bare, warm), Options{})
	for id, want := range map[string]string{"unsure": "front-foot plant could not be found", "bare": "Mark drive and front-foot plant", "warm": "warm-up"} {
		if r, _ := a.Rep(id); r.Legs != nil || !strings.Contains(r.Pending, want) {
			t.Errorf("%s: %q", id, r.Pending)
		}
	}
	for _, r := range a.Reps[:8] {
		if r.Legs == nil || r.Pending != "" {
			t.Errorf("%+v", r)
		}
	}
}

// The split speaks her unit.
func TestSplitInKMH(t *testing.T) {
	gaps := map[Subject]MeanGap{{Pitch: bullpen.ChangeUp}: {Baseline: 54, Gap: 10, U: 0.4}}
	c := only(t, Assess(session(8, bullpen.ViewSide, 1.15, 1.15, 0.02), Options{Gaps: gaps, Unit: bullpen.KMH}))
	// 10 mph is 16.09 km/h; 54 mph less 54/1.15 mph is 7.04 mph, 11.3 km/h.
	if !strings.HasPrefix(c.Split.Sentence, "Of the gap of 16.1 km/h her legs made about 11 and grip and hand about 5. Worked out, not measured") || c.Split.Line != "all change-ups: mean gap 16.1, legs about 11, grip and hand about 5" {
		t.Errorf("%q %q", c.Split.Sentence, c.Split.Line)
	}
}

// The parts in words add up to the gap, and none lies beside its own range, also where
// the legs were faster than on the fastballs or gave more than the whole gap.
func TestSplitWordsAgreeWithThemselves(t *testing.T) {
	for _, tt := range []struct {
		gap        float64 // mph, of a fastball of 60
		legs       float64 // times of the fastballs'
		wantLegs   string
		wantOthers string
	}{
		{10, 0.9, "legs about 0 mph", "grip and hand about 10 mph"},
		{10, 1.25, "legs about 10 mph", "grip and hand about 0 mph"},
		{9.4, 1.083, "legs about 5 mph (4 to 5)", "grip and hand about 4 mph (4 to 6)"},
	} {
		g := MeanGap{Baseline: 60, Gap: bullpen.Speed(tt.gap), U: 0.3}
		s := Divide(g, Contrast{Log: math.Log(tt.legs), U: 0.008})
		s.say(SameBody, "change-up", bullpen.MPH)
		if s.LegsWords != tt.wantLegs || s.RestWords != tt.wantOthers {
			t.Errorf("gap %g, legs at %g: %q, %q, want %q, %q", tt.gap, tt.legs, s.LegsWords, s.RestWords, tt.wantLegs, tt.wantOthers)
		}
	}
}
