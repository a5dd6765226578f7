package caption

// Bar is the opaque strip under a clip's picture that captions are written on,
// in pixels of the finished clip.
type Bar struct {
	Width, Height int // of the whole clip, bar included
	Top           int // where the bar begins
	Em            int // size of the letters
	Halves        bool
}

// BarFor returns the bar of a clip that is width pixels wide and must hold cues:
// as many rows as the longest of them, split in halves when cues are. The
// picture above it is pictureHeight high. All sizes are even.
func BarFor(width, pictureHeight int, cues []Cue) Bar { return Bar{} }
