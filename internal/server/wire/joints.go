package wire

import (
	"cmp"
	"math"
	"slices"

	"tenoff/internal/bullpen"
	"tenoff/internal/posture"
)

// Joints are where her joints are in a run of frames.
type Joints struct {
	From  int    `json:"from" doc:"the run's first frame"`
	To    int    `json:"to" doc:"its last; what is said counts for all frames between"`
	Found bool   `json:"found" doc:"false: these frames were not looked at"`
	Poses []Pose `json:"poses" nullable:"false" doc:"by rising frame; a frame that repeats the one before it has none"`
}

// Pose is where her joints are in one frame.
type Pose struct {
	Frame  int          `json:"frame"`
	Lean   *float64     `json:"lean,omitempty" doc:"how far her trunk leans forward from upright, whole degrees as the camera sees it; missing where it is not seen"`
	Hips   *float64     `json:"hips,omitempty" doc:"how wide her hips look, whole per cent of the widest until release"`
	Joints [][3]float64 `json:"joints" nullable:"false" doc:"for each of the 17 COCO keypoints x and y, both in heights of the picture from its top left corner, and how sure it is, 0 to 1"`
}

// JointsOf returns a track as the API says it; nil is frames that were not looked at.
// releases are those of the deliveries in it, real seconds.
func JointsOf(from, to int, track posture.Track, releases []float64) Joints {
	var body *posture.Body
	if len(track) > 1 {
		if b, err := posture.Of(track, track.Rate()); err == nil {
			body = b
		}
	}
	out := Joints{From: from, To: to, Found: track != nil, Poses: make([]Pose, len(track))}
	for i, p := range track {
		joints := make([][3]float64, len(p.Points))
		for k, q := range p.Points {
			joints[k] = [3]float64{fine(q.X), fine(q.Y), math.Round(100*q.Sure) / 100}
		}
		out.Poses[i] = Pose{Frame: p.Frame, Joints: joints}
		if body == nil || len(releases) == 0 {
			continue
		}
		nearest := slices.MinFunc(releases, func(a, b float64) int { return cmp.Compare(math.Abs(a-p.Seconds), math.Abs(b-p.Seconds)) })
		if l, ok := body.LinesAt(p.Seconds, nearest); ok {
			out.Poses[i].Lean, out.Poses[i].Hips = new(math.Round(l.Lean.Value)+0), new(math.Round(100*l.HipsWide))
		}
	}
	return out
}

// fine rounds to a ten-thousandth: a tenth of a pixel.
func fine(v float64) float64 { return math.Round(1e4*v) / 1e4 }

// MovesList is how she moves on each of her off-speed pitches.
type MovesList struct {
	Pitches []Moves `json:"pitches" nullable:"false" doc:"those of which joints were measured; none: of no pitch"`
}

// Moves is how she moves on one pitch against her own fastballs of the bullpen.
type Moves struct {
	Pitch       bullpen.Pitch `json:"pitch"`
	Fast        int           `json:"fast" doc:"fastballs in which joints were measured"`
	Off         int           `json:"off" doc:"reps of this pitch in which they were"`
	Sentence    string        `json:"sentence" doc:"what was compared, or why nothing was"`
	Differences []string      `json:"differences" nullable:"false" doc:"what differs, a sentence each with its range of 95 %; four at most"`
	Unseen      []string      `json:"unseen" nullable:"false" doc:"what one camera easily misses: why it is not seen here, or how large it would have had to be, a sentence each"`
}

// MovesWeeks is how she moves on each of her off-speed pitches, bullpen by bullpen.
type MovesWeeks struct {
	Pitches []MovesOver `json:"pitches" nullable:"false" doc:"those that were compared in two bullpens filmed from one place"`
}

// MovesOver is how she moves on one pitch over bullpens that were filmed from one place.
type MovesOver struct {
	Pitch     bullpen.Pitch `json:"pitch"`
	View      bullpen.View  `json:"view" doc:"from where these were filmed"`
	Elsewhere int           `json:"elsewhere" doc:"bullpens left out because they were filmed from elsewhere"`
	Measures  []string      `json:"measures" nullable:"false" doc:"what is followed, with its unit: at most four, those that ever clearly differed first"`
	Weeks     []MovesWeek   `json:"weeks" nullable:"false" doc:"the latest first"`
}

// MovesWeek is one bullpen of it.
type MovesWeek struct {
	BullpenID string      `json:"bullpenId"`
	Day       string      `json:"day" format:"date"`
	Fast      int         `json:"fast" doc:"fastballs in which joints were measured"`
	Off       int         `json:"off" doc:"reps of the pitch in which they were"`
	Cells     []MovesCell `json:"cells" nullable:"false" doc:"one for each measure"`
}

// MovesCell is a difference to her own fastballs of that bullpen.
type MovesCell struct {
	Said  string `json:"said" doc:"with its range of 95 %, +6 (2 to 10); empty: not measured"`
	Clear bool   `json:"clear" doc:"it clearly differs"`
}
