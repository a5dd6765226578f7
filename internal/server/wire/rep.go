package wire

import "tenoff/internal/bullpen"

// Rep is one confirmed pitch, with the numbers that follow from it.
type Rep struct {
	ID        string        `json:"id"`
	Version   int64         `json:"version" doc:"send it back with a PATCH"`
	BullpenID string        `json:"bullpenId"`
	FilmID    string        `json:"filmId,omitempty" doc:"missing for a rep that was only read off the gun"`
	StillName string        `json:"stillName,omitempty" doc:"what a still of it is called as a file: day, order, pitch and reading; missing without a film, and in lists over bullpens"`
	Drive     *int          `json:"drive,omitempty" doc:"frame index on the film; missing: not marked"`
	Plant     *int          `json:"plant,omitempty" doc:"frame index on the film; missing: not marked"`
	Top       *int          `json:"top,omitempty" doc:"frame index on the film; missing: not marked"`
	Release   *int          `json:"release,omitempty" doc:"frame index on the film; missing: not marked"`
	Order     int           `json:"order" doc:"1, 2, 3 ... as thrown within the bullpen"`
	Pitch     bullpen.Pitch `json:"pitch"`
	PitchName string        `json:"pitchName"`
	Reading   *Reading      `json:"reading,omitempty"`
	Drill     string        `json:"drill" doc:"empty: the full pitch"`
	Set       int           `json:"set" doc:"0: not said"`
	Number    int           `json:"number" doc:"rep within the set; 0: not said"`
	Call      bullpen.Call  `json:"call"`
	WarmUp    bool          `json:"warmUp" doc:"counted in the load, left out of every other number"`
	Sure      bool          `json:"sure" doc:"somebody said that the reading is right, whatever is asked about it; a new reading or pitch takes it away"`
	Note      string        `json:"note"`
	FilmSpeed *FilmSpeed    `json:"filmSpeed,omitempty" doc:"the film's second opinion on the reading; only in a bullpen's sheet"`
	PopAfter  *float64      `json:"popAfter,omitempty" doc:"real seconds from release to where the film sounds of the catch; missing without a pop"`
	Judged    Judged        `json:"judged" doc:"computed; changes when any reading of the bullpen does"`
	// Fill, Body and Found are filled in with RepOf's answer.
	Fill  bullpen.Fill   `json:"fill,omitempty" enum:"full,half,empty" doc:"how its shape on the target is filled. full: in the band, and the same body, or its body was not filmed; half: in the band and on film, and of its body the film can't tell; empty: not in the band, or its body slowed; missing in the list of all reps"`
	Body  *RepBody       `json:"body,omitempty" doc:"body and arm speed; missing for a rep that is not on film"`
	Found *FoundInstants `json:"found,omitempty" doc:"instants found by tenoff, apart from the marks; missing while there are none"`
	Seen  *SeenInstants  `json:"seen,omitempty" doc:"instants that her joints show; missing where none are seen"`
}

// Judged is what follows from a rep's reading and its bullpen. What can't be known
// is left out, and pending says why there is no verdict.
type Judged struct {
	Speed       *Speed          `json:"speed,omitempty" doc:"the reading"`
	Baseline    *Baseline       `json:"baseline,omitempty" doc:"what the gap is counted from"`
	Gap         *Gap            `json:"gap,omitempty" doc:"baseline - reading"`
	Uncertainty *Speed          `json:"uncertainty,omitempty" doc:"standard uncertainty of the gap"`
	Verdict     bullpen.Verdict `json:"verdict"`
	OnEdge      bool            `json:"onEdge" doc:"the verdict is less than nineteen in twenty sure: the gap may lie beyond an edge of the band"`
	EdgeOf      bullpen.Verdict `json:"edgeOf,omitempty" doc:"on an edge: the verdict beyond it"`
	Pending     string          `json:"pending,omitempty" doc:"one sentence: why there is no verdict, and what to do"`
	SoFar       bool            `json:"soFar,omitempty" doc:"it hangs on fewer than five readings of the baseline pitch"`
	Said        string          `json:"said,omitempty" doc:"the verdict in words, with its edge and its few reps"`
	Aim         *SpeedRange     `json:"aim,omitempty" doc:"readings that lie in the band under this rep's baseline, for the picture; advice is only a summary's"`
	Doubt       string          `json:"doubt,omitempty" doc:"one sentence that asks whether the reading is right; until that is settled it counts in nothing"`
	Meant       *Reading        `json:"meant,omitempty" doc:"what was read, if the slip was made that doubt names"`
	MeantPitch  bullpen.Pitch   `json:"meantPitch,omitempty" doc:"what was thrown, if doubt names another pitch"`
	Legs        *float64        `json:"legs,omitempty" doc:"drive to plant by hand marks, real seconds"`
	Arm         *float64        `json:"arm,omitempty" doc:"top to release by hand marks, real seconds"`
}

// NewRep is a POST body. Order follows from where the release lies on the films,
// or is the last.
type NewRep struct {
	Key     string        `json:"key,omitempty" maxLength:"64" doc:"a name of the caller's own, random: sent again with it, the rep is answered that was logged the first time"`
	FilmID  string        `json:"filmId,omitempty" maxLength:"64" doc:"needed with any mark"`
	Drive   *int          `json:"drive,omitempty" minimum:"0" doc:"frame index"`
	Plant   *int          `json:"plant,omitempty" minimum:"0" doc:"frame index"`
	Top     *int          `json:"top,omitempty" minimum:"0" doc:"frame index"`
	Release *int          `json:"release,omitempty" minimum:"0" doc:"frame index"`
	Pitch   bullpen.Pitch `json:"pitch,omitempty" doc:"fb unless said"`
	Reading *Reading      `json:"reading,omitempty"`
	Drill   string        `json:"drill,omitempty" maxLength:"80"`
	Set     int           `json:"set,omitempty" minimum:"0" maximum:"999"`
	Number  int           `json:"number,omitempty" minimum:"0" maximum:"9999"`
	Call    bullpen.Call  `json:"call,omitempty"`
	WarmUp  bool          `json:"warmUp,omitempty"`
	Note    string        `json:"note,omitempty" maxLength:"2000"`
}

// RepEdit is a PATCH body.
type RepEdit struct {
	Version int64          `json:"version" doc:"the version you saw; 409 when it is no longer the current one"`
	FilmID  Edit[string]   `json:"filmId,omitzero"`
	Drive   Edit[int]      `json:"drive,omitzero" doc:"frame index; null takes the mark away"`
	Plant   Edit[int]      `json:"plant,omitzero" doc:"frame index; null takes the mark away"`
	Top     Edit[int]      `json:"top,omitzero" doc:"frame index; null takes the mark away"`
	Release Edit[int]      `json:"release,omitzero" doc:"frame index; null takes the mark away"`
	MarksOf int64          `json:"marksOf,omitempty" minimum:"1" doc:"a version of this rep: each mark that changes counts again as it did then, as found or as placed by hand; for undo"`
	Order   *int           `json:"order,omitempty" minimum:"1"`
	Pitch   *bullpen.Pitch `json:"pitch,omitempty"`
	Reading Edit[Reading]  `json:"reading,omitzero" doc:"null takes the reading away"`
	Drill   *string        `json:"drill,omitempty" maxLength:"80"`
	Set     *int           `json:"set,omitempty" minimum:"0" maximum:"999"`
	Number  *int           `json:"number,omitempty" minimum:"0" maximum:"9999"`
	Call    *bullpen.Call  `json:"call,omitempty"`
	Sure    *bool          `json:"sure,omitempty" doc:"the reading is right, whatever is asked about it"`
	WarmUp  *bool          `json:"warmUp,omitempty"`
	Note    *string        `json:"note,omitempty" maxLength:"2000"`
}

// RepChange answers a change of one rep. Other reps' numbers may have moved with
// it: read the sheet again when you show them.
type RepChange struct {
	Rep      Rep   `json:"rep"`
	Revision int64 `json:"revision" doc:"of the bullpen, this change included"`
}

// RepRow is a rep in a list across bullpens.
type RepRow struct {
	Rep          Rep    `json:"rep"`
	Day          string `json:"day" format:"date"`
	PitcherID    string `json:"pitcherId"`
	PitcherLabel string `json:"pitcherLabel"`
	BullpenTitle string `json:"bullpenTitle"`
}

// RepPage is one page of a list across bullpens.
type RepPage struct {
	Reps []RepRow `json:"reps" nullable:"false" doc:"latest first"`
	Next string   `json:"next,omitempty" doc:"send it as cursor for the next page; missing: that was the last"`
}

// RepOf returns r and its numbers as the API says them.
func RepOf(r bullpen.Rep, n bullpen.RepNumbers) Rep {
	return Rep{
		ID: r.ID, Version: r.Version, BullpenID: r.BullpenID, FilmID: r.FilmID,
		Drive: frame(r.Drive), Plant: frame(r.Plant), Top: frame(r.Top), Release: frame(r.Release),
		Order: r.Order, Pitch: r.Pitch, PitchName: PitchName(r.Pitch), Reading: readingOf(r.Reading),
		Drill: r.Drill, Set: r.Set, Number: r.Number, Call: r.Call, WarmUp: r.WarmUp, Sure: r.Sure, Note: r.Note,
		Judged: Judged{
			Speed: speedOf(n.Speed), Baseline: baselineOf(n.Baseline), Gap: gapOf(n.Gap),
			Uncertainty: speedOf(n.Uncertainty), Verdict: n.Verdict, OnEdge: n.OnEdge, EdgeOf: n.EdgeOf, Pending: n.Pending,
			SoFar: n.SoFar, Said: n.Said, Aim: rangeOf(n.Band), Doubt: n.Doubt, Meant: readingOf(n.Meant), MeantPitch: n.MeantPitch, Legs: n.Legs, Arm: n.Arm,
		},
	}
}

// PitchName returns a pitch type's name, or its code for one that is not known.
func PitchName(code bullpen.Pitch) string {
	if t, ok := bullpen.TypeOf(code); ok {
		return t.Name
	}
	return string(code)
}

// frame is a mark as the API says it: nothing for one that was not made.
func frame(i int) *int {
	if i < 0 {
		return nil
	}
	return &i
}

// Rep returns the rep that was sent, for bullpen id.
func (n NewRep) Rep(id string) bullpen.Rep {
	r := bullpen.Rep{
		BullpenID: id, FilmID: n.FilmID,
		Drive: bullpen.Unmarked, Plant: bullpen.Unmarked, Top: bullpen.Unmarked, Release: bullpen.Unmarked,
		Pitch: n.Pitch, Reading: (*bullpen.Reading)(n.Reading), Drill: n.Drill, Set: n.Set, Number: n.Number,
		Call: n.Call, WarmUp: n.WarmUp, Note: n.Note,
	}
	set(&r.Drive, n.Drive)
	set(&r.Plant, n.Plant)
	set(&r.Top, n.Top)
	set(&r.Release, n.Release)
	if r.Pitch == "" {
		r.Pitch = bullpen.Fastball
	}
	return r
}

// Onto writes what was sent onto r.
func (e RepEdit) Onto(r *bullpen.Rep) {
	r.Version = e.Version
	clearable(&r.FilmID, e.FilmID, "")
	clearable(&r.Drive, e.Drive, bullpen.Unmarked)
	clearable(&r.Plant, e.Plant, bullpen.Unmarked)
	clearable(&r.Top, e.Top, bullpen.Unmarked)
	clearable(&r.Release, e.Release, bullpen.Unmarked)
	set(&r.Order, e.Order)
	set(&r.Pitch, e.Pitch)
	if e.Reading.Sent {
		r.Reading = (*bullpen.Reading)(e.Reading.Value)
	}
	set(&r.Drill, e.Drill)
	set(&r.Set, e.Set)
	set(&r.Number, e.Number)
	set(&r.Call, e.Call)
	set(&r.WarmUp, e.WarmUp)
	set(&r.Sure, e.Sure)
	set(&r.Note, e.Note)
}

// clearable writes what was sent to *field: nothing, a value, or none.
func clearable[T any](field *T, sent Edit[T], none T) {
	switch {
	case !sent.Sent:
	case sent.Value == nil:
		*field = none
	default:
		*field = *sent.Value
	}
}
