package bullpen

import (
	"reflect"
	"testing"
)

// An answer from before edges and the body were kept has not changed because they are known
// now; a changed number, edge or body that it kept has.
func TestKeptOf(t *testing.T) {
	now := []ShownRep{{Order: 1, Verdict: InBand, EdgeOf: Soft, Body: &ShownBody{Legs: 86, Slowed: true}}}
	for _, c := range []struct {
		what string
		then ShownRep
		same bool
	}{
		{"from before", ShownRep{Order: 1, Verdict: InBand}, true},
		{"whole", ShownRep{Order: 1, Verdict: InBand, EdgeOf: Soft, Body: &ShownBody{Legs: 86, Slowed: true}}, true},
		{"another verdict", ShownRep{Order: 1, Verdict: Soft}, false},
		{"another edge", ShownRep{Order: 1, Verdict: InBand, EdgeOf: TooFirm}, false},
		{"another body", ShownRep{Order: 1, Verdict: InBand, Body: &ShownBody{Legs: 99}}, false},
	} {
		then := []ShownRep{c.then}
		if got := reflect.DeepEqual(then, KeptOf(now, then)); got != c.same {
			t.Errorf("%s: the same %t", c.what, got)
		}
	}
	if now[0].Body == nil {
		t.Error("what is known now was changed")
	}
}
