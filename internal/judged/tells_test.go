package judged

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"tenoff/internal/bullpen"
	"tenoff/internal/posture"
	"tenoff/internal/store"
	"tenoff/internal/texts"
)

// besides are n numbers round a mean.
func besides(dice *rand.Rand, n int, mean float64) (out []float64) {
	for range n {
		out = append(out, mean+dice.NormFloat64())
	}
	return out
}

// A trunk that leans nine degrees more on change-ups all along gives them away from the
// first step on, on all of them; one that does not is said to be nothing seen, with what
// would have been.
func TestTells(t *testing.T) {
	dice := rand.New(rand.NewPCG(6, 6))
	b, tracks := penOf(besides(dice, 6, 5), besides(dice, 5, 14))
	all, err := b.Tells(tracks)
	if err != nil || len(all) != 1 || all[0].TooFew != "" || all[0].Fast != 6 || all[0].Off != 5 || len(all[0].Tells) == 0 {
		t.Fatalf("%+v, %v", all, err)
	}
	var lean *Tell
	for i := range all[0].Tells {
		if all[0].Tells[i].Aspect == posture.TrunkLean {
			lean = &all[0].Tells[i]
		}
	}
	if lean == nil || lean.Before < 0.9 || lean.Before > 1.15 || math.Abs(lean.Off-lean.Fast-9) > 2 || lean.OnOff != 5 || lean.SeenOff != 5 || lean.OnFast != 0 || lean.SeenFast != 6 {
		t.Fatalf("%+v", lean)
	}
	// Her shoulders are a torso over her hips, and further forward.
	over := func(pose [posture.Joints]posture.Spot) (x, y float64) {
		return pose[posture.LeftShoulder].X - pose[posture.LeftHip].X, pose[posture.LeftShoulder].Y - pose[posture.LeftHip].Y
	}
	fastX, fastY := over(lean.FastPose)
	offX, _ := over(lean.OffPose)
	if math.Abs(fastY-1) > 0.05 || offX-fastX < 0.12 || offX-fastX > 0.2 {
		t.Errorf("her shoulders are %.2f, %.2f and %.2f from her hips", fastX, fastY, offX)
	}
	if got := lean.Sentence(); !strings.HasPrefix(got, "First seen ") || !strings.Contains(got, ": her trunk leans further forward, by about ") || !strings.HasSuffix(got, " degrees where it is clearest.") {
		t.Errorf("said %q", got)
	}
	if got := lean.On(all[0]); got != "It shows on 5 of 5 change-ups and on 0 of 6 fastballs." {
		t.Errorf("said %q", got)
	}
	if !strings.Contains(all[0].Caution(), "Mix fastballs and change-ups") {
		t.Errorf("thrown in turn, cautioned %q", all[0].Caution())
	}
	all[0].Tells = []Tell{*lean}
	if got := all[0].ToHer(texts.English); got != "" {
		t.Errorf("thrown in turn, told her %q", got)
	}
	all[0].InTurn = false
	feet, late := *lean, *lean
	feet.Aspect, late.Before = posture.FeetApart, 0.06
	all[0].Tells = []Tell{feet, late}
	if got := all[0].ToHer(texts.English); got != "" {
		t.Errorf("of her feet, and of what comes too late: %q", got)
	}
	all[0].Tells = []Tell{feet, *lean}
	if got := all[0].ToHer(texts.English); !strings.HasPrefix(got, "A hitter may see it 1") || !strings.Contains(got, "your upper body leans further forward. It shows on 5 of 5") {
		t.Errorf("told %q", got)
	}
	if got := all[0].ToHer(texts.Spanish); !strings.Contains(got, "tu tronco va más inclinado hacia adelante. Se nota en 5 de 5 cambios y en 0 de 6 rectas.") {
		t.Errorf("told %q", got)
	}

	b, tracks = penOf(besides(dice, 6, 5), besides(dice, 6, 5))
	all, err = b.Tells(tracks)
	if err != nil || len(all) != 1 || len(all[0].Tells) != 0 || !(all[0].Lean >= 3) || all[0].Lean > 8 {
		t.Fatalf("%+v, %v", all, err)
	}
	for got, would := range map[string]string{all[0].Sentence(): " degrees of lean would most likely have been seen", all[0].ToHer(texts.English): " degrees would most likely have shown"} {
		if !strings.HasPrefix(got, "Nothing seen that gives ") || !strings.Contains(got, would) {
			t.Errorf("said %q", got)
		}
	}
}

// Hips that look wide are turned to the side where the camera is there, and from elsewhere
// nobody knows: from behind they may be square to the plate.
func TestWideHipsAreSaidByTheView(t *testing.T) {
	for _, c := range []struct {
		view         bullpen.View
		hers, theirs string
	}{
		{bullpen.ViewSide, "your hips are turned further to the side.", "her hips are turned further to the side, by about"},
		{bullpen.ViewDiagonal, "your hips look wider.", "her hips look wider, by about"},
		{bullpen.ViewBehind, "your hips look wider.", "her hips look wider, by about"},
		{bullpen.ViewUnknown, "your hips look wider.", "her hips look wider, by about"},
	} {
		x := Tell{Aspect: posture.HipsWide, View: c.view, Before: 0.4, Off: 0.4, Fast: 0.2}
		m := Tells{Pitch: bullpen.ChangeUp, Baseline: bullpen.Fastball, Tells: []Tell{x}}
		if got := m.ToHer(texts.English); !strings.Contains(got, c.hers) {
			t.Errorf("from %q she is told %q", c.view, got)
		}
		if got := x.Sentence(); !strings.Contains(got, c.theirs) {
			t.Errorf("from %q it is said %q", c.view, got)
		}
	}
	dice := rand.New(rand.NewPCG(6, 6))
	b, tracks := penOf(besides(dice, 6, 5), besides(dice, 5, 14))
	for i := range b.Films {
		b.Films[i].View = bullpen.ViewSide
	}
	if all, err := b.Tells(tracks); err != nil || len(all) != 1 || len(all[0].Tells) == 0 || all[0].Tells[0].View != bullpen.ViewSide {
		t.Errorf("filmed from the side: %+v, %v", all, err)
	}
}

// With fewer than four of each, and with each pitch on a film of its own, nothing is said.
func TestTellsOfFew(t *testing.T) {
	dice := rand.New(rand.NewPCG(3, 3))
	b, tracks := penOf(besides(dice, 6, 5), besides(dice, 3, 14))
	all, err := b.Tells(tracks)
	if err != nil || len(all) != 1 || all[0].TooFew != FewDeliveries || len(all[0].Tells) != 0 || all[0].ToHer(texts.English) != "" {
		t.Errorf("%+v, %v", all, err)
	}
	if got := all[0].Sentence(); !strings.Contains(got, "Too few to say") || !strings.Contains(got, "there are 3 and 6") {
		t.Errorf("said %q", got)
	}

	b, tracks = penOf(besides(dice, 6, 5), besides(dice, 6, 14))
	for i := range b.Reps { // two films, one of each pitch
		b.Reps[i].FilmID = b.Films[i/6*6].ID
	}
	calls := 0
	each := func(f store.Film, frame int) (posture.Track, error) {
		calls++
		return tracks(store.Film{Film: bullpen.Film{ID: string(rune('a' + calls - 1)), Clock: f.Clock}}, frame)
	}
	all, err = b.Tells(each)
	if err != nil || len(all) != 1 || all[0].TooFew != FilmedApart || !strings.Contains(all[0].Sentence(), "on one film, mixed") {
		t.Errorf("%+v, %v", all, err)
	}
	// One film that shows both is enough.
	calls = 0
	for i := range b.Reps {
		b.Reps[i].FilmID = "a"
	}
	if all, err = b.Tells(each); err != nil || len(all) != 1 || all[0].TooFew != "" || len(all[0].Tells) == 0 {
		t.Errorf("%+v, %v", all, err)
	}
}
