package caption

import (
	"cmp"

	"tenoff/internal/bullpen"
	"tenoff/internal/texts"
)

// Facts is everything a caption may say about one rep. Its JSON form is part of
// what decides whether a clip must be made again, so a field that no caption
// shows does not belong here.
type Facts struct {
	// Language is what it is said in, as LanguageOf gives it.
	Language texts.Language `json:"language,omitempty"`
	// Pitcher is her label, "" unless it was asked for.
	Pitcher string        `json:"pitcher,omitempty"`
	Pitch   bullpen.Pitch `json:"pitch"`
	Drill   string        `json:"drill,omitempty"`
	Order   int           `json:"order,omitempty"`  // what the rep is called by: rep 10; 0: not said
	Set     int           `json:"set,omitempty"`    // 0: not said
	Number  int           `json:"number,omitempty"` // 0: not said
	// Unit is what speeds are shown in, whatever the gun was set to.
	Unit    bullpen.Unit     `json:"unit"`
	Reading *bullpen.Reading `json:"reading,omitempty"`
	// BaselinePitch is the pitch the gap is counted from; Baseline is its speed,
	// nil while there is none.
	BaselinePitch bullpen.Pitch  `json:"baselinePitch,omitempty"`
	Baseline      *bullpen.Speed `json:"baseline,omitempty"`
	// Gap is baseline minus reading; nil while pending.
	Gap     *bullpen.Speed  `json:"gap,omitempty"`
	Verdict bullpen.Verdict `json:"verdict,omitempty"`
	EdgeOf  bullpen.Verdict `json:"edgeOf,omitempty"` // on an edge: the verdict beyond it
	SoFar   bool            `json:"soFar,omitempty"`  // it hangs on few reps
	// Body is a ready sentence on body speed ("legs at 97 % of her fastball's speed"), "" for none.
	Body string `json:"body,omitempty"`
	// Split is a ready line on where the pitch's mean gap came from ("all change-ups:
	// mean gap 9.3, legs about 5, grip and hand about 4"), "" for none.
	Split string `json:"split,omitempty"`
	// Note is the instructor's note, "" unless it was asked for.
	Note string `json:"note,omitempty"`
}

// Asked is what a caption says only when somebody asked for it.
type Asked struct {
	Label bool   `json:"label,omitempty"` // the pitcher's label
	Note  bool   `json:"note,omitempty"`  // the instructor's note
	Body  string `json:"body,omitempty"`  // a ready sentence on body speed, "" for none
	Split string `json:"split,omitempty"` // a ready line on where the gap came from, "" for none
}

// LanguageOf is what clips of a pitcher are said in: her language, in the words that her own
// page has for her and her parents, who are shown the clip and sent it. Where there are no
// other words for them it is the language alone: a clip of the same words is the same clip.
func LanguageOf(p bullpen.Pitcher) texts.Language {
	return texts.LanguageOf(p.Language).PlainIn(said...)
}

// said are the groups of texts that a clip says something of.
var said = []string{"caption", "chart", "gap", "instant", "lines", "phase", "pitch", "pitches", "place", "rest", "verdict"}

// FactsOf gathers what a caption says about rep, a pitch of pen, from the numbers
// that bullpen.Judge found. Speeds are in the pitcher's unit, else in the bullpen's.
func FactsOf(p bullpen.Pitcher, pen bullpen.Bullpen, rep bullpen.Rep, n bullpen.RepNumbers, asked Asked) Facts {
	f := Facts{
		Language: LanguageOf(p),
		Pitch:    rep.Pitch, Drill: rep.Drill, Order: rep.Order, Set: rep.Set, Number: rep.Number,
		Unit:    cmp.Or(p.Unit, pen.Unit, bullpen.MPH),
		Verdict: n.Verdict, EdgeOf: n.EdgeOf, SoFar: n.SoFar, Body: asked.Body, Split: asked.Split,
	}
	if rep.Reading != nil {
		f.Reading = new(pen.Fill(*rep.Reading))
	}
	if asked.Label {
		f.Pitcher = p.Label
	}
	if asked.Note {
		f.Note = rep.Note
	}
	if n.Baseline != nil {
		f.BaselinePitch, f.Baseline = n.Baseline.Pitch, &n.Baseline.Speed
	}
	if n.Gap != nil {
		f.Gap = &n.Gap.MPH
	}
	return f
}
