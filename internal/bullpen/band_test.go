package bullpen

import (
	"math"
	"testing"
)

var highSchool = Way{Metres: 37 * metresPerFoot, Drag: 0.002425 / metresPerFoot}

// Common practice, no source: the change-up comes in 10 mph under the fastball, give
// or take 2; from 15 on it is too soft against strong hitters; a medium off-speed
// aims 5 under.
func TestVerdictsOfThePractice(t *testing.T) {
	change, _ := Pitcher{}.BandOf(ChangeUp)
	medium, _ := Pitcher{}.BandOf(OffSpeed)
	for _, c := range []struct {
		what           string
		band           Band
		fast, off      Speed
		want           Verdict
		backLo, backHi Speed // how much can come back on
	}{
		{"7 under", change, 55, 48, TooFirm, 0, 0},
		{"8 under", change, 55, 47, InBand, 0, 0},
		{"9 under", change, 55, 46, InBand, 0, 0},
		{"12 under", change, 55, 43, InBand, 0, 0},
		{"13 under", change, 55, 42, Soft, 1, 5},
		{"14.9 under", change, 55, 40.1, Soft, 2.9, 6.9},
		{"15 under", change, 55, 40, TooSoft, 3, 7},
		{"20 under", change, 55, 35, TooSoft, 8, 12},
		{"off-speed 45 of 50", medium, 50, 45, InBand, 0, 0},
		{"off-speed 44 of 50", medium, 50, 44, InBand, 0, 0},
		{"off-speed 48 of 50", medium, 50, 48, TooFirm, 0, 0},
		{"off-speed 40 of 50", medium, 50, 40, TooSoft, 3, 7},
	} {
		gap := GapUnder(c.fast, c.off, highSchool)
		v := c.band.Verdict(gap)
		if v != c.want {
			t.Errorf("%s is %q, want %q", c.what, v, c.want)
		}
		e, ok := c.band.Under(c.fast, highSchool)
		back := e.comeBackOn(gap.MPH, v)
		if (back != nil) != (c.backHi > 0) || !ok {
			t.Errorf("%s: can come back on %v", c.what, back)
		} else if back != nil {
			near(t, c.what+": at least", back.Lo, c.backLo, 1e-9)
			near(t, c.what+": at most", back.Hi, c.backHi, 1e-9)
		}
	}
}

// Both ends belong to the band and the limit to too soft, whatever binary fractions
// make of the decimals.
func TestEdgesAreExact(t *testing.T) {
	for tenths := 400; tenths <= 900; tenths++ {
		fast := float64(tenths) / 10
		for _, c := range []struct {
			gap  float64
			want Verdict
		}{{7.9, TooFirm}, {8, InBand}, {12, InBand}, {12.1, Soft}, {14.9, Soft}, {15, TooSoft}} {
			off := math.Round((fast-c.gap)*10) / 10
			for _, u := range []Unit{MPH, KMH} {
				band := Band{Unit: BandUnit(u), Lo: 8, Hi: 12, Limit: 15}
				if got := band.Verdict(GapUnder(SpeedOf(fast, u), SpeedOf(off, u), Way{})); got != c.want {
					t.Fatalf("%v under %v %s is %q, want %q", off, fast, u, got, c.want)
				}
			}
		}
	}
	percent := Band{Unit: InPercent, Lo: 85, Hi: 78, Limit: 73}
	for _, c := range []struct {
		off  Speed
		want Verdict
	}{{51.1, TooFirm}, {51, InBand}, {46.8, InBand}, {46.7, Soft}, {43.8, TooSoft}} {
		if got := percent.Verdict(GapUnder(60, c.off, Way{})); got != c.want {
			t.Errorf("%v of 60 is %q, want %q", c.off, got, c.want)
		}
	}
	millis := Band{Unit: InMillis, Lo: 70, Hi: 110, Limit: 146.6}
	for _, c := range []struct {
		off  Speed
		want Verdict
	}{{52, TooFirm}, {50, InBand}, {47, Soft}, {44.9, TooSoft}} {
		if got := millis.Verdict(GapUnder(60, c.off, highSchool)); got != c.want {
			t.Errorf("%v under 60 by milliseconds is %q, want %q", c.off, got, c.want)
		}
	}
	if got := millis.Verdict(GapUnder(60, 50, Way{})); got != Pending {
		t.Errorf("milliseconds without a way give %q", got)
	}
}

// The same 8, 10, 12 and 15 mph are other shares of other fastballs: simple
// arithmetic, rounded to whole per cent as coaches say them.
func TestBandInPercent(t *testing.T) {
	for _, c := range []struct{ fast, lo, ten, hi, limit float64 }{
		{40, 80, 75, 70, 62.5}, {50, 84, 80, 76, 70}, {60, 86.667, 83.333, 80, 75}, {70, 88.571, 85.714, 82.857, 78.571},
	} {
		in, ok := Band{Unit: InMPH, Lo: 8, Hi: 12, Limit: 15}.In(InPercent, Speed(c.fast), Way{})
		if !ok {
			t.Fatal("no per cent")
		}
		near(t, "lo", in.Lo, c.lo, 0.001)
		near(t, "hi", in.Hi, c.hi, 0.001)
		near(t, "limit", in.Limit, c.limit, 0.001)
		ten, _ := Band{Unit: InMPH, Lo: 10, Hi: 12, Limit: 15}.In(InPercent, Speed(c.fast), Way{})
		near(t, "ten off", ten.Lo, c.ten, 0.001)
	}
}

func TestBandInEveryUnit(t *testing.T) {
	change := Band{Unit: InMPH, Lo: 8, Hi: 12, Limit: 15}
	all := change.All(60, highSchool)
	if len(all) != 4 {
		t.Fatalf("the band in %d units", len(all))
	}
	// The delays: the table of TestLater at 60 mph.
	near(t, "8 mph in ms", all[3].Lo, 67.7, 0.1)
	near(t, "12 mph in ms", all[3].Hi, 110.0, 0.1)
	near(t, "15 mph in ms", all[3].Limit, 146.6, 0.1)
	near(t, "8 mph in km/h", all[1].Lo, 12.874752, 1e-9)
	for _, b := range all {
		if err := b.Check(); err != nil {
			t.Error(err)
		}
		back, ok := b.In(InMPH, 60, highSchool)
		if !ok {
			t.Errorf("%s does not come back", b.Unit)
		}
		near(t, string(b.Unit)+" lo", back.Lo, 8, 1e-9)
		near(t, string(b.Unit)+" hi", back.Hi, 12, 1e-9)
		near(t, string(b.Unit)+" limit", back.Limit, 15, 1e-9)
	}
	if n := len(change.All(60, Way{})); n != 3 {
		t.Errorf("without a way the band is said in %d units, want 3", n)
	}
	if n := len(change.All(14, highSchool)); n != 3 {
		t.Errorf("15 mph under 14 is said in %d units, want 3: it never arrives", n)
	}
}

func TestBandCheck(t *testing.T) {
	for _, b := range []Band{
		{InMPH, 8, 12, 15}, {InMPH, 3, 7, 7}, {InKMH, 13, 19, 24}, {InPercent, 85, 78, 73}, {InMillis, 70, 110, 150},
	} {
		if err := b.Check(); err != nil {
			t.Errorf("%+v: %v", b, err)
		}
	}
	for _, b := range []Band{
		{}, {"furlongs", 8, 12, 15}, {InMPH, 12, 8, 15}, {InMPH, 8, 15, 12}, {InMPH, 8, 8, 15}, {InPercent, 78, 85, 73}, {InPercent, 85, 78, -1},
		{InMPH, math.NaN(), 12, 15}, {InMPH, 8, math.Inf(1), math.Inf(1)}, {InMillis, 8, 12, 1e300}, {InPercent, 1e300, 78, 73},
	} {
		if err := b.Check(); CodeOf(err) != Invalid {
			t.Errorf("%+v is accepted: %v", b, err)
		}
	}
}
