package bullpen

import "testing"

// A reading that the film speaks against is asked about, and counts in nothing until it is
// settled: not in a mean, not in a baseline, not in a verdict.
func TestWhatAFilmSaysAgainstAReading(t *testing.T) {
	reps := thrownReps(t, "fb55 ch45 fb56 ch46 fb55 fb61")
	slip := Reading{Value: 16, Unit: MPH, Step: 1, Gun: BehindCatcher}
	kmh := Reading{Value: 61, Unit: KMH, Step: 1, Gun: BehindCatcher}
	without := Judge(kim(), pen, nil, reps[:5])
	for _, c := range []struct {
		meant *Reading
		want  string
	}{
		{&slip, "The film says about 54 mph: were the digits of 61 swapped?"},
		{&kmh, "The film says about 54 mph: is 61 in km/h?"},
		{nil, "The film says about 54 mph: is 61 somebody else’s pitch, or a slip?"},
	} {
		heard := pen
		heard.Against = map[string]FilmSays{reps[5].ID: {Speed: 54.2, Meant: c.meant}}
		got := Judge(kim(), heard, nil, reps)
		if n := got.Reps[5]; n.Doubt != c.want || n.Meant != c.meant || n.Pending != unsettled {
			t.Errorf("%q, meant %v, pending %q; want %q", n.Doubt, n.Meant, n.Pending, c.want)
		}
		a, b := summaryOf(t, got, Fastball, ""), summaryOf(t, without, Fastball, "")
		if a.Mean != b.Mean || a.N != 3 || a.Asked != 1 || a.AskedSaid == "" {
			t.Errorf("fastballs: mean %g of %d, %d asked about; want %g of 3, 1", a.Mean, a.N, a.Asked, b.Mean)
		}
		if a, b := got.Reps[1].Gap.MPH, without.Reps[1].Gap.MPH; a != b {
			t.Errorf("a gap of %g counts from it, %g without", a, b)
		}
		sure := append([]Rep(nil), reps...)
		sure[5].Sure = true
		if n := Judge(kim(), heard, nil, sure).Reps[5]; n.Doubt != "" || n.Speed == nil || n.Pending == unsettled {
			t.Errorf("said to be right: %+v", n)
		}
	}
}

// Where the other readings ask already, the film is heard in a short sentence more.
func TestAFilmBesideTheOtherReadings(t *testing.T) {
	reps := thrownReps(t, "ch45 ch46 ch45 ch46 ch54")
	heard := pen
	heard.Against = map[string]FilmSays{reps[4].ID: {Speed: 45.4}}
	const want = "Sure about 54 mph? The 4 others like it read 45 to 46 mph. Were the digits swapped, and it was 45 mph? The film says about 45 mph."
	if got := Judge(kim(), heard, nil, reps).Reps[4]; got.Doubt != want || got.Meant == nil || got.Meant.Value != 45 {
		t.Errorf("%q, meant %v", got.Doubt, got.Meant)
	}
}
