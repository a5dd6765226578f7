package wire

import "tenoff/internal/tempo"

// Pair is two reps to look at side by side.
type Pair struct {
	Off         PairSide     `json:"off" doc:"the off-speed rep"`
	Fast        PairSide     `json:"fast" doc:"the rep it stands beside: unless said, the baseline pitch nearest the baseline"`
	Phases      []PairPhase  `json:"phases" nullable:"false" doc:"the times between instants that both reps have, beside each other"`
	Sentence    string       `json:"sentence" doc:"the differences in words; empty when there are no instants to compare"`
	Stretch     *float64     `json:"stretch,omitempty" doc:"play the off-speed rep so many times as fast to give its delivery the fastball's tempo: drive to release, or plant or top to release; missing without instants"`
	OffChoices  []PairChoice `json:"offChoices" nullable:"false" doc:"other reps of her latest bullpens that can stand here, latest first"`
	FastChoices []PairChoice `json:"fastChoices" nullable:"false" doc:"likewise"`
}

// PairSide is one of two reps, and the film it is on.
type PairSide struct {
	Rep      Rep          `json:"rep"`
	Film     Film         `json:"film"`
	Day      string       `json:"day" format:"date"`
	Instants PairInstants `json:"instants"`
	Motion   PairMotion   `json:"motion"`
}

// PairInstants are a rep's instants on the clock of its release; one that is not
// known is missing.
type PairInstants struct {
	Drive   *PairInstant `json:"drive,omitempty"`
	Plant   *PairInstant `json:"plant,omitempty"`
	Top     *PairInstant `json:"top,omitempty"`
	Release *PairInstant `json:"release,omitempty"`
}

// PairInstant is one instant.
type PairInstant struct {
	Seconds float64      `json:"seconds" doc:"real seconds from the release, as precisely as it is known; negative is before"`
	U       float64      `json:"u" doc:"standard uncertainty, real seconds"`
	Frame   int          `json:"frame" doc:"frame index nearest to it"`
	From    tempo.Source `json:"from"`
}

// PairPhase is one time between two instants on both reps.
type PairPhase struct {
	From       string  `json:"from" enum:"drive,plant,top,release"`
	To         string  `json:"to" enum:"drive,plant,top,release"`
	OffMillis  float64 `json:"offMillis"`
	FastMillis float64 `json:"fastMillis"`
	Difference float64 `json:"difference" doc:"off - fast, milliseconds: positive is slower"`
	U          float64 `json:"u" doc:"standard uncertainty of measuring the difference, milliseconds"`
	Clear      bool    `json:"clear" doc:"the two differ by more than measuring may be off by, and by more than her own fastballs do"`
	Said       string  `json:"said" doc:"the difference in words: 40 ms longer; where it is not clear, why: +9 ms: within her usual spread"`
	OffShown   int     `json:"offShown" doc:"offMillis in whole milliseconds, as it is shown"`
	FastShown  int     `json:"fastShown" doc:"likewise fastMillis"`
	Shown      int     `json:"shown" doc:"the difference of the two shown numbers"`
	Signed     string  `json:"signed" doc:"the same with its sign: +9, 0, or \u22129"`
	Words      string  `json:"words" doc:"the phase and its difference in words"`
}

// PairMotion is how much moved round the release, at even steps of real time, to be
// laid over the other rep's.
type PairMotion struct {
	From   float64   `json:"from" doc:"real seconds from the release at the first value; negative is before"`
	Step   float64   `json:"step" doc:"real seconds between values"`
	Values []float32 `json:"values" nullable:"false" doc:"0 to 1 of the rep's own greatest; empty when the film's motion can't be read"`
}

// PairChoice is a rep that can be chosen.
type PairChoice struct {
	RepID string `json:"repId"`
	Label string `json:"label"`
}
