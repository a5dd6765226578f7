package bullpen

import (
	"fmt"
	"math"
	"strconv"
)

// FilmSays is what a film says against a reading: gun and film can't both be right.
type FilmSays struct {
	Speed Speed    // of the ball, mph
	Meant *Reading // the slip that makes both right: digits swapped, or the other unit; nil for none
}

// against asks about the reading what the film says, beside what is asked already.
func (f FilmSays) against(r Reading, asked Question) Question {
	said := fmt.Sprintf("The film says about %.0f %s", math.Round(f.Speed.In(r.Unit)), r.Unit)
	if asked.Sentence != "" {
		asked.Sentence += " " + said + "."
		if asked.Meant == nil && asked.Pitch == "" {
			asked.Meant = f.Meant
		}
		return asked
	}
	typed := strconv.FormatFloat(r.Value, 'f', -1, 64)
	switch {
	case f.Meant == nil:
		return Question{Sentence: fmt.Sprintf("%s: is %s somebody else’s pitch, or a slip?", said, typed)}
	case f.Meant.Unit != r.Unit:
		return Question{Sentence: fmt.Sprintf("%s: is %s in %s?", said, typed, f.Meant.Unit), Meant: f.Meant}
	}
	return Question{Sentence: fmt.Sprintf("%s: were the digits of %s swapped?", said, typed), Meant: f.Meant}
}
