package wire

// Proposal is a rep that tenoff found in a film and that nobody has confirmed. It
// counts in no number.
type Proposal struct {
	ID         string  `json:"id"`
	FilmID     string  `json:"filmId"`
	From       int     `json:"from" doc:"frame index where it begins"`
	To         int     `json:"to" doc:"frame index where it ends"`
	Release    int     `json:"release" doc:"proposed frame index of the release"`
	Confidence float64 `json:"confidence" minimum:"0" maximum:"1"`
	Sure       bool    `json:"sure" doc:"false: it has to be asked about"`
	Reason     string  `json:"reason" doc:"what speaks for it: motion and pop, motion only, unexplained motion, walk back; by sound so far: its pictures were not looked at yet"`
	State      string  `json:"state" enum:"open,confirmed,thrown out"`
	Rough      bool    `json:"rough" doc:"found before any release of the film was marked: the release is a guess"`
	Vague      bool    `json:"vague" doc:"releases of the film are marked, and this one was not surely found from them: step to it"`
	Within     int     `json:"within,omitempty" doc:"within how many frames of what the marks say its release is found, 99 of 100 times: how far off the marks are comes on top; missing where it is rough or vague"`
}

// ProposalChange answers what was done to a proposal.
type ProposalChange struct {
	Revision int64 `json:"revision" doc:"of the bullpen, this change included"`
}

// FilmSpeed is the film's second opinion on a reading: from the release frame to
// the pop in the sound, over her pitching distance with drag.
type FilmSpeed struct {
	Speed *Speed `json:"speed,omitempty" doc:"at release; missing without a pop"`
	U     *Speed `json:"u,omitempty" doc:"its standard uncertainty: twice that holds 95 of 100"`
	Asks  bool   `json:"asks,omitempty" doc:"film and gun can't both be right: what is asked about the reading says so"`
	Note  string `json:"note,omitempty" doc:"one sentence: why a pop that was heard tells no speed"`
}

// DistanceDoubt says that a film's flights do not fit the pitching distance that is
// set.
type DistanceDoubt struct {
	FilmID   string  `json:"filmId"`
	Feet     float64 `json:"feet" doc:"the pitching distance that they fit, about"`
	Sentence string  `json:"sentence"`
}

// SoundNote says that a film's sound is out of step with its picture by more than usual.
type SoundNote struct {
	FilmID   string  `json:"filmId"`
	Seconds  float64 `json:"seconds" doc:"real seconds that the sound is late; negative: early"`
	All      bool    `json:"all" doc:"another film's sound is as late, and nobody accepted any film's: it may be accepted for all of them"`
	Sentence string  `json:"sentence"`
}

// SlowDoubt says that a film seems to be slowed and nobody said so.
type SlowDoubt struct {
	FilmID   string  `json:"filmId"`
	Times    float64 `json:"times" doc:"how many times too long its flights, or its deliveries, last"`
	Sentence string  `json:"sentence"`
}
