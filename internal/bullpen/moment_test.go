package bullpen

import (
	"math"
	"testing"
)

// What a batter has to do with two balls against R's deSolve, which solved the same
// equation step by step; and how far gravity, which is left out, would move it.
func TestMomentAgainstASolver(t *testing.T) {
	for _, row := range golden(t, "moment.csv") {
		name := row["feet"] + " ft " + row["fastMph"] + " and " + row["slowMph"] + " mph"
		way := Way{Metres: float(t, row["feet"]) * metresPerFoot, Drag: kind(t, row["ball"]).Drag(SeaLevel)}
		fast, slow := Speed(float(t, row["fastMph"])), Speed(float(t, row["slowMph"]))
		late := float(t, row["slowSeconds"]) - float(t, row["fastSeconds"])
		near(t, name+" late", way.Later(fast, slow)/1000, late, 1e-5)
		m, ok := way.Moment(fast, way.Later(fast, slow))
		if !ok {
			t.Errorf("%s: no moment", name)
			continue
		}
		near(t, name+" slow ball", m.Slow, slow, 1e-9)
		near(t, name+" early", m.Early/1000, late, 1e-5)
		near(t, name+" decides", m.Decide.Seconds, float(t, row["fastSeconds"])-0.308, 1e-5)
		near(t, name+" decides with a gap of", m.Decide.Behind()/metresPerFoot, float(t, row["decideBehindFeet"]), 1e-3)
		near(t, name+" swings", m.Swing.Seconds, float(t, row["fastSeconds"]), 1e-5)
		near(t, name+" swings with a gap of", m.Swing.Behind()/metresPerFoot, float(t, row["swingBehindFeet"]), 1e-3)
		near(t, name+" times what she may be off", m.Times, 1000*late/10, 1e-2)
		if slow >= 38 { // slower balls are lobbed: there the picture says too little, never too much
			near(t, name+" early, with gravity", m.Early, float(t, row["withGravityEarly"]), 0.07*m.Early)
			near(t, name+" gap, with gravity", m.Swing.Behind()/metresPerFoot, float(t, row["withGravityFeet"]), 0.4)
		}
	}
}

// Where the balls are between two places of the track, read off the straight line, is
// where they are.
func TestTrackIsTheWay(t *testing.T) {
	way := feet(37, 0.002425)
	m, ok := way.Moment(55, way.Later(55, 45))
	if !ok {
		t.Fatal("no moment")
	}
	first, last := m.Track[0], m.Track[len(m.Track)-1]
	if first != (Instant{Fast: way.Metres, Slow: way.Metres}) || last.Fast != 0 || last.Slow != 0 {
		t.Errorf("from %+v to %+v", first, last)
	}
	near(t, "end", last.Seconds, way.Seconds(45), 1e-9)
	for i, b := range m.Track[1:] {
		a := m.Track[i]
		if b.Seconds <= a.Seconds || b.Fast > a.Fast || b.Slow >= a.Slow || b.Slow < b.Fast {
			t.Errorf("%+v after %+v", b, a)
		}
		middle := (a.Seconds + b.Seconds) / 2
		near(t, "between", (a.Slow+b.Slow)/2, way.Metres-way.MetresAfter(m.Slow, middle), 0.01*metresPerFoot)
	}
}

func TestNoMoment(t *testing.T) {
	way := feet(37, 0.002425)
	for name, c := range map[string]struct {
		way   Way
		fast  Speed
		later float64
	}{
		"no later":                 {way, 55, 0},
		"sooner":                   {way, 55, -20},
		"no distance":              {Way{}, 55, 100},
		"nobody could hit it":      {way, 90, 100},
		"no pitch":                 {way, 2, 100},
		"nothing":                  {way, 0, 100},
		"not a number":             {way, Speed(math.NaN()), 100},
		"later is not a number":    {way, 55, math.NaN()},
		"later without end":        {way, 55, math.Inf(1)},
		"later than any pitch can": {way, 55, 1e6},
	} {
		if m, ok := c.way.Moment(c.fast, c.later); ok {
			t.Errorf("%s: %+v", name, m)
		}
	}
}

// The summary's moment says the milliseconds that its gap says.
func TestSummaryHasItsMoment(t *testing.T) {
	sheet := Judge(kim(), pen, nil, thrownReps(t, "fb55 fb56 fb54 ch45 ch44 ch47"))
	for _, s := range sheet.Summaries {
		switch {
		case s.Pitch == Fastball && s.Moment != nil:
			t.Error("a fastball has one")
		case s.Pitch == ChangeUp && (s.Moment == nil || s.Moment.Early != *s.MeanGap.Millis || s.Moment.Fast != *s.From):
			t.Errorf("%+v, but the gap is %+v from %v", s.Moment, s.MeanGap, *s.From)
		}
	}
}
