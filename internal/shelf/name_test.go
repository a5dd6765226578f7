package shelf

import (
	"testing"

	"tenoff/internal/bullpen"
)

func TestNames(t *testing.T) {
	mph := &bullpen.Reading{Value: 50.5, Unit: bullpen.MPH}
	kmh := &bullpen.Reading{Value: 81, Unit: bullpen.KMH}
	for got, want := range map[string]string{
		FileName("2026-04-11", 7, bullpen.ChangeUp, mph):                   "2026-04-11_07_change-up_50.5mph.mp4",
		FileName("2026-04-11", 112, bullpen.DropCurve, kmh):                "2026-04-11_112_drop-curve_81kmh.mp4",
		FileName("../../etc", 1, bullpen.Fastball, nil):                    "etc_01_fastball.mp4",
		PairName("2026-04-11", "07_change-up", "01_fastball", 1, false):    "2026-04-11_07_change-up_beside_01_fastball.mp4",
		PairName("2026-04-11", "07_change-up", "01_fastball", 0.125, true): "2026-04-11_07_change-up_over_01_fastball_1-8-speed.mp4",
	} {
		if got != want {
			t.Errorf("%s, want %s", got, want)
		}
	}
}
