package wire

import (
	"tenoff/internal/bullpen"
	"tenoff/internal/field"
)

// FieldPage is what the phone at the fence needs to know.
type FieldPage struct {
	Pitchers   []FieldPitcher `json:"pitchers" nullable:"false" doc:"the one whose bullpen the link names, or all"`
	PitchTypes []PitchType    `json:"pitchTypes" nullable:"false"`
	Expires    int64          `json:"expires,omitempty" doc:"when the link runs out, microseconds UTC; missing for whoever is signed in"`
}

// FieldPitcher is a pitcher on the field page.
type FieldPitcher struct {
	ID    string       `json:"id"`
	Label string       `json:"label"`
	Unit  bullpen.Unit `json:"unit" doc:"what the gun shows"`
}

// FieldEntries is a PUT body: entries as the phone has them. Sent again, late or in any
// order they are the same entries.
type FieldEntries struct {
	Entries []FieldEntry `json:"entries" nullable:"false" maxItems:"200"`
}

// FieldEntry is what was typed for one throw.
type FieldEntry struct {
	ID        string        `json:"id" minLength:"16" maxLength:"64" pattern:"^[0-9a-z]+$" doc:"the phone's own name for it, random"`
	PitcherID string        `json:"pitcherId" maxLength:"64"`
	Here      bool          `json:"here,omitempty" doc:"it was typed under the very link that it is sent by, and belongs to the bullpen that names"`
	Day       string        `json:"day" format:"date" doc:"on the phone's calendar"`
	At        int64         `json:"at" minimum:"1" maximum:"9007199254740991" doc:"on the phone's clock, microseconds UTC"`
	Revision  int64         `json:"revision" minimum:"1" maximum:"1000000" doc:"of two of one entry the higher is how it is now"`
	Undone    bool          `json:"undone,omitempty" doc:"it was taken back"`
	Pitch     bullpen.Pitch `json:"pitch"`
	Value     float64       `json:"value,omitempty" minimum:"0" maximum:"200" doc:"what the gun showed; none: nothing"`
	Unit      bullpen.Unit  `json:"unit,omitempty" doc:"needed with value"`
	Call      bullpen.Call  `json:"call,omitempty"`
}

// FieldTaken answers FieldEntries.
type FieldTaken struct {
	Taken   []string       `json:"taken" nullable:"false" doc:"the entries that are stored now, by ID; they need not be sent again"`
	Refused []FieldRefused `json:"refused" nullable:"false"`
}

// FieldRefused is an entry that is not taken.
type FieldRefused struct {
	ID  string `json:"id"`
	Why string `json:"why" doc:"one sentence"`
}

// NewFieldLink is a POST body.
type NewFieldLink struct {
	BullpenID string `json:"bullpenId,omitempty" maxLength:"64" doc:"the bullpen it is for; for all pitchers unless said"`
}

// FieldLink is a private link to the field page.
type FieldLink struct {
	ID        string `json:"id"`
	BullpenID string `json:"bullpenId,omitempty" doc:"missing: for all pitchers"`
	Created   int64  `json:"created" doc:"microseconds UTC"`
	Expires   int64  `json:"expires" doc:"microseconds UTC"`
	LastUsed  int64  `json:"lastUsed,omitempty" doc:"microseconds UTC; missing: never"`
}

// FieldLinks lists those that are open.
type FieldLinks struct {
	Links []FieldLink `json:"links" nullable:"false" doc:"latest first"`
}

// MadeFieldLink is a link that was just made.
type MadeFieldLink struct {
	FieldLink FieldLink `json:"fieldLink"`
	Link      string    `json:"link" doc:"told this once; the token is behind the #"`
	Hint      string    `json:"hint,omitempty" doc:"one sentence: what to mind with it"`
	QrSvg     string    `json:"qrSvg" doc:"the link as a QR code, a data: address"`
}

// FieldStanding is how a bullpen stands with what was typed at the fence.
type FieldStanding struct {
	Revision int64          `json:"revision" doc:"of the bullpen; send it back with what you say yes to"`
	Waiting  int            `json:"waiting" doc:"entries that belong to no rep yet"`
	Looking  bool           `json:"looking" doc:"they are being laid over the reps just now"`
	Filmed   bool           `json:"filmed" doc:"there are throws on a film that they may belong to"`
	Sure     bool           `json:"sure" doc:"the first way need not be asked about"`
	Why      string         `json:"why,omitempty" doc:"one sentence: what times can't tell here"`
	Headline string         `json:"headline,omitempty" doc:"how the first way would come out"`
	Outcomes []FieldOutcome `json:"outcomes" nullable:"false" doc:"ways in which entries belong to throws, the likeliest first"`
	Joined   int            `json:"joined" doc:"reps that the last join concerned; it can be undone"`
	Kept     int            `json:"kept,omitempty" doc:"of an undo: reps that were changed since, which stay as they are"`
}

// FieldOutcome is one way.
type FieldOutcome struct {
	Chance float64       `json:"chance" doc:"0 to 1, that all of it is right, as far as times tell"`
	Lines  []FieldLine   `json:"lines" nullable:"false" doc:"in the order typed"`
	Unread []FieldUnread `json:"unread" nullable:"false" doc:"throws between others that have no reading"`
}

// FieldLine is an entry and what becomes of it.
type FieldLine struct {
	ID      string        `json:"id"`
	At      int64         `json:"at" doc:"on the phone's clock, microseconds UTC"`
	Pitch   bullpen.Pitch `json:"pitch"`
	Value   float64       `json:"value,omitempty" doc:"missing: the gun showed nothing"`
	Unit    bullpen.Unit  `json:"unit,omitempty"`
	Call    bullpen.Call  `json:"call,omitempty"`
	Fate    string        `json:"fate" enum:"joins,stays,differs,no throw,new rep,is joined" doc:"joins: it becomes the rep's reading; stays: the rep's reading was typed by hand and stays; differs: the rep was logged as another pitch; no throw: nothing on the film is its throw; new rep: it becomes a rep of its own; is joined: it belongs to a rep already"`
	Place   int           `json:"place,omitempty" doc:"of its throw among those on the films, from 1"`
	FilmID  string        `json:"filmId,omitempty"`
	Seconds float64       `json:"seconds,omitempty" doc:"release, file seconds"`
	RepID   string        `json:"repId,omitempty" doc:"the rep, where it is logged"`
	Order   int           `json:"order,omitempty" doc:"the rep's"`
	Logged  bullpen.Pitch `json:"logged,omitempty" doc:"what the rep is logged as"`
	Read    *Reading      `json:"read,omitempty" doc:"the reading that the rep has"`
}

// FieldUnread is a throw that has no reading.
type FieldUnread struct {
	Place   int     `json:"place" doc:"among the throws on the films, from 1"`
	RepID   string  `json:"repId,omitempty"`
	FilmID  string  `json:"filmId"`
	Seconds float64 `json:"seconds" doc:"release, file seconds"`
}

// FieldChoice is a POST body: what somebody says yes to.
type FieldChoice struct {
	Revision int64    `json:"revision" doc:"that the look had; 409 when the bullpen has moved on"`
	Way      int      `json:"way" minimum:"0" maximum:"9" doc:"which of the ways, from 0"`
	Entries  []string `json:"entries" nullable:"false" maxItems:"1000" doc:"that join the throws they belong to that way"`
	Alone    []string `json:"alone,omitempty" nullable:"false" maxItems:"1000" doc:"entries without a throw that become reps of their own"`
}

// FieldAside is a POST body.
type FieldAside struct {
	Entries []string `json:"entries" nullable:"false" maxItems:"1000"`
	Back    bool     `json:"back,omitempty" doc:"they are of use after all"`
}

// Lesson is a pitcher's day with entries that belong to no rep yet.
type Lesson struct {
	PitcherID string `json:"pitcherId"`
	Pitcher   string `json:"pitcher" doc:"her label"`
	Day       string `json:"day" format:"date"`
	Entries   int    `json:"entries"`
	BullpenID string `json:"bullpenId,omitempty" doc:"that day's; missing: there is none yet"`
}

// Entry returns what was sent; the bullpen is the link's.
func (e FieldEntry) Entry(linked string) bullpen.FieldEntry {
	out := bullpen.FieldEntry{ID: e.ID, PitcherID: e.PitcherID, Day: e.Day, At: e.At, Revision: e.Revision, Undone: e.Undone, Pitch: e.Pitch, Call: e.Call}
	if e.Value > 0 {
		out.Reading = bullpen.TypedReading{Value: e.Value, Unit: e.Unit}
	}
	if e.Here {
		out.BullpenID = linked
	}
	return out
}

// FieldLinkOf returns l as the API says it.
func FieldLinkOf(l bullpen.FieldLink) FieldLink {
	return FieldLink{ID: l.ID, BullpenID: l.BullpenID, Created: l.Created, Expires: l.Expires, LastUsed: l.LastUsed}
}

// FieldStandingOf returns l as the API says it.
func FieldStandingOf(l field.Standing) FieldStanding {
	out := FieldStanding{
		Revision: l.Revision, Waiting: l.Waiting, Looking: l.Looking, Filmed: l.Filmed, Sure: l.Sure, Why: l.Why, Headline: l.Headline,
		Joined: l.Joined, Outcomes: make([]FieldOutcome, len(l.Outcomes)),
	}
	for i, way := range l.Outcomes {
		one := FieldOutcome{Chance: way.Chance, Lines: make([]FieldLine, len(way.Lines)), Unread: make([]FieldUnread, len(way.Unread))}
		for k, line := range way.Lines {
			one.Lines[k] = fieldLineOf(line)
		}
		for k, u := range way.Unread {
			one.Unread[k] = FieldUnread{Place: u.Place, RepID: u.Throw.RepID, FilmID: u.Throw.FilmID, Seconds: u.Seconds}
		}
		out.Outcomes[i] = one
	}
	return out
}

func fieldLineOf(l field.Line) FieldLine {
	e := l.Entry
	out := FieldLine{ID: e.ID, At: e.At, Pitch: e.Pitch, Value: e.Reading.Value, Unit: e.Reading.Unit, Call: e.Call, Fate: string(l.Fate), Place: l.Place, Seconds: l.Seconds}
	if l.Throw != nil {
		out.FilmID = l.Throw.FilmID
	}
	if l.Rep != nil {
		out.RepID, out.Order, out.Logged, out.Read = l.Rep.ID, l.Rep.Order, l.Rep.Pitch, readingOf(l.Rep.Reading)
	}
	return out
}
