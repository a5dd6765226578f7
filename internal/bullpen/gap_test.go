package bullpen

import (
	"math"
	"testing"
)

// NIST SP 811 (2008), appendix B.8: 1 mi/h = 0.44704 m/s = 1.609344 km/h, 1 ft =
// 0.3048 m, 1 in = 25.4 mm, 1 oz = 28.349523125 g (all exact but the ounce's last
// figures, which follow from the exact pound).
func TestConversions(t *testing.T) {
	near(t, "100 mph in km/h", Speed(100).In(KMH), 160.9344, 1e-12)
	near(t, "100 km/h", SpeedOf(100, KMH), 100/1.609344, 1e-12)
	near(t, "100 mph in m/s", Speed(100).MetresPerSecond(), 44.704, 1e-12)
	near(t, "a metre per foot", metresPerFoot, 0.3048, 0)
	for v := 1.0; v < 200; v += 0.1 {
		near(t, "round trip", SpeedOf(v, KMH).In(KMH), v, 1e-12)
	}
}

// Circumference and weight to area, mass and k: computed apart from this program
// with 1.225 kg/m3. Tolerance: 1 in the last digit.
func TestDrag(t *testing.T) {
	for _, c := range []struct {
		ball        string
		cd, perFoot float64
	}{
		{"12 in", 0.30, 0.002205}, {"12 in", 0.33, 0.002425}, {"12 in", 0.35, 0.002572}, {"12 in", 0.40, 0.002939}, {"12 in", 0.50, 0.003674},
		{"11 in", 0.30, 0.002045}, {"11 in", 0.33, 0.002250}, {"11 in", 0.35, 0.002386}, {"11 in", 0.40, 0.002727}, {"11 in", 0.50, 0.003409},
		{"baseball", 0.30, 0.001648}, {"baseball", 0.33, 0.001813}, {"baseball", 0.35, 0.001923}, {"baseball", 0.40, 0.002197}, {"baseball", 0.50, 0.002746},
	} {
		b, ok := BallKindOf(c.ball)
		if !ok {
			t.Fatalf("no ball %q", c.ball)
		}
		b.Cd = c.cd
		near(t, c.ball, b.Drag(SeaLevel)*metresPerFoot, c.perFoot, 1.01e-6)
	}
	if (BallKind{}).Drag(SeaLevel) != 0 {
		t.Error("no ball has drag")
	}
}

func TestLevels(t *testing.T) {
	// Sources beside Levels.
	want := map[string]struct {
		feet float64
		ball string
	}{
		"8U": {30, "11 in"}, "10U": {35, "11 in"}, "12U": {40, "12 in"}, "14U": {43, "12 in"}, "16U": {43, "12 in"}, "18U": {43, "12 in"},
		"HS": {43, "12 in"}, "college": {43, "12 in"}, "men": {46, "12 in"},
		"BB46": {46, "baseball"}, "BB50": {50, "baseball"}, "BB54": {54, "baseball"}, "BB60": {60.5, "baseball"},
	}
	if len(Levels) != len(want) {
		t.Errorf("%d levels, want %d", len(Levels), len(want))
	}
	for _, l := range Levels {
		if w := want[l.Key]; l.DistanceFeet != w.feet || l.BallKind != w.ball {
			t.Errorf("%s: %v ft and %s, want %v and %s", l.Key, l.DistanceFeet, l.BallKind, w.feet, w.ball)
		}
		if _, ok := NewPitcher("", l).Way(); !ok {
			t.Errorf("%s: no way to the plate", l.Key)
		}
	}
	near(t, "43 ft in metres (Friesen et al. 2021: 13.11 m)", 43*metresPerFoot, 13.11, 0.005)
}

// Delay at the plate by level; the table's header says where it comes from.
func TestLater(t *testing.T) {
	for _, row := range golden(t, "later.csv") {
		ball, _ := BallKindOf(row["ball"])
		way := Way{Metres: float(t, row["feet"]) * metresPerFoot, Drag: ball.Drag(SeaLevel)}
		fast := Speed(float(t, row["mph"]))
		near(t, row["level"]+" flight", 1000*way.Seconds(fast), float(t, row["flightMs"]), 0.2)
		for _, less := range []string{"1", "2", "5", "8", "10", "12", "15"} {
			gap := GapUnder(fast, fast-Speed(float(t, less)), way)
			near(t, row["level"]+" "+less+" mph less", *gap.Millis, float(t, row[less]), 0.2)
		}
	}
}

func TestWay(t *testing.T) {
	still := Way{Metres: 10}
	near(t, "no air", still.Seconds(SpeedOf(36, KMH)), 1, 1e-12)
	if s := still.Seconds(0); !math.IsInf(s, 1) {
		t.Errorf("a ball at rest arrives after %v s", s)
	}
	way := Way{Metres: 11.28, Drag: 0.008}
	for v := Speed(15); v < 100; v += 5 {
		near(t, "release from flight", way.Release(way.Seconds(v)), v, 1e-12)
	}
	for _, p := range []Pitcher{{}, {DistanceFeet: 43}, {DistanceFeet: 43, ExtensionFeet: new(44.0), BallKind: "12 in"}, {DistanceFeet: 43, ExtensionFeet: new(-1.0), BallKind: "12 in"}, {DistanceFeet: math.NaN(), BallKind: "12 in"}} {
		if w, ok := p.Way(); ok {
			t.Errorf("%+v has a way of %v m", p, w.Metres)
		}
	}
}

// Resolution and tolerance as rectangles: JCGM 100:2008, F.2.2.1 and 4.3.7. The
// figures are computed apart from this program.
func TestInstrument(t *testing.T) {
	whole := Reading{Value: 50, Unit: MPH, Step: 1}
	near(t, "a whole-number reading", math.Sqrt(rounding(whole)), 0.289, 0.0005)
	near(t, "the difference of two", math.Sqrt(2*rounding(whole)), 0.408, 0.0005)
	near(t, "whole km/h", math.Sqrt(rounding(Reading{Value: 80, Unit: KMH, Step: 1})), 1/math.Sqrt(12)/1.609344, 1e-12)
	near(t, "the gain of +-1 mph at 55 in a gap of 10", math.Sqrt(gain(10, 55, 1)), 10.0/55/math.Sqrt(3), 1e-12)
	near(t, "no gap, no gain", gain(0, 55, 1), 0, 0)
}

// A mean is held against the edges as widely as her readings may scatter: here Student's t
// alone, 1.7709 at 0.95 with 13 degrees of freedom, would make it firm, and the upper limit
// of the scatter in four of five, sqrt(13/8.634), does not (tables of t and chi-squared).
func TestMeanOnTheEdge(t *testing.T) {
	s := summaryOf(t, Judge(kim(), pen, nil, thrownReps(t, "fb55 ch38 fb56 ch39 fb54 ch39 fb55 ch40 fb56 ch38 fb55")), ChangeUp, "")
	scale := float64(*s.StandardError) * math.Sqrt(11.0/13)
	over := float64(s.MeanGap.MPH) - 15
	if over <= 1.7709*scale || over >= 1.6449*math.Sqrt(13/8.634)*scale {
		t.Fatalf("%v over the edge with %v is no example", over, scale)
	}
	if s.Said != "too soft, on the edge of soft" {
		t.Errorf("%v over the edge with %v: %s", over, scale, s.Said)
	}
}

// A mean gap that is known badly and far from the band is drawn towards what gaps usually are,
// by hand: 17.2 +- 1.3 and 10 +- 3.5 make 16.33 +- 1.22, which is less than 1.645 deviations
// over the limit of 15, while 17.2 by itself would be more; 20 +- 2.5 make 16.62 +- 2.03. One
// that is known well is as firm as ever; nothing is firm, or in the band, that is not so by
// itself; and what lies more than 2.33 deviations beyond an edge (a normal table, 0.01) is on none, however
// narrow the band is.
func TestFarAndKnownBadly(t *testing.T) {
	wide, narrow, thin := Edges{Lo: 8, Hi: 12, Limit: 15}, Edges{Lo: 8, Hi: 12, Limit: 12}, Edges{Lo: 9.5, Hi: 10.5, Limit: 11}
	near(t, "the middle", wide.usual().Value, 10, 0)
	for _, e := range []Edges{wide, narrow, thin} {
		near(t, "how far they go", e.usual().Scale, 3.5, 0)
	}
	near(t, "how far they go about a wide band", Edges{Lo: 5, Hi: 15, Limit: 19}.usual().Scale, 7, 0)
	for _, c := range []struct {
		edges        Edges
		gap, u       float64
		alone, given Verdict
	}{
		{wide, 17.2, 1.3, Pending, Soft}, {wide, 5.8, 1.3, Pending, InBand}, {wide, 16, 0.4, Pending, Pending},
		{wide, 10, 1, Pending, Pending}, {wide, 15.4, 0.4, Soft, Soft}, {wide, 20, 2.5, Pending, Soft},
		{wide, 10, 1.05, TooFirm, TooFirm}, // 0.943 by itself: not firm for being usual
		{narrow, 14.4, 1, Pending, Pending}, {narrow, 16, 1, Pending, Pending}, {narrow, 13.7, 1, Pending, InBand}, {narrow, 13.2, 1, InBand, InBand},
		{thin, 12.2, 0.5, Pending, Pending}, {thin, 13, 0.5, Pending, Pending}, {thin, 7.5, 0.8, Pending, Pending}, {thin, 10, 0.4, TooFirm, TooFirm},
	} {
		known := estimate(c.gap, c.u)
		v := c.edges.verdict(Speed(c.gap))
		if got := c.edges.edgeOf(Speed(c.gap), known, v, MPH); got != c.alone {
			t.Errorf("%v: %v +- %v by itself: on the edge of %q, want %q", c.edges, c.gap, c.u, got, c.alone)
		}
		if got := c.edges.edgeOfMean(Speed(c.gap), known, v, MPH); got != c.given {
			t.Errorf("%v: %v +- %v among others: on the edge of %q, want %q", c.edges, c.gap, c.u, got, c.given)
		}
	}
}
