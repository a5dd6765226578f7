package server

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"tenoff/internal/bullpen"
	"tenoff/internal/judged"
	"tenoff/internal/server/wire"
	"tenoff/internal/store"
)

// filmSpeedOf returns what the film says beside rep i's reading, as the API says it.
func filmSpeedOf(b judged.Bullpen, i int) *wire.FilmSpeed {
	said, ok := b.FilmSpeed(i)
	if !ok {
		return nil
	}
	out := &wire.FilmSpeed{Asks: said.Asks, Note: said.Note}
	if said.Speed > 0 {
		speed, u := wire.SpeedOf(said.Speed), wire.SpeedOf(said.U)
		out.Speed, out.U = &speed, &u
	}
	return out
}

// popAfter returns how long after rep i's release its film sounds of the catch, real
// seconds; nil without a pop.
func popAfter(b judged.Bullpen, i int) *float64 {
	r := b.Reps[i]
	v, ok := b.Heard.Speeds[r.ID]
	at := slices.IndexFunc(b.Films, func(f store.Film) bool { return f.ID == r.FilmID })
	if !ok || at < 0 || r.Release < 0 || r.Release >= b.Films[at].Clock.Frames() {
		return nil
	}
	c := b.Films[at].Clock
	seconds := (v.Pop - c.FileSeconds(r.Release)) / c.SlowFactor()
	if !(seconds > 0) { // NaN: no pop
		return nil
	}
	return &seconds
}

// slowDoubtOf returns what is said of a film that seems slowed.
func slowDoubtOf(filmID string, times float64) wire.SlowDoubt {
	return wire.SlowDoubt{FilmID: filmID, Times: times, Sentence: fmt.Sprintf(
		"All film speeds are %s of the gun’s: was this filmed in slow motion?", shareWords(times))}
}

// looksSlow returns what is said of a film whose motion seems slowed.
func looksSlow(f bullpen.Film) wire.SlowDoubt {
	return wire.SlowDoubt{FilmID: f.ID, Times: f.FoundSlow, Sentence: fmt.Sprintf(
		"Is this film in slow motion? What moves like a delivery on it lasts about %s times as long as one in life; nothing found on it is sure before you say.", strconv.FormatFloat(f.FoundSlow, 'f', -1, 64))}
}

// distanceDoubtOf returns what is said of a film whose flights fit another pitching
// distance than the one that is set.
func distanceDoubtOf(filmID string, fits, set float64) wire.DistanceDoubt {
	feet := func(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
	return wire.DistanceDoubt{FilmID: filmID, Feet: fits, Sentence: fmt.Sprintf(
		"All film speeds fit a pitching distance of about %s ft: is %s ft right?", feet(fits), feet(set))}
}

// soundNoteOf returns what is said of a film whose sound lags its picture by late seconds,
// or leads it, and of which nobody accepted that: a distance that is wrong, of feet, looks
// much the same and is asked about first.
func soundNoteOf(f bullpen.Film, late, feet float64) wire.SoundNote {
	out := wire.SoundNote{FilmID: f.ID, Seconds: math.Round(late*100) / 100}
	if f.SoundLate != 0 {
		out.Sentence = fmt.Sprintf("This film’s sound is %s, though you set %s. The film speeds allow for it.", lateWords(late), lateWords(f.SoundLate))
		return out
	}
	out.Sentence = fmt.Sprintf("This film’s sound is %s, or the pitching distance is wrong: is %s ft right? If it is, accept the sound; the film speeds allow for it.",
		lateWords(late), strconv.FormatFloat(feet, 'f', -1, 64))
	return out
}

// asLate is how many seconds apart the sounds of two films are found that one phone recorded
// equally late: about twice what a dozen readings leave open of each (assumed).
const asLate = 0.04

// acceptAll notes which of the sounds may be accepted for all of a bullpen's films at once:
// one film alone may be mistaken, and what somebody set on any was set with care.
func acceptAll(notes []wire.SoundNote, films []store.Film) {
	if slices.ContainsFunc(films, func(f store.Film) bool { return f.SoundLate != 0 }) {
		return
	}
	for i, n := range notes {
		notes[i].All = slices.ContainsFunc(notes, func(o wire.SoundNote) bool {
			return o.FilmID != n.FilmID && math.Abs(o.Seconds-n.Seconds) < asLate
		})
	}
}

// lateWords says by how much a sound is late, seconds; negative: early.
func lateWords(late float64) string {
	switch late = math.Round(late*100) / 100; {
	case late > 0:
		return fmt.Sprintf("about %.2f s late", late)
	case late < 0:
		return fmt.Sprintf("about %.2f s early", -late)
	}
	return "in step with the picture"
}

// shareWords says one part in times: a quarter, an eighth.
func shareWords(times float64) string {
	words := map[float64]string{2: "half", 4: "a quarter", 5: "a fifth", 8: "an eighth", 10: "a tenth", 16: "a sixteenth"}
	if w, ok := words[times]; ok {
		return w
	}
	return fmt.Sprintf("%.0f %%", 100/times)
}
