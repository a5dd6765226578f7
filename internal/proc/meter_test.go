package proc

import (
	"testing"
	"time"
)

// A program's time is counted once it has ended, in the context it was run in only.
func TestMeter(t *testing.T) {
	var m, other Meter
	before := Own()
	busy := Cmd{Name: "sh", Args: []string{"-c", "i=0; while [ $i -lt 200000 ]; do i=$((i+1)); done"}}
	res, err := Run(Metered(t.Context(), &m), busy)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := Run(t.Context(), busy); err != nil {
		t.Fatal(err)
	}
	if m.Spent() != res.CPU || m.Spent() <= 0 || other.Spent() != 0 {
		t.Errorf("counted %v of %v", m.Spent(), res.CPU)
	}
	for until := Own() + 10*time.Millisecond; Own() < until; {
	}
	if Own()-before < 10*time.Millisecond {
		t.Error("its own time does not grow")
	}
}
