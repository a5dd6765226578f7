package wire

import "tenoff/internal/bullpen"

// RemarkTask is five reps to mark again without seeing the marks they have.
type RemarkTask struct {
	Eye  Eye         `json:"eye" doc:"as it is reckoned with now"`
	Reps []RemarkRep `json:"reps" nullable:"false" doc:"empty when there are too few reps with marks by hand; sentence says so"`
	// Sentence stands instead of the reps.
	Sentence string `json:"sentence,omitempty" doc:"one sentence: why there is nothing to mark, and what to do"`
}

// RemarkRep is one rep to mark again. Its marks are not told: do not show them
// from elsewhere.
type RemarkRep struct {
	RepID    string   `json:"repId"`
	FilmID   string   `json:"filmId"`
	Label    string   `json:"label" doc:"order and pitch"`
	From     int      `json:"from" doc:"frame index to begin looking at: it lies at another distance from the instants every time"`
	To       int      `json:"to" doc:"frame index to look up to"`
	Instants []string `json:"instants" nullable:"false" enum:"drive,plant,top,release" doc:"the ones to mark"`
}

// Remarked is a PUT body: the same instants marked once more.
type Remarked struct {
	Reps []RemarkedRep `json:"reps" nullable:"false" minItems:"1" maxItems:"50"`
}

// RemarkedRep is one rep marked again; an instant left out was not marked again.
type RemarkedRep struct {
	RepID   string `json:"repId" maxLength:"64"`
	Drive   *int   `json:"drive,omitempty" minimum:"0" doc:"frame index"`
	Plant   *int   `json:"plant,omitempty" minimum:"0" doc:"frame index"`
	Top     *int   `json:"top,omitempty" minimum:"0" doc:"frame index"`
	Release *int   `json:"release,omitempty" minimum:"0" doc:"frame index"`
}

// Rep returns the second marks.
func (r RemarkedRep) Rep() bullpen.Rep {
	out := bullpen.Rep{ID: r.RepID, Drive: bullpen.Unmarked, Plant: bullpen.Unmarked, Top: bullpen.Unmarked, Release: bullpen.Unmarked}
	set(&out.Drive, r.Drive)
	set(&out.Plant, r.Plant)
	set(&out.Top, r.Top)
	set(&out.Release, r.Release)
	return out
}
