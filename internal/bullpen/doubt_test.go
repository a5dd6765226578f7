package bullpen

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

// others are throws as thrownReps reads them; the reading asked about is the last one.
func TestQuestions(t *testing.T) {
	mph := func(v float64) Reading { return Reading{Value: v, Unit: MPH, Step: 1} }
	kmh := func(v float64) Reading { return Reading{Value: v, Unit: KMH, Step: 1} }
	for _, c := range []struct {
		name   string
		r      Reading
		pitch  Pitch
		others string
		want   string
	}{
		{"lowest", mph(15), ChangeUp, "", ""},
		{"highest", mph(90), ChangeUp, "", ""},
		{"too low", mph(14.9), ChangeUp, "", "Sure about 14.9 mph? It lies outside 15 to 90 mph."},
		{"too high", mph(91), ChangeUp, "", "Sure about 91 mph? It lies outside 15 to 90 mph."},
		{"too high, and why", mph(94), ChangeUp, "ch48 ch50", "Sure about 94 mph? It lies outside 15 to 90 mph. Were the digits swapped, and it was 49 mph?"},
		{"km/h", kmh(96), ChangeUp, "", ""},
		{"too high in km/h", kmh(150), ChangeUp, "", "Sure about 150 km/h? It lies outside 24 to 145 km/h."},
		{"no speed", mph(-3), ChangeUp, "", "Sure about \u22123 mph? No ball has that speed."},
		{"swapped digits", mph(74), ChangeUp, "ch47 ch46 ch48 ch47", "Sure about 74 mph? The 4 others like it read 46 to 48 mph. Were the digits swapped, and it was 47 mph?"},
		{"of tenths", Reading{Value: 74.5, Unit: MPH, Step: 0.1}, ChangeUp, "ch47 ch46 ch48", "Sure about 74.5 mph? The 3 others like it read 46.0 to 48.0 mph. Were the digits swapped, and it was 47.5 mph?"},
		{"swapped digits, two others", mph(74), ChangeUp, "ch47 ch46", "Sure about 74 mph? The 2 others like it read 46 to 47 mph. Were the digits swapped, and it was 47 mph?"},
		{"two others that disagree", mph(74), ChangeUp, "ch47 ch41", ""},
		{"two others, no slip explains it", mph(62), ChangeUp, "ch47 ch46", ""},
		{"swapped, of a fastball", mph(45), Fastball, "fb55 fb53", "Sure about 45 mph? The 2 others like it read 53 to 55 mph. Were the digits swapped, and it was 54 mph?"},
		{"the only change-up", mph(74), ChangeUp, "fb55 fb54 fb56", "Sure about 74 mph? The 3 faster pitches read 54 to 56 mph. Were the digits swapped, and it was 47 mph?"},
		{"two slips among few", mph(74), ChangeUp, "fb55 ch46 fb54 ch76 fb56 ch47", "Sure about 74 mph? The 3 faster pitches read 54 to 56 mph. Were the digits swapped, and it was 47 mph?"},
		{"the right one between two slips", mph(47), ChangeUp, "fb55 fb54 fb56 ch74 ch74", ""},
		{"among three slips that agree", mph(47), ChangeUp, "fb55 fb54 fb56 ch74 ch74 ch74", "Sure about 47 mph? The 3 others like it read 74 mph."},
		{"two slips, one faster pitch", mph(47), ChangeUp, "fb55 ch74 ch74", "Sure about 47 mph? The 2 others like it read 74 mph. Were the digits swapped, and it was 74 mph?"},
		{"the only change-up, a big gap", mph(45), ChangeUp, "fb62 fb61 fb60", ""},
		{"the only fastball", mph(64), Fastball, "ch48 ch47 ch46", ""},
		{"of another drill", Reading{Value: 74, Unit: MPH, Step: 1, Gun: BehindPitcher}, ChangeUp, "ch47 ch46 ch48", ""},
		{"further than most, and three others say little", mph(52), ChangeUp, "ch46 ch47 ch48", ""},
		{"further than hardly any", mph(62), ChangeUp, "ch46 ch47 ch48", "Sure about 62 mph? The 3 others like it read 46 to 48 mph."},
		{"three alike are no spread of nothing", mph(51), ChangeUp, "ch47 ch47 ch47", ""},
		{"of tenths, no slip", Reading{Value: 63.5, Unit: MPH, Step: 0.1}, ChangeUp, "ch47 ch47 ch47", "Sure about 63.5 mph? The 3 others like it read 47.0 mph."},
		{"the tens digit", mph(57), ChangeUp, "ch47 ch46 ch48 ch47", "Sure about 57 mph? The 4 others like it read 46 to 48 mph. Was it 47 mph, ten less?"},
		{"the tens digit, of a fastball", mph(44), Fastball, "fb54 fb55 ch46 fb53 ch45", "Sure about 44 mph? The 3 others like it read 53 to 55 mph. Was it 54 mph, ten more? Or was it a change-up?"},
		{"another pitch's name", mph(55), ChangeUp, "fb55 fb54 fb56 ch46 ch47 ch46 ch45", "Sure about 55 mph? The 4 others like it read 45 to 47 mph. Was it 45 mph, ten less? Or was it a fastball?"},
		{"km/h typed as mph", mph(77), ChangeUp, "ch47 ch46 ch48 ch47 ch45", "Sure about 77 mph? The 5 others like it read 45 to 48 mph. Was it 77 km/h, which is 48 mph?"},
		{"swapped digits are likelier", mph(74), ChangeUp, "ch46 ch46", "Sure about 74 mph? The 2 others like it read 46 mph. Were the digits swapped, and it was 47 mph?"},
		{"mph typed as km/h", kmh(48), ChangeUp, "ch47 ch46", "Sure about 48 km/h? The 2 others like it read 74 to 76 km/h. Was it 48 mph, which is 77 km/h?"},
		{"impossible others are not counted", mph(74), ChangeUp, "ch47 ch46 ch0", "Sure about 74 mph? The 2 others"},
		{"warm-ups are not counted", mph(74), ChangeUp, "ch47 wch46 wch45", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			reps := thrownReps(t, c.others)
			reps = append(reps, Rep{Order: len(reps) + 1, Pitch: c.pitch, Reading: &c.r})
			got := Questions(pen, reps)[len(reps)-1]
			if (got.Sentence == "") != (c.want == "") || !strings.HasPrefix(got.Sentence, c.want) {
				t.Errorf("got %q, want %q", got.Sentence, c.want)
			}
			if named := strings.Contains(c.want, "Was it 4") || strings.Contains(c.want, "Was it 5") || strings.Contains(c.want, "swapped") || strings.Contains(c.want, "which is"); c.want == got.Sentence && named != (got.Meant != nil) {
				t.Errorf("meant %+v", got.Meant)
			}
			if n := Judge(kim(), pen, nil, reps).Reps[len(reps)-1]; n.Doubt != got.Sentence {
				t.Errorf("once it is saved: %q", n.Doubt)
			}
		})
	}
}

// Readings that are right are hardly ever asked about, however short the run and however
// unsteady the pitcher: fastballs spread 0.8 to 1.8 mph, change-ups 1 to 2.5 mph and 6 to
// 14 mph slower (working values), read in whole mph.
func TestFewFalseQuestions(t *testing.T) {
	random := rand.New(rand.NewPCG(74, 47))
	var asked, slips, all, found, explained int
	const runs = 2000
	for range runs {
		between := func(lo, hi float64) float64 { return lo + (hi-lo)*random.Float64() }
		fast, off := between(42, 66), 0.0
		off = fast - between(6, 14)
		fastSD, offSD := between(0.8, 1.8), between(1, 2.5)
		n := 6 + random.IntN(11)
		reps := make([]Rep, n)
		for i := range reps {
			v, p := fast+fastSD*random.NormFloat64(), Fastball
			if random.IntN(2) == 1 {
				v, p = off+offSD*random.NormFloat64(), ChangeUp
			}
			reps[i] = Rep{Order: i + 1, Pitch: p, Reading: &Reading{Value: math.Round(v), Unit: MPH, Step: 1}}
		}
		// Of the runs some follow others; from one to the next she changes by a tenth at most.
		pen := pen
		if random.IntN(2) == 1 {
			pen.Usual = Speed(fast * between(0.9, 1.1))
		}
		for _, q := range Questions(pen, reps) {
			all++
			if q.Sentence != "" {
				asked++
			}
			if q.Meant != nil {
				slips++
			}
		}
		// One of them is typed wrong.
		k := random.IntN(n)
		right := *reps[k].Reading
		wrong, ok := right.Swapped()
		if !ok || math.Abs(wrong.Value-right.Value) < 9 {
			continue
		}
		reps[k].Reading = &wrong
		found++
		if q := Questions(pen, reps)[k]; q.Meant != nil && q.Meant.Value == right.Value && q.Meant.Unit == right.Unit {
			explained++
		}
	}
	t.Logf("%d of %d readings that are right asked about (%.2f %%), %d with a slip; of %d swapped ones %.1f %% explained",
		asked, all, 100*float64(asked)/float64(all), slips, found, 100*float64(explained)/float64(found))
	if share := float64(asked) / float64(all); share > 0.02 {
		t.Errorf("%.2f %% of readings that are right are asked about", 100*share)
	}
	if share := float64(slips) / float64(all); share > 0.002 {
		t.Errorf("%.2f %% of readings that are right are called slips", 100*share)
	}
	if share := float64(explained) / float64(found); share < 0.8 {
		t.Errorf("only %.1f %% of swapped readings are explained", 100*share)
	}
}

// Each slip is found and called by its name, of steady pitchers and of kids, whose reps
// spread by 2.5 mph and more; typed one by one, hardly a right reading of theirs is asked
// about.
func TestSlipsAreCalledByTheirName(t *testing.T) {
	dice := rand.New(rand.NewPCG(4, 74))
	for _, c := range []struct {
		name             string
		fastSD, offSD    float64
		tens, label      float64 // least share found and explained, per cent
		swapped, wrongly float64 // least; most
	}{{"steady", 1.2, 1.8, 85, 90, 85, 0.5}, {"a kid", 2.5, 2.5, 55, 55, 65, 1}} {
		var all, asked, sessions, troubled int
		var tried, found [3]int // tens, label, swapped
		for range 700 {
			fast := 35 + 25*dice.Float64()
			off := fast - 8 - 4*dice.Float64()
			var reps []Rep
			trouble := false
			for i := range 16 {
				v, p := fast+c.fastSD*dice.NormFloat64(), Fastball
				if i%2 == 1 {
					v, p = off+c.offSD*dice.NormFloat64(), ChangeUp
				}
				reps = append(reps, Rep{Order: i + 1, Pitch: p, Reading: &Reading{Value: math.Round(v), Unit: MPH, Step: 1}})
				all++
				if Questions(pen, reps)[i].Sentence != "" {
					asked, trouble = asked+1, true
				}
			}
			if sessions++; trouble {
				troubled++
			}
			k := dice.IntN(len(reps))
			right := reps[k]
			ask := func(kind int, wrong Rep, explained func(Question) bool) {
				reps[k] = wrong
				tried[kind]++
				if explained(Questions(pen, reps)[k]) {
					found[kind]++
				}
				reps[k] = right
			}
			isMeant := func(q Question) bool {
				return q.Meant != nil && q.Meant.Value == right.Reading.Value && q.Meant.Unit == MPH
			}
			wrong := right
			wrong.Reading = &Reading{Value: right.Reading.Value + 10 - 20*float64(dice.IntN(2)), Unit: MPH, Step: 1}
			ask(0, wrong, isMeant)
			wrong = right
			wrong.Pitch = map[Pitch]Pitch{Fastball: ChangeUp, ChangeUp: Fastball}[right.Pitch]
			ask(1, wrong, func(q Question) bool { return q.Pitch == right.Pitch })
			if swapped, ok := right.Reading.Swapped(); ok && math.Abs(swapped.Value-right.Reading.Value) > 8 {
				wrong = right
				wrong.Reading = &swapped
				ask(2, wrong, isMeant)
			}
		}
		share := func(i int) float64 { return percent(found[i], tried[i]) }
		t.Logf("%s: tens digit %.0f %%, pitch %.0f %%, swapped %.0f %% found; %.2f %% of right readings asked about as they are typed, in %.1f %% of sessions",
			c.name, share(0), share(1), share(2), percent(asked, all), percent(troubled, sessions))
		if share(0) < c.tens || share(1) < c.label || share(2) < c.swapped || percent(asked, all) > c.wrongly {
			t.Errorf("%s: too few are found, or too many asked about", c.name)
		}
	}
}

// A reading that is asked about counts in nothing until it is settled, and every number
// says so; asking is not refusing.
func TestAskedIsLeftOut(t *testing.T) {
	words := "fb60 fb61 fb60 fb59 ch50 ch51 ch50 ch95 wch12"
	reps := thrownReps(t, words)
	sheet := Judge(kim(), pen, nil, reps)
	n := sheet.Reps[7]
	if n.Doubt == "" || n.Speed == nil || n.Gap != nil || n.Verdict != Pending || n.Pending != unsettled {
		t.Errorf("doubt %q, gap %v, verdict %q, pending %q", n.Doubt, n.Gap, n.Verdict, n.Pending)
	}
	for _, i := range []int{0, 1, 2, 3, 4, 5, 6} {
		if sheet.Reps[i].Doubt != "" {
			t.Errorf("rep %d: %s", i+1, sheet.Reps[i].Doubt)
		}
	}
	if sheet.Reps[8].Doubt == "" {
		t.Error("12 mph in the warm-up is not asked about")
	}
	off := summaryOf(t, sheet, ChangeUp, "")
	without := summaryOf(t, Judge(kim(), pen, nil, append(thrownReps(t, words)[:7:7], reps[8])), ChangeUp, "")
	near(t, "mean", off.Mean, without.Mean, 0)
	near(t, "mean gap", off.MeanGap.MPH, without.MeanGap.MPH, 1e-9)
	if off.Asked != 1 || off.AskedSaid != "Rep 8 (95 mph) is left out here until you say whether its reading is right." || off.N != 3 {
		t.Errorf("%d asked, %q, %d readings", off.Asked, off.AskedSaid, off.N)
	}
	reps[7].Sure = true // said to be right
	sheet = Judge(kim(), pen, nil, reps)
	if n := sheet.Reps[7]; n.Doubt != "" || n.Verdict != TooFirm {
		t.Errorf("once it is said to be right: %q, %q", n.Doubt, n.Verdict)
	}
	if off := summaryOf(t, sheet, ChangeUp, ""); off.Asked != 0 || off.N != 4 {
		t.Errorf("once it is said to be right: %d asked, %d readings", off.Asked, off.N)
	}
}

// Where every fastball is asked about there is no baseline, and it is said why.
func TestEveryFastballAsked(t *testing.T) {
	reps := thrownReps(t, "fb95 ch50")
	sheet := Judge(kim(), pen, nil, reps)
	if n := sheet.Reps[1]; n.Baseline != nil || !strings.HasPrefix(n.Pending, "All readings of the fastball are asked about: settle one first.") {
		t.Errorf("%q", n.Pending)
	}
	if fast := summaryOf(t, sheet, Fastball, ""); fast.N != 0 || fast.Asked != 1 || fast.Baseline != nil {
		t.Errorf("%+v", fast)
	}
}
