package wire

// PairLook is two reps to look at side by side.
type PairLook struct {
	Off         PairSide     `json:"off" doc:"the off-speed rep"`
	Fast        PairSide     `json:"fast" doc:"the rep it stands beside: unless said, the baseline pitch nearest the baseline"`
	OffChoices  []PairChoice `json:"offChoices" nullable:"false" doc:"other reps of her latest bullpens that can stand here, latest first"`
	FastChoices []PairChoice `json:"fastChoices" nullable:"false" doc:"likewise"`
}

// PairSide is one of two reps, and the film it is on.
type PairSide struct {
	Rep  Rep    `json:"rep"`
	Film Film   `json:"film"`
	Day  string `json:"day" format:"date"`
}

// PairChoice is a rep that can be chosen.
type PairChoice struct {
	RepID string `json:"repId"`
	Label string `json:"label"`
}
