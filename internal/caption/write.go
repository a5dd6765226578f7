package caption

import "io"

// WriteASS writes cues to be burned in on bar. frameDelay
func WriteASS(w io.Writer, cues []Cue, bar Bar) error { return nil }

// WriteVTT writes cues as WebVTT.
func WriteVTT(w io.Writer, cues []Cue) error { return nil }

// WriteSRT writes cues as SubRip text.
func WriteSRT(w io.Writer, cues []Cue) error { return nil }
