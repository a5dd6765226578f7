package wire

import "tenoff/internal/bullpen"

// Readings is a POST body: many readings at once, matched to reps in order.
type Readings struct {
	Text     string           `json:"text" maxLength:"200000" doc:"a run (55 fb 47 ch), a pasted column, or CSV with a header"`
	Shift    int              `json:"shift,omitempty" minimum:"-10000" maximum:"10000" doc:"pair the first reading with a rep this many places further on; negative: skip that many readings"`
	Free     bool             `json:"free,omitempty" doc:"count shift from the first place where no reading is replaced: the first rep without one, or behind the last rep"`
	From     int              `json:"from,omitempty" minimum:"0" doc:"the order number of the rep to start at; 0: the first"`
	Unit     bullpen.Unit     `json:"unit,omitempty" doc:"the bullpen's unless said"`
	Step     float64          `json:"step,omitempty" minimum:"0" maximum:"1" doc:"the bullpen's unless said, in unit"`
	Gun      bullpen.GunPlace `json:"gun,omitempty" doc:"the bullpen's unless said"`
	Revision int64            `json:"revision,omitempty" doc:"the bullpen's revision that the preview was shown at; 409 when it has moved on"`
	NewReps  bool             `json:"newReps,omitempty" doc:"log a new rep for each reading after the last rep, a held place too; what a CSV says of it beside pitch and reading is taken over"`
	Key      string           `json:"key,omitempty" maxLength:"64" doc:"a name of the caller's own, random: sent again with it, new reps are not logged a second time"`
	DryRun   bool             `json:"dryRun,omitempty" doc:"only show the pairs"`
}

// ReadingPairs answers Readings.
type ReadingPairs struct {
	Pairs    []ReadingPair `json:"pairs" nullable:"false" doc:"in order; a rep without a reading and a reading without a rep are shown too"`
	Matched  int           `json:"matched" doc:"pairs that have both"`
	Over     int           `json:"over" doc:"readings without a rep"`
	Behind   int           `json:"behind" doc:"of these, those after the last rep: with newReps, each gets a new one"`
	New      int           `json:"new" doc:"readings that get a new rep"`
	Missing  int           `json:"missing" doc:"reps that have no reading and get none"`
	Kept     int           `json:"kept" doc:"reps that keep the reading they have"`
	Replaced int           `json:"replaced" doc:"of the matched, readings that take another one's place"`
	Shift    int           `json:"shift" doc:"by which they are laid, counted from the first rep: sent back without free, they stay where they were shown"`
	Saved    bool          `json:"saved" doc:"false for a dry run"`
	Logged   []string      `json:"logged" nullable:"false" doc:"the new reps, as thrown; none for a dry run"`
	Revision int64         `json:"revision" doc:"of the bullpen afterwards"`
}

// ReadingPair is one reading beside one rep.
type ReadingPair struct {
	RepID      string         `json:"repId,omitempty"`
	Order      int            `json:"order,omitempty" doc:"the rep's"`
	Text       string         `json:"text,omitempty" doc:"as it was typed"`
	Reading    *Reading       `json:"reading,omitempty"`
	New        bool           `json:"new" doc:"a new rep is logged for it"`
	Pitch      *bullpen.Pitch `json:"pitch,omitempty" doc:"the pitch typed beside it; of a new rep, what it is logged as"`
	OtherPitch bool           `json:"otherPitch" doc:"the rep is logged as another pitch than was typed"`
	Before     *Reading       `json:"before,omitempty" doc:"the reading the rep has now"`
	Doubt      string         `json:"doubt,omitempty" doc:"a sentence that asks whether it can be right"`
}

// ReadingToDoubt is a POST body: a reading that is being typed.
type ReadingToDoubt struct {
	RepID   string        `json:"repId,omitempty" maxLength:"64" doc:"the rep it is for; one that is not known is taken for a new one"`
	Reading Reading       `json:"reading"`
	Pitch   bullpen.Pitch `json:"pitch,omitempty" doc:"the rep's unless said; of a new one, fb"`
	Drill   string        `json:"drill,omitempty" maxLength:"80" doc:"of a new rep"`
	WarmUp  bool          `json:"warmUp,omitempty" doc:"of a new rep"`
}

// ReadingDoubt answers ReadingToDoubt.
type ReadingDoubt struct {
	Doubt string   `json:"doubt" doc:"one sentence that asks whether the reading is right, and names a slip that explains it; empty for nothing"`
	Meant *Reading `json:"meant,omitempty" doc:"what was read, if that slip was made"`
}
