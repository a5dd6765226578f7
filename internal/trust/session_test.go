package trust

import (
	"encoding/json"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"tenoff/internal/bullpen"
)

// weeksOf returns what the sessions add to the weeks, as it comes back once it was stored.
func weeksOf(t testing.TB, sessions []Session) []Week {
	t.Helper()
	var out []Week
	for _, s := range sessions {
		made := s.Week()
		text, err := json.Marshal(made)
		if err != nil {
			t.Fatal(err)
		}
		var stored Week
		if err := json.Unmarshal(text, &stored); err != nil {
			t.Fatal(err)
		}
		stored = stored.In(s.Bullpen)
		if d := cmp.Diff(made, stored); d != "" {
			t.Errorf("stored, %s differs: %s", s.Bullpen.ID, d)
		}
		out = append(out, stored)
	}
	return out
}

func trendOf(t testing.TB, p, base bullpen.Pitch, sessions []Session) Trend {
	t.Helper()
	return TrendOf(p, base, weeksOf(t, sessions))
}

func evaluate(t testing.TB, r Rule, sessions []Session) Answer {
	t.Helper()
	return Evaluate(r, weeksOf(t, sessions))
}

// Bullpens of one day follow each other as they were begun, however they come.
func TestByDay(t *testing.T) {
	weeks := []Week{
		{BullpenID: "d", Day: "2026-04-10", Begun: 9},
		{BullpenID: "c", Day: "2026-04-11", Begun: 5},
		{BullpenID: "a", Day: "2026-04-11", Begun: 7},
		{BullpenID: "b", Day: "2026-04-12", Begun: 1},
	}
	random := rand.New(rand.NewPCG(1, 2))
	for range 20 {
		random.Shuffle(len(weeks), func(i, j int) { weeks[i], weeks[j] = weeks[j], weeks[i] })
		var got []string
		for _, s := range byDay(weeks) {
			got = append(got, s.BullpenID)
		}
		if got := strings.Join(got, ""); got != "dcab" {
			t.Fatalf("%s", got)
		}
	}
}
