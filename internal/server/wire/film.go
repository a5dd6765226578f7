package wire

import (
	"time"

	"tenoff/internal/bullpen"
)

// Film is one video file of a bullpen.
type Film struct {
	ID        string            `json:"id"`
	Version   int64             `json:"version" doc:"send it back with a PATCH"`
	BullpenID string            `json:"bullpenId"`
	Name      string            `json:"name" doc:"as the phone named it"`
	Bytes     int64             `json:"bytes"`
	SHA256    string            `json:"sha256,omitempty" doc:"of the original, hex"`
	State     bullpen.FilmState `json:"state"`
	Steppable bool              `json:"steppable" doc:"its frames can be shown and marked: it was read, or can be stepped as it is until it was"`
	Waits     string            `json:"waits,omitempty" doc:"one sentence: why its frames can't be shown before it was read"`
	Refusal   string            `json:"refusal,omitempty" doc:"one sentence, when the film can't be used"`
	Progress  *float64          `json:"progress,omitempty" minimum:"0" maximum:"1" doc:"share read, while it is being read"`
	JobID     string            `json:"jobId,omitempty" doc:"the job that reads it"`
	Problem   string            `json:"problem,omitempty" doc:"one sentence, when reading it failed and can be tried again"`
	Position  int               `json:"position" doc:"order within the bullpen, from 0"`
	Recorded  *time.Time        `json:"recorded,omitempty" doc:"when the file says it was filmed"`
	Width     int               `json:"width" doc:"pixels, as shown; 0 until probed"`
	Height    int               `json:"height" doc:"pixels, as shown; 0 until probed"`
	Codec     string            `json:"codec"`
	HDR       bool              `json:"hdr"`
	HasSound  bool              `json:"hasSound"`
	Frames    int               `json:"frames" doc:"number of frames; a mark is an index below it"`
	Seconds   float64           `json:"seconds" doc:"length in the file, seconds"`
	Rate      float64           `json:"rate" doc:"mean frames a second of the file, for showing only: never compute with it"`
	Slow      float64           `json:"slow" doc:"how many times slower than captured the file plays; 1 for an ordinary film"`
	SlowKnown bool              `json:"slowKnown" doc:"false while slow is only the default"`
	View      bullpen.View      `json:"view"`
	SoundLate float64           `json:"soundLate" doc:"by how many real seconds its sound lags its picture, as somebody accepted it; negative: leads; 0 where nobody did"`
	FoundBox  *bullpen.Box      `json:"foundBox,omitempty" doc:"where in the picture tenoff found the pitcher, in shares of it"`
	TooShort  bool              `json:"tooShort,omitempty" doc:"too little is on it to tell a rep; film from before she moves until after she has thrown"`
	Box       *bullpen.Box      `json:"box,omitempty" doc:"where somebody said she is; reps are then looked for there only"`
	Strip     *Strip            `json:"strip,omitempty" doc:"the pictures along the timeline, once read"`
}

// Strip tells how to ask for a film's pictures: strip/0.jpg up to count-1.
type Strip struct {
	Count int     `json:"count"`
	Every float64 `json:"every" doc:"seconds of the file between pictures"`
}

// FilmEdit is a PATCH body.
type FilmEdit struct {
	Version   int64             `json:"version" doc:"the version you saw; 409 when it is no longer the current one"`
	Slow      *float64          `json:"slow,omitempty" minimum:"0.05" maximum:"64" doc:"how many times slower than captured the file plays"`
	View      *bullpen.View     `json:"view,omitempty"`
	SoundLate *float64          `json:"soundLate,omitempty" minimum:"-1" maximum:"1" doc:"by how many real seconds its sound lags its picture; negative: leads"`
	Box       Edit[bullpen.Box] `json:"box,omitzero" doc:"where in the picture the pitcher is, in shares of it; null: where tenoff found her"`
	Position  *int              `json:"position,omitempty" minimum:"0" maximum:"10000" doc:"order within the bullpen, from 0; the one that it has says that the order is right"`
	Alike     bool              `json:"alike,omitempty" doc:"slow counts for the bullpen's other films too that look as slow as this one and of which nobody said anything"`
	All       bool              `json:"all,omitempty" doc:"slow, view and soundLate count for all the bullpen's films"`
}

// Others writes what was sent onto another film of the bullpen, as far as it counts for
// that one; of is the film that it was sent for, as it was. It is false where nothing
// does.
func (e FilmEdit) Others(f *bullpen.Film, of bullpen.Film) bool {
	was := *f
	if e.Slow != nil && (e.All || e.Alike && !f.SlowKnown && f.FoundSlow > 1 && f.FoundSlow == of.FoundSlow && f.Clock.Slow == of.Clock.Slow) {
		f.Clock.Slow, f.SlowKnown = *e.Slow, true
	}
	if e.All {
		set(&f.View, e.View)
		set(&f.SoundLate, e.SoundLate)
	}
	return f.Clock.Slow != was.Clock.Slow || f.SlowKnown != was.SlowKnown || f.View != was.View || f.SoundLate != was.SoundLate
}

// UploadResult answers an upload.
type UploadResult struct {
	Film         Film `json:"film"`
	AlreadyThere bool `json:"alreadyThere" doc:"the bullpen had this very file; nothing was added"`
}

// Clock is a film's frame clock: when every frame is on show.
type Clock struct {
	Num     int64   `json:"num" doc:"one tick is num/den seconds of the file"`
	Den     int64   `json:"den" doc:"one tick is num/den seconds of the file"`
	Ticks   []int64 `json:"ticks" nullable:"false" doc:"one per frame, rising"`
	Working []int64 `json:"working" nullable:"false" doc:"when each frame starts in the working copy, in 1/90000 s from its start: seek by these"`
	Slow    float64 `json:"slow" doc:"real seconds between two frames = file seconds / slow"`
	// Original: the film was not read yet.
	Original bool `json:"original" doc:"until the film was read: working are the times in opened.mp4, not in working.mp4"`
	Finished int  `json:"finished,omitempty" doc:"so many frames, from the first on, can be shown of a film that is being read, in finished/N.mp4; missing: all"`
}

// Finished is how much of a film can be shown.
type Finished struct {
	Frames int `json:"frames" doc:"from the first on; 0: none yet"`
}

// Traces are a film's motion and sound, thinned out for drawing: for each of
// equal slices of the file's length, the smallest and the largest value.
type Traces struct {
	Seconds float64  `json:"seconds" doc:"length they span, seconds of the file"`
	Motion  Envelope `json:"motion"`
	Sound   Envelope `json:"sound" doc:"empty for a film without sound"`
}

// Envelope is a thinned-out trace, scaled to 0..1.
type Envelope struct {
	Min []float32 `json:"min" nullable:"false"`
	Max []float32 `json:"max" nullable:"false"`
}

// FilmOf returns f as the API says it, without progress and strip.
func FilmOf(f bullpen.Film) Film {
	out := Film{
		ID: f.ID, Version: f.Version, BullpenID: f.BullpenID, Name: f.Name, Bytes: f.Bytes, SHA256: f.SHA256,
		State: f.State, Refusal: f.Refusal, Position: f.Position, Width: f.Width, Height: f.Height,
		Codec: f.Codec, HDR: f.HDR, HasSound: f.HasSound, Frames: f.Clock.Frames(),
		Slow: max(f.Clock.Slow, 0), SlowKnown: f.SlowKnown, View: f.View, SoundLate: f.SoundLate, FoundBox: boxOf(f.FoundBox), Box: boxOf(f.Box), TooShort: f.TooShort,
	}
	if f.Recorded != 0 {
		at := time.UnixMicro(f.Recorded).UTC()
		out.Recorded = &at
	}
	if n := f.Clock.Frames(); n > 1 {
		out.Seconds, out.Rate = f.Clock.Seconds(), float64(n-1)/f.Clock.FileSeconds(n-1)
	}
	return out
}

// Onto writes what was sent onto f. A slow factor that somebody set is known.
func (e FilmEdit) Onto(f *bullpen.Film) {
	f.Version = e.Version
	if e.Slow != nil {
		f.Clock.Slow, f.SlowKnown = *e.Slow, true
	}
	set(&f.View, e.View)
	set(&f.SoundLate, e.SoundLate)
	clearable(&f.Box, e.Box, bullpen.Box{})
	set(&f.Position, e.Position)
}

func boxOf(b bullpen.Box) *bullpen.Box {
	if b.None() {
		return nil
	}
	return &b
}
