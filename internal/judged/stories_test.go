package judged

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"tenoff/internal/bullpen"
	"tenoff/internal/store"
	"tenoff/internal/texts"
)

// story is a bullpen as it is thrown: readings and legs of each rep, filmed from the side
// at 240 frames a second.
type story struct {
	pitches  []bullpen.Pitch
	readings []float64 // mph
	legs     []float64 // seconds from drive to front-foot plant
}

func (s story) judged() Bullpen {
	level, _ := bullpen.LevelOf("14U")
	f := store.Film{Film: bullpen.Film{ID: "film", State: bullpen.FilmReady, View: bullpen.ViewSide}}
	f.Clock = bullpen.Clock{Num: 1, Den: 240, Slow: 1}
	for i := range 1000 * (len(s.pitches) + 1) {
		f.Clock.Ticks = append(f.Clock.Ticks, int64(i))
	}
	facts := Facts{Pitcher: bullpen.NewPitcher("Wren", level), Pen: bullpen.Bullpen{Gun: bullpen.BehindCatcher, Unit: bullpen.MPH, Step: 1}, Films: []store.Film{f}}
	for i, p := range s.pitches {
		drive := 1000*i + 100
		plant := drive + int(math.Round(240*s.legs[i]))
		facts.Reps = append(facts.Reps, bullpen.Rep{
			ID: fmt.Sprint(i), FilmID: "film", Order: i + 1, Pitch: p, Reading: &bullpen.Reading{Value: s.readings[i]},
			Drive: drive, Plant: plant, Top: bullpen.Unmarked, Release: plant + 30,
		})
	}
	return Of(facts)
}

// tells is all that is said of the change-up.
func (b Bullpen) tells() string {
	lines := []string{b.Headline(texts.English)}
	for _, s := range b.Sheet.Summaries {
		if s.Pitch == bullpen.ChangeUp {
			lines = append(lines, bullpen.Tenths(float64(s.MeanGap.MPH))+" under: "+s.Said, s.Drift, s.Mix, s.ComeBackOnSaid)
		}
	}
	for _, c := range b.Body.Checks {
		lines = append(lines, c.Sentence)
	}
	return strings.Join(slices.DeleteFunc(lines, func(l string) bool { return l == "" }), "\n")
}

// tiring loses 3 mph and 6 % of her legs' speed over 60 reps, whatever she throws: her
// change-up is ten off all the while, with the same body.
func tiring(blocked bool) story {
	var s story
	for i := range 60 {
		off := i%2 == 1
		if blocked {
			off = i >= 30
		}
		wave := math.Sin(2.4 * float64(i)) // what differs from rep to rep
		v, legs := 56-3*float64(i)/60+1.2*wave, 0.45*math.Exp(0.06*float64(i)/60+0.02*wave)
		p := bullpen.Fastball
		if off {
			p, v = bullpen.ChangeUp, v-10
		}
		s.pitches, s.readings, s.legs = append(s.pitches, p), append(s.readings, math.Round(v)), append(s.legs, legs)
	}
	return s
}

// few is one rep of each.
func few() story {
	return story{[]bullpen.Pitch{bullpen.Fastball, bullpen.ChangeUp}, []float64{55, 45}, []float64{0.45, 0.45}}
}

// twoOfEight slows down on her third and fifth change-up.
func twoOfEight() story {
	var s story
	for i := range 16 {
		wave := math.Sin(2.4 * float64(i))
		p, v, legs := bullpen.Fastball, 55+wave, 0.45*math.Exp(0.015*wave)
		if i%2 == 1 {
			p, v = bullpen.ChangeUp, v-10
		}
		if i == 5 || i == 9 {
			v, legs = v-2, legs/0.86
		}
		s.pitches, s.readings, s.legs = append(s.pitches, p), append(s.readings, math.Round(v)), append(s.legs, legs)
	}
	return s
}

// Three stories, told whole. A kid who tires is not told that her change-up is soft, nor
// that her body slowed for it; of one rep of each nothing is claimed; and reps that slowed
// are named, the others not averaged with them.
func TestStories(t *testing.T) {
	for _, c := range []struct {
		name  string
		story story
		want  string
	}{
		{"tiring, in turn", tiring(false), `30 of 30 about ten off. Same body.
10 under: in the band
Her fastball fell from 56 to 53.1 mph while she threw: gaps count from where it was.
Her legs kept up with her fastball: no slow-down of the legs larger than 1 % seen.`},
		{"tiring, fastballs first", tiring(true), `30 of 30 about ten off. Same body.
10.1 under: in the band
Her fastball fell from 56 to 53.2 mph while she threw: gaps count from where it was.
Next time mix fastballs and change-ups: one after the other, tiring or warming up looks like part of the gap.
Her legs kept up with her fastball: no slow-down of the legs larger than 4 % seen.`},
		{"one of each", few(), `So far 1 of 1 about ten off.
10 under: in the band, on the edge of too firm, so far
There is film of 1 fastball, which is too few to compare.`},
		{"two of eight", twoOfEight(), `7 of 8 about ten off. Legs slowed: reps 6 and 10.
10.4 under: in the band
Slowed body on 2 of 8 change-ups (reps 6 and 10); the other 6 same body: no slow-down larger than 3 % seen.`},
	} {
		if got := c.story.judged().tells(); got != c.want {
			t.Errorf("%s:\n%s\n\nwant:\n%s", c.name, got, c.want)
		}
	}
}
