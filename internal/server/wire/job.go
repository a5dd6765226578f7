package wire

import "time"

// Job is a piece of long work.
type Job struct {
	ID        string    `json:"id"`
	Kind      string    `json:"kind" doc:"what it does, for instance: read film, render clip"`
	Subject   string    `json:"subject" doc:"the id of the film or clip it works on"`
	BullpenID string    `json:"bullpenId,omitempty"`
	State     string    `json:"state" enum:"queued,running,done,failed,cancelled"`
	Progress  float64   `json:"progress" minimum:"0" maximum:"1"`
	Problem   string    `json:"problem,omitempty" doc:"one sentence, when it failed"`
	Attempts  int       `json:"attempts"`
	Created   time.Time `json:"created"`
}

// JobList is the jobs that are queued, running or failed.
type JobList struct {
	Jobs []Job `json:"jobs" nullable:"false"`
}

// BullpenEvent says that something inside a bullpen changed.
type BullpenEvent struct {
	BullpenID string `json:"bullpenId"`
	Revision  int64  `json:"revision" doc:"the latest; read the sheet again when yours is older"`
}
