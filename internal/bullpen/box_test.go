package bullpen

import (
	"math"
	"testing"
)

func TestBoxCheck(t *testing.T) {
	for _, c := range []struct {
		box Box
		ok  bool
	}{
		{Box{0, 0, 1, 1}, true},
		{Box{0.3, 0.1, 0.4, 0.85}, true},
		{Box{0.7, 0.1, 0.3, 0.9}, true}, // 0.7 + 0.3 is not quite 1 in floating point
		{Box{}, false},
		{Box{0.3, 0.1, 0.4, 0.01}, false},
		{Box{-0.1, 0, 0.5, 0.5}, false},
		{Box{0.6, 0, 0.5, 0.5}, false},
		{Box{math.NaN(), 0, 0.5, 0.5}, false},
	} {
		if err := c.box.Check(); (err == nil) != c.ok {
			t.Errorf("%+v: %v", c.box, err)
		}
	}
	if !(Box{}).None() || (Box{0, 0, 1, 1}).None() {
		t.Error("only the zero box is none")
	}
}
