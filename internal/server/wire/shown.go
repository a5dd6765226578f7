package wire

import "tenoff/internal/bullpen"

// ShownRep returns what is kept of r in an answer.
func (r SlipRep) ShownRep() bullpen.ShownRep {
	return bullpen.ShownRep{
		Order: r.Order, Set: r.Set, Number: r.Number, Drill: r.Drill, Pitch: r.Pitch, Verdict: r.Verdict, EdgeOf: r.EdgeOf, SoFar: r.SoFar,
		Reading: mapped(r.Reading, func(x Reading) bullpen.ShownReading { return bullpen.ShownReading(x) }),
		Gap:     mapped(r.Gap, func(x Gap) bullpen.ShownGap { return bullpen.ShownGap(x) }),
	}
}

// SlipRepOf says what an answer keeps of a rep, but for the body's words, which are the
// reader's.
func SlipRepOf(r bullpen.ShownRep) SlipRep {
	return SlipRep{
		Order: r.Order, Set: r.Set, Number: r.Number, Drill: r.Drill, Pitch: r.Pitch, Verdict: r.Verdict, EdgeOf: r.EdgeOf, SoFar: r.SoFar,
		Reading: mapped(r.Reading, func(x bullpen.ShownReading) Reading { return Reading(x) }),
		Gap:     mapped(r.Gap, func(x bullpen.ShownGap) Gap { return Gap(x) }),
	}
}

// ShownAim returns what is kept of a in an answer, but for what is said of the body.
func (a SlipAim) ShownAim() bullpen.ShownAim {
	ranged := func(r SpeedRange) bullpen.ShownRange {
		return bullpen.ShownRange{Lo: bullpen.ShownSpeed(r.Lo), Hi: bullpen.ShownSpeed(r.Hi)}
	}
	return bullpen.ShownAim{
		Pitch: a.Pitch, Drill: a.Drill, Reps: a.Reps, Verdict: a.Verdict, EdgeOf: a.EdgeOf, SoFar: a.SoFar, AimSaid: a.AimSaid, BackOnSaid: a.BackOnSaid,
		MeanGap: mapped(a.MeanGap, func(x Gap) bullpen.ShownGap { return bullpen.ShownGap(x) }),
		Aim:     mapped(a.Aim, ranged), ComeBackOn: mapped(a.ComeBackOn, ranged), Moment: mapped(a.Moment, shownMoment),
	}
}

// SlipAimOf says what an answer keeps of an aim, but for the words that are the reader's:
// those of the body and of what to aim at.
func SlipAimOf(a bullpen.ShownAim) SlipAim {
	ranged := func(r bullpen.ShownRange) SpeedRange { return SpeedRange{Lo: Speed(r.Lo), Hi: Speed(r.Hi)} }
	return SlipAim{
		Pitch: a.Pitch, Drill: a.Drill, Reps: a.Reps, Verdict: a.Verdict, EdgeOf: a.EdgeOf, SoFar: a.SoFar, AimSaid: a.AimSaid, BackOnSaid: a.BackOnSaid,
		MeanGap: mapped(a.MeanGap, func(x bullpen.ShownGap) Gap { return Gap(x) }),
		Aim:     mapped(a.Aim, ranged), ComeBackOn: mapped(a.ComeBackOn, ranged), Moment: mapped(a.Moment, momentShown),
	}
}

func shownMoment(m Moment) bullpen.ShownMoment {
	at := func(i Instant) bullpen.ShownInstant {
		return bullpen.ShownInstant{Seconds: i.Seconds, Fast: i.Fast, Slow: i.Slow, Behind: bullpen.ShownLength(i.Behind)}
	}
	out := bullpen.ShownMoment{
		Baseline: m.Baseline, Way: bullpen.ShownLength(m.Way), Fast: bullpen.ShownSpeed(m.Fast), Slow: bullpen.ShownSpeed(m.Slow),
		Decide: at(m.Decide), Swing: at(m.Swing), EarlyMillis: m.EarlyMillis, Times: m.Times, Track: make([]bullpen.ShownInstant, len(m.Track)),
	}
	for n, i := range m.Track {
		out.Track[n] = at(i)
	}
	return out
}

func momentShown(m bullpen.ShownMoment) Moment {
	at := func(i bullpen.ShownInstant) Instant {
		return Instant{Seconds: i.Seconds, Fast: i.Fast, Slow: i.Slow, Behind: Length(i.Behind)}
	}
	out := Moment{
		Baseline: m.Baseline, Way: Length(m.Way), Fast: Speed(m.Fast), Slow: Speed(m.Slow),
		Decide: at(m.Decide), Swing: at(m.Swing), EarlyMillis: m.EarlyMillis, Times: m.Times, Track: make([]Instant, len(m.Track)),
	}
	for n, i := range m.Track {
		out.Track[n] = at(i)
	}
	return out
}

// Shown returns what is kept of d in an answer.
func (d Drawing) Shown() bullpen.ShownDrawing {
	out := bullpen.ShownDrawing{RepID: d.RepID, Frame: d.Frame, Version: d.Version, Shapes: make([]bullpen.ShownShape, len(d.Shapes))}
	for i, s := range d.Shapes {
		out.Shapes[i] = bullpen.ShownShape(s)
	}
	return out
}

// ShapesOf says what an answer keeps of a drawing.
func ShapesOf(d bullpen.ShownDrawing) []Shape {
	out := make([]Shape, len(d.Shapes))
	for i, s := range d.Shapes {
		out[i] = Shape(s)
	}
	return out
}

// mapped is p as another type, nil for nil.
func mapped[A, B any](p *A, to func(A) B) *B {
	if p == nil {
		return nil
	}
	b := to(*p)
	return &b
}
