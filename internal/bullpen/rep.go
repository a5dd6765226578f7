package bullpen

// Event is an instant of a delivery.
type Event string

// The four instants, in the order they happen.
const (
	Drive   Event = "drive"   // the drive leg pushes, the stride foot leaves
	Plant   Event = "plant"   // the stride foot lands
	Top     Event = "top"     // the pitching hand passes 12 o'clock
	Release Event = "release" // the ball leaves the hand
)

// Mark is an instant on a film: a frame index of that film's clock.
type Mark struct {
	FilmID string `json:"filmId"`
	Frame  int    `json:"frame"`
}

// Call is where a pitch went: strike or ball, or not said.
type Call string

// The calls.
const (
	NoCall Call = ""
	Strike Call = "strike"
	Ball   Call = "ball"
)

// Rep is one confirmed pitch of a bullpen.
type Rep struct {
	ID        string
	BullpenID string
	// FilmID is empty for a rep that was only read off the gun. All instants are
	// frame indices of this film; -1 means not marked.
	FilmID                     string
	Drive, Plant, Top, Release int
	Order                      int // 1, 2, 3 ... as thrown within the bullpen
	Pitch                      Pitch
	Reading                    *Reading
	Drill                      string // "" is the full pitch
	Set                        int    // 0: not said
	Number                     int    // rep within the set, 0: not said
	Call                       Call
	Sure                       bool // somebody said that the reading is right, whatever is asked about it
	WarmUp                     bool // thrown, counted in the load, left out of every other number
	Note                       string
	Version                    int64
}

// The most letters that are kept of what is written of a rep, whichever way it comes.
const (
	MostDrill = 80
	MostNote  = 2000
)

// Unmarked is the frame index of an instant that was not marked.
const Unmarked = -1

// Frame returns the frame index of e, or Unmarked.
func (r Rep) Frame(e Event) int {
	switch e {
	case Drive:
		return r.Drive
	case Plant:
		return r.Plant
	case Top:
		return r.Top
	case Release:
		return r.Release
	}
	return Unmarked
}

// OutOfOrder says in one sentence which two instants can't have happened as they
// are marked, "" if all can: the drive comes first and the release last; plant and
// top are close, either way round.
func (r Rep) OutOfOrder() string {
	pairs := []struct{ first, then Event }{
		{Drive, Plant}, {Drive, Top}, {Drive, Release}, {Plant, Release}, {Top, Release},
	}
	for _, p := range pairs {
		if a, b := r.Frame(p.first), r.Frame(p.then); a >= 0 && b >= 0 && b < a {
			return "The " + string(p.then) + " is marked before the " + string(p.first) + "; move one of them."
		}
	}
	return ""
}
