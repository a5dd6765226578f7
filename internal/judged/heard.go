package judged

import (
	"tenoff/internal/bullpen"
	"tenoff/internal/propose"
	"tenoff/internal/trace"
)

// against is what the films say against readings, by rep. That a pop is not this rep's
// says nothing of the reading, which is like her others.
func against(heard propose.FilmSpeeds) map[string]bullpen.FilmSays {
	out := map[string]bullpen.FilmSays{}
	for id, v := range heard.Speeds {
		if v.Doubt != trace.NoDoubt && v.Doubt != trace.OthersPop {
			out[id] = bullpen.FilmSays{Speed: v.Speed, Meant: v.Meant}
		}
	}
	return out
}

// FilmSpeed is a film's second opinion on a reading.
type FilmSpeed struct {
	Speed, U bullpen.Speed // at release, mph, and its standard uncertainty; 0 for none
	Asks     bool          // it speaks against the reading, and nobody said that that is right
	Note     string        // why a pop that was heard tells no speed; "" otherwise
}

// FilmSpeed is the second opinion on rep i's reading; ok is false where the film has none.
func (b Bullpen) FilmSpeed(i int) (said FilmSpeed, ok bool) {
	r := b.Reps[i]
	v, ok := b.Heard.Speeds[r.ID]
	if !ok {
		return said, false
	}
	said = FilmSpeed{Speed: v.Speed, U: v.U}
	if _, against := b.Pen.Against[r.ID]; against {
		said.Asks = !r.Sure
	}
	if v.Doubt == trace.OthersPop {
		said.Note = "Her reading is like her others, but the pop on the film is not: it may be another glove’s."
	}
	return said, true
}
