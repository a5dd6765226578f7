package bullpen

import (
	"strings"
	"unicode/utf8"
)

// Drill is one of the instructor's drills.
type Drill struct {
	ID      string
	Name    string
	HowTo   string // a sentence or two: how it is done
	ClipID  string // an example on the shelf, "" for none
	Version int64
}

// Check returns an *Error of code Invalid that says what is wrong with the drill,
// or nil.
func (d Drill) Check() error {
	if strings.TrimSpace(d.Name) == "" || utf8.RuneCountInString(d.Name) > MostDrill || utf8.RuneCountInString(d.HowTo) > 600 {
		return Errorf(Invalid, "A drill needs a name of at most %d letters, and a how-to of at most 600.", MostDrill)
	}
	return nil
}

// StarterDrills is the list an instructor begins with, in the trade's general words
// (common practice, no source). All of it can be changed and removed.
var StarterDrills = []Drill{
	{Name: "Wrist snap", HowTo: "Stand close to the net, arm down at the hip, and snap the ball with wrist and fingers only."},
	{Name: "K position", HowTo: "Feet apart and open to the side, arm up at the top of the circle; come down and let go at the hip."},
	{Name: "Full circle, feet set", HowTo: "Feet set in the open stance: one whole arm circle, no stride, let go at the hip."},
	{Name: "Walk-through", HowTo: "Walk two steps into the pitch and let the weight carry you through, at the speed of your fastball."},
	{Name: "One knee", HowTo: "Kneel on the knee of your throwing side, chest open to the side, and throw a whole circle from there."},
	{Name: "Same body, two grips", HowTo: "Throw a fastball, then a change-up, in turn: legs, hips and arm as fast on the second as on the first."},
	{Name: "Into the net", HowTo: "From a few steps, full effort into a net: think of the body, not of the target."},
}
