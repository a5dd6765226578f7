package server

import (
	"fmt"
	"math"
	"strconv"

	"tenoff/internal/bullpen"
	"tenoff/internal/server/wire"
	"tenoff/internal/trace"
)

// filmSpeedOf returns v, which the film says beside a reading, as the API says it.
func filmSpeedOf(v trace.FilmSpeed, reading *wire.Reading) *wire.FilmSpeed {
	out := &wire.FilmSpeed{Meant: (*wire.Reading)(v.Meant)}
	if v.Speed > 0 {
		speed, u := wire.SpeedOf(v.Speed), wire.SpeedOf(v.U)
		out.Speed, out.U = &speed, &u
	}
	if v.Doubt != trace.NoDoubt && reading != nil {
		out.Doubt = doubtSentence(v, *reading)
	}
	return out
}

// doubtSentence names the likely cause, in the unit of the reading.
func doubtSentence(v trace.FilmSpeed, r wire.Reading) string {
	film := fmt.Sprintf("The film says about %.0f %s", math.Round(v.Speed.In(r.Unit)), r.Unit)
	typed := strconv.FormatFloat(r.Value, 'f', -1, 64)
	switch {
	case v.Doubt == trace.DigitsSwapped && v.Meant != nil:
		return fmt.Sprintf("%s: were the digits of %s swapped?", film, typed)
	case v.Doubt == trace.OtherUnit && v.Meant != nil:
		return fmt.Sprintf("%s: is %s in %s?", film, typed, v.Meant.Unit)
	case v.Doubt == trace.OthersPop:
		return fmt.Sprintf("%s fits her other readings, but not the pop that the film has after this release: the pop may be another glove’s.", typed)
	}
	return fmt.Sprintf("%s: is %s somebody else’s pitch, or a slip?", film, typed)
}

// slowDoubtOf returns what is said of a film that seems slowed.
func slowDoubtOf(filmID string, times float64) wire.SlowDoubt {
	return wire.SlowDoubt{FilmID: filmID, Times: times, Sentence: fmt.Sprintf(
		"All film speeds are %s of the gun’s: was this filmed in slow motion?", shareWords(times))}
}

// looksSlow returns what is said of a film whose motion seems slowed.
func looksSlow(f bullpen.Film) wire.SlowDoubt {
	return wire.SlowDoubt{FilmID: f.ID, Times: f.FoundSlow, Sentence: fmt.Sprintf(
		"Is this film in slow motion? A delivery lasts about %s times as long on it as in life; nothing found on it is sure before you say.", strconv.FormatFloat(f.FoundSlow, 'f', -1, 64))}
}

// distanceDoubtOf returns what is said of a film whose flights fit another pitching
// distance than the one that is set.
func distanceDoubtOf(filmID string, fits, set float64) wire.DistanceDoubt {
	feet := func(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
	return wire.DistanceDoubt{FilmID: filmID, Feet: fits, Sentence: fmt.Sprintf(
		"All film speeds fit a pitching distance of about %s ft: is %s ft right?", feet(fits), feet(set))}
}

// shareWords says one part in times: a quarter, an eighth.
func shareWords(times float64) string {
	words := map[float64]string{2: "half", 4: "a quarter", 5: "a fifth", 8: "an eighth", 10: "a tenth", 16: "a sixteenth"}
	if w, ok := words[times]; ok {
		return w
	}
	return fmt.Sprintf("%.0f %%", 100/times)
}
