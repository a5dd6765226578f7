package caption

import "tenoff/internal/bullpen"

// Facts is everything a caption may say about one rep. Its JSON form is part of
// what decides whether a clip must be made again, so a field that no caption
// shows does not belong here.
type Facts struct {
	// Pitcher is her label, "" unless it was asked for.
	Pitcher string        `json:"pitcher,omitempty"`
	Pitch   bullpen.Pitch `json:"pitch"`
	Drill   string        `json:"drill,omitempty"`
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
	OnEdge  bool            `json:"onEdge,omitempty"`
	// ComeBackOn is how much can come back on, least and most; shown of a too
	// soft one.
	ComeBackOn *[2]bullpen.Speed `json:"comeBackOn,omitempty"`
	// Body is a ready sentence on body speed ("body 97 % of her fastball"), "" for none.
	Body string `json:"body,omitempty"`
	// Note is the instructor's note, "" unless it was asked for.
	Note string `json:"note,omitempty"`
}
