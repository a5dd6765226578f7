package ledger

import (
	"cmp"
	"slices"

	"tenoff/internal/bullpen"
	"tenoff/internal/judged"
	"tenoff/internal/posture"
	"tenoff/internal/tempo"
)

// Session is one bullpen with everything the ledger writes of it.
type Session struct {
	judged.Bullpen                   // her label is written to JSON only, if there is one
	Clips          map[string]string // rep ID to the file name of its clip; may be nil
	Postures       judged.Postures   // what was measured of her joints; may be nil
}

// Rows returns the session's table, in the order thrown.
func (s Session) Rows() []Row {
	films := make(map[string]bullpen.Film, len(s.Films))
	for _, f := range s.Films {
		films[f.ID] = f.Film
	}
	rows := make([]Row, 0, len(s.Reps))
	for i, r := range s.Reps {
		var n bullpen.RepNumbers
		if i < len(s.Sheet.Reps) {
			n = s.Sheet.Reps[i]
		}
		row := s.row(r, n, films[r.FilmID])
		if i < len(s.Body.Reps) {
			row.body(s.Body.Reps[i])
		}
		row.posture(s.Postures[r.ID])
		rows = append(rows, row)
	}
	slices.SortStableFunc(rows, func(a, b Row) int { return cmp.Compare(a.Order, b.Order) })
	return rows
}

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
