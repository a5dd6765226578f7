package judged

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"tenoff/internal/bullpen"
	"tenoff/internal/evidence"
	"tenoff/internal/posture"
	"tenoff/internal/store"
	"tenoff/internal/texts"
)

// leaning is the track of a stick body round a release at frame 120 of a film of 60 frames
// a second: her trunk leans forward by so many degrees, all along.
func leaning(lean float64, c bullpen.Clock) posture.Track {
	const torso = 0.2
	var t posture.Track
	for frame := 42; frame <= 141; frame++ {
		s := c.RealSeconds(0, frame)
		hips := 3 / (1 + math.Exp(-5*(s-1.9)))
		p := posture.Pose{Frame: frame, Seconds: s}
		put := func(j posture.Joint, x, y float64) {
			for k, side := range []float64{0.1, -0.1} {
				p.Points[int(j)+k] = posture.Point{X: 0.5 + torso*(x+side), Y: 0.8 - torso*y, Sure: 0.9}
			}
		}
		sin, cos := math.Sincos(lean * math.Pi / 180)
		put(posture.LeftHip, hips, 1.6)
		put(posture.LeftShoulder, hips+sin, 1.6+cos)
		put(posture.LeftElbow, hips+sin, 1.8)
		put(posture.LeftWrist, hips+0.3, 1.4)
		put(posture.LeftKnee, hips, 0.8)
		put(posture.LeftAnkle, hips+0.1, 0)
		t = append(t, p)
	}
	return t
}

// penOf is a bullpen of fastballs and change-ups on a film each, all filmed alike, with
// what her trunk leans on each.
func penOf(fast, off []float64) (Bullpen, Tracks) {
	clock := bullpen.Clock{Num: 1, Den: 60}
	for i := range 200 {
		clock.Ticks = append(clock.Ticks, int64(i))
	}
	level, _ := bullpen.LevelOf("14U")
	facts := Facts{Pitcher: bullpen.NewPitcher("Wren", level), Pen: bullpen.Bullpen{ID: "b", Gun: bullpen.BehindCatcher, Unit: bullpen.MPH, Step: 1}}
	leans := map[string]float64{}
	for i, lean := range append(append([]float64{}, fast...), off...) {
		id := string(rune('a' + i))
		pitch := bullpen.Fastball
		if i >= len(fast) {
			pitch = bullpen.ChangeUp
		}
		facts.Films = append(facts.Films, store.Film{Film: bullpen.Film{ID: id, State: bullpen.FilmReady, Width: 1280, Height: 720, Clock: clock}})
		facts.Reps = append(facts.Reps, bullpen.Rep{ID: id, FilmID: id, Order: i + 1, Pitch: pitch, Release: 120, Drive: bullpen.Unmarked, Plant: 114, Top: bullpen.Unmarked})
		leans[id] = lean
	}
	return Of(facts), func(f store.Film, frame int) (posture.Track, error) {
		if lean, ok := leans[f.ID]; ok && !math.IsNaN(lean) {
			return leaning(lean, f.Clock), nil
		}
		return nil, nil
	}
}

// A trunk that leans nine degrees more on change-ups is said, as much as it was on these;
// one that does not is not, and the sentence says what would have been seen.
func TestMoves(t *testing.T) {
	dice := rand.New(rand.NewPCG(4, 2))
	about := func(n int, mean float64) (out []float64) {
		for range n {
			out = append(out, mean+dice.NormFloat64())
		}
		return out
	}
	mean := func(v []float64) float64 {
		sum := 0.0
		for _, x := range v {
			sum += x / float64(len(v))
		}
		return sum
	}
	fast, off := about(6, 5), about(5, 14)
	b, tracks := penOf(fast, off)
	moves, err := b.Moves(tracks)
	if err != nil || len(moves) != 1 || moves[0].Fast != 6 || moves[0].Off != 5 {
		t.Fatalf("%+v, %v", moves, err)
	}
	clear := moves[0].Clear()
	if len(clear) == 0 || len(clear) > mostMoves {
		t.Fatalf("%d differences", len(clear))
	}
	found := false
	for _, d := range clear {
		if d.Kind == posture.LeanRelease {
			found = math.Abs(d.By.Value-(mean(off)-mean(fast))) < 0.2
			if said := MoveSentence(d); !strings.HasPrefix(said, "At release her trunk leans ") || !strings.HasSuffix(said, " degrees further over the front leg.") {
				t.Errorf("said %q", said)
			}
		} else if d.Kind != posture.LeanPlant {
			t.Errorf("%s is said to differ: %s", d.Kind, MoveSentence(d))
		}
	}
	if !found {
		t.Errorf("the lean at release is not among %+v", clear)
	}

	b, tracks = penOf(about(6, 5), about(5, 5))
	moves, err = b.Moves(tracks)
	if err != nil || len(moves) != 1 || len(moves[0].Clear()) != 0 || !strings.Contains(moves[0].Sentence(), "Nothing in how she moves differs") || !strings.Contains(moves[0].Sentence(), "would most likely have been seen") {
		t.Errorf("%+v, %v", moves, err)
	}
}

// Too few deliveries, and such whose joints nobody saw, are not compared; drills and
// warm-ups are other movements.
func TestMovesOfFew(t *testing.T) {
	nobody := math.NaN()
	b, tracks := penOf([]float64{5, 6, 7, nobody}, []float64{9, 10, nobody})
	moves, err := b.Moves(tracks)
	if err != nil || len(moves) != 1 || len(moves[0].Differences) != 0 || !strings.Contains(moves[0].Sentence(), "there are 2 and 3") {
		t.Errorf("%+v, %v", moves, err)
	}
	moves[0].Pitch = bullpen.OffSpeed
	if got := moves[0].Sentence(); !strings.HasPrefix(got, "How she moves on her off-speed pitches is said from ") {
		t.Errorf("said %q", got)
	}
	b, tracks = penOf([]float64{5, 6, 7}, []float64{9, 10, 11})
	for i := range b.Reps[3:] {
		b.Reps[3+i].Drill = "snap"
	}
	b.Reps[0].WarmUp = true
	if moves, err := b.Moves(tracks); err != nil || len(moves) != 0 {
		t.Errorf("drills are compared: %+v, %v", moves, err)
	}
}

// What a pitcher and her parents are told is the surest difference in one sentence, in
// their language; that nothing differs; nothing where too few were seen; and never how far
// her feet are apart.
func TestMovesTold(t *testing.T) {
	clearly := func(k posture.Kind, by float64) posture.Difference {
		return posture.Difference{Kind: k, Fast: 4, Off: 4 + by, By: evidence.Estimate{Value: by, Scale: math.Abs(by) / 10, DF: 1000}, Clear: true}
	}
	m := Moves{Pitch: bullpen.ChangeUp, Baseline: bullpen.Fastball, Fast: 6, Off: 6}
	if got := m.Told(texts.English); got != "" {
		t.Errorf("of too few: %q", got)
	}
	m.Differences = []posture.Difference{clearly(posture.Stride, -0.4), clearly(posture.LeanRelease, 10), clearly(posture.HipsOpen, -60)}
	for l, want := range map[texts.Language]string{
		texts.English: "On her change-ups her upper body leans 8 to 12 degrees further over the front leg at release than on her fastballs.",
		texts.Spanish: "En sus cambios el tronco se inclina de 8 a 12 grados más sobre la pierna de adelante al soltar la bola que en sus rectas.",
	} {
		if got := m.Told(l); got != want {
			t.Errorf("%s: %q, want %q", l, got, want)
		}
	}
	for l, want := range map[texts.Language]string{
		texts.English: "On your change-ups your upper body leans 8 to 12 degrees further over the front leg at release than on your fastballs.",
		texts.Spanish: "En tus cambios el tronco se inclina de 8 a 12 grados más sobre la pierna de adelante al soltar la bola que en tus rectas.",
	} {
		if got := m.ToHer(l); got != want {
			t.Errorf("to her, %s: %q, want %q", l, got, want)
		}
	}
	m.Differences = m.Differences[2:]
	if got, want := m.Told(texts.English), "On her change-ups her hips open 48 to 72 ms later than on her fastballs."; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	m.Differences = []posture.Difference{clearly(posture.Stride, -0.4)}
	if got := m.Told(texts.English); got != "" {
		t.Errorf("of a shorter stride: %q", got)
	}
	m.Differences = []posture.Difference{clearly(posture.LeanRelease, 10)}
	m.Differences[0].Clear = false
	if got := m.Told(texts.English); got != "" {
		t.Errorf("of nothing: %q", got)
	}
}

// How she moves is followed over bullpens that were filmed from one place, what ever
// clearly differed first; one that was filmed from elsewhere is counted and left out.
func TestMovesOverWeeks(t *testing.T) {
	week := func(id string, at seenFrom, lean float64, clear bool) MovesWeek {
		by := func(k posture.Kind, v float64, clear bool) posture.Difference {
			return posture.Difference{Kind: k, Fast: 4, By: evidence.Estimate{Value: v, Scale: 1, DF: 1e6}, Clear: clear}
		}
		return MovesWeek{id, "2026-04-11", Moves{Pitch: bullpen.ChangeUp, at: at, Differences: []posture.Difference{
			by(posture.LeanPlant, 0, false), by(posture.HipsOpen, -3, false), by(posture.HipSpeed, -0.4, false), by(posture.ArmSlot, 0, false), by(posture.LeanRelease, lean, clear),
		}}}
	}
	side, behind := seenFrom{view: bullpen.ViewSide, rate: 60}, seenFrom{view: bullpen.ViewBehind, rate: 60}
	got := followMoves([]MovesWeek{week("d", behind, 1, false), week("c", side, 6, true), week("b", side, 1, false), week("a", side, -0.2, false)})
	if got.View != bullpen.ViewSide || got.Elsewhere != 1 || len(got.Weeks) != 3 || got.Weeks[0].BullpenID != "c" || len(got.Kinds) != mostMoves || got.Kinds[0] != posture.LeanRelease {
		t.Fatalf("%+v", got)
	}
	for i, want := range []string{"+6 (4 to 8)", "+1 (−1 to 3)", "0 (−2 to 2)"} {
		if said, clear := got.Weeks[i].Cell(posture.LeanRelease); said != want || clear != (i == 0) {
			t.Errorf("week %d: %q, clear %t, want %q", i, said, clear, want)
		}
	}
	if said, _ := got.Weeks[0].Cell(posture.HipSpeed); !strings.HasPrefix(said, "−10 (") {
		t.Errorf("hips a tenth slower are said as %q", said)
	}
	if said, _ := got.Weeks[0].Cell(posture.FrontKnee); said != "" {
		t.Errorf("what was not measured is said as %q", said)
	}
	// Where nobody said from where, each bullpen is a place of its own.
	unsaid := func(id string) MovesWeek { return week(id, seenFrom{rate: 60}, 1, false) }
	if got := followMoves([]MovesWeek{unsaid("c"), unsaid("b"), week("a", side, 1, false)}); len(got.Weeks) != 1 || got.Elsewhere != 2 {
		t.Errorf("of unsaid places: %+v", got)
	}
	if got := followMoves([]MovesWeek{unsaid("c"), week("b", side, 1, false), week("a", side, 1, false)}); len(got.Weeks) != 2 || got.View != bullpen.ViewSide {
		t.Errorf("of a place twice and one unsaid: %+v", got)
	}
	if got := followMoves(nil); len(got.Weeks) != 0 {
		t.Errorf("of nothing: %+v", got)
	}
}

// What one camera easily misses is said: that it was not seen, or how large it would have
// had to be; nothing of what clearly differs, nor where nothing was compared.
func TestMovesUnseen(t *testing.T) {
	m := Moves{Pitch: bullpen.ChangeUp, Baseline: bullpen.Fastball, Fast: 6, Off: 6}
	if got := m.Unseen(); len(got) != 0 {
		t.Errorf("of too few: %q", got)
	}
	hips := posture.Difference{Kind: posture.HipsOpen, Fast: 380, Off: 370, By: evidence.Estimate{Value: -10, Scale: 15, DF: 10}}
	m.Differences = []posture.Difference{hips}
	got := m.Unseen()
	// Quantiles of Student's t with 10 degrees of freedom, from R: qt(1 - 0.025/2, 10) and
	// qt(0.8, 10).
	want := fmt.Sprintf("Her hips would have had to open about %.0f ms earlier or later for it to be seen.", math.Ceil((2.633767+0.879058)*15))
	if len(got) != 2 || got[0] != want || !strings.HasPrefix(got[1], "Where her hand is as she lets go was seen on too few of these; more light") {
		t.Errorf("%q, want %q and that her hand is not seen", got, want)
	}
	if said := m.Sentence(); !strings.HasSuffix(said, "by more than they differ among themselves.") {
		t.Errorf("of a trunk that was not seen: %q", said)
	}
	lean := func(k posture.Kind, scale float64) posture.Difference {
		return posture.Difference{Kind: k, By: evidence.Estimate{Value: 1, Scale: scale, DF: 10}}
	}
	for _, c := range []struct {
		seen []posture.Difference
		want string
	}{
		{[]posture.Difference{lean(posture.LeanPlant, 2)}, "8 degrees further at front-foot plant"},                      // 2 times 3.51, as above
		{[]posture.Difference{lean(posture.LeanPlant, 2), lean(posture.LeanRelease, 1)}, "4 degrees further at release"}, // qt(1 - 0.025/4, 10) is 3.038
	} {
		m := Moves{Pitch: bullpen.ChangeUp, Baseline: bullpen.Fastball, Fast: 6, Off: 6, Differences: c.seen}
		if said := m.Sentence(); !strings.Contains(said, "; a trunk that leans "+c.want+" would most likely have been seen.") {
			t.Errorf("%q does not say %q", said, c.want)
		}
	}
	for _, said := range got {
		if strings.Contains(said, "smear") || strings.Contains(said, "one frame to the next") {
			t.Errorf("%q gives a cause that nobody checked", said)
		}
	}
	m.Differences[0].Clear = true
	if got := m.Unseen(); len(got) != 1 || strings.Contains(got[0], "hips") {
		t.Errorf("of hips that clearly open otherwise: %q", got)
	}
}
