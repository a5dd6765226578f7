package wire

import (
	"tenoff/internal/bullpen"
	"tenoff/internal/posture"
)

// TellsList is what gives each of her off-speed pitches away.
type TellsList struct {
	Pitches []Tells `json:"pitches" nullable:"false" doc:"those that joints were found of; none: of no pitch"`
}

// Tells is what gives one pitch away against her own fastballs of the bullpen.
type Tells struct {
	Pitch    bullpen.Pitch `json:"pitch"`
	Sentence string        `json:"sentence" doc:"what was looked at and whether anything stands out, or why it can't be told"`
	ToHer    string        `json:"toHer,omitempty" doc:"the same for the pitcher, in her language; missing where it can't be told"`
	Language string        `json:"language" enum:"en,es" doc:"what toHer is in"`
	Caution  string        `json:"caution,omitempty" doc:"what else may look like it in this bullpen"`
	Tells    []Tell        `json:"tells" nullable:"false" doc:"what stands out, the earliest first"`
}

// Tell is one thing that stands out.
type Tell struct {
	Sentence string       `json:"sentence" doc:"when it does first, what, and by how much"`
	On       string       `json:"on" doc:"on how many of both"`
	Fast     [][3]float64 `json:"fast" nullable:"false" doc:"her fastballs' mean pose where it is clearest: for each of the 17 COCO keypoints how far it is forward and up from where she stood, in lengths of her trunk, and 1, or 0 for one that is not seen"`
	Off      [][3]float64 `json:"off" nullable:"false" doc:"likewise of the off-speed pitch"`
	Lit      []int        `json:"lit" nullable:"false" doc:"the keypoints that it is of"`
}

// SpotsOf returns a mean pose as the API says it.
func SpotsOf(pose [posture.Joints]posture.Spot) [][3]float64 {
	out := make([][3]float64, len(pose))
	for i, s := range pose {
		if s.Seen {
			out[i] = [3]float64{fine(s.X), fine(s.Y), 1}
		}
	}
	return out
}
