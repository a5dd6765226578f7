package bullpen

import (
	"encoding/json"
	"math"
	"testing"

	"tenoff/internal/evidence"
)

// inside folds any number into lo..hi, so that a fuzzer's numbers are of use.
func inside(x, lo, hi float64) float64 {
	if x >= lo && x <= hi {
		return x
	}
	if x = lo + math.Mod(math.Abs(x), hi-lo); math.IsNaN(x) {
		return lo
	}
	return x
}

// FuzzGap holds what must be true of any gap: with the reading it makes the baseline
// in every unit, a softer reading never has a firmer verdict, and the band says the
// same in every unit.
func FuzzGap(f *testing.F) {
	f.Add(60.0, 50.0, 49.0, 8.0, 12.0, 15.0, uint8(0))
	f.Add(96.5, 80.1, 80.0, 12.9, 19.3, 24.1, uint8(1))
	f.Add(60.0, 51.0, 46.8, 85.0, 78.0, 73.0, uint8(2))
	f.Add(60.0, 52.0, 45.0, 67.7, 110.0, 146.6, uint8(3))
	f.Fuzz(func(t *testing.T, baseline, a, b, lo, hi, limit float64, unit uint8) {
		base := Speed(inside(baseline, 15, 110))
		a, b = inside(a, 5, 120), inside(b, 5, 120)
		firm, soft := Speed(max(a, b)), Speed(min(a, b))
		gap := GapUnder(base, firm, highSchool)
		near(t, "mph", gap.MPH+firm, base, 1e-12)
		near(t, "km/h", gap.KMH+firm.In(KMH), base.In(KMH), 1e-12)
		near(t, "per cent", gap.Percent/100*float64(base), float64(firm), 1e-12)
		near(t, "ms", *gap.Millis/1000+highSchool.Seconds(base), highSchool.Seconds(firm), 1e-12)

		band := Band{BandUnits[int(unit)%len(BandUnits)], inside(lo, -20, 150), inside(hi, -20, 200), inside(limit, -20, 300)}
		if band.Check() != nil {
			return
		}
		softness := map[Verdict]int{TooFirm: 0, InBand: 1, Soft: 2, TooSoft: 3}
		less, more := band.Verdict(gap), band.Verdict(GapUnder(base, soft, highSchool))
		if softness[more] < softness[less] {
			t.Errorf("%v under %v is %q and %v is %q in %+v", firm, base, less, soft, more, band)
		}
		// But for a gap at an edge, where the last digit decides.
		edges, ok := band.Under(base, highSchool)
		if !ok || edges.edgeOf(gap.MPH, evidence.Estimate{Value: float64(gap.MPH), Scale: 1e-6, DF: math.Inf(1)}, less, MPH) != Pending {
			return
		}
		for _, in := range band.All(base, highSchool) {
			if got := in.Verdict(gap); got != less {
				t.Errorf("%v under %v is %q by %+v and %q by %+v", firm, base, less, band, got, in)
			}
		}
	})
}

// FuzzJudge holds that no finite input makes a number that is none, and that every
// chance is one.
func FuzzJudge(f *testing.F) {
	f.Add(60.0, 50.0, 51.0, 1.0, 1.0, 43.0, 6.0, 8.0, 12.0, 15.0, uint8(0), uint8(0))
	f.Add(96.0, 80.0, 1e308, 1e-300, -1.0, 0.0, 1e9, 85.0, 78.0, 73.0, uint8(2), uint8(1))
	f.Add(-1.0, 0.0, 0.1, 10.0, 50.0, 30.0, 3.0, 70.0, 110.0, 150.0, uint8(3), uint8(2))
	f.Fuzz(func(t *testing.T, fast, off, other, step, tolerance, feet, extension, lo, hi, limit float64, unit, policy uint8) {
		for _, x := range []float64{fast, off, other, step, tolerance, feet, extension, lo, hi, limit} {
			if math.IsNaN(x) || math.IsInf(x, 0) {
				return
			}
		}
		p := Pitcher{
			DistanceFeet: feet, ExtensionFeet: &extension, BallKind: "12 in", GunTolerance: Speed(tolerance),
			Policy:        []Policy{MeanOf, Hardest, Last, Typed}[policy%4],
			TypedBaseline: Speed(other),
			Bands:         map[Pitch]Band{ChangeUp: {BandUnits[int(unit)%len(BandUnits)], lo, hi, limit}},
		}
		var reps []Rep
		for i, v := range []float64{fast, off, other, fast, off, off, fast + 1, other, off} {
			pitch := Fastball
			if i%3 != 0 {
				pitch = ChangeUp
			}
			reps = append(reps, Rep{Order: i, Pitch: pitch, Reading: &Reading{Value: v, Step: step, Unit: []Unit{MPH, KMH}[unit/4%2]}})
		}
		sheet := Judge(p, Bullpen{}, nil, reps)
		if _, err := json.Marshal(sheet); err != nil { // JSON has no NaN and no infinity
			t.Fatal(err)
		}
		for _, s := range sheet.Summaries {
			if s.Share != nil && !(0 <= s.Share.Lo && s.Share.Lo <= s.Share.Value && s.Share.Value <= s.Share.Hi && s.Share.Hi <= 1) {
				t.Errorf("share %+v", *s.Share)
			}
			if s.NextInBand != nil && !(*s.NextInBand >= 0 && *s.NextInBand <= 1) {
				t.Errorf("chance %v", *s.NextInBand)
			}
			if s.StandardError != nil && !(*s.StandardError >= 0) {
				t.Errorf("standard error %v", *s.StandardError)
			}
		}
	})
}

// FuzzWilson holds that a share's interval is one.
func FuzzWilson(f *testing.F) {
	f.Add(uint16(3), uint16(5), 0.95)
	f.Fuzz(func(t *testing.T, k, n uint16, confidence float64) {
		if n == 0 || k > n || !(confidence > 0 && confidence < 1) {
			return
		}
		s := Wilson(int(k), int(n), confidence)
		if !(0 <= s.Lo && s.Lo <= s.Value+1e-12 && s.Value <= s.Hi+1e-12 && s.Hi <= 1) {
			t.Errorf("%d of %d at %v: %+v", k, n, confidence, s)
		}
	})
}

// BenchmarkJudge judges a bullpen of 5,000 reps.
func BenchmarkJudge(b *testing.B) {
	reps := make([]Rep, 5000)
	for i := range reps {
		r := Rep{ID: string(rune(i)), Order: i + 1, Pitch: Fastball, Reading: &Reading{Value: float64(58 + i*7%5)}}
		if i%2 == 1 {
			r.Pitch, r.Reading.Value = ChangeUp, float64(47+i*11%7)
		}
		reps[i] = r
	}
	for _, policy := range []Policy{MeanOf, Last} {
		b.Run(string(policy), func(b *testing.B) {
			p := kim()
			p.Policy = policy
			for b.Loop() {
				if s := Judge(p, pen, nil, reps); len(s.Summaries) != 2 {
					b.Fatal(len(s.Summaries))
				}
			}
		})
	}
}
