package demo

// FrameTiming is when a camera captures frames, in exact ticks: frame i is captured at
//
//	Step*i + Swing*((7*i) mod 4) + Stall*floor(i/StallEvery) + Late*max(0, i-LateFrom)
//
// ticks. A constant rate has Step only. The formula is a closed one so that
// ffmpeg can compute the same integers from the frame's number.
type FrameTiming struct {
	TickRate   int64 // ticks per second
	Step       int64 // ticks from one frame to the next
	Swing      int64 // jitter
	Stall      int64 // a longer wait ...
	StallEvery int64 // ... every so many frames
	Late       int64 // from frame LateFrom on, every frame takes this much longer
	LateFrom   int64
}

// FPS returns a constant pace of num/den frames per second, for instance
// FPS(60, 1) or FPS(30000, 1001).
func FPS(num, den int64) FrameTiming {
	if den == 1 && 90000%num == 0 {
		return FrameTiming{TickRate: 90000, Step: 90000 / num}
	}
	return FrameTiming{TickRate: num, Step: den}
}

// Uneven returns a variable pace round num/den frames per second, as phones
// write it: every frame early or late by up to a tenth of a frame, and every
// eleventh wait half a frame longer.
func Uneven(num, den int64) FrameTiming {
	rate := int64(90000)
	step := rate * den / num
	return FrameTiming{TickRate: rate, Step: step, Swing: step / 30, Stall: step / 2, StallEvery: 11}
}

// DimLight returns num/den frames per second that fall to two thirds of that
// from frame from on, as phones do when it gets dark.
func DimLight(num, den, from int64) FrameTiming {
	rate := int64(90000)
	step := rate * den / num
	return FrameTiming{TickRate: rate, Step: step, Late: step / 2, LateFrom: from}
}

// Ticks returns the capture instant of frame i in ticks.
func (p FrameTiming) Ticks(i int) int64 {
	n := int64(i)
	t := p.Step*n + p.Swing*((7*n)%4)
	if p.StallEvery > 0 {
		t += p.Stall * (n / p.StallEvery)
	}
	return t + p.Late*max(0, n-p.LateFrom)
}

// Seconds returns the capture instant of frame i in real seconds.
func (p FrameTiming) Seconds(i int) float64 { return float64(p.Ticks(i)) / float64(p.TickRate) }

// rate returns the nominal frames per second.
func (p FrameTiming) rate() float64 { return float64(p.TickRate) / float64(p.Step) }
