package bullpen

import "testing"

func TestInSet(t *testing.T) {
	for at, want := range map[[2]int]string{{2, 3}: "set 2, no. 3", {2, 0}: "set 2", {0, 3}: "no. 3", {0, 0}: ""} {
		if got := InSet(at[0], at[1]); got != want {
			t.Errorf("%v: %q, want %q", at, got, want)
		}
	}
}
