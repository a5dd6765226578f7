package bullpen

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// A made-up bullpen that the tests of several packages share.
var houseFast, houseOff = []float64{60, 61, 59, 60, 62, 60}, []float64{50, 51, 49, 50, 52}

// kim is a high-school pitcher with every default.
func kim() Pitcher {
	level, _ := LevelOf("HS")
	return NewPitcher("Kim", level)
}

var pen = Bullpen{Day: "2026-05-02", Gun: BehindCatcher, Unit: MPH, Step: 1}

// thrownReps reads reps from words like "fb60 ch50 ch- fb61@pitcher ch48/wall wfb70":
// pitch, reading (- for none), place, drill, and w for a warm-up rep.
func thrownReps(t testing.TB, words string) []Rep {
	t.Helper()
	var reps []Rep
	for _, w := range strings.Fields(words) {
		r := Rep{ID: fmt.Sprint("r", len(reps)+1), Order: len(reps) + 1, Drive: Unmarked, Plant: Unmarked, Top: Unmarked, Release: Unmarked}
		w, r.Drill, _ = strings.Cut(w, "/")
		w, place, _ := strings.Cut(w, "@")
		w, r.WarmUp = strings.TrimPrefix(w, "w"), strings.HasPrefix(w, "w")
		r.Pitch = Pitch(w[:2])
		if w[2:] != "-" {
			r.Reading = &Reading{}
			if _, err := fmt.Sscan(w[2:], &r.Reading.Value); err != nil {
				t.Fatal(err)
			}
			if place != "" {
				r.Reading.Gun = GunPlace("behind " + place)
			}
		}
		reps = append(reps, r)
	}
	return reps
}

func summaryOf(t *testing.T, s Sheet, p Pitch, drill string) Summary {
	t.Helper()
	for _, sum := range s.Summaries {
		if sum.Pitch == p && sum.Drill == drill {
			return sum
		}
	}
	t.Fatalf("no summary of %s in %q", p, drill)
	return Summary{}
}

// The house example, every figure of it computed apart from this program.
func TestHouseExample(t *testing.T) {
	words := ""
	for i := range houseFast {
		words += fmt.Sprint(" fb", houseFast[i])
		if i < len(houseOff) {
			words += fmt.Sprint(" ch", houseOff[i])
		}
	}
	sheet := Judge(kim(), pen, nil, thrownReps(t, words))
	fast, off := summaryOf(t, sheet, Fastball, ""), summaryOf(t, sheet, ChangeUp, "")
	near(t, "fastball mean", fast.Mean, 60.3333, 5e-5)
	near(t, "fastball spread", *fast.SD, 1.03280, 5e-6)
	near(t, "change-up mean", off.Mean, 50.4, 1e-9)
	near(t, "change-up spread", *off.SD, 1.14018, 5e-6)
	near(t, "mean gap", off.MeanGap.MPH, 9.9333, 5e-5)
	near(t, "standard error", *off.StandardError, 0.661648, 5e-7)
	near(t, "per cent", off.MeanGap.Percent, 83.5359, 5e-5)
	if off.Verdict != InBand || off.OnEdge || off.ComeBackOn != nil {
		t.Errorf("mean gap: %q, on the edge %v, come back on %v", off.Verdict, off.OnEdge, off.ComeBackOn)
	}
	if off.Judged != 5 || off.InBand != 5 || off.Share.Value != 1 {
		t.Errorf("%d of %d in the band, share %v", off.InBand, off.Judged, off.Share)
	}
	near(t, "Wilson from", off.Share.Lo, 0.565518, 1e-6) // n/(n+z^2) for all of n
	near(t, "aim from", off.Aim.Lo, 48.3333, 5e-5)
	near(t, "aim to", off.Aim.Hi, 52.3333, 5e-5)
	near(t, "chance", *off.NextInBand, NextBetween(SampleOf(houseOff), 1, 49, 52), 1e-12)
	if off.Range != (Range{49, 52}) || off.N != 5 || off.PitchName != "change-up" || len(off.Bands) != 4 {
		t.Errorf("summary %+v", off)
	}
	if fast.MeanGap != nil || fast.Verdict != Pending || fast.Pending == "" {
		t.Errorf("the baseline pitch is judged: %+v", fast)
	}

	w := Welch(SampleOf(houseFast), SampleOf(houseOff))
	near(t, "degrees of freedom", w.DF, 8.25328, 5e-6)
	lo, hi := w.Interval(0.95)
	near(t, "95 % from", lo, 8.4158, 1.5e-4)
	near(t, "95 % to", hi, 11.4510, 5e-5)
	lo, hi = w.Interval(0.90)
	near(t, "90 % from", lo, 8.7078, 5e-5)
	near(t, "90 % to", hi, 11.1588, 5e-5)
	above, below := w.Within(8, 12)
	near(t, "chance at 8 or less", above, 0.00930, 5e-6)
	near(t, "chance at 12 or more", below, 0.00681, 5e-6)
}

func TestBaselinePolicies(t *testing.T) {
	words := "fb60 ch50 fb62 ch51 dr58 ch- fb61 ch49"
	for _, c := range []struct {
		name string
		set  func(*Pitcher)
		want string // baseline of each rep, _ for none
	}{
		{"mean", func(*Pitcher) {}, "61 61 61 61 61 _ 61 61"},
		{"hardest", func(p *Pitcher) { p.Policy = Hardest }, "62 62 62 62 62 _ 62 62"},
		{"last", func(p *Pitcher) { p.Policy = Last }, "_ 60 60 62 62 _ 62 61"},
		{"typed", func(p *Pitcher) { p.Policy, p.TypedBaseline = Typed, 63 }, "63 63 63 63 63 _ 63 63"},
		{"nothing typed", func(p *Pitcher) { p.Policy = Typed }, "_ _ _ _ _ _ _ _"},
		{"another pitch", func(p *Pitcher) { p.BaselinePitch = Drop }, "58 58 58 58 58 _ 58 58"},
		{"a pitch not thrown", func(p *Pitcher) { p.BaselinePitch = Rise }, "_ _ _ _ _ _ _ _"},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := kim()
			c.set(&p)
			var got []string
			for _, n := range Judge(p, pen, nil, thrownReps(t, words)).Reps {
				if n.Baseline == nil {
					got = append(got, "_")
				} else {
					got = append(got, fmt.Sprint(n.Baseline.Speed))
				}
				if (n.Verdict == Pending) != (n.Pending != "") {
					t.Errorf("rep %s: verdict %q, pending %q", n.RepID, n.Verdict, n.Pending)
				}
			}
			if got := strings.Join(got, " "); got != c.want {
				t.Errorf("baselines %s, want %s", got, c.want)
			}
		})
	}
}

// The order in which reps are given does not matter, only that in which they were
// thrown.
func TestJudgeGoesByTheOrderThrown(t *testing.T) {
	p := kim()
	p.Policy = Last
	reps := thrownReps(t, "fb60 ch50 fb62 ch51 fb61 ch49")
	want := Judge(p, pen, nil, reps)
	for i := range reps[:len(reps)/2] {
		reps[i], reps[len(reps)-1-i] = reps[len(reps)-1-i], reps[i]
	}
	got := Judge(p, pen, nil, reps)
	for i, r := range reps {
		if got.Reps[i].RepID != r.ID {
			t.Errorf("numbers %d are of rep %s, want %s", i, got.Reps[i].RepID, r.ID)
		}
		had, _ := want.Rep(r.ID)
		if diff := cmp.Diff(had, got.Reps[i], cmp.AllowUnexported(Baseline{})); diff != "" {
			t.Error(diff)
		}
	}
	if diff := cmp.Diff(want.Summaries, got.Summaries, cmp.AllowUnexported(Baseline{})); diff != "" {
		t.Error(diff)
	}
	if _, ok := got.Rep("nobody"); ok {
		t.Error("numbers of a rep that is not there")
	}
}

// Readings are compared in one drill and from one gun place only, and warm-up reps
// are left out.
func TestOnlyLikeIsCompared(t *testing.T) {
	sheet := Judge(kim(), pen, nil, thrownReps(t,
		"wfb70 fb60 ch50 fb50/wall ch42/WALL fb63@pitcher ch52@pitcher ch47/snap ch48@catcher wch30"))
	want := []struct {
		baseline Speed
		verdict  Verdict
		pending  string
	}{
		{0, Pending, "A warm-up rep is not judged."},
		{60, Pending, "The fastball is what gaps are counted from."},
		{60, InBand, ""},
		{50, Pending, "The fastball is what gaps are counted from."},
		{50, InBand, ""},
		{63, Pending, "The fastball is what gaps are counted from."},
		{63, InBand, ""},
		{0, Pending, `No fastball was read in the drill "snap", which has a baseline of its own: throw one in it.`},
		{60, InBand, ""},
		{0, Pending, "A warm-up rep is not judged."},
	}
	for i, w := range want {
		n := sheet.Reps[i]
		if got := n.Baseline; (got == nil) != (w.baseline == 0) || (got != nil && got.Speed != w.baseline) {
			t.Errorf("rep %d: baseline %+v, want %v", i+1, got, w.baseline)
		}
		if n.Verdict != w.verdict || n.Pending != w.pending {
			t.Errorf("rep %d: %q, %q; want %q, %q", i+1, n.Verdict, n.Pending, w.verdict, w.pending)
		}
	}
	if n := len(sheet.Summaries); n != 7 {
		t.Errorf("%d summaries, want 7: fastball and change-up in two places and one drill, one drill without a baseline", n)
	}
}

func TestPendingSaysWhatIsMissing(t *testing.T) {
	for _, c := range []struct {
		name, words string
		rep         int
		set         func(*Pitcher)
		want        string
	}{
		{"no reading", "fb60 ch-", 2, nil, "No reading: type what the gun showed."},
		{"no fastball", "ch50", 1, nil, "No fastball has a reading in this bullpen: throw one, or type a baseline on the pitcher's page."},
		{"fastball not read", "fb- ch50", 2, nil, "No fastball has a reading in this bullpen"},
		{"only a warm-up fastball", "wfb60 ch50", 2, nil, "No fastball has a reading in this bullpen"},
		{"another gun place", "fb60@pitcher ch50", 2, nil, "In the full pitch the fastball was read from behind the pitcher and this from behind the catcher, and readings from two places are never mixed: read a fastball from behind the catcher, or correct where the gun stood."},
		{"another drill", "fb60 ch50/wall", 2, nil, `No fastball was read in the drill "wall", which has a baseline of its own`},
		{"no fastball yet", "ch50 fb60", 1, func(p *Pitcher) { p.Policy = Last }, "No fastball was read before this rep"},
		{"nothing typed", "fb60 ch50", 2, func(p *Pitcher) { p.Policy = Typed }, "The baseline is set to a typed number and none is typed"},
		{"no band", "fb60 dr58", 2, nil, "The drop has no band, because it is not meant to be slower: set one on the pitcher's page if hers is."},
		{"bad band", "fb60 ch50", 2, func(p *Pitcher) { p.Bands = map[Pitch]Band{ChangeUp: {InMPH, 12, 8, 15}} }, "The band of the change-up makes no sense as it is set"},
		{"no distance", "fb60 ch50", 2, func(p *Pitcher) { p.DistanceFeet, p.Bands = 0, map[Pitch]Band{ChangeUp: {InMillis, 70, 110, 150}} }, "Her band is set in milliseconds at the plate, and that takes her pitching distance"},
		{"no ball's speed", "fb60 ch0", 2, nil, "No ball has a speed of 0 mph: correct the reading."},
		{"a pitch nobody knows", "fb60 zz50", 2, nil, "The zz has no band"},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := kim()
			if c.set != nil {
				c.set(&p)
			}
			n := Judge(p, pen, nil, thrownReps(t, c.words)).Reps[c.rep-1]
			if n.Verdict != Pending || !strings.HasPrefix(n.Pending, c.want) {
				t.Errorf("verdict %q, pending %q; want %q", n.Verdict, n.Pending, c.want)
			}
		})
	}
}

func TestMixedUnits(t *testing.T) {
	reps := thrownReps(t, "fb60 ch50 fb96.56064 ch80.4672")
	for i := 2; i < 4; i++ {
		reps[i].Reading.Unit = KMH // 60 and 50 mph, exactly
	}
	sheet := Judge(kim(), pen, nil, reps)
	off := summaryOf(t, sheet, ChangeUp, "")
	near(t, "mean", off.Mean, 50, 1e-12)
	near(t, "spread", *off.SD, 0, 1e-12)
	near(t, "gap", off.MeanGap.MPH, 10, 1e-12)
	near(t, "gap in km/h", off.MeanGap.KMH, 16.09344, 1e-12)
}

// A verdict within its uncertainty of an edge says so and stays what it is.
func TestOnEdge(t *testing.T) {
	p := kim() // one fastball: the gap's u is 0.913
	for _, c := range []struct {
		off    string
		v      Verdict
		beyond Verdict
	}{
		{"ch53", TooFirm, Pending}, {"ch52.9", TooFirm, InBand}, {"ch52", InBand, TooFirm}, {"ch51.2", InBand, TooFirm}, {"ch51", InBand, Pending},
		{"ch49", InBand, Pending}, {"ch48.9", InBand, Soft}, {"ch47.9", Soft, InBand}, {"ch47", Soft, Pending}, {"ch45.5", Soft, TooSoft},
		{"ch45", TooSoft, Soft}, {"ch44", TooSoft, Pending},
	} {
		n := Judge(p, pen, nil, thrownReps(t, "fb60 "+c.off)).Reps[1]
		near(t, "u", *n.Uncertainty, 0.9129, 5e-5)
		if n.Verdict != c.v || n.EdgeOf != c.beyond || n.OnEdge != (c.beyond != Pending) {
			t.Errorf("%s under 60: %q, on the edge of %q; want %q, %q", c.off, n.Verdict, n.EdgeOf, c.v, c.beyond)
		}
	}
	// In a band narrower than the uncertainty the nearer end counts; without a soft
	// stretch too soft follows the band.
	e := Edges{Lo: 8, Hi: 9, Limit: 9}
	for gap, want := range map[Speed]Verdict{8.2: TooFirm, 8.8: TooSoft} {
		if got := e.edgeOf(gap, 2, InBand); got != want {
			t.Errorf("%v in 8 to 9: on the edge of %q, want %q", gap, got, want)
		}
	}
}

// The edge is named, so that "soft, on the edge" is not taken for nearly in the band.
func TestWhichEdge(t *testing.T) {
	for _, c := range []struct{ words, want string }{
		{"fb60 ch45.5", "On the edge: too soft begins at 15 mph, and this gap is not known closely enough to say on which side it lies."},
		{"fb60 ch47.9", "On the edge: the band ends at 12 mph, and this gap is not known closely enough to say on which side it lies."},
		{"fb60 ch52.5", "On the edge: the band begins at 8 mph, and this gap is not known closely enough to say on which side it lies."},
		{"fb60 ch50", ""},
	} {
		if got := summaryOf(t, Judge(kim(), pen, nil, thrownReps(t, c.words)), ChangeUp, ""); got.EdgeSaid != c.want {
			t.Errorf("%s: %q, want %q", c.words, got.EdgeSaid, c.want)
		}
	}
}

// What she aims at is said in whole numbers inside the band: 8 to 12 under 54.5 is
// 42.5 to 46.5.
func TestAimIsSaidInWholeNumbers(t *testing.T) {
	sheet := Judge(kim(), pen, nil, thrownReps(t, "fb54 fb55 ch40 ch39"))
	s := summaryOf(t, sheet, ChangeUp, "")
	near(t, "aim from", s.Aim.Lo, 42.5, 1e-12)
	if s.AimSaid != "43 to 46" || s.ComeBackOnSaid != "3 to 7" || sheet.Reps[2].ComeBackOnSaid != "3 to 6" {
		t.Errorf("aim %q, come back on %q, of one rep %q", s.AimSaid, s.ComeBackOnSaid, sheet.Reps[2].ComeBackOnSaid)
	}
	metric := kim()
	metric.Unit = KMH
	if s := summaryOf(t, Judge(metric, pen, nil, thrownReps(t, "fb54 fb55 ch40 ch39")), ChangeUp, ""); s.AimSaid != "69 to 74" {
		t.Errorf("aim %q km/h", s.AimSaid)
	}
}

func TestUncertaintyOfTheBaseline(t *testing.T) {
	u1 := float64(Uncertainty(Reading{Step: 1, Unit: MPH}, 1))
	for _, c := range []struct {
		name, words string
		policy      Policy
		want        float64 // u of the baseline
	}{
		{"a spread of 2", "fb58 fb60 fb62 ch50", MeanOf, 2 / 1.7320508},
		{"less spread than the gun makes", "fb60 fb60 fb60 ch50", MeanOf, u1 / 1.7320508},
		{"the hardest", "fb58 fb60 fb62 ch50", Hardest, u1},
		{"the last", "fb58 fb60 fb62 ch50", Last, u1},
		{"typed", "fb58 fb60 fb62 ch50", Typed, 0},
	} {
		p := kim()
		p.Policy, p.TypedBaseline = c.policy, 60
		n := Judge(p, pen, nil, thrownReps(t, c.words)).Reps[3]
		near(t, c.name, float64(*n.Uncertainty), float64(hypot(Speed(u1), Speed(c.want))), 1e-6)
	}
}

func TestChanceNeedsThree(t *testing.T) {
	two := summaryOf(t, Judge(kim(), pen, nil, thrownReps(t, "fb60 ch50 ch51")), ChangeUp, "")
	if two.NextInBand != nil || two.ChancePending != "A chance takes 3 readings of the change-up in the full pitch from one place, and there are fewer: 2." {
		t.Errorf("chance from two: %v, %q", two.NextInBand, two.ChancePending)
	}
	three := summaryOf(t, Judge(kim(), pen, nil, thrownReps(t, "fb60 ch50 ch51 ch50")), ChangeUp, "")
	if three.NextInBand == nil || three.ChancePending != "" {
		t.Errorf("chance from three: %v, %q", three.NextInBand, three.ChancePending)
	}
	none := summaryOf(t, Judge(kim(), pen, nil, thrownReps(t, "ch50 ch51 ch50")), ChangeUp, "")
	if none.NextInBand != nil || none.ChancePending == "" || none.Pending == "" {
		t.Errorf("without a baseline: %v, %q", none.NextInBand, none.ChancePending)
	}
}

func TestLegsAndArm(t *testing.T) {
	film := Film{ID: "f", Clock: Clock{Num: 1, Den: 600, Ticks: []int64{0, 20, 45, 60, 300}, Slow: 4}}
	rep := Rep{ID: "r", FilmID: "f", Drive: 0, Plant: 4, Top: 1, Release: 3}
	n := Judge(kim(), pen, []Film{film}, []Rep{rep}).Reps[0]
	near(t, "legs", *n.Legs, 0.125, 1e-12)
	near(t, "arm", *n.Arm, 40.0/600/4, 1e-12)
	rep.Plant, rep.Top = Unmarked, 99
	n = Judge(kim(), pen, []Film{film}, []Rep{rep}).Reps[0]
	if n.Legs != nil || n.Arm != nil {
		t.Errorf("legs %v and arm %v without their marks", n.Legs, n.Arm)
	}
}

func TestNothingToJudge(t *testing.T) {
	sheet := Judge(Pitcher{}, Bullpen{}, nil, nil)
	if sheet.Reps == nil || sheet.Summaries == nil || len(sheet.Reps)+len(sheet.Summaries) != 0 {
		t.Errorf("%+v", sheet)
	}
}

func TestBandsOfTheLevel(t *testing.T) {
	young := Level{Key: "12U", Bands: map[Pitch]Band{ChangeUp: {InMPH, 6, 10, 13}, Drop: {InMPH, 1, 3, 5}}}
	older := Level{Key: "14U", Bands: map[Pitch]Band{ChangeUp: {InMPH, 9, 13, 16}}}
	own := Band{InPercent, 85, 78, 73}
	for _, c := range []struct {
		name  string
		her   Pitcher
		pitch Pitch
		want  Band
	}{
		{"her level's", NewPitcher("Kim", young), ChangeUp, young.Bands[ChangeUp]},
		{"the new level's after she moved up", NewPitcher("Kim", young).At(older), ChangeUp, older.Bands[ChangeUp]},
		{"none where only the old level had one", NewPitcher("Kim", young).At(older), Drop, Band{}},
		{"the type's", NewPitcher("Kim", young), Curve, Band{InMPH, 3, 7, 10}},
		{"her own", NewPitcher("Kim", young).with(ChangeUp, own), ChangeUp, own},
		{"her own after she moved up", NewPitcher("Kim", young).with(ChangeUp, own).At(older), ChangeUp, own},
	} {
		got, ok := c.her.BandOf(c.pitch)
		if got != c.want || ok != (c.want != Band{}) {
			t.Errorf("%s: %+v (%v), want %+v", c.name, got, ok, c.want)
		}
	}
	if her := NewPitcher("Kim", young).At(older); len(her.Bands) != 0 || her.Level != "14U" {
		t.Errorf("a level's bands became her own: %+v", her)
	}
}

func TestExtensionOfTheLevel(t *testing.T) {
	young, older := Level{Key: "12U", DistanceFeet: 40, ExtensionFeet: 5, BallKind: "12 in"}, Level{Key: "14U", DistanceFeet: 43, ExtensionFeet: 6, BallKind: "12 in"}
	own := NewPitcher("Kim", young)
	own.ExtensionFeet = new(4.2)
	for _, c := range []struct {
		name string
		her  Pitcher
		want float64
	}{
		{"her level's", NewPitcher("Kim", young), 5},
		{"the new level's after she moved up", NewPitcher("Kim", young).At(older), 6},
		{"her own", own, 4.2},
		{"her own after she moved up", own.At(older), 4.2},
	} {
		way, ok := c.her.Way()
		if got := c.her.Extension(); got != c.want || !ok || math.Abs(way.Metres-(c.her.DistanceFeet-c.want)*0.3048) > 1e-9 {
			t.Errorf("%s: %v ft, a way of %v m (%v), want %v ft", c.name, got, way.Metres, ok, c.want)
		}
	}
	if her := NewPitcher("Kim", young).At(older); her.ExtensionFeet != nil {
		t.Errorf("a level's extension became her own: %v", *her.ExtensionFeet)
	}
}

// with returns p with a band of her own.
func (p Pitcher) with(pitch Pitch, b Band) Pitcher {
	p.Bands = map[Pitch]Band{pitch: b}
	return p
}
