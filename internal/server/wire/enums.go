package wire

import (
	"reflect"

	"github.com/danielgtaylor/huma/v2"

	"tenoff/internal/bullpen"
	"tenoff/internal/tempo"
)

// Enums teaches r the closed sets of words, so that each becomes one named enum
// of the document instead of any string.
func Enums(r huma.Registry) {
	alias[bullpen.Pitch, pitch](r)
	alias[bullpen.Unit, unit](r)
	alias[bullpen.BandUnit, bandUnit](r)
	alias[bullpen.GunPlace, gunPlace](r)
	alias[bullpen.Policy, policy](r)
	alias[bullpen.View, view](r)
	alias[bullpen.FilmState, filmState](r)
	alias[bullpen.Call, call](r)
	alias[bullpen.Verdict, verdict](r)
	alias[tempo.Verdict, bodyVerdict](r)
	alias[tempo.Reason, bodyReason](r)
	alias[tempo.Source, source](r)
	alias[bullpen.HomeworkState, homeworkState](r)
	alias[bullpen.ShapeKind, shapeKind](r)
}

func alias[From, To any](r huma.Registry) {
	r.RegisterTypeAlias(reflect.TypeFor[From](), reflect.TypeFor[To]())
}

// enum puts a named enum among r's schemas and returns a reference to it.
func enum[T ~string](r huma.Registry, name, doc string, values ...T) *huma.Schema {
	if _, ok := r.Map()[name]; !ok {
		s := &huma.Schema{Type: huma.TypeString, Description: doc}
		for _, v := range values {
			s.Enum = append(s.Enum, string(v))
		}
		s.PrecomputeMessages()
		r.Map()[name] = s
	}
	return &huma.Schema{Ref: "#/components/schemas/" + name}
}

type (
	pitch     string
	unit      string
	bandUnit  string
	gunPlace  string
	policy    string
	view      string
	filmState string
	call      string
	verdict   string

	bodyVerdict   string
	bodyReason    string
	source        string
	homeworkState string
	shapeKind     string
)

func (pitch) Schema(r huma.Registry) *huma.Schema {
	var codes []bullpen.Pitch
	for _, t := range bullpen.PitchTypes {
		codes = append(codes, t.Code)
	}
	return enum(r, "Pitch", "A pitch type's two-letter code; /api/pitch-types has the names.", codes...)
}

func (unit) Schema(r huma.Registry) *huma.Schema {
	return enum(r, "Unit", "The unit of a speed.", bullpen.MPH, bullpen.KMH)
}

func (bandUnit) Schema(r huma.Registry) *huma.Schema {
	return enum(r, "BandUnit", "The unit a band is written in.",
		bullpen.InMPH, bullpen.InKMH, bullpen.InPercent, bullpen.InMillis)
}

func (gunPlace) Schema(r huma.Registry) *huma.Schema {
	return enum(r, "GunPlace", "Where the gun stood.",
		bullpen.GunPlaces...)
}

func (policy) Schema(r huma.Registry) *huma.Schema {
	return enum(r, "Policy", "Which reading gaps are counted from.",
		bullpen.MeanOf, bullpen.Hardest, bullpen.Last, bullpen.Typed)
}

func (view) Schema(r huma.Registry) *huma.Schema {
	return enum(r, "View", "Where the phone stood; empty: not said.",
		bullpen.ViewUnknown, bullpen.ViewSide, bullpen.ViewDiagonal, bullpen.ViewBehind)
}

func (filmState) Schema(r huma.Registry) *huma.Schema {
	return enum(r, "FilmState", "How far a film has come.",
		bullpen.FilmArriving, bullpen.FilmReading, bullpen.FilmReady, bullpen.FilmRefused)
}

func (call) Schema(r huma.Registry) *huma.Schema {
	return enum(r, "Call", "Strike or ball; empty: not said.",
		bullpen.NoCall, bullpen.Strike, bullpen.Ball)
}

func (verdict) Schema(r huma.Registry) *huma.Schema {
	return enum(r, "Verdict", "Where a gap lies against its band; empty: pending (no reading, no baseline, or a pitch without a band).",
		bullpen.Pending, bullpen.TooFirm, bullpen.InBand, bullpen.Soft, bullpen.TooSoft)
}

func (bodyVerdict) Schema(r huma.Registry) *huma.Schema {
	return enum(r, "BodyVerdict", "The outcome of the same-body check.",
		tempo.SameBody, tempo.SlowedBody, tempo.SlowedArm, tempo.CantTell)
}

func (bodyReason) Schema(r huma.Registry) *huma.Schema {
	return enum(r, "BodyReason", "Why the same-body check can't tell; empty: it can.",
		tempo.Decided, tempo.NoFastballs, tempo.NoOffSpeed, tempo.TooFewReps, tempo.ViewTooPoor, tempo.OtherShape, tempo.BetweenEdges)
}

func (source) Schema(r huma.Registry) *huma.Schema {
	return enum(r, "Source", "Where an instant or a time comes from: marked by hand (at least one end), or found by tenoff; empty: there is none.",
		"", tempo.ByHand, tempo.ByFinder)
}

func (homeworkState) Schema(r huma.Registry) *huma.Schema {
	return enum(r, "HomeworkState", "Where a homework stands.",
		bullpen.HomeworkOut, bullpen.HomeworkOverdue, bullpen.HomeworkNew, bullpen.HomeworkInReview, bullpen.HomeworkAnswered)
}

func (shapeKind) Schema(r huma.Registry) *huma.Schema {
	return enum(r, "ShapeKind", "What a shape on a frame is.",
		bullpen.LineShape, bullpen.AngleShape, bullpen.CircleShape, bullpen.FreehandShape, bullpen.NoteShape)
}
