package trace

import "sort"

// levelRate is how many loudness values a second Sound.Level has.
const levelRate = 100

// levelFloor is the loudness, in dB below full scale, that is stored as 0.
const levelFloor = 96

// Sound is what was heard in a film: its sudden sounds, and its loudness for
// drawing. Time 0 is the instant of the first shown frame.
type Sound struct {
	Onsets []Onset
	Level  []uint8 // loudness of each 10 ms: 0 is -96 dB of full scale or less, 255 is full scale
	End    float64 // seconds of sound
}

// Onset is a sudden sound: a glove's pop, a bat, a foot, a clap.
type Onset struct {
	Time float64 // file seconds at which it begins
	Z    float32 // how far it stands out of the sound around it, in standard deviations; above 4
	Peak float32 // natural logarithm of its greatest amplitude between 0.9 and 8 kHz, full scale 0
	Rise float32 // seconds from its beginning to its peak
}

// Envelope returns points pairs of the least and the greatest loudness, scaled
// so that 1 is the film's greatest, over equal spans of [0, seconds] of the file,
// for drawing.
func (s *Sound) Envelope(seconds float64, points int) [][2]float32 {
	times := make([]float64, len(s.Level))
	values := make([]float32, len(s.Level))
	for i, v := range s.Level {
		times[i] = (float64(i) + 0.5) / levelRate
		values[i] = float32(v)
	}
	return decimate(times, values, seconds, points)
}

// between returns the range of indices of the onsets with from <= Time < to.
func (s *Sound) between(from, to float64) (first, last int) {
	before := func(t float64) int {
		return sort.Search(len(s.Onsets), func(i int) bool { return s.Onsets[i].Time >= t })
	}
	return before(from), before(to)
}
