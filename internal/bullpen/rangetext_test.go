package bullpen

import "testing"

// A gun shows whole numbers: what is aimed at lies in the band and never beside it.
func TestWholeNumbersLieInTheRange(t *testing.T) {
	for _, c := range []struct {
		lo, hi Speed
		unit   Unit
		want   string
	}{
		{40.5, 44.5, MPH, "41 to 44"},
		{43, 47, MPH, "43 to 47"},
		{2.7, 6.7, MPH, "3 to 6"},
		{43.9999999999, 47.0000000001, MPH, "44 to 47"},
		{43.4, 44.3, MPH, "44"},
		{43.2, 43.8, MPH, "43.2 to 43.8"},
		{43.21, 43.79, MPH, "43.3 to 43.7"},
		{43.21, 43.24, MPH, "43.2"},
		{0, 0, MPH, "0"},
		{40.5, 44.5, KMH, "66 to 71"}, // 65.18 to 71.62
		{SpeedOf(64, KMH), SpeedOf(70, KMH), KMH, "64 to 70"},
	} {
		if got := (Range{c.lo, c.hi}).Whole(c.unit); got != c.want {
			t.Errorf("%v to %v mph in %s: %q, want %q", c.lo, c.hi, c.unit, got, c.want)
		}
	}
}

// What people read has the minus sign, and nothing has no sign.
func TestSigned(t *testing.T) {
	for v, want := range map[float64]string{8.4: "+8", -8.4: "−8", 0.4: "0", -0.4: "0", 0.5: "+1", -1200: "−1200"} {
		if got := Signed(v); got != want {
			t.Errorf("%v: %q, want %q", v, got, want)
		}
	}
}

// A day is said one way; what is no day is left alone.
func TestDayText(t *testing.T) {
	for day, want := range map[string]string{"2026-04-12": "12 April 2026", "2026-12-01": "1 December 2026", "": "", "soon": "soon"} {
		if got := DayText(day); got != want {
			t.Errorf("%q: %q, want %q", day, got, want)
		}
	}
}

// Half of a last digit goes up, on paper, page and clip alike.
func TestOneRounding(t *testing.T) {
	for v, want := range map[float64]string{62.5: "63 %", 37.5: "38 %", 0: "0 %", 99.49: "99 %", -0.2: "0 %"} {
		if got := Percent(v); got != want {
			t.Errorf("%v per cent: %q, want %q", v, got, want)
		}
	}
	for v, want := range map[float64]string{44.25: "44.3", 44.75: "44.8", 44: "44", 43.96: "44", -0.04: "0", -2.25: "−2.3"} {
		if got := Tenths(v); got != want {
			t.Errorf("%v: %q, want %q", v, got, want)
		}
	}
}
