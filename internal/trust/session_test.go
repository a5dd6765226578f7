package trust

import (
	"math/rand/v2"
	"strings"
	"testing"

	"tenoff/internal/bullpen"
)

// Bullpens of one day follow each other as they were begun, however they come.
func TestByDay(t *testing.T) {
	sessions := []Session{
		{Bullpen: bullpen.Bullpen{ID: "d", Day: "2026-04-10", Begun: 9}},
		{Bullpen: bullpen.Bullpen{ID: "c", Day: "2026-04-11", Begun: 5}},
		{Bullpen: bullpen.Bullpen{ID: "a", Day: "2026-04-11", Begun: 7}},
		{Bullpen: bullpen.Bullpen{ID: "b", Day: "2026-04-12", Begun: 1}},
	}
	random := rand.New(rand.NewPCG(1, 2))
	for range 20 {
		random.Shuffle(len(sessions), func(i, j int) { sessions[i], sessions[j] = sessions[j], sessions[i] })
		var got []string
		for _, s := range byDay(sessions) {
			got = append(got, s.Bullpen.ID)
		}
		if got := strings.Join(got, ""); got != "dcab" {
			t.Fatalf("%s", got)
		}
	}
}
