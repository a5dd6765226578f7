package demo

import (
	"cmp"
	"slices"

	"tenoff/internal/bullpen"
	"tenoff/internal/demo/motion"
	"tenoff/internal/demo/sound"
)

// heard is one thing the microphone hears.
type heard struct {
	at, decibels float64 // real seconds of the sound track; dB over the hiss
	put          func(t *sound.Track, at, decibels float64)
}

// strayPops strews other gloves' pops over the film.
func (t *Take) strayPops(d dice) []float64 {
	var at []float64
	if rate := t.o.Sound.OtherPops / 60; rate > 0 {
		for s := d.ExpFloat64() / rate; s < t.seconds(); s += d.ExpFloat64() / rate {
			at = append(at, s)
		}
	}
	return at
}

// hearAll lists what is heard besides the background, and notes in the truth what
// could be taken for a rep's pop.
func (t *Take) hearAll() {
	o := t.o.Sound
	if o.Off {
		return
	}
	d := newDice(t.o.Seed, streamSound, 1)
	decoy := func(kind string, at, decibels float64, put func(*sound.Track, float64, float64)) {
		t.heard = append(t.heard, heard{at, decibels, put})
		t.truth.Decoys = append(t.truth.Decoys, Decoy{kind, t.instant(at)})
	}
	for _, p := range t.pitches {
		arrives := p.release + p.flight + t.hears(p.to) + o.Late
		switch {
		case p.bucket:
			t.heard = append(t.heard, heard{arrives, o.PopLevel - 14, (*sound.Track).Net})
		case p.missed:
			way := bullpen.Way{Metres: backstop - p.from.X, Drag: p.way.Drag}
			wire := motion.Vec{X: backstop, Y: p.to.Y, Z: .6}
			decoy("fence", p.release+way.Seconds(p.speed)+t.hears(wire)+o.Late, o.PopLevel-4, (*sound.Track).Fence)
		default:
			t.heard = append(t.heard, heard{arrives, o.PopLevel + d.normal(1.5), (*sound.Track).Pop})
		}
		if p.returned > 0 {
			decoy("return", p.caught+t.hears(t.pitcher.Joints(p.caught).Grip[motion.Glove])+o.Late, o.PopLevel-9+d.normal(2), (*sound.Track).Pop)
		}
	}
	besides := motion.Vec{X: 13.5, Y: 5} // where other catchers sit
	for _, at := range append(t.otherPops, t.strayPops(d)...) {
		decoy("other pop", at+t.hears(besides)+o.Late, o.PopLevel-5+d.normal(3), (*sound.Track).Pop)
	}
	for _, s := range t.slots {
		t.hearFeet(s, d)
	}
	slices.SortStableFunc(t.heard, func(a, b heard) int { return cmp.Compare(a.at, b.at) })
}

// hearFeet adds what her own body does.
func (t *Take) hearFeet(s slot, d dice) {
	release, timing := s.delivery.Release, s.delivery.Timing
	body := t.pitcher.Joints(release)
	late := t.hears(body.Pelvis) + t.o.Sound.Late
	add := func(at, decibels float64, put func(*sound.Track, float64, float64)) {
		t.heard = append(t.heard, heard{at + late, decibels, put})
	}
	add(release+timing.Plant, 9+d.normal(2), (*sound.Track).Thud)
	add(release+timing.Plant-.06, -2+d.normal(2), (*sound.Track).Scrape)
	add(release-.004, 2+d.normal(2), (*sound.Track).Brush)
	if d.IntN(3) == 0 {
		add(release-.03, 6+d.normal(2), (*sound.Track).Grunt)
	}
}

// Sound returns the sound track, mono, rate samples per file second; sample 0 is
// at the first frame's instant. Nil if the film has none.
func (t *Take) Sound(rate int) []int16 {
	o := t.o.Sound
	if o.Off {
		return nil
	}
	track := sound.NewTrack(t.seconds()+1/t.o.Pace.rate(), t.o.Seed)
	for _, h := range t.heard {
		h.put(track, h.at, h.decibels)
	}
	track.Wind(o.Wind)
	if o.Voices {
		track.Voices(9)
	}
	return track.PCM(rate, float64(t.o.Slow))
}
