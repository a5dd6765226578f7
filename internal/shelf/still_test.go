package shelf

import (
	"testing"

	"tenoff/internal/bullpen"
)

func TestStillNamesTheRep(t *testing.T) {
	pen := bullpen.Bullpen{Day: "2026-04-11", Gun: bullpen.BehindCatcher, Unit: bullpen.MPH, Step: 1}
	read := bullpen.Rep{Order: 3, Pitch: bullpen.ChangeUp, Reading: &bullpen.Reading{Value: 44}}
	for want, rep := range map[string]bullpen.Rep{
		"2026-04-11_03_change-up_44mph.jpg": read,
		"2026-04-11_12_fastball.jpg":        {Order: 12, Pitch: bullpen.Fastball},
	} {
		if got := StillName(pen, rep); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}
