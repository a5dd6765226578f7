package wire

// Clip is one finished film on the shelf, or one on its way.
type Clip struct {
	ID             string   `json:"id"`
	BullpenID      string   `json:"bullpenId"`
	Kind           string   `json:"kind" enum:"single,pair"`
	RepIDs         []string `json:"repIds" nullable:"false" minItems:"1" maxItems:"2" doc:"the off-speed rep first in a pair"`
	State          string   `json:"state" enum:"queued,rendering,ready,failed,cancelled"`
	Playable       bool     `json:"playable" doc:"there is a film to play, perhaps an older one than asked for"`
	Edition        string   `json:"edition" doc:"names what the playable film shows: put it behind the film's address to see a new one"`
	Drawings       bool     `json:"drawings" doc:"it shows what was drawn on the frames"`
	Lines          bool     `json:"lines" doc:"it shows how her trunk leans and her hips lie"`
	Stale          bool     `json:"stale" doc:"something it shows has changed since it was made"`
	Problem        string   `json:"problem,omitempty" doc:"one sentence, when it failed"`
	Progress       *float64 `json:"progress,omitempty" minimum:"0" maximum:"1"`
	JobID          string   `json:"jobId,omitempty"`
	FileName       string   `json:"fileName" doc:"what a download is called"`
	Bytes          int64    `json:"bytes" doc:"0 until it is ready"`
	Seconds        float64  `json:"seconds" doc:"length, seconds; 0 until it is ready"`
	ReleaseSeconds float64  `json:"releaseSeconds" doc:"when the release frame is on show, seconds; 0 until it is ready"`
}

// ClipOptions says how a clip is made.
type ClipOptions struct {
	Before   float64 `json:"before,omitempty" minimum:"0" maximum:"10" doc:"real seconds before release; 2.5 unless said"`
	After    float64 `json:"after,omitempty" minimum:"0" maximum:"10" doc:"real seconds after release; 1.5 unless said"`
	Slow     bool    `json:"slow,omitempty" doc:"repeat the last half second before release at quarter speed"`
	Label    bool    `json:"label,omitempty" doc:"burn the pitcher's label in; off unless asked for"`
	Body     bool    `json:"body,omitempty" doc:"say how fast the body was, and where the gap came from, where that is known"`
	Drawings bool    `json:"drawings,omitempty" doc:"burn in what was drawn on the rep's frames, each for a second from its frame on"`
	Lines    bool    `json:"lines,omitempty" doc:"draw how her trunk leans and her hips lie, with numbers at the four instants, where her joints are seen"`
}

// NewClips is a POST body: all reps with a release mark, or the ones named.
type NewClips struct {
	RepIDs  []string    `json:"repIds,omitempty" nullable:"false" maxItems:"5000" doc:"all reps with a release mark unless said"`
	Options ClipOptions `json:"options,omitzero"`
}

// NewPair is a POST body: two reps side by side, aligned at release.
type NewPair struct {
	OffRepID   string  `json:"offRepId" maxLength:"64"`
	FastRepID  string  `json:"fastRepId,omitempty" maxLength:"64" doc:"the fastball nearest the baseline unless said"`
	Speed      float64 `json:"speed,omitempty" minimum:"0" maximum:"1" doc:"played rate: 1, 0.5, 0.25 or 0.125; 1 unless said"`
	Blend      bool    `json:"blend,omitempty" doc:"lay the pictures over each other instead of beside"`
	Difference bool    `json:"difference,omitempty" doc:"show only where the pictures differ, laid over each other"`
	Phases     bool    `json:"phases,omitempty" doc:"draw both reps' instants and motion under the pictures on one clock, with the difference in words, where they are known"`
	Stretch    bool    `json:"stretch,omitempty" doc:"play the off-speed rep faster, so that its delivery lasts as long as the fastball's; refused without instants"`
	Body       bool    `json:"body,omitempty" doc:"say how fast the body was, and where the gap came from, where that is known"`
	Drawings   bool    `json:"drawings,omitempty" doc:"burn in what was drawn on the reps' frames, each for a second from its frame on"`
	Lines      bool    `json:"lines,omitempty" doc:"draw how her trunk leans and her hips lie, with numbers at the four instants, where her joints are seen"`
	Before     float64 `json:"before,omitempty" minimum:"0" maximum:"10" doc:"real seconds before release; 2.5 unless said"`
	After      float64 `json:"after,omitempty" minimum:"0" maximum:"10" doc:"real seconds after release; 1.5 unless said"`
}

// ClipList answers what was put on the shelf.
type ClipList struct {
	Clips []Clip   `json:"clips" nullable:"false" doc:"those asked for; one that shows nothing new is left as it is"`
	Left  []string `json:"left" nullable:"false" doc:"sentences about reps that can't have a clip"`
}
