package shelf

import (
	"testing"

	"tenoff/internal/bullpen"
	"tenoff/internal/judged"
	"tenoff/internal/store"
)

// What changes no word in a clip leaves it the clip that it was: of one that is not, the
// film may be gone. These are digests of clips in Spanish that were made before clips in
// English came to speak of pitches and of too slow.
func TestClipsStayThoseTheyWere(t *testing.T) {
	level, _ := bullpen.LevelOf("14U")
	her := bullpen.NewPitcher("Wren", level)
	her.Language = "es"
	film := store.Film{Film: bullpen.Film{ID: "f", SHA256: "00", State: bullpen.FilmReady, Width: 640, Height: 360, Clock: bullpen.Clock{Num: 1, Den: 60, Slow: 1}}}
	for i := range int64(600) {
		film.Clock.Ticks = append(film.Clock.Ticks, i)
	}
	facts := judged.Facts{Pitcher: her, Pen: bullpen.Bullpen{ID: "b", Gun: bullpen.BehindCatcher, Unit: bullpen.MPH, Step: 1}, Films: []store.Film{film}}
	for i, p := range []bullpen.Pitch{bullpen.Fastball, bullpen.ChangeUp} {
		facts.Reps = append(facts.Reps, bullpen.Rep{
			ID: string(p), BullpenID: "b", FilmID: "f", Order: i + 1, Set: 1, Number: i + 1, Pitch: p,
			Reading: &bullpen.Reading{Value: float64(55 - 10*i), Unit: bullpen.MPH, Step: 1, Gun: bullpen.BehindCatcher},
			Release: 200 + 200*i, Drive: 170 + 195*i, Plant: 194 + 200*i, Top: bullpen.Unmarked,
		})
	}
	b := judged.Of(facts)
	shotOfPitch := func(p bullpen.Pitch) shot {
		x, err := shotOf(b, string(p))
		if err != nil {
			t.Fatal(err)
		}
		return x
	}
	off, fast := shotOfPitch(bullpen.ChangeUp), shotOfPitch(bullpen.Fastball)
	for _, c := range []struct {
		name, want string
		scene      scene
	}{
		{"one rep", "1236bb29a98404132cd86a155ef6be13", sceneOf(Options{Label: true, Body: true}, off)},
		{"two, with their instants", "5e9de64d17a054ebd78860ef773bd9ed", sceneOf(Options{Phases: true}, off, fast)},
	} {
		if len(c.scene.shots) == 2 && c.scene.Chart == nil {
			t.Error("the instants are not shown")
		}
		if got, err := c.scene.digest(); err != nil || got != c.want {
			t.Errorf("%s: %s, %v; want %s", c.name, got, err, c.want)
		}
	}
}
