package joints

import (
	"encoding/json"
	"math"
	"os"
	"testing"

	"tenoff/internal/posture"
)

// The converted model finds what the same model finds when TensorFlow.js 4.22.0 runs it in
// Chromium (testdata/reference.mjs says how), to a thousandth of the picture.
func TestAgreesWithTensorFlowJS(t *testing.T) {
	text, err := os.ReadFile("testdata/reference.json")
	if err != nil {
		t.Fatal(err)
	}
	var want map[string][posture.Joints][3]float64 // row, column, how sure
	if err := json.Unmarshal(text, &want); err != nil {
		t.Fatal(err)
	}
	if len(want) != 3 {
		t.Fatalf("%d pictures, want 3", len(want))
	}
	model, err := load(kitOf(t))
	if err != nil {
		t.Fatal(err)
	}
	defer model.Close()
	for name, joints := range want {
		p := picture(t, name)
		got, err := model.look(p, square{x: float64(p.Width) / 2, y: float64(p.Height) / 2, side: float64(p.Width)})
		if err != nil {
			t.Fatal(err)
		}
		worst := 0.0
		for j, w := range joints {
			worst = max(worst, math.Abs(got[j].y-w[0]), math.Abs(got[j].x-w[1]), math.Abs(got[j].sure-w[2]))
		}
		t.Logf("%s: at most %.6f apart", name, worst)
		if !(worst < 1e-3) {
			t.Errorf("%s: joints are %.4f of the picture apart", name, worst)
		}
	}
}
