package film

import "tenoff/internal/bullpen"

// Products is what the decoding pass made of a film. Its files lie in the folder that
// Read was given.
type Products struct {
	Working string // the working copy: H.264 in MP4, at most 1280 pixels, from time 0
	Strip   string // the pictures along the timeline, for OpenStrip
	Motion  string // a trace.Motion
	Sound   string // a trace.Sound; "" without sound
	// Clock is the film's frame clock as decoded; Ticks[0] is 0. See WorkingTicks
	// for the times in the working copy.
	Clock bullpen.Clock
	Cut   Cut // how to cut from the film
	// Lost is how many frames the file promises and did not give: 0, or a few in a
	// file with damaged spots. Read refuses a file that lost more.
	Lost int
}

// Files returns the names of all files made.
func (m Products) Files() []string {
	var names []string
	for _, n := range []string{m.Working, m.Strip, m.Motion, m.Sound, m.Cut.File} {
		if n != "" {
			names = append(names, n)
		}
	}
	return names
}
