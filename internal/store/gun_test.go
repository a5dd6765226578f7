package store

import (
	"testing"

	"tenoff/internal/bullpen"
)

// A new bullpen's gun stands where it stood in her latest one, whoever else threw
// since, unless it is said; in her first it stands behind the catcher.
func TestTheGunStaysWhereItWas(t *testing.T) {
	s := fresh(t)
	first := pen(t, s, "Kit", "2026-04-11")
	add := func(day string, gun bullpen.GunPlace) bullpen.GunPlace {
		t.Helper()
		b, err := s.AddBullpen(t.Context(), bullpen.Bullpen{PitcherID: first.PitcherID, Day: day, Gun: gun}, true)
		if err != nil {
			t.Fatal(err)
		}
		return b.Gun
	}
	if got := add("2026-04-12", ""); got != bullpen.BehindCatcher {
		t.Errorf("after one behind the catcher it stands %q", got)
	}
	add("2026-04-20", bullpen.BesidePitcher)
	add("2026-04-14", bullpen.BehindPitcher) // logged later, thrown before
	level, _ := bullpen.LevelOf("14U")
	_, b, err := s.AddBullpenFor(t.Context(), bullpen.NewPitcher("Lou", level), bullpen.Bullpen{Day: "2026-04-21"}, true)
	if err != nil || b.Gun != bullpen.BehindCatcher {
		t.Errorf("another's first: %q, %v", b.Gun, err)
	}
	cards, err := s.Pitchers(t.Context())
	if err != nil || len(cards) != 2 || cards[0].Gun != bullpen.BesidePitcher || cards[1].Gun != bullpen.BehindCatcher {
		t.Errorf("offered %+v, %v", cards, err)
	}
	if got := add("2026-04-22", ""); got != bullpen.BesidePitcher {
		t.Errorf("after the latest beside the pitcher it stands %q", got)
	}
}
