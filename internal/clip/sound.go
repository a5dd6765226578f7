package clip

import (
	"fmt"
	"math"
	"strconv"

	ff "github.com/u2takey/ffmpeg-go"
)

const samples = 48000 // a second

// sound takes the sound that belongs to the clip's ticks 0..length, silence where
// the film has none, exactly as long as the clip. Slowed film is played faster
// and its sound with it, so that it stays with the picture.
func (t timeline) sound(in *ff.Stream, until, length int64) *ff.Stream {
	s := t.source
	second := func(tick int64) float64 { // of the file
		return (float64(s.ticks(t.release)) + float64(tick-t.at)/t.factor) / rate
	}
	from := float(second(0))
	whole := strconv.FormatInt(rescale(length, samples, rate), 10)
	a := picture{in.Get(itoa(int64(s.Cut.Audio)))}.
		then("atrim", "start="+from, "end="+float(second(until))).
		then("asetpts", fmt.Sprintf("PTS-%s/TB", from)).
		then("aresample", strconv.Itoa(samples))
	if t.factor != 1 {
		a = a.then("asetrate", strconv.Itoa(int(math.Round(samples/t.factor))))
	}
	return a.then("aresample", strconv.Itoa(samples), "async=1", "first_pts=0").
		then("apad", "whole_len="+whole).
		then("atrim", "end_sample="+whole).Stream
}
