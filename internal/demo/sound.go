package demo

// Sound returns the sound track, mono, rate samples per file second; sample 0 is
// at the first frame's instant. Nil if the film has none.
func (t *Take) Sound(rate int) []int16 { return nil }
