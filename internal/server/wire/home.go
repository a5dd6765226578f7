package wire

// Home is everything the first page shows.
type Home struct {
	Today    string         `json:"today" format:"date" doc:"the server's day"`
	Inbox    []HomeworkCard `json:"inbox" nullable:"false" doc:"homework, what needs you first; of what is answered the last ten"`
	Bullpens []BullpenCard  `json:"bullpens" nullable:"false" doc:"latest first, at most 24"`
	Pitchers []PitcherCard  `json:"pitchers" nullable:"false" doc:"by label"`
	Films    []Film         `json:"films" nullable:"false" doc:"being read, or refused and not yet dismissed"`
	Jobs     []Job          `json:"jobs" nullable:"false" doc:"queued, running or failed"`
}

// BullpenList is a list of bullpens.
type BullpenList struct {
	Bullpens []BullpenCard `json:"bullpens" nullable:"false" doc:"latest first"`
	Next     string        `json:"next,omitempty" doc:"send it as cursor for the next page; missing: that was the last"`
}

// PitcherList is a list of pitchers.
type PitcherList struct {
	Pitchers []PitcherCard `json:"pitchers" nullable:"false" doc:"by label"`
}
