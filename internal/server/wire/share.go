package wire

import (
	"strconv"

	"tenoff/internal/bullpen"
	"tenoff/internal/tempo"
)

// ShareLink is a private link to a bullpen's result, without its token.
type ShareLink struct {
	Link
	ClipIDs []string `json:"clipIds" nullable:"false" doc:"those that are seen there and still on the shelf"`
}

// ShareList is all links to one bullpen's result.
type ShareList struct {
	Shares  []ShareLink `json:"shares" nullable:"false" doc:"latest first"`
	Consent bool        `json:"consent" doc:"a guardian says yes to results: a link can be made"`
	Message string      `json:"message" doc:"what a link's message will say, with … for the link"`
}

// NewShare is a POST body.
type NewShare struct {
	Days    int      `json:"days,omitempty" minimum:"1" maximum:"90" doc:"how long it opens; 14 unless said"`
	ClipIDs []string `json:"clipIds,omitempty" nullable:"false" maxItems:"100" doc:"finished clips and side by sides of this bullpen that are seen there, in this order"`
}

// MadeShare is a link that was just made.
type MadeShare struct {
	Share ShareLink `json:"share"`
	MadeLink
}

// SharePage is everything that a link to a bullpen's result opens.
type SharePage struct {
	Pitcher  string        `json:"pitcher" doc:"her label"`
	Language string        `json:"language" enum:"en,es" doc:"what she reads"`
	Day      string        `json:"day" format:"date"`
	Expires  int64         `json:"expires" doc:"microseconds UTC"`
	Unit     bullpen.Unit  `json:"unit"`
	Baseline bullpen.Pitch `json:"baseline" doc:"the pitch that gaps are counted from"`
	Told     []Told        `json:"told" nullable:"false" doc:"in every language"`
	Pitch    *SharedPitch  `json:"pitch,omitempty" doc:"the off-speed pitch that it is about; missing while none was read"`
	Clips    []SharedClip  `json:"clips" nullable:"false" doc:"those that were chosen and can be played"`
}

// SharedPitch is one pitch with all that its target shows.
type SharedPitch struct {
	Summary Summary     `json:"summary"`
	Body    *SharedBody `json:"body,omitempty" doc:"missing where nobody looked at the body"`
	Reps    []SharedRep `json:"reps" nullable:"false" doc:"as thrown"`
}

// SharedBody is the verdict on the body.
type SharedBody struct {
	Verdict tempo.Verdict `json:"verdict"`
	On      string        `json:"on,omitempty" doc:"of how many reps the verdict speaks where it is not all: on 2 of 8"`
	Own     *PercentRange `json:"own,omitempty" doc:"between which body speeds one more of her own fastballs would lie"`
}

// SharedRep is a rep as a point of the target.
type SharedRep struct {
	ID     string         `json:"id" doc:"on this page alone"`
	Order  int            `json:"order" doc:"as thrown"`
	Pitch  bullpen.Pitch  `json:"pitch"`
	WarmUp bool           `json:"warmUp"`
	Judged SharedJudged   `json:"judged"`
	Fill   bullpen.Fill   `json:"fill,omitempty" enum:"full,half,empty" doc:"how its shape on the target is filled"`
	Body   *SharedRepBody `json:"body,omitempty"`
}

// SharedJudged is a rep's gap.
type SharedJudged struct {
	Gap         *Gap            `json:"gap,omitempty"`
	Uncertainty *Speed          `json:"uncertainty,omitempty" doc:"standard uncertainty of the gap"`
	Verdict     bullpen.Verdict `json:"verdict"`
	EdgeOf      bullpen.Verdict `json:"edgeOf,omitempty" doc:"on an edge: the verdict beyond it"`
	SoFar       bool            `json:"soFar,omitempty" doc:"it hangs on few reps of the baseline pitch"`
}

// SharedRepBody is a rep's body speed.
type SharedRepBody struct {
	Legs    *BodySpeed    `json:"legs,omitempty"`
	Verdict tempo.Verdict `json:"verdict,omitempty" doc:"missing where it is not shown to be slower"`
	Short   string        `json:"short,omitempty"`
}

// SharedClip is a clip to be looked at.
type SharedClip struct {
	Kind     string          `json:"kind" enum:"single,pair"`
	Reps     []SharedClipRep `json:"reps" nullable:"false" doc:"which it shows; the off-speed rep first in a pair"`
	Older    bool            `json:"older" doc:"something it shows has changed since it was made"`
	File     string          `json:"file" doc:"address of the film; it opens for some hours, then read this page again"`
	Captions string          `json:"captions" doc:"address of its captions (WebVTT)"`
	Language string          `json:"language" enum:"en,es" doc:"of its captions"`
	FileName string          `json:"fileName"`
	Bytes    int64           `json:"bytes"`
	Seconds  float64         `json:"seconds"`
}

// SharedClipRep is a rep that a clip shows.
type SharedClipRep struct {
	Order int           `json:"order"`
	Pitch bullpen.Pitch `json:"pitch"`
}

// ShareOf returns s as the API says it, at the given time in microseconds UTC.
func ShareOf(s bullpen.ShareLink, now int64) ShareLink {
	return ShareLink{Link: LinkOf(s.Link, now), ClipIDs: append([]string{}, s.ClipIDs...)}
}

// SharedRepOf returns what of a rep a parent sees.
func SharedRepOf(r Rep) SharedRep {
	out := SharedRep{
		ID: strconv.Itoa(r.Order), Order: r.Order, Pitch: r.Pitch, WarmUp: r.WarmUp, Fill: r.Fill,
		Judged: SharedJudged{Gap: r.Judged.Gap, Uncertainty: r.Judged.Uncertainty, Verdict: r.Judged.Verdict, EdgeOf: r.Judged.EdgeOf, SoFar: r.Judged.SoFar},
	}
	if r.Body != nil {
		out.Body = &SharedRepBody{Legs: r.Body.Legs, Verdict: r.Body.Verdict, Short: r.Body.Short}
	}
	return out
}
