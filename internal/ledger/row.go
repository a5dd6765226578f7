package ledger

import (
	"cmp"
	"strconv"
	"strings"

	"tenoff/internal/bullpen"
	"tenoff/internal/posture"
	"tenoff/internal/tempo"
)

// Row is one rep as CSV and JSON carry it. Columns says what each field means;
// what is not known is left out, or empty in CSV.
type Row struct {
	Day         string           `json:"day"`
	Bullpen     string           `json:"bullpen"`
	Order       int              `json:"order"`
	Film        string           `json:"film,omitempty"`
	Frame       *int             `json:"frame,omitempty"`
	Time        *float64         `json:"time,omitempty"`
	Pitch       string           `json:"pitch"`
	Reading     *float64         `json:"reading,omitempty"`
	Unit        bullpen.Unit     `json:"unit,omitempty"`
	Step        *float64         `json:"step,omitempty"`
	Gun         bullpen.GunPlace `json:"gun,omitempty"`
	Drill       string           `json:"drill"`
	Set         int              `json:"set,omitempty"`
	Rep         int              `json:"rep,omitempty"`
	Call        bullpen.Call     `json:"call,omitempty"`
	WarmUp      bool             `json:"warmUp"`
	Baseline    *bullpen.Speed   `json:"baselineMph,omitempty"`
	Gap         *bullpen.Speed   `json:"gapMph,omitempty"`
	GapKMH      *float64         `json:"gapKmh,omitempty"`
	Percent     *float64         `json:"percent,omitempty"`
	Later       *float64         `json:"laterMs,omitempty"`
	Uncertainty *bullpen.Speed   `json:"uncertaintyMph,omitempty"`
	Verdict     bullpen.Verdict  `json:"verdict,omitempty"`
	OnEdge      bool             `json:"onEdge"`
	SoFar       bool             `json:"soFar"`
	Pending     string           `json:"pending,omitempty"`
	Doubt       string           `json:"doubt,omitempty"`
	Clip        string           `json:"clip,omitempty"`
	Note        string           `json:"note"`
	Legs        *float64         `json:"legsMs,omitempty"`
	Arm         *float64         `json:"armMs,omitempty"`
	BodyFrom    tempo.Source     `json:"bodyFrom,omitempty"`
	BodySpeed   *float64         `json:"bodyPercent,omitempty"`
	BodyU       *float64         `json:"bodyUncertainty,omitempty"`
	BodyWithin  *bool            `json:"bodyWithin,omitempty"`
	BodyVerdict tempo.Verdict    `json:"bodyVerdict,omitempty"`
	ArmSpeed    *float64         `json:"armPercent,omitempty"`
	ArmU        *float64         `json:"armUncertainty,omitempty"`

	// How she moved: measures of package posture, each with its repeatability as a standard
	// uncertainty.
	LeanPlant    *float64 `json:"leanPlantDeg,omitempty"`
	LeanPlantU   *float64 `json:"leanPlantUncertainty,omitempty"`
	LeanRelease  *float64 `json:"leanReleaseDeg,omitempty"`
	LeanReleaseU *float64 `json:"leanReleaseUncertainty,omitempty"`
	HipsOpen     *float64 `json:"hipsOpenMs,omitempty"`
	HipsOpenU    *float64 `json:"hipsOpenUncertainty,omitempty"`
	HipSpeed     *float64 `json:"hipSpeed,omitempty"`
	HipSpeedU    *float64 `json:"hipSpeedUncertainty,omitempty"`
	Stride       *float64 `json:"stride,omitempty"`
	StrideU      *float64 `json:"strideUncertainty,omitempty"`
	ArmSlot      *float64 `json:"armSlot,omitempty"`
	ArmSlotU     *float64 `json:"armSlotUncertainty,omitempty"`
	FrontKnee    *float64 `json:"frontKneeDeg,omitempty"`
	FrontKneeU   *float64 `json:"frontKneeUncertainty,omitempty"`
}

// row is a rep as the session has it; its body and how she moved are written into it.
func (s Session) row(r bullpen.Rep, n bullpen.RepNumbers, film bullpen.Film) Row {
	row := Row{
		Day: s.Pen.Day, Bullpen: s.Pen.Title, Order: r.Order,
		Film: film.Name, Pitch: string(r.Pitch),
		Drill: r.Drill, Set: r.Set, Rep: r.Number, Call: r.Call, WarmUp: r.WarmUp, Note: r.Note,
		Uncertainty: n.Uncertainty, Verdict: n.Verdict, OnEdge: n.OnEdge, SoFar: n.SoFar,
		Pending: n.Pending, Doubt: n.Doubt, Clip: s.Clips[r.ID],
	}
	if t, ok := bullpen.TypeOf(r.Pitch); ok {
		row.Pitch = t.Name
	}
	if r.FilmID != "" && r.Release >= 0 && r.Release < film.Clock.Frames() {
		at := film.Clock.FileSeconds(r.Release)
		row.Frame, row.Time = &r.Release, &at
	}
	if r.Reading != nil {
		filled := s.Pen.Fill(*r.Reading)
		row.Reading, row.Unit, row.Step, row.Gun = &filled.Value, filled.Unit, &filled.Step, filled.Gun
	}
	if n.Baseline != nil {
		row.Baseline = &n.Baseline.Speed
	}
	if n.Gap != nil {
		row.Gap, row.GapKMH, row.Percent, row.Later = &n.Gap.MPH, &n.Gap.KMH, &n.Gap.Percent, n.Gap.Millis
	}
	return row
}

// body writes what is known of the rep's body.
func (row *Row) body(p tempo.RepBody) {
	millis := func(seconds *float64) *float64 {
		if seconds == nil {
			return nil
		}
		return new(1000 * *seconds)
	}
	row.Legs, row.Arm, row.BodyFrom = millis(p.LegsSeconds), millis(p.ArmSeconds), p.LegsFrom
	row.BodyVerdict = p.Verdict
	if p.Legs != nil {
		row.BodySpeed, row.BodyU, row.BodyWithin = &p.Legs.Percent, &p.Legs.U, &p.Legs.Within
	}
	if p.Arm != nil {
		row.ArmSpeed, row.ArmU = &p.Arm.Percent, &p.Arm.U
	}
}

// posture writes how she moved.
func (row *Row) posture(measured map[posture.Kind]posture.Measure) {
	for k, at := range map[posture.Kind][2]**float64{
		posture.LeanPlant: {&row.LeanPlant, &row.LeanPlantU}, posture.LeanRelease: {&row.LeanRelease, &row.LeanReleaseU},
		posture.HipsOpen: {&row.HipsOpen, &row.HipsOpenU}, posture.HipSpeed: {&row.HipSpeed, &row.HipSpeedU},
		posture.Stride: {&row.Stride, &row.StrideU}, posture.ArmSlot: {&row.ArmSlot, &row.ArmSlotU},
		posture.FrontKnee: {&row.FrontKnee, &row.FrontKneeU},
	} {
		if m, ok := measured[k]; ok {
			*at[0], *at[1] = &m.Value, &m.U
		}
	}
}

// Column is one column of the CSV, and the field of the same name in JSON.
type Column struct {
	Name    string
	Meaning string
	cell    func(Row) string
}

// Columns lists the columns in their order.
var Columns = []Column{
	{"day", "the day it was thrown, YYYY-MM-DD", func(r Row) string { return text(r.Day) }},
	{"bullpen", "the bullpen's title", func(r Row) string { return text(r.Bullpen) }},
	{"order", "1, 2, 3 ... as thrown", func(r Row) string { return count(r.Order) }},
	{"film", "name of the film; empty for a rep that was only read off the gun", func(r Row) string { return text(r.Film) }},
	{"frame", "release: index of the frame on the film, from 0", func(r Row) string {
		if r.Frame == nil {
			return ""
		}
		return strconv.Itoa(*r.Frame)
	}},
	{"time", "release: seconds of the film from its first shown frame", func(r Row) string { return number(r.Time, 6) }},
	{"pitch", "name of the pitch", func(r Row) string { return text(r.Pitch) }},
	{"reading", "what the gun showed, in unit", func(r Row) string { return number(r.Reading, -1) }},
	{"unit", "mph or km/h", func(r Row) string { return text(string(r.Unit)) }},
	{"step", "the display's step, in unit", func(r Row) string { return number(r.Step, -1) }},
	{"gun", "where the gun stood", func(r Row) string { return text(string(r.Gun)) }},
	{"drill", "the drill; empty for the full pitch", func(r Row) string { return text(r.Drill) }},
	{"set", "the set, if said", func(r Row) string { return count(r.Set) }},
	{"rep", "the rep within the set, if said", func(r Row) string { return count(r.Rep) }},
	{"call", "strike or ball, if said", func(r Row) string { return text(string(r.Call)) }},
	{"warmUp", "yes for a warm-up rep, which is left out of every number", func(r Row) string { return yes(r.WarmUp) }},
	{"baselineMph", "what the gap is counted from, mph", func(r Row) string { return number(r.Baseline, 4) }},
	{"gapMph", "baseline less reading, mph", func(r Row) string { return number(r.Gap, 4) }},
	{"gapKmh", "the same, km/h", func(r Row) string { return number(r.GapKMH, 4) }},
	{"percent", "the reading as per cent of the baseline", func(r Row) string { return number(r.Percent, 4) }},
	{"laterMs", "how much later it reaches the plate, milliseconds", func(r Row) string { return number(r.Later, 4) }},
	{"uncertaintyMph", "standard uncertainty of the gap, mph", func(r Row) string { return number(r.Uncertainty, 4) }},
	{"verdict", "too firm, in the band, soft or too soft; empty: pending", func(r Row) string { return text(string(r.Verdict)) }},
	{"onEdge", "yes if the verdict is less than nineteen in twenty sure: the gap may lie beyond an edge of the band", func(r Row) string { return yes(r.OnEdge) }},
	{"soFar", "yes if the baseline hangs on fewer than five readings", func(r Row) string { return yes(r.SoFar) }},
	{"pending", "why there is no verdict", func(r Row) string { return text(r.Pending) }},
	{"doubt", "what is asked about the reading", func(r Row) string { return text(r.Doubt) }},
	{"clip", "file name of its clip", func(r Row) string { return text(r.Clip) }},
	{"note", "the instructor's note", func(r Row) string { return text(r.Note) }},
	{"legsMs", "legs time, drive to front-foot plant, milliseconds", func(r Row) string { return number(r.Legs, 1) }},
	{"armMs", "arm time, top to release, milliseconds; empty where film and marks can't tell it", func(r Row) string { return number(r.Arm, 1) }},
	{"bodyFrom", "where the legs' time comes from: marks by hand, or found", func(r Row) string { return text(string(r.BodyFrom)) }},
	{"bodyPercent", "body speed: the legs' speed as per cent of her own fastballs' in this bullpen", func(r Row) string { return number(r.BodySpeed, 1) }},
	{"bodyUncertainty", "its standard uncertainty, percentage points", func(r Row) string { return number(r.BodyU, 1) }},
	{"bodyWithin", "yes if the body speed lies inside the spread of her own fastballs, no if outside", func(r Row) string {
		if r.BodyWithin == nil {
			return ""
		}
		return cmp.Or(yes(*r.BodyWithin), "no")
	}},
	{"bodyVerdict", "slowed body or slowed arm where this rep by itself is shown to be slower than her own fastballs; else empty", func(r Row) string { return text(string(r.BodyVerdict)) }},
	{"armPercent", "arm speed, per cent of her own fastballs' likewise", func(r Row) string { return number(r.ArmSpeed, 1) }},
	{"armUncertainty", "its standard uncertainty, percentage points", func(r Row) string { return number(r.ArmU, 1) }},
	{"leanPlantDeg", "how far her trunk leans forward at front-foot plant, degrees from upright, as the camera sees it: a shadow, to be compared only with reps of the same film place; empty where her joints are not seen", func(r Row) string { return number(r.LeanPlant, 1) }},
	{"leanPlantUncertainty", "how far it comes out otherwise when the same delivery is looked at again, degrees (a standard uncertainty); by how much all of a film lie to one side of what is true is not in it, and falls out where they are compared", func(r Row) string { return number(r.LeanPlantU, 1) }},
	{"leanReleaseDeg", "the same at release, degrees, as the camera sees it", func(r Row) string { return number(r.LeanRelease, 1) }},
	{"leanReleaseUncertainty", "the same for the lean at release, degrees: repeatability only", func(r Row) string { return number(r.LeanReleaseU, 1) }},
	{"hipsOpenMs", "how long before release her hips look opened by 70 % of their greatest width, milliseconds, as the camera sees it", func(r Row) string { return number(r.HipsOpen, 0) }},
	{"hipsOpenUncertainty", "the same for when her hips open, milliseconds: repeatability only", func(r Row) string { return number(r.HipsOpenU, 0) }},
	{"hipSpeed", "greatest forward speed of her hips before plant, over a tenth of a second, lengths of her trunk a second, as the camera sees it", func(r Row) string { return number(r.HipSpeed, 2) }},
	{"hipSpeedUncertainty", "the same for her hips' speed, lengths of her trunk a second: repeatability only", func(r Row) string { return number(r.HipSpeedU, 2) }},
	{"stride", "how far her front ankle comes to rest ahead of where the back one rested, lengths of her trunk, as the camera sees it", func(r Row) string { return number(r.Stride, 3) }},
	{"strideUncertainty", "the same for her stride, lengths of her trunk: repeatability only", func(r Row) string { return number(r.StrideU, 3) }},
	{"armSlot", "how far her hand is ahead of her hips at release, lengths of her trunk, as the camera sees it", func(r Row) string { return number(r.ArmSlot, 3) }},
	{"armSlotUncertainty", "the same for her hand at release, lengths of her trunk: repeatability only", func(r Row) string { return number(r.ArmSlotU, 3) }},
	{"frontKneeDeg", "angle at her front knee at front-foot plant, degrees, as the camera sees it; 180 is straight", func(r Row) string { return number(r.FrontKnee, 1) }},
	{"frontKneeUncertainty", "the same for her front knee, degrees: repeatability only", func(r Row) string { return number(r.FrontKneeU, 1) }},
}

// number writes x with at most so many decimals, all of them for -1.
func number[F ~float64](x *F, decimals int) string {
	if x == nil {
		return ""
	}
	s := strconv.FormatFloat(float64(*x), 'f', decimals, 64)
	if decimals > 0 {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	if s == "-0" {
		return "0"
	}
	return s
}

func count(n int) string {
	if n == 0 {
		return ""
	}
	return strconv.Itoa(n)
}

func yes(is bool) string {
	if is {
		return "yes"
	}
	return ""
}
