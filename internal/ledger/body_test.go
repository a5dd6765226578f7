package ledger

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"testing"

	"tenoff/internal/bullpen"
	"tenoff/internal/judged"
	"tenoff/internal/tempo"
)

func TestTheBodysColumns(t *testing.T) {
	legs := 0.4375
	s := Session{Bullpen: judged.Bullpen{
		Facts: judged.Facts{
			Pen:  bullpen.Bullpen{Day: "2026-04-11"},
			Reps: []bullpen.Rep{{ID: "a", Order: 1, Pitch: bullpen.ChangeUp}, {ID: "b", Order: 2, Pitch: bullpen.ChangeUp}},
		},
		Body: tempo.Assessment{
			Reps: []tempo.RepBody{
				{RepID: "a", LegsSeconds: &legs, LegsFrom: tempo.ByFinder, Legs: &tempo.BodySpeed{Percent: 91.26, U: 1.44}, Verdict: tempo.SlowedBody},
				{RepID: "b"},
			},
			Checks: []tempo.Check{{Pitch: bullpen.ChangeUp, Verdict: tempo.SlowedBody, Sentence: "Her legs slowed down."}},
		},
	}}
	var b bytes.Buffer
	if err := WriteCSV(&b, s); err != nil {
		t.Fatal(err)
	}
	lines, err := csv.NewReader(&b).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []map[string]string{
		{"legsMs": "437.5", "armMs": "", "bodyFrom": "found", "bodyPercent": "91.3", "bodyUncertainty": "1.4", "bodyWithin": "no", "bodyVerdict": "slowed body", "armPercent": ""},
		{"legsMs": "", "bodyFrom": "", "bodyPercent": "", "bodyWithin": "", "bodyVerdict": ""},
	} {
		for k, name := range lines[0] {
			if w, ok := want[name]; ok && lines[i+1][k] != w {
				t.Errorf("rep %d, %s: %q, want %q", i+1, name, lines[i+1][k], w)
			}
		}
	}
	b.Reset()
	if err := WriteJSON(&b, s); err != nil {
		t.Fatal(err)
	}
	var out struct {
		Bullpens []struct {
			Body []struct{ Verdict string }
			Reps []struct{ BodyPercent *float64 }
		}
	}
	if err := json.Unmarshal(b.Bytes(), &out); err != nil {
		t.Fatal(err)
	}
	if pen := out.Bullpens[0]; len(pen.Body) != 1 || pen.Body[0].Verdict != "slowed body" || *pen.Reps[0].BodyPercent != 91.26 || pen.Reps[1].BodyPercent != nil {
		t.Errorf("%+v", pen)
	}
}
