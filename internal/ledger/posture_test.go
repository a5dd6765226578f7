package ledger

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"testing"

	"tenoff/internal/bullpen"
	"tenoff/internal/judged"
	"tenoff/internal/posture"
)

// How she moved is in CSV and JSON, each measure with its uncertainty; what was not
// measured is empty, and a value below none keeps its sign as a number, not as a formula.
func TestThePosturesColumns(t *testing.T) {
	s := Session{Bullpen: judged.Bullpen{Facts: judged.Facts{
		Pen:  bullpen.Bullpen{Day: "2026-04-11"},
		Reps: []bullpen.Rep{{ID: "a", Order: 1, Pitch: bullpen.ChangeUp}, {ID: "b", Order: 2, Pitch: bullpen.ChangeUp}},
	}}, Postures: judged.Postures{"a": {
		posture.LeanPlant: {Value: 12.34, U: 1.06}, posture.LeanRelease: {Value: 20, U: 2}, posture.HipsOpen: {Value: 251.4, U: 24.6},
		posture.HipSpeed: {Value: 3.456, U: 0.12}, posture.Stride: {Value: 2.1234, U: 0.04}, posture.ArmSlot: {Value: -0.1234, U: 0.05}, posture.FrontKnee: {Value: 152.3, U: 3},
	}}}
	var b bytes.Buffer
	if err := WriteCSV(&b, s); err != nil {
		t.Fatal(err)
	}
	lines, err := csv.NewReader(&b).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	want := map[string]string{
		"leanPlantDeg": "12.3", "leanPlantUncertainty": "1.1", "leanReleaseDeg": "20", "leanReleaseUncertainty": "2",
		"hipsOpenMs": "251", "hipsOpenUncertainty": "25", "hipSpeed": "3.46", "hipSpeedUncertainty": "0.12",
		"stride": "2.123", "strideUncertainty": "0.04", "armSlot": "-0.123", "armSlotUncertainty": "0.05", "frontKneeDeg": "152.3", "frontKneeUncertainty": "3",
	}
	seen := 0
	for k, name := range lines[0] {
		if w, ok := want[name]; ok {
			seen++
			if lines[1][k] != w || lines[2][k] != "" {
				t.Errorf("%s: %q and %q, want %q and nothing", name, lines[1][k], lines[2][k], w)
			}
		}
	}
	if seen != len(want) {
		t.Errorf("%d of %d columns are there", seen, len(want))
	}
	b.Reset()
	if err := WriteJSON(&b, s); err != nil {
		t.Fatal(err)
	}
	var out struct {
		Bullpens []struct{ Reps []map[string]any }
	}
	if err := json.Unmarshal(b.Bytes(), &out); err != nil {
		t.Fatal(err)
	}
	for name := range want {
		if _, there := out.Bullpens[0].Reps[0][name]; !there {
			t.Errorf("JSON lacks %s", name)
		}
		if v, there := out.Bullpens[0].Reps[1][name]; there {
			t.Errorf("JSON says %s is %v where nothing was measured", name, v)
		}
	}
}
