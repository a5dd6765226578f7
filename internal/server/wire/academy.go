package wire

import "time"

// Academy is what its owner sees of what all instructors share.
type Academy struct {
	Uses  []Use     `json:"uses" nullable:"false" doc:"the owner first, then by name"`
	Queue []Waiting `json:"queue" nullable:"false" doc:"of all instructors"`
	// Bucket says that films lie elsewhere.
	Bucket bool  `json:"bucket" doc:"films lie in a bucket, whose room nobody tells"`
	Free   int64 `json:"free" doc:"bytes of room on the disk of the machine that answers: where films lie, or, with films in a bucket, for what is under way"`
}

// Use is what one instructor takes.
type Use struct {
	Name            string  `json:"name" doc:"empty for data that belongs to no account"`
	Owner           bool    `json:"owner"`
	Pitchers        int     `json:"pitchers"`
	Bullpens        int     `json:"bullpens"`
	Films           int     `json:"films"`
	Bytes           int64   `json:"bytes" doc:"of all films, clips and what was made of them"`
	Waiting         int     `json:"waiting" doc:"jobs that wait or run"`
	Failed          int     `json:"failed" doc:"jobs that failed"`
	Refused         int     `json:"refused" doc:"films that can't be used and were not dismissed"`
	FilmsRead       int     `json:"filmsRead" doc:"readings of films this month (UTC), repeated ones too"`
	Processor       float64 `json:"processor" doc:"seconds of processor that her films and clips took this month (UTC)"`
	ProcessorBefore float64 `json:"processorBefore" doc:"last month's"`
	KeepDays        int     `json:"keepDays" doc:"her own setting: homework originals are deleted so many days after the answer; 0: they are kept"`
}

// Waiting is a kind of job in the queue.
type Waiting struct {
	Kind   string  `json:"kind"`
	State  string  `json:"state" enum:"queued,running"`
	Jobs   int     `json:"jobs"`
	Oldest float64 `json:"oldest" doc:"seconds since the oldest was queued"`
}

// InstructorList is the other instructors.
type InstructorList struct {
	Instructors []Instructor `json:"instructors" nullable:"false" doc:"by name; without yourself"`
}

// Instructor is one of them.
type Instructor struct {
	ID   string `json:"id" doc:"of the account"`
	Name string `json:"name"`
}

// MovePitcher is a POST body.
type MovePitcher struct {
	Version int64  `json:"version,omitempty" doc:"the pitcher's, as you saw it; 0: whatever it is now"`
	To      string `json:"to" minLength:"1" maxLength:"64" doc:"the other instructor's account"`
}

// MoveList is what the instructor was told of pitchers who came or went.
type MoveList struct {
	Moves []Move `json:"moves" nullable:"false" doc:"latest first, until they are put away"`
}

// Move is one of them.
type Move struct {
	ID        string    `json:"id"`
	PitcherID string    `json:"pitcherId,omitempty" doc:"only of one who came"`
	Label     string    `json:"label" doc:"as she was called then"`
	Said      string    `json:"said" doc:"one or two sentences"`
	At        time.Time `json:"at"`
}
