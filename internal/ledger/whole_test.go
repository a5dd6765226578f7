package ledger

import (
	"strings"
	"testing"

	"tenoff/internal/bullpen"
)

// A spreadsheet writes 55.0 for what the gun showed as 55: where every reading ends in .0,
// the display's step is its own and not a tenth.
func TestZerosThatASpreadsheetWrote(t *testing.T) {
	for text, want := range map[string]float64{
		"mph\n55.0\n46.0\n54.0":                  1,
		"55.0\n46.0\n":                           1,
		"55.0 fb 46.0 ch":                        1,
		"pitch,reading\nfb,55.0\nch,46.0":        1,
		"pitch,reading\nfb,55.0\nch,-\nch,46.0":  1,
		"mph\n55.0\n46.5\n54.0":                  0.1,
		"pitch,reading\nfb,55.0\nch,46.5":        0.1,
		"pitch,reading,step\nfb,55.0,\nch,46.0,": 0.1, // it tells steps, and says none here
		"55.0":                                   0.1,
	} {
		entries, err := ParseReadings(text, Defaults{Unit: bullpen.MPH, Step: 1})
		if err != nil {
			t.Fatal(err)
		}
		if got := entries[0].Reading.Step; got != want {
			t.Errorf("%q: a step of %g, want %g", text, got, want)
		}
	}
	tenths, err := ParseReadings("mph\n55.0\n46.0", Defaults{Unit: bullpen.MPH, Step: 0.1})
	if err != nil || tenths[0].Reading.Step != 0.1 {
		t.Errorf("a gun that is said to show tenths: %+v, %v", tenths[0].Reading, err)
	}
	lines, err := ReadReps(strings.NewReader("frame,pitch,reading\n100,fb,55.0\n200,ch,46.0"), Defaults{})
	if err != nil || lines[0].Reading.Step != 1 || lines[1].Reading.Step != 1 {
		t.Errorf("REPS.csv: %+v, %v", lines, err)
	}
}
