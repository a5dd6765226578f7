package demo

import (
	"tenoff/internal/bullpen"
	"tenoff/internal/demo/paint"
)

// Bullpen returns the bullpen that the program shows a newcomer: who threw, the
// practice session it belongs to, and how it is filmed. IDs are left to the
// caller. The whole is invented.
func Bullpen() (bullpen.Pitcher, bullpen.Bullpen, Options) {
	p := bullpen.Pitcher{
		Label: "Wren", Hand: "right", Level: "14U", DistanceFeet: distanceFeet, ExtensionFeet: new(3.6),
		BallKind: ballKind, BaselinePitch: bullpen.Fastball, Policy: bullpen.MeanOf, GunTolerance: 1, Unit: bullpen.MPH,
	}
	b := bullpen.Bullpen{
		Title: "Change-up day", Gun: bullpen.BehindPitcher, Unit: bullpen.MPH, Step: 1,
		Note: drawn,
	}
	const fb, ch = bullpen.Fastball, bullpen.ChangeUp
	reps := []RepSpec{
		{Pitch: fb, Speed: 53.6, Call: bullpen.Strike},
		{Pitch: fb, Speed: 54.4, Call: bullpen.Strike},
		{Pitch: ch, Speed: 44.3, Call: bullpen.Strike},
		{Pitch: ch, Speed: 48.2, Call: bullpen.Ball},
		{Pitch: fb, Speed: 54.1, Call: bullpen.Strike},
		{Pitch: ch, Speed: 41.1, Tempo: Body, Stretch: 1.14, Call: bullpen.Ball},
		{Pitch: fb, Speed: 53.2, Call: bullpen.Ball},
		{Pitch: ch, Speed: 43.6, Call: bullpen.Strike},
		{Pitch: ch, Speed: 38.1, Tempo: Body, Stretch: 1.17, Call: bullpen.Strike},
		{Pitch: fb, Speed: 54.6, Call: bullpen.Strike},
		{Pitch: ch, Speed: 44.8, Call: bullpen.Strike},
		{Pitch: ch, Speed: 43.9, Tempo: ArmLate, Stretch: 1.15, Stiff: true, Call: bullpen.Ball},
		{Pitch: fb, Speed: 53.9, Call: bullpen.Strike},
		{Pitch: ch, Speed: 44.5, Call: bullpen.Strike},
	}
	for i := range reps {
		reps[i].Set, reps[i].Number = 1+i/7, 1+i%7
	}
	o := Options{
		Seed: 7, Width: 1280, Height: 720, Pace: FPS(60, 1), Reps: reps,
		Lead: 2.2, Tail: 1.8, Rest: 6, Noise: 2, Sway: .8, Tags: true,
	}
	return p, b, o
}

// Series returns fast fastballs and off change-ups in turn, the change-ups at the
// given tempo and stretch: the usual session of a test.
func Series(fast, off int, tempo Tempo, stretch float64) []RepSpec {
	var out []RepSpec
	for fast+off > 0 {
		if fast > 0 {
			out = append(out, RepSpec{Pitch: bullpen.Fastball}.filled())
			fast--
		}
		if off > 0 {
			out = append(out, RepSpec{Pitch: bullpen.ChangeUp, Tempo: tempo, Stretch: stretch}.filled())
			off--
		}
	}
	return out
}

// ReadNumber reads the frame number that Options.FrameNumber burnt into a gray
// picture of w by h pixels. In the top left corner there are two rows of 16 square
// cells, each a 48th of the picture's width: the number's bits, the lowest at the
// left and white for one, and under them their complement. ok is false if the two
// rows do not agree.
func ReadNumber(gray []byte, w, h int) (number int, ok bool) { return paint.ReadNumber(gray, w, h) }
