package wire

import (
	"bytes"
	"encoding/json"
	"os"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"tenoff/internal/bullpen"
)

// loose is a JSON value as it is, without a form's number.
func loose(t *testing.T, v any) any {
	t.Helper()
	text, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	var out any
	if err := json.Unmarshal(text, &out); err != nil {
		t.Fatal(err)
	}
	if m, ok := out.(map[string]any); ok {
		delete(m, "form")
	}
	return out
}

// An answer that was kept in form 1 (testdata/answers/1.json: the column as a program
// of that time wrote it) is read whole, kept anew without loss, and said to the student
// as it was said then.
func TestAnswersOfForm1AreRead(t *testing.T) {
	text, err := os.ReadFile("../../../testdata/answers/1.json")
	if err != nil {
		t.Fatal(err)
	}
	var was struct {
		Shown struct{ Reps, Aims, Drawings, Titles, Orders any }
	}
	if err := json.Unmarshal(text, &was); err != nil {
		t.Fatal(err)
	}
	var whole map[string]any
	if err := json.Unmarshal(text, &whole); err != nil {
		t.Fatal(err)
	}
	strict := json.NewDecoder(bytes.NewReader(text))
	strict.DisallowUnknownFields()
	var reply bullpen.Reply
	if err := strict.Decode(&reply); err != nil {
		t.Fatal(err)
	}
	kept := reply.Shown
	if kept == nil || kept.Form != bullpen.ShownForm || len(kept.Reps) != 4 || len(kept.Aims) != 3 || len(kept.Drawings) != 1 || kept.Reps[3].Gap.MPH != 14.5 {
		t.Fatalf("read as %+v", kept)
	}
	if diff := cmp.Diff(whole["shown"], loose(t, kept)); diff != "" {
		t.Errorf("kept anew it is another: %s", diff)
	}
	var reps []SlipRep
	for _, r := range kept.Reps {
		reps = append(reps, SlipRepOf(r))
		if diff := cmp.Diff(r, SlipRepOf(r).ShownRep()); diff != "" {
			t.Error(diff)
		}
	}
	var aims []SlipAim
	for _, a := range kept.Aims {
		aims = append(aims, SlipAimOf(a))
		if diff := cmp.Diff(a, SlipAimOf(a).ShownAim()); diff != "" {
			t.Error(diff)
		}
	}
	for what, pair := range map[string][2]any{
		"reps": {was.Shown.Reps, loose(t, reps)}, "aims": {was.Shown.Aims, loose(t, aims)},
		"shapes": {was.Shown.Drawings.([]any)[0].(map[string]any)["shapes"], loose(t, ShapesOf(kept.Drawings[0]))},
	} {
		if diff := cmp.Diff(pair[0], pair[1]); diff != "" {
			t.Errorf("%s are said otherwise: %s", what, diff)
		}
	}
}

// What an answer keeps of a moment is what was said of it.
func TestAMomentIsKeptAsItWasSaid(t *testing.T) {
	way := bullpen.Way{Metres: 11.3, Drag: 0.008}
	m, ok := way.Moment(55, way.Later(55, 45))
	if !ok {
		t.Fatal("no moment")
	}
	m.Baseline = bullpen.Drop
	aim := SlipAim{Pitch: bullpen.ChangeUp, Moment: MomentOf(&m)}
	if diff := cmp.Diff(aim, SlipAimOf(aim.ShownAim())); diff != "" {
		t.Error(diff)
	}
}

// A form that is not known is not guessed at.
func TestAnswersOfAnotherForm(t *testing.T) {
	for text, good := range map[string]bool{`{}`: true, `{"form":2}`: true, `{"form":3}`: false, `{"form":0}`: false, `{"form":"1"}`: false} {
		var s bullpen.Shown
		err := json.Unmarshal([]byte(text), &s)
		if (err == nil) != good || err == nil && s.Form != bullpen.ShownForm {
			t.Errorf("%s: %+v, %v", text, s, err)
		}
	}
	text, err := json.Marshal(bullpen.Reply{Words: "x"})
	if err != nil || strings.Contains(string(text), "shown") {
		t.Errorf("a reply without: %s, %v", text, err)
	}
}
