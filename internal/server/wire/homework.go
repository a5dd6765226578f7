package wire

import "tenoff/internal/bullpen"

// Consent is a guardian's word on what a pitcher's film may be used for.
type Consent struct {
	ID        string            `json:"id"`
	Guardian  string            `json:"guardian" doc:"who said yes"`
	Given     string            `json:"given" format:"date" doc:"when"`
	For       []bullpen.Purpose `json:"for" nullable:"false" enum:"homework,results,examples" doc:"to what"`
	Covers    string            `json:"covers,omitempty" doc:"what else was said"`
	Asked     []string          `json:"asked,omitempty" nullable:"false" doc:"in which words each of it was asked for then; missing: they were not kept"`
	Recorded  int64             `json:"recorded" doc:"microseconds UTC"`
	Withdrawn int64             `json:"withdrawn,omitempty" doc:"microseconds UTC; missing: it was not withdrawn"`
	GivenTo   string            `json:"givenTo,omitempty" doc:"the instructor to whom it was given and whose pitcher she is no more: it does not count, and the guardian is to be asked again; missing: it counts"`
}

// ConsentList is what was recorded for one pitcher.
type ConsentList struct {
	Consents    []Consent         `json:"consents" nullable:"false" doc:"latest first"`
	Asks        []Asks            `json:"asks" nullable:"false" doc:"what a guardian is asked today, each by itself"`
	Standing    []bullpen.Purpose `json:"standing" nullable:"false" enum:"homework,results,examples" doc:"to what a guardian says yes now"`
	LinksClosed int               `json:"linksClosed" doc:"how many links, to homework and to results, a withdrawal has just closed"`
}

// Asks is one purpose and the words in which a guardian is asked for it.
type Asks struct {
	For   bullpen.Purpose `json:"for" enum:"homework,results,examples"`
	Words string          `json:"words"`
}

// NewConsent is a POST body.
type NewConsent struct {
	Guardian string            `json:"guardian" minLength:"1" maxLength:"120" doc:"who said yes, as you know them"`
	Given    string            `json:"given" format:"date" doc:"when; not after today"`
	For      []bullpen.Purpose `json:"for" minItems:"1" maxItems:"3" nullable:"false" enum:"homework,results,examples" doc:"to what: homework films by a private link and clips sent back; results and clips shown to her and her parents by private links; a clip that shows other students how a drill is done"`
	Covers   string            `json:"covers,omitempty" maxLength:"600" doc:"what else was said, in your words"`
}

// HomeworkCard is a homework in a list.
type HomeworkCard struct {
	ID           string                `json:"id"`
	PitcherID    string                `json:"pitcherId"`
	PitcherLabel string                `json:"pitcherLabel"`
	BullpenID    string                `json:"bullpenId" doc:"its own bullpen, where its films come in"`
	Title        string                `json:"title" doc:"the workout's"`
	Due          string                `json:"due,omitempty" format:"date"`
	State        bullpen.HomeworkState `json:"state"`
	Created      int64                 `json:"created" doc:"microseconds UTC"`
	FilmAt       int64                 `json:"filmAt,omitempty" doc:"when the last film came, microseconds UTC"`
	SentAt       int64                 `json:"sentAt,omitempty" doc:"when it was answered last, microseconds UTC"`
	Films        int                   `json:"films"`
	Reps         int                   `json:"reps" doc:"logged"`
	CameAt       int64                 `json:"cameAt,omitempty" doc:"when the last of her films or her note came, microseconds UTC"`
	Note         string                `json:"note,omitempty" doc:"what she wrote, in her words; missing: nothing"`
	Earlier      string                `json:"earlier,omitempty" doc:"what she wrote about pain before her note became another one; missing: nothing, or it is answered"`
	Sore         bool                  `json:"sore" doc:"she has written about pain: it is read first; no diagnosis"`
	Typed        int                   `json:"typed" doc:"readings that she typed"`
	Places       int                   `json:"places" doc:"reps of the workout"`
}

// HomeworkList is a list of homework.
type HomeworkList struct {
	Homework []HomeworkCard `json:"homework" nullable:"false" doc:"what needs you first: unanswered words about pain, then new, in review, overdue, handed out, answered; within these the latest first"`
}

// NewHomework is a POST body: a workout is copied and handed out to one pitcher.
type NewHomework struct {
	PitcherID string `json:"pitcherId" maxLength:"64"`
	WorkoutID string `json:"workoutId,omitempty" maxLength:"64" doc:"which of your workouts; or else"`
	Starter   string `json:"starter,omitempty" enum:"legs,arm,blend" doc:"the key of one of those to start with"`
	Due       string `json:"due,omitempty" format:"date"`
}

// HomeworkEdit is a PATCH body.
type HomeworkEdit struct {
	Version int64        `json:"version" doc:"the version you saw; 409 when it is no longer the current one"`
	Due     Edit[string] `json:"due,omitzero" doc:"YYYY-MM-DD; null: no day"`
}

// Homework is everything the instructor sees of one.
type Homework struct {
	HomeworkCard
	Version  int64         `json:"version" doc:"send it back with an edit"`
	Workout  HandedWorkout `json:"workout" doc:"as it was when it was handed out"`
	Drills   []Drill       `json:"drills" nullable:"false" doc:"the workout's, as they were then"`
	Student  StudentWords  `json:"student"`
	Draft    Reply         `json:"draft" doc:"the reply being written"`
	Sent     *Reply        `json:"sent,omitempty" doc:"what the slip's page shows now"`
	Moved    bool          `json:"moved" doc:"her reps' numbers are not those that the answer was sent with"`
	Slips    []Slip        `json:"slips" nullable:"false" doc:"latest first"`
	Arriving []Arriving    `json:"arriving" nullable:"false" doc:"films on their way"`
	Consent  bool          `json:"consent" doc:"a guardian says yes to homework: a slip can be made"`
	Caution  string        `json:"caution,omitempty" doc:"stands beside her note where that has words about pain"`
}

// StudentWords is what the student wrote on her page.
type StudentWords struct {
	Note     string         `json:"note"`
	Gun      string         `json:"gun" doc:"where the gun stood, as for readings; empty: not said"`
	Readings []PlaceReading `json:"readings" nullable:"false"`
}

// PlaceReading is a reading typed beside a place of the workout.
type PlaceReading struct {
	Place int          `json:"place" minimum:"0" maximum:"299" doc:"index into the workout's places"`
	Value float64      `json:"value" exclusiveMinimum:"0" maximum:"200"`
	Unit  bullpen.Unit `json:"unit"`
}

// Reply is an answer.
type Reply struct {
	Words    string       `json:"words"`
	ClipIDs  []string     `json:"clipIds" nullable:"false" doc:"clips and side by sides that go with it"`
	Drawings []DrawingRef `json:"drawings" nullable:"false" doc:"frames with drawings that go with it"`
	Next     *WorkoutText `json:"next,omitempty" doc:"what to throw next, a copy"`
	SentAt   int64        `json:"sentAt,omitempty" doc:"microseconds UTC"`
}

// DrawingRef names a drawing by the frame it is on.
type DrawingRef struct {
	RepID string `json:"repId" maxLength:"64"`
	Frame int    `json:"frame" minimum:"0"`
}

// ReplyEdit is a PUT body: the whole draft anew.
type ReplyEdit struct {
	Version       int64        `json:"version" doc:"the homework's version you saw; 409 when it is no longer the current one"`
	Words         string       `json:"words" maxLength:"8000"`
	ClipIDs       []string     `json:"clipIds,omitempty" nullable:"false" maxItems:"100"`
	Drawings      []DrawingRef `json:"drawings,omitempty" nullable:"false" maxItems:"50"`
	NextWorkoutID string       `json:"nextWorkoutId,omitempty" maxLength:"64" doc:"copied into the draft; missing: the draft keeps the one it has"`
	NoNext        bool         `json:"noNext,omitempty" doc:"takes the next workout out"`
}

// SendReply is a POST body.
type SendReply struct {
	Version int64 `json:"version" doc:"the homework's version you saw; 409 when it is no longer the current one"`
	Seen    int64 `json:"seen,omitempty" minimum:"0" doc:"the cameAt that you saw: what came after it is still new once this is sent; missing: all that came until then was seen"`
}

// SeenHomework is a POST body.
type SeenHomework struct {
	Seen int64 `json:"seen" minimum:"1" doc:"the cameAt that you saw"`
}

// Answered is a homework that was just answered.
type Answered struct {
	Homework  Homework `json:"homework"`
	ShareText string   `json:"shareText" doc:"a text to copy; nothing is sent anywhere"`
}

// Arriving is a film on its way.
type Arriving struct {
	ID       string `json:"id"`
	Name     string `json:"name"`
	Bytes    int64  `json:"bytes" doc:"of the whole film"`
	Received int64  `json:"received" doc:"bytes that are here"`
}

// Slip is a private link to a homework, without its token.
type Slip struct {
	Link
	MaxBytes int64 `json:"maxBytes" doc:"of all films of the homework together"`
	MaxFiles int   `json:"maxFiles" doc:"films of the homework"`
}

// NewSlip is a POST body.
type NewSlip struct {
	Days     int   `json:"days,omitempty" minimum:"1" maximum:"90" doc:"how long it opens; 14 unless said"`
	MaxBytes int64 `json:"maxBytes,omitempty" minimum:"1048576" maximum:"107374182400" doc:"8 GiB unless said"`
	MaxFiles int   `json:"maxFiles,omitempty" minimum:"1" maximum:"500" doc:"60 unless said"`
}

// MadeSlip is a slip that was just made.
type MadeSlip struct {
	Slip Slip `json:"slip"`
	MadeLink
}

// Plan is where the reps of a homework's bullpen lie along its workout.
type Plan struct {
	HomeworkID string                `json:"homeworkId"`
	State      bullpen.HomeworkState `json:"state"`
	Title      string                `json:"title"`
	Places     []Place               `json:"places" nullable:"false"`
	Reps       []WorkoutRep          `json:"reps" nullable:"false" doc:"reps that are no warm-up, as thrown"`
	Next       int                   `json:"next" doc:"index into places for the rep logged next; -1: the workout is done"`
	Typed      []PlaceReading        `json:"typed" nullable:"false" doc:"the readings she typed, by place"`
}

// WorkoutRep is one rep's place.
type WorkoutRep struct {
	RepID string `json:"repId"`
	Place int    `json:"place" doc:"index into places; -1: beyond the workout"`
	Shift int    `json:"shift" doc:"1: one was left out before it; -1: it repeats the one before; 0: neither"`
}

// ShiftRep is a POST body: the rep and those after it move along the workout.
type ShiftRep struct {
	By int `json:"by" minimum:"-300" maximum:"300" doc:"1: one more was left out before this rep; -1: one fewer, or it repeats the one before"`
}

// PlanChange answers a shift. Set, number, drill and pitch of the reps after it
// follow, where nobody had set them by hand.
type PlanChange struct {
	Plan     Plan  `json:"plan"`
	Revision int64 `json:"revision" doc:"of the bullpen, this change included"`
}

// ConsentOf returns c as the API says it.
func ConsentOf(c bullpen.Consent) Consent {
	return Consent{ID: c.ID, Guardian: c.Guardian, Given: c.Given, For: c.For, Covers: c.Covers, Asked: c.Asked, Recorded: c.Created, Withdrawn: c.Withdrawn, GivenTo: c.GivenTo}
}

// ReplyOf returns r as the API says it.
func ReplyOf(r bullpen.Reply) Reply {
	out := Reply{Words: r.Words, ClipIDs: append([]string{}, r.ClipIDs...), Drawings: []DrawingRef{}, SentAt: r.SentAt}
	for _, d := range r.Drawings {
		out.Drawings = append(out.Drawings, DrawingRef(d))
	}
	if r.Next != nil {
		next := WorkoutTextOf(*r.Next)
		out.Next = &next
	}
	return out
}

// SlipOf returns s as the API says it, at the given time in microseconds UTC.
func SlipOf(s bullpen.Slip, now int64) Slip {
	return Slip{Link: LinkOf(s.Link, now), MaxBytes: s.MaxBytes, MaxFiles: s.MaxFiles}
}
