package wire

import (
	"tenoff/internal/bullpen"
	"tenoff/internal/trust"
)

// TrustAnswer is the instructor's own rule for a pitch, held against what was
// thrown.
type TrustAnswer struct {
	Version   int64         `json:"version" doc:"the pitcher's; send it back with a PUT"`
	Pitch     bullpen.Pitch `json:"pitch"`
	PitchName string        `json:"pitchName"`
	Trusted   bool          `json:"trusted" doc:"every line is met"`
	Lines     []TrustLine   `json:"lines" nullable:"false"`
}

// TrustLine is one line of the rule and how it stands.
type TrustLine struct {
	Kind  string    `json:"kind" enum:"in the band,strikes,bullpens,spread,same body in reps,same body"`
	Need  float64   `json:"need" doc:"reps, per cent, bullpens or mph, by kind"`
	Of    int       `json:"of" doc:"of the last so many; 0: of all"`
	Text  string    `json:"text" doc:"the line in words"`
	Met   bool      `json:"met"`
	Have  string    `json:"have" doc:"what there is, in words"`
	Made  []RepName `json:"made" nullable:"false" doc:"what counts for it, in the order thrown"`
	Broke []RepName `json:"broke" nullable:"false" doc:"and against it"`
}

// RepName names a rep, or a whole bullpen, in a few words.
type RepName struct {
	ID        string `json:"id"`
	BullpenID string `json:"bullpenId"`
	Label     string `json:"label"`
}

// TrustRule is a PUT body: the whole rule.
type TrustRule struct {
	Version int64          `json:"version" doc:"the pitcher's version you saw; 409 when it is no longer the current one"`
	Pitch   bullpen.Pitch  `json:"pitch"`
	Lines   []TrustAskedOf `json:"lines" nullable:"false" minItems:"1" maxItems:"12"`
}

// TrustAskedOf is one line of a rule that is set.
type TrustAskedOf struct {
	Kind string  `json:"kind" enum:"in the band,strikes,bullpens,spread,same body in reps,same body"`
	Need float64 `json:"need" minimum:"0" maximum:"1000" doc:"reps, per cent, bullpens or mph, by kind"`
	Of   int     `json:"of,omitempty" minimum:"0" maximum:"1000" doc:"of the last so many; 0: of all"`
}

// Rule returns the rule that was sent.
func (t TrustRule) Rule() trust.Rule {
	r := trust.Rule{Pitch: t.Pitch, Lines: make([]trust.Line, len(t.Lines))}
	for i, l := range t.Lines {
		r.Lines[i] = trust.Line{Kind: trust.Kind(l.Kind), Need: l.Need, Of: l.Of}
	}
	return r
}

// TrustOf returns a as the API says it; name gives a rep's or bullpen's few words.
func TrustOf(a trust.Answer, version int64, name func(id string) RepName) TrustAnswer {
	out := TrustAnswer{Version: version, Pitch: a.Pitch, PitchName: PitchName(a.Pitch), Trusted: a.Trusted, Lines: make([]TrustLine, len(a.Lines))}
	names := func(ids []string) []RepName {
		all := make([]RepName, len(ids))
		for i, id := range ids {
			all[i] = name(id)
		}
		return all
	}
	for i, l := range a.Lines {
		out.Lines[i] = TrustLine{
			Kind: string(l.Line.Kind), Need: l.Line.Need, Of: l.Line.Of, Text: l.Text, Met: l.Met, Have: l.Have,
			Made: names(l.Made), Broke: names(l.Broke),
		}
	}
	return out
}
