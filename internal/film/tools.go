package film

import "context"

// Toolbox is what this machine has for reading and cutting films.
type Toolbox struct {
	FFmpeg  string // version, "" if there is none
	FFprobe string
	Lacks   []string // what is missing, each a sentence that says what it is for and how to get it
}

// Tools looks at the ffmpeg of this machine. The error is ctx's only.
func Tools(ctx context.Context) (Toolbox, error) { return Toolbox{}, errNotYet }
