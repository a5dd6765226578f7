package bullpen

import "strings"

// Pitch is a pitch type's short code, as a coach types it.
type Pitch string

// The pitch types known from the start.
const (
	Fastball  Pitch = "fb"
	ChangeUp  Pitch = "ch"
	Drop      Pitch = "dr"
	Rise      Pitch = "ri"
	Curve     Pitch = "cu"
	Screw     Pitch = "sc"
	OffSpeed  Pitch = "os"
	DropCurve Pitch = "dc"
)

// PitchType describes one kind of pitch.
type PitchType struct {
	Code Pitch  `json:"code"` // two letters, stored with every rep
	Key  string `json:"key"`  // the one key that picks it in the film room
	Name string `json:"name"` // as captions and pages say it
	// Plural is what several of them are called: "off-speed pitches".
	Plural string `json:"plural"`
	// Band is the default target for the gap; nil for a pitch that is not meant
	// to be slower than the baseline (a fastball, a drop, a rise).
	Band *Band `json:"band,omitempty"`
}

// PitchTypes lists every pitch type in the order pages show them. To add one,
// add a constant and a line here; nothing else knows the list.
var PitchTypes = []PitchType{
	{Fastball, "f", "fastball", "fastballs", nil},
	{ChangeUp, "c", "change-up", "change-ups", &Band{Unit: InMPH, Lo: 8, Hi: 12, Limit: 15}},
	{OffSpeed, "o", "off-speed", "off-speed pitches", &Band{Unit: InMPH, Lo: 3, Hi: 7, Limit: 10}},
	{Drop, "d", "drop", "drops", nil},
	{Rise, "r", "rise", "rises", nil},
	{Curve, "v", "curve", "curves", &Band{Unit: InMPH, Lo: 3, Hi: 7, Limit: 10}},
	{Screw, "w", "screw", "screws", nil},
	{DropCurve, "b", "drop curve", "drop curves", nil},
}

// TypeOf returns the pitch type with the given code.
func TypeOf(code Pitch) (PitchType, bool) {
	for _, t := range PitchTypes {
		if t.Code == code {
			return t, true
		}
	}
	return PitchType{}, false
}

// Plural returns what several pitches of that code are called, "pitches" of a type that is
// not known.
func (p Pitch) Plural() string {
	if t, ok := TypeOf(p); ok {
		return t.Plural
	}
	return "pitches"
}

// PitchNamed returns the pitch type that text names by code, key or name, whatever
// its case, hyphens and spaces: "ch", "c", "Change-up", "changeup".
func PitchNamed(text string) (PitchType, bool) {
	plain := func(s string) string {
		return strings.NewReplacer("-", "", " ", "").Replace(strings.ToLower(s))
	}
	want := plain(text)
	for _, t := range PitchTypes {
		if want == string(t.Code) || want == t.Key || want == plain(t.Name) {
			return t, true
		}
	}
	return PitchType{}, false
}
