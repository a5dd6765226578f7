package trust

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"tenoff/internal/bullpen"
)

// session judges a bullpen of a day from words like "fb60 ch50s ch48b ch-/wall":
// pitch, reading (- for none), s for a strike, b for a ball, drill; w before it for a
// warm-up rep, @pitcher for another place of the gun,
// @nowhere in a bullpen that says none.
func session(t testing.TB, day, words string) Session {
	t.Helper()
	return sessionOf(t, kim(), day, words)
}

func kim() bullpen.Pitcher {
	level, _ := bullpen.LevelOf("HS")
	return bullpen.NewPitcher("Kim", level)
}

// sessionOf is session of a pitcher with settings of her own.
func sessionOf(t testing.TB, her bullpen.Pitcher, day, words string) Session {
	t.Helper()
	s := Session{Bullpen: bullpen.Bullpen{ID: "pen " + day, Day: day, Gun: bullpen.BehindCatcher, Unit: bullpen.MPH, Step: 1}}
	for i, w := range strings.Fields(words) {
		r := bullpen.Rep{ID: fmt.Sprintf("%s #%d", day, i+1), Order: i + 1}
		w, r.Drill, _ = strings.Cut(w, "/")
		w, place, _ := strings.Cut(w, "@")
		w, r.WarmUp = strings.TrimPrefix(w, "w"), strings.HasPrefix(w, "w")
		r.Pitch, w = bullpen.Pitch(w[:2]), w[2:]
		for call, c := range map[string]bullpen.Call{"s": bullpen.Strike, "b": bullpen.Ball} {
			if rest, ok := strings.CutSuffix(w, call); ok {
				w, r.Call = rest, c
			}
		}
		if w != "-" {
			r.Reading = &bullpen.Reading{}
			if _, err := fmt.Sscan(w, &r.Reading.Value); err != nil {
				t.Fatal(err)
			}
			switch place {
			case "":
			case "nowhere":
				s.Bullpen.Gun = ""
			default:
				r.Reading.Gun = bullpen.GunPlace("behind " + place)
			}
		}
		s.Reps = append(s.Reps, r)
	}
	s.Sheet = bullpen.Judge(her, s.Bullpen, nil, s.Reps)
	return s
}

// The regression against NIST's Statistical Reference Datasets, Norris: the slope and,
// with errors that do not echo, its standard deviation.
func TestSlopeAgreesWithNIST(t *testing.T) {
	var s series
	for _, row := range golden(t, "strd/norris.csv") {
		s.add(float(t, row["x"]), float(t, row["y"]), 0)
	}
	l, ok := s.line()
	if !ok {
		t.Fatal("no line")
	}
	near(t, "slope", l.perDay, 1.00211681802045, 1e-13)
	u, df := l.error(0, 0)
	near(t, "standard deviation", u, 0.429796848199937e-3, 1e-15)
	near(t, "degrees of freedom", df, 34, 0)
}

// The variance of least squares under AR(1) errors, and the share of it that the line
// leaves, against matrices in R: x = 1, 2, 4, 7, 8, 11, echo 0.4.
func TestSlopeUnderEcho(t *testing.T) {
	l := line{days: []float64{-4.5, -3.5, -1.5, 1.5, 2.5, 5.5}, squares: 1}
	for _, d := range l.days {
		l.spread += d * d
	}
	u, df := l.error(0.4, 0)
	near(t, "standard error", u, 0.08275486, 1e-8)
	near(t, "degrees of freedom", df, 4*0.6/1.4, 1e-12)
}

func TestSlopeRefuses(t *testing.T) {
	for name, s := range map[string]series{
		"nothing":         {},
		"two bullpens":    {x: []float64{1, 8}, y: []float64{9, 10}},
		"four on a line":  {x: []float64{1, 8, 15, 22}, y: []float64{9, 10, 11, 12}},
		"all on one day":  {x: []float64{3, 3, 3, 3, 3}, y: []float64{9, 10, 11, 12, 13}},
		"two on two days": {x: []float64{3, 4}, y: []float64{9, 9}},
	} {
		if got := s.slope(); got != nil {
			t.Errorf("%s: %+v", name, got)
		}
	}
}

// Bullpens on a line are known no better than each by itself.
func TestBullpensOnALine(t *testing.T) {
	var s series
	for i := range 6 {
		s.add(float64(7*i), 9+0.1*float64(i), 0.6)
	}
	if got := s.slope(); got.Lo > 0 || got.Hi < 0.3 {
		t.Errorf("0.1 a week of means known to 0.6: %+v", got)
	}
}

// Two guns, or one in two places, are not joined: the new one reads 7 % less.
func TestGunsAreNotJoined(t *testing.T) {
	var all []Session
	for i := range 10 {
		s := session(t, fmt.Sprintf("2026-%02d-01", i+1), "fb60 ch50 fb61 ch51 fb59 ch49 fb60 ch50")
		if i >= 4 {
			s = session(t, fmt.Sprintf("2026-%02d-01", i+1), "fb55.8 ch46.5 fb56.7 ch47.4 fb54.9 ch45.6 fb55.8 ch46.5")
			s.Bullpen.GunName = "the new one"
		}
		all = append(all, s)
	}
	got := trendOf(t, bullpen.ChangeUp, bullpen.Fastball, all)
	if got.Gap == nil || got.Gap.N != 6 || math.Abs(got.Gap.PerWeek) > 1e-6 || got.Baseline.N != 6 || got.Share.N != 6 {
		t.Errorf("gap %+v, fastball %+v, share %+v", got.Gap, got.Baseline, got.Share)
	}
	if want := `Not all was read by one gun from one place: its speeds, gaps and shares are not joined with others, and the change a week is of the 6 bullpens read from behind the catcher by "the new one".`; got.PlacesSaid != want {
		t.Errorf("%q", got.PlacesSaid)
	}
}

func TestTrend(t *testing.T) {
	got := trendOf(t, bullpen.ChangeUp, bullpen.Fastball, []Session{
		session(t, "2026-05-15", "fb62 ch51 ch51 ch50"),
		session(t, "2026-05-01", "fb60 wch30 ch52 ch53 ch-"),
		session(t, "2026-05-08", "fb61 fb61 ch51 ch51/wall ch52"),
		session(t, "2026-05-10", fmt.Sprintf("fb%v", 60+9.0/7)),
		session(t, "2026-05-09", "fb66@pitcher ch56@pitcher ch55@pitcher"),
		session(t, "2026-05-22", "fb63 ch52 ch51"),
		session(t, "2026-05-29", "fb64 ch52 ch51"),
	})
	var days, gaps []string
	for _, p := range got.Points {
		days = append(days, p.Day)
		gaps = append(gaps, fmt.Sprintf("%.2f/%d of %d", *p.MeanGap, p.InBand, p.Judged))
	}
	if want := "2026-05-01 2026-05-08 2026-05-09 2026-05-15 2026-05-22 2026-05-29"; strings.Join(days, " ") != want {
		t.Errorf("days %v, want %s", days, want)
	}
	if want := "7.50/1 of 2 9.50/2 of 2 10.50/2 of 2 11.33/3 of 3 11.50/2 of 2 12.50/1 of 2"; strings.Join(gaps, " ") != want {
		t.Errorf("gaps %v, want %s", gaps, want)
	}
	if got.Gap == nil || got.Gap.N != 5 || got.Gap.PerWeek <= 0 || got.Gap.Lo >= got.Gap.PerWeek || got.Gap.Hi <= got.Gap.PerWeek {
		t.Errorf("slope of the gap: %+v", got.Gap)
	}
	// 60, 61, 62, 63 and 64 mph a week apart, and the line's 61.286 on a day without a
	// change-up, from one place: 1 mph per week, without the 66 from another.
	if got.Baseline == nil || got.Baseline.N != 6 {
		t.Fatalf("slope of the fastball: %+v", got.Baseline)
	}
	near(t, "fastball", got.Baseline.PerWeek, 1, 1e-9)
	if p := got.Points[0]; p.Gun != bullpen.BehindCatcher || p.N != 2 || p.Share == nil || p.Share.Value != 0.5 {
		t.Errorf("first point %+v", p)
	}
}

// The speed over the weeks is that of the baseline pitch's own readings, whatever
// the gaps are counted from, and also where the other pitch was not thrown.
func TestTheBaselinePitchIsFollowedByItself(t *testing.T) {
	typed := kim()
	typed.Policy, typed.TypedBaseline = bullpen.Typed, 58
	hardest := kim()
	hardest.Policy = bullpen.Hardest
	drop := kim()
	drop.BaselinePitch = bullpen.Drop
	for name, c := range map[string]struct {
		her   bullpen.Pitcher
		words string
	}{
		"typed":   {typed, "fb%d fb%[1]d ch44"},
		"hardest": {hardest, "fb%d fb54 fb56 fb%[1]d ch44"},
		"drop":    {drop, "dr%d fb55 ch44"},
		"alone":   {kim(), "fb%d"},
	} {
		var all []Session
		for i, mph := range []int{50, 53, 56, 59, 62} {
			day := fmt.Sprintf("2026-05-%02d", 1+7*i)
			all = append(all, sessionOf(t, c.her, day, fmt.Sprintf(c.words, mph)))
		}
		want := 3.0
		if name == "hardest" { // the mean of the four moves half as much
			want = 1.5
		}
		got := trendOf(t, bullpen.ChangeUp, c.her.BaselinePitch, all).Baseline
		if got == nil || got.N != 5 || math.Abs(got.PerWeek-want) > 1e-9 {
			t.Errorf("%s: %+v, want %v mph a week", name, got, want)
		}
	}
}

// A band in any unit is followed as gaps under each bullpen's own baseline.
func TestTheBandIsFollowed(t *testing.T) {
	her := kim()
	her.Bands = map[bullpen.Pitch]bullpen.Band{bullpen.ChangeUp: {Unit: bullpen.InPercent, Lo: 85, Hi: 80, Limit: 75}}
	got := trendOf(t, bullpen.ChangeUp, bullpen.Fastball, []Session{
		sessionOf(t, her, "2026-05-01", "fb50 ch41"),
		sessionOf(t, her, "2026-05-08", "fb60 ch49"),
		sessionOf(t, her, "2026-05-15", "ch49"),
	})
	for i, want := range []*bullpen.Range{{Lo: 7.5, Hi: 10}, {Lo: 9, Hi: 12}, nil} {
		have := got.Points[i].Band
		if (have == nil) != (want == nil) || (want != nil && (math.Abs(float64(have.Lo-want.Lo)) > 1e-9 || math.Abs(float64(have.Hi-want.Hi)) > 1e-9)) {
			t.Errorf("bullpen %d: %+v, want %+v", i+1, have, want)
		}
		// Too soft from 75 per cent of her fastball: 12.5 mph under 50, 15 under 60.
		if limit := got.Points[i].Limit; (limit == nil) != (want == nil) || limit != nil && math.Abs(float64(*limit)-[]float64{12.5, 15}[i]) > 1e-9 {
			t.Errorf("bullpen %d: too soft from %v", i+1, limit)
		}
	}
}

// Speeds from different places are kept apart, and that is said.
func TestTheFastballKeepsToOnePlace(t *testing.T) {
	days := []string{"2026-05-01", "2026-05-08", "2026-05-15", "2026-05-22", "2026-05-29", "2026-06-05", "2026-06-12"}
	for _, tt := range []struct {
		words []string
		gun   bullpen.GunPlace
		slope float64 // 0: none
		said  string
	}{
		{[]string{"fb60", "fb61", "fb62", "fb63", "fb64"}, bullpen.BehindCatcher, 1, ""},
		{[]string{"fb60", "fb61", "fb62", "fb63", "fb64", "fb68@pitcher", "fb69@pitcher"}, bullpen.BehindCatcher, 1, "of the 5 bullpens read from behind the catcher."},
		{[]string{"fb60", "fb61", "fb66@pitcher", "fb68@pitcher", "fb70@pitcher", "fb72@pitcher", "fb74@pitcher"}, bullpen.BehindPitcher, 2, "of the 5 bullpens read from behind the pitcher."},
		{[]string{"fb60", "fb61", "fb66@pitcher", "fb68@pitcher", "ch50"}, bullpen.BehindCatcher, 0, "are not joined with others, and no change can be told yet."},
		{[]string{"fb60@nowhere", "fb61@nowhere", "fb62@nowhere", "fb63@nowhere", "fb64@nowhere", "fb68@pitcher"}, "", 1, "of the 5 bullpens read from a place nobody said."},
	} {
		var all []Session
		for i, w := range tt.words {
			all = append(all, session(t, days[i], w))
		}
		got := trendOf(t, bullpen.Fastball, bullpen.Fastball, all)
		if got.BaselineGun != tt.gun || !strings.HasSuffix(got.PlacesSaid, tt.said) || (got.PlacesSaid == "") != (tt.said == "") {
			t.Errorf("%v: from %q, %q", tt.words, got.BaselineGun, got.PlacesSaid)
		}
		if (got.Baseline != nil) != (tt.slope != 0) {
			t.Errorf("%v: slope %+v", tt.words, got.Baseline)
		} else if got.Baseline != nil {
			near(t, "slope", got.Baseline.PerWeek, tt.slope, 1e-9)
		}
	}
}

func TestTrendOfNothing(t *testing.T) {
	got := trendOf(t, bullpen.ChangeUp, bullpen.Fastball, nil)
	if got.Points == nil || len(got.Points) != 0 || got.Gap != nil || got.Baseline != nil {
		t.Errorf("%+v", got)
	}
}

// BenchmarkTrend follows a pitcher over 300 bullpens of 40 reps.
func BenchmarkTrend(b *testing.B) {
	first := time.Date(2020, 1, 1, 0, 0, 0, 0, time.UTC)
	var sessions []Session
	for i := range 300 {
		sessions = append(sessions, session(b, first.AddDate(0, 0, 7*i).Format(time.DateOnly), strings.Repeat("fb60 ch50s fb61 ch51b ", 10)))
	}
	rule := Rule{Pitch: bullpen.ChangeUp, Lines: []Line{{InBand, 8, 10}, {Strikes, 60, 0}}}
	weeks := weeksOf(b, sessions)
	for b.Loop() {
		if n := len(TrendOf(bullpen.ChangeUp, bullpen.Fastball, weeks).Points); n != 300 {
			b.Fatal(n)
		}
		if !strings.Contains(Evaluate(rule, weeks).Lines[0].Have, "10 of 10") {
			b.Fatal("not in the band")
		}
	}
}

// A bullpen whose value is known within nothing is left out of a slope: an infinite
// interval could be put into no answer, and her whole page failed.
func TestSlopeLeavesOutWhatIsNotKnown(t *testing.T) {
	var s series
	for i, u := range []float64{0.5, math.Inf(1), 0.5, 0.5, math.NaN(), 0.5, 0.5} {
		s.add(float64(7*i), 9+0.1*float64(i), u)
	}
	got := s.slope()
	if got == nil || got.N != 5 || math.IsInf(got.Lo, 0) || math.IsInf(got.Hi, 0) || math.IsNaN(got.Lo) || math.Abs(got.PerWeek-0.1) > 1e-9 {
		t.Errorf("%+v", got)
	}
}
