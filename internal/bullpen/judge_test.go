package bullpen

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"tenoff/internal/evidence"
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
	// In R, by the general formulas with matrices, from the working values.
	near(t, "standard error", *off.StandardError, 0.8726307, 5e-7)
	near(t, "baseline of the next", off.Baseline.Speed, 60.37219, 5e-6)
	near(t, "counted from", *off.From, 60.3333, 5e-5)
	near(t, "per cent", off.MeanGap.Percent, 83.5359, 2e-3) // the mean of each under its own place of the line
	if off.Verdict != InBand || off.OnEdge || off.ComeBackOn != nil {
		t.Errorf("mean gap: %q, on the edge %v, come back on %v", off.Verdict, off.OnEdge, off.ComeBackOn)
	}
	if off.Judged != 5 || off.InBand != 5 || off.Share.Value != 1 {
		t.Errorf("%d of %d in the band, share %v", off.InBand, off.Judged, off.Share)
	}
	near(t, "Wilson from", off.Share.Lo, 0.565518, 1e-6) // n/(n+z^2) for all of n
	near(t, "aim from", off.Aim.Lo, 48.37219, 5e-6)
	near(t, "aim to", off.Aim.Hi, 52.37219, 5e-6)
	near(t, "chance", *off.NextInBand, 0.7735740, 5e-7) // in R, from the working values
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
	words := "fb61 ch50 fb62 ch51 dr58 ch- fb61 ch49" // no slope through 61, 62 and 61
	for _, c := range []struct {
		name string
		set  func(*Pitcher)
		want string // baseline of each rep, _ for none
	}{
		{"mean", func(*Pitcher) {}, "61.3 61.3 61.3 61.3 61.3 _ 61.3 61.3"},
		{"hardest", func(p *Pitcher) { p.Policy = Hardest }, "62 62 62 62 62 _ 62 62"},
		{"last", func(p *Pitcher) { p.Policy = Last }, "_ 61 61 62 62 _ 62 61"},
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
					got = append(got, Tenths(float64(n.Baseline.Speed)))
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
		"wfb70 fb60 ch50 fb50/wall ch40/WALL fb63@pitcher ch52@pitcher ch47/snap ch48@catcher wch30"))
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
		{0, Pending, `No fastball was read in the drill "snap": throw one in it, for gaps are counted within a drill.`},
		{60, InBand, ""},
		{0, Pending, "A warm-up rep is not judged."},
	}
	for i, w := range want {
		n := sheet.Reps[i]
		if got := n.Baseline; (got == nil) != (w.baseline == 0) || (got != nil && math.Abs(float64(got.Speed-w.baseline)) > 0.05) {
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
		{"another gun place", "fb60@pitcher ch50", 2, nil, "The fastball was read from behind the pitcher, this from behind the catcher: read a fastball from behind the catcher too, or correct where the gun stood."},
		{"another drill", "fb60 ch50/wall", 2, nil, `No fastball was read in the drill "wall": throw one in it`},
		{"no fastball yet", "ch50 fb60", 1, func(p *Pitcher) { p.Policy = Last }, "No fastball was read before this rep"},
		{"nothing typed", "fb60 ch50", 2, func(p *Pitcher) { p.Policy = Typed }, "No baseline is typed yet"},
		{"no band", "fb60 dr58", 2, nil, "The drop has no band, because it is not meant to be slower: set one on the pitcher's page if hers is."},
		{"bad band", "fb60 ch50", 2, func(p *Pitcher) { p.Bands = map[Pitch]Band{ChangeUp: {InMPH, 12, 8, 15}} }, "The band of the change-up makes no sense: set it again"},
		{"no distance", "fb60 ch50", 2, func(p *Pitcher) { p.DistanceFeet, p.Bands = 0, map[Pitch]Band{ChangeUp: {InMillis, 70, 110, 150}} }, "A band in milliseconds takes her pitching distance"},
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
	near(t, "gap", off.MeanGap.MPH, 10, 1e-9)
	near(t, "gap in km/h", off.MeanGap.KMH, 16.09344, 1e-9)
}

// estimate is a gap known to within u, normally.
func estimate(gap, u float64) evidence.Estimate {
	return evidence.Estimate{Value: gap, Scale: u, DF: math.Inf(1)}
}

// A verdict that is less than nineteen in twenty sure says so and stays what it is. Of a normal
// number a twentieth lies further than 1.6449 deviations to one side.
func TestOnEdge(t *testing.T) {
	e := Edges{Lo: 8, Hi: 12, Limit: 15}
	for _, c := range []struct {
		gap, u float64
		beyond Verdict
	}{
		{10, 0.5, Pending}, {10, 1, Pending}, {10, 1.1, TooFirm}, {6.3, 1, Pending}, {6.4, 1, InBand}, {8.8, 0.5, TooFirm}, {8.9, 0.5, Pending},
		{11.1, 0.5, Pending}, {11.2, 0.5, Soft}, {12.6, 0.5, InBand}, {13.5, 0.7, Pending}, {13.4, 1, InBand}, {14.6, 0.5, TooSoft},
		{15.8, 0.5, Soft}, {15.9, 0.5, Pending}, {11, 3, Soft},
		// However closely it is known, what is shown beside the verdict must not belie it.
		{7.96, 0.001, InBand}, {7.94, 0.001, Pending}, {8, 0.001, TooFirm}, {12.04, 0.001, InBand}, {12.06, 0.001, Pending}, {14.96, 0.001, TooSoft},
	} {
		v := e.verdict(Speed(c.gap))
		if got := e.edgeOf(Speed(c.gap), estimate(c.gap, c.u), v, MPH); got != c.beyond {
			t.Errorf("%v +- %v, %s: on the edge of %q, want %q", c.gap, c.u, v, got, c.beyond)
		}
	}
	// In a band narrower than the uncertainty the likelier side counts; without a soft
	// stretch too soft follows the band.
	narrow := Edges{Lo: 8, Hi: 9, Limit: 9}
	for gap, want := range map[float64]Verdict{8.2: TooFirm, 8.8: TooSoft} {
		if got := narrow.edgeOf(Speed(gap), estimate(gap, 2), InBand, MPH); got != want {
			t.Errorf("%v in 8 to 9: on the edge of %q, want %q", gap, got, want)
		}
	}
}

// A gap of 7.96 is "8.0, on the edge", never "8, too firm".
func TestEdgeShowsWhatItDecides(t *testing.T) {
	reps := thrownReps(t, "fb56 ch48 fb55 ch48 fb57 ch48 fb56 ch48 fb56 ch48 fb56 ch48")
	reps[10].Reading.Value, reps[10].Reading.Step = 55.8, 0.1
	s := summaryOf(t, Judge(kim(), pen, nil, reps), ChangeUp, "")
	if !s.OnEdge || s.Verdict != TooFirm || !strings.Contains(s.Said, "too firm, on the edge of the band") {
		t.Errorf("a mean gap of %.3f is %q", float64(s.MeanGap.MPH), s.Said)
	}
	if got := InBand.Shown(7.96); got != "8.0" {
		t.Errorf("on an edge 7.96 is shown as %s", got)
	}
	if got := Pending.Shown(9); got != "9" {
		t.Errorf("away from one 9 is shown as %s", got)
	}
}

// The edge is named, so that "soft, on the edge" is not taken for nearly in the band.
func TestWhichEdge(t *testing.T) {
	fast := "fb60 fb60 fb60 fb60 fb60 fb60"
	for _, c := range []struct{ words, want string }{
		{fast + strings.Repeat(" ch45.2", 6), "On the edge: too soft begins at 15 mph, and this gap may lie on either side."},
		{fast + strings.Repeat(" ch47.9", 6), "On the edge: the band ends at 12 mph, and this gap may lie on either side."},
		{fast + strings.Repeat(" ch52.1", 6), "On the edge: the band begins at 8 mph, and this gap may lie on either side."},
		{fast + strings.Repeat(" ch50", 6), ""},
	} {
		if got := summaryOf(t, Judge(kim(), pen, nil, thrownReps(t, c.words)), ChangeUp, ""); got.EdgeSaid != c.want {
			t.Errorf("%s: %q, want %q", c.words, got.EdgeSaid, c.want)
		}
	}
}

// What she aims at is one number and then the whole numbers inside the band: 8 to 12
// under 54.3 is 42.3 to 46.3.
func TestAimIsSaidInWholeNumbers(t *testing.T) {
	words := "fb54 ch40 fb55 ch39 fb54 ch40" // no slope through 54, 55, 54 nor through 40, 39, 40
	s := summaryOf(t, Judge(kim(), pen, nil, thrownReps(t, words)), ChangeUp, "")
	near(t, "aim from", s.Aim.Lo, 54.3333-12, 1e-2)
	near(t, "come back on from", s.ComeBackOn.Lo, 54.3333-39.6667-12, 1e-2)
	if s.AimSaid != "44 mph (43 to 46)" || s.ComeBackOnSaid != "5 mph (3 to 6)" {
		t.Errorf("aim %q, come back on %q", s.AimSaid, s.ComeBackOnSaid)
	}
	metric := kim()
	metric.Unit = KMH
	if s := summaryOf(t, Judge(metric, pen, nil, thrownReps(t, words)), ChangeUp, ""); s.AimSaid != "71 km/h (69 to 74)" {
		t.Errorf("aim %q km/h", s.AimSaid)
	}
}

// Advice takes three reps of either pitch: below there is neither an aim nor what can come
// back on. A verdict is "so far" below five. One rep never has advice.
func TestFewRepsGiveNoAdvice(t *testing.T) {
	for _, c := range []struct {
		words         string
		soFar, advice bool
		chance        string
	}{
		{"fb60 ch40", true, false, "A speed to aim for takes 3 readings of the change-up; there is 1."},
		{"fb60 ch40 ch41 ch40 ch39", true, false, "A speed to aim for takes 3 readings of the fastball; there is 1."},
		{"fb60 ch40 fb61 ch41 fb60 ch40", true, true, ""},
		{"fb60 ch40 fb61 ch41 fb60 ch40 fb61 ch41 fb60 ch40", false, true, ""},
	} {
		s := summaryOf(t, Judge(kim(), pen, nil, thrownReps(t, c.words)), ChangeUp, "")
		if s.SoFar != c.soFar || strings.HasSuffix(s.Said, ", so far") != c.soFar {
			t.Errorf("%s: %q", c.words, s.Said)
		}
		if advice := s.Aim != nil || s.AimSaid != "" || s.ComeBackOn != nil || s.ComeBackOnSaid != "" || s.NextInBand != nil; advice != c.advice {
			t.Errorf("%s: aim %q, come back on %q, chance %v", c.words, s.AimSaid, s.ComeBackOnSaid, s.NextInBand)
		}
		if s.ChancePending != c.chance {
			t.Errorf("%s: %q", c.words, s.ChancePending)
		}
	}
	none := summaryOf(t, Judge(kim(), pen, nil, thrownReps(t, "ch50 ch51 ch50")), ChangeUp, "")
	if none.NextInBand != nil || none.ChancePending == "" || none.Pending == "" {
		t.Errorf("without a baseline: %v, %q", none.NextInBand, none.ChancePending)
	}
}

// What a choice of baseline does is in the uncertainty and said: the hardest rises with
// how many are thrown, the last is one reading that several gaps share.
func TestBaselinesOfOneRep(t *testing.T) {
	words := "fb59 ch50 fb60 ch50 ch50 fb61 ch50 ch50 ch50 fb60"
	judge := func(policy Policy) Summary {
		p := kim()
		p.Policy, p.TypedBaseline = policy, 60
		return summaryOf(t, Judge(p, pen, nil, thrownReps(t, words)), ChangeUp, "")
	}
	mean, hardest, last, typed := judge(MeanOf), judge(Hardest), judge(Last), judge(Typed)
	for name, s := range map[string]Summary{"the hardest": hardest, "the last": last} {
		if *s.StandardError <= *mean.StandardError {
			t.Errorf("%s: +-%.2f, under the mean +-%.2f", name, *s.StandardError, *mean.StandardError)
		}
	}
	if typed.BaselineSaid != "" || mean.BaselineSaid != "" {
		t.Errorf("mean %q, typed %q", mean.BaselineSaid, typed.BaselineSaid)
	}
	if !strings.Contains(hardest.BaselineSaid, "her hardest of 4 fastballs") || hardest.Baseline.N != 4 || !strings.Contains(last.BaselineSaid, "one reading") {
		t.Errorf("hardest of %d: %q; last: %q", hardest.Baseline.N, hardest.BaselineSaid, last.BaselineSaid)
	}
	// A typed number is as unsure as it is said to be, and the gun's offset does not cancel.
	p := kim()
	p.Policy, p.TypedBaseline, p.TypedWithin = Typed, 60, new(Speed(0))
	exact := summaryOf(t, Judge(p, pen, nil, thrownReps(t, words)), ChangeUp, "")
	near(t, "what 1 mph adds", *typed.StandardError**typed.StandardError-*exact.StandardError**exact.StandardError, 1, 0.1)
	p.TypedGun = BehindPitcher
	if s := summaryOf(t, Judge(p, pen, nil, thrownReps(t, words)), ChangeUp, ""); !strings.HasPrefix(s.Pending, "The typed baseline was read from behind the pitcher, this from behind the catcher") {
		t.Errorf("typed from another place: %q", s.Pending)
	}
}

// How widely two fastballs scatter is hardly known, however many change-ups are thrown beside
// them, and one by itself is not endlessly unsure, on a fine display too.
func TestBaselinesOfFewReps(t *testing.T) {
	for _, policy := range []Policy{Hardest, Last} {
		p := kim()
		p.Policy = policy
		fine := pen
		fine.Step = 0.1
		few := Judge(p, fine, nil, thrownReps(t, "fb59 fb60"+strings.Repeat(" ch50 ch51", 30)))
		if df := few.Reps[2].Baseline.level.DF; df > 6 {
			t.Errorf("%s of two: %.1f degrees of freedom", policy, df)
		}
		near(t, "one's uncertainty", float64(*Judge(p, fine, nil, thrownReps(t, "fb60 ch50")).Reps[1].Uncertainty), 1.2*math.Sqrt(3), 0.1)
	}
}

// Expected values and deviations of the largest of n normal numbers: Teichroew, Ann. Math.
// Statist. 27, 410 (1956), from memory; n = 2 and 3 are 1/sqrt(pi), 1.5/sqrt(pi).
func TestLargestOf(t *testing.T) {
	for _, c := range []struct {
		n        int
		mean, sd float64
	}{{1, 0, 1}, {2, 0.56419, 0.82565}, {3, 0.84628, 0.74798}, {5, 1.16296, 0.66898}, {10, 1.53875, 0.58681}, {20, 1.86748, 0.52507}} {
		near(t, "mean", meanOfMost(c.n), c.mean, 2e-5)
		near(t, "deviation", math.Sqrt(varianceOfMost(c.n)), c.sd, 2e-5)
	}
}

// Fastballs first, change-ups last, and she tires: the gap counts from where her fastball
// was, is as wide as that is open, and the words say so. Interleaved it is close.
func TestSheTires(t *testing.T) {
	tiring := func(blocked bool) Summary {
		var words strings.Builder
		for i := range 60 {
			lost := 3 * float64(i) / 60
			wave := []float64{0.6, -0.6, -0.6, 0.6}[i/2%4]
			if blocked && i >= 30 || !blocked && i%2 == 1 {
				fmt.Fprintf(&words, " ch%.0f", 44.5-lost+wave)
			} else {
				fmt.Fprintf(&words, " fb%.0f", 55-lost+wave)
			}
		}
		return summaryOf(t, Judge(kim(), pen, nil, thrownReps(t, words.String())), ChangeUp, "")
	}
	blocked, mixed := tiring(true), tiring(false)
	t.Logf("blocked: %.2f +- %.2f, %q, %s %s aim %s", blocked.MeanGap.MPH, *blocked.StandardError, blocked.Said, blocked.Drift, blocked.Mix, blocked.AimSaid)
	t.Logf("mixed: %.2f +- %.2f, %q, %s %s aim %s", mixed.MeanGap.MPH, *mixed.StandardError, mixed.Said, mixed.Drift, mixed.Mix, mixed.AimSaid)
	for _, s := range []Summary{blocked, mixed} {
		if math.Abs(float64(s.MeanGap.MPH-10.5)) > 2*float64(*s.StandardError) {
			t.Errorf("%.2f +- %.2f, and 10.5 is true", s.MeanGap.MPH, *s.StandardError)
		}
		if !strings.HasPrefix(s.Drift, "Her fastball fell from 5") || !strings.HasSuffix(s.Drift, "while she threw: gaps count from where it was.") {
			t.Errorf("%q", s.Drift)
		}
	}
	if *blocked.StandardError < 1.4**mixed.StandardError || !strings.HasPrefix(blocked.Mix, "Next time mix fastballs and change-ups") || mixed.Mix != "" {
		t.Errorf("blocked +-%.2f %q, mixed +-%.2f %q", *blocked.StandardError, blocked.Mix, *mixed.StandardError, mixed.Mix)
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
