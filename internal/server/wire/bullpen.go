package wire

import (
	"cmp"

	"tenoff/internal/bullpen"
)

// Bullpen is one practice session of one pitcher.
type Bullpen struct {
	ID        string           `json:"id"`
	Version   int64            `json:"version" doc:"send it back with a PATCH"`
	PitcherID string           `json:"pitcherId"`
	Day       string           `json:"day" format:"date" doc:"the day it was thrown, where it was thrown"`
	Title     string           `json:"title"`
	Gun       bullpen.GunPlace `json:"gun" doc:"the default for new readings"`
	GunName   string           `json:"gunName" doc:"which gun it was, where there are several; readings of different guns are not joined over the weeks"`
	Unit      bullpen.Unit     `json:"unit" doc:"the default for new readings"`
	Step      float64          `json:"step" doc:"the default display step for new readings, in unit"`
	Note      string           `json:"note"`
}

// NewBullpen is a POST body: name a pitcher, or give a new one's label.
type NewBullpen struct {
	PitcherID    string           `json:"pitcherId,omitempty" maxLength:"64" doc:"whose it is"`
	PitcherLabel string           `json:"pitcherLabel,omitempty" maxLength:"60" doc:"makes a new pitcher when no pitcherId is sent"`
	PitcherLevel string           `json:"pitcherLevel,omitempty" maxLength:"40" doc:"a new pitcher's level, for her distance, extension and ball; 14U unless said"`
	Day          string           `json:"day,omitempty" format:"date" doc:"today unless said; moved to the first film's day while nobody has said"`
	Title        string           `json:"title,omitempty" maxLength:"120"`
	Gun          bullpen.GunPlace `json:"gun,omitempty" doc:"where it stood in her latest bullpen unless said; behind catcher in the first"`
	GunName      string           `json:"gunName,omitempty" maxLength:"60" doc:"as in her latest bullpen unless said"`
	Unit         bullpen.Unit     `json:"unit,omitempty" doc:"the pitcher's unit unless said"`
	Step         float64          `json:"step,omitempty" exclusiveMinimum:"0" maximum:"1" doc:"1 unless said"`
	Note         string           `json:"note,omitempty" maxLength:"4000"`
}

// BullpenEdit is a PATCH body.
type BullpenEdit struct {
	Version   int64             `json:"version" doc:"the version you saw; 409 when it is no longer the current one"`
	PitcherID *string           `json:"pitcherId,omitempty" maxLength:"64"`
	Day       *string           `json:"day,omitempty" format:"date"`
	Title     *string           `json:"title,omitempty" maxLength:"120"`
	Gun       *bullpen.GunPlace `json:"gun,omitempty"`
	GunName   *string           `json:"gunName,omitempty" maxLength:"60"`
	Unit      *bullpen.Unit     `json:"unit,omitempty"`
	Step      *float64          `json:"step,omitempty" exclusiveMinimum:"0" maximum:"1"`
	Note      *string           `json:"note,omitempty" maxLength:"4000"`
}

// BullpenCard is a bullpen in a list.
type BullpenCard struct {
	ID           string `json:"id"`
	Version      int64  `json:"version"`
	Revision     int64  `json:"revision" doc:"rises with every change inside the bullpen"`
	PitcherID    string `json:"pitcherId"`
	PitcherLabel string `json:"pitcherLabel"`
	Day          string `json:"day" format:"date"`
	Title        string `json:"title"`
	Films        int    `json:"films"`
	Reading      int    `json:"reading" doc:"films still being read"`
	Reps         int    `json:"reps"`
	Readings     int    `json:"readings" doc:"reps that have a reading"`
	Clips        int    `json:"clips" doc:"finished clips"`
	// What it tells at a glance, where the list has it.
	Headline string       `json:"headline,omitempty" doc:"what it tells, in at most twelve words for a kid"`
	Target   *SmallTarget `json:"target,omitempty"`
	StillRep string       `json:"stillRep,omitempty" doc:"the rep whose release stands for it, see /api/reps/{id}/still.jpg"`
	Counting bool         `json:"counting,omitempty" doc:"it changed a moment ago and is being worked out: ask again"`
}

// Sheet is everything the film room and the bullpen page show of one bullpen.
type Sheet struct {
	Bullpen        Bullpen         `json:"bullpen"`
	Revision       int64           `json:"revision" doc:"rises with every change inside the bullpen; events name the latest"`
	Pitcher        Pitcher         `json:"pitcher"`
	Films          []Film          `json:"films" nullable:"false" doc:"in order"`
	AskOrder       bool            `json:"askOrder,omitempty" doc:"not every film says when it was filmed, and nobody has said their order: they lie by their names; a position sent for any of them says it"`
	Reps           []Rep           `json:"reps" nullable:"false" doc:"as thrown"`
	Summaries      []Summary       `json:"summaries" nullable:"false" doc:"per pitch and drill"`
	Proposals      []Proposal      `json:"proposals" nullable:"false" doc:"reps found in the films, not confirmed; those that were thrown out too"`
	SlowDoubts     []SlowDoubt     `json:"slowDoubts" nullable:"false" doc:"films that seem to be slow motion nobody declared"`
	DistanceDoubts []DistanceDoubt `json:"distanceDoubts" nullable:"false" doc:"films whose flights fit another pitching distance than hers"`
	SoundNotes     []SoundNote     `json:"soundNotes" nullable:"false" doc:"films whose sound is out of step with the picture"`
	Body           Body            `json:"body" doc:"did the body slow down"`
	Headline       string          `json:"headline,omitempty" doc:"what it tells, in at most twelve words for a kid; missing while there is nothing to say"`
	Foremost       *int            `json:"foremost,omitempty" doc:"the summary that headline is about, counted from 0; missing while no gap is known"`
	Offer          *Starter        `json:"offer,omitempty" doc:"the starter workout that what it shows speaks for"`
	Clips          []Clip          `json:"clips" nullable:"false"`
	Jobs           []Job           `json:"jobs" nullable:"false" doc:"queued, running or failed"`
	Plan           *Plan           `json:"plan,omitempty" doc:"a homework's bullpen: where its reps lie along the workout"`
	Waiting        []string        `json:"waiting" nullable:"false" doc:"sentences: what was found in the films or typed by her and counts in nothing until somebody sees to it in the film room"`
}

// Removed says what a deletion took away, or would.
type Removed struct {
	Bullpens int    `json:"bullpens"`
	Films    int    `json:"films"`
	Reps     int    `json:"reps"`
	Clips    int    `json:"clips"`
	Copies   int    `json:"copies" doc:"clips in answers that were sent"`
	Homework int    `json:"homework"`
	Slips    int    `json:"slips"`
	Uploads  int    `json:"uploads" doc:"films on their way"`
	Shares   int    `json:"shares" doc:"links to bullpens' results"`
	Typed    int    `json:"typed" doc:"readings from the field that are no rep's"`
	Bytes    int64  `json:"bytes" doc:"bytes freed on disk"`
	Confirm  string `json:"confirm,omitempty" doc:"send it with the deletion: it is refused with 409 if there is more, or less, by then"`
}

// BullpenOf returns b as the API says it.
func BullpenOf(b bullpen.Bullpen) Bullpen {
	return Bullpen{
		ID: b.ID, Version: b.Version, PitcherID: b.PitcherID, Day: b.Day, Title: b.Title,
		Gun: b.Gun, GunName: b.GunName, Unit: b.Unit, Step: b.Step, Note: b.Note,
	}
}

// Onto writes what was sent onto b.
func (n NewBullpen) Onto(b *bullpen.Bullpen) {
	b.Title, b.Note = n.Title, n.Note
	b.Day = cmp.Or(n.Day, b.Day)
	b.Gun, b.GunName = cmp.Or(n.Gun, b.Gun), cmp.Or(n.GunName, b.GunName)
	b.Unit = cmp.Or(n.Unit, b.Unit)
	b.Step = cmp.Or(n.Step, b.Step)
}

// Onto writes what was sent onto b.
func (e BullpenEdit) Onto(b *bullpen.Bullpen) {
	b.Version = e.Version
	set(&b.PitcherID, e.PitcherID)
	set(&b.Day, e.Day)
	set(&b.Title, e.Title)
	set(&b.Gun, e.Gun)
	set(&b.GunName, e.GunName)
	set(&b.Unit, e.Unit)
	set(&b.Step, e.Step)
	set(&b.Note, e.Note)
}
