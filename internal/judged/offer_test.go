package judged

import (
	"testing"

	"tenoff/internal/bullpen"
	"tenoff/internal/tempo"
)

func TestOffer(t *testing.T) {
	for _, c := range []struct {
		what       string
		verdict    tempo.Verdict
		in, judged int
		want       string
	}{
		{"slow legs", tempo.SlowedBody, 8, 8, "legs"},
		{"a slow arm", tempo.SlowedArm, 8, 8, "arm"},
		{"all well", tempo.SameBody, 8, 8, ""},
		{"the body held, the gap did not", tempo.SameBody, 2, 8, "blend"},
		{"of too few", tempo.SameBody, 0, 4, ""},
		{"nobody can tell of the body", tempo.CantTell, 0, 8, ""},
		{"nothing judged", tempo.SlowedBody, 0, 0, ""},
	} {
		b := Bullpen{
			Sheet: bullpen.Sheet{Summaries: []bullpen.Summary{{Pitch: bullpen.ChangeUp, Judged: c.judged, InBand: c.in}}},
			Body:  tempo.Assessment{Checks: []tempo.Check{{Pitch: bullpen.ChangeUp, Verdict: c.verdict}}},
		}
		got, ok := b.Offer()
		if got.Key != c.want || ok != (c.want != "") {
			t.Errorf("%s: %q", c.what, got.Key)
		}
	}
}
