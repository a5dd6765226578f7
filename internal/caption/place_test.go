package caption

import "testing"

func TestPlace(t *testing.T) {
	for at, want := range map[[2]int]string{{2, 3}: "set 2, no. 3", {2, 0}: "set 2", {0, 3}: "no. 3", {0, 0}: ""} {
		if got := (Facts{Set: at[0], Number: at[1]}).place(); got != want {
			t.Errorf("%v: %q, want %q", at, got, want)
		}
	}
}
