package passphrase

import (
	"strings"
	"testing"

	"tenoff/internal/bullpen"
)

func TestHash(t *testing.T) {
	hash, err := Hash("seven quiet wall balls")
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		what, hash, phrase string
		want               bool
	}{
		{"the right one", hash, "seven quiet wall balls", true},
		{"another", hash, "seven quiet wall bells", false},
		{"none", hash, "", false},
		{"of nobody", "", "seven quiet wall balls", false},
		{"of what is no hash", "argon2id$x", "seven quiet wall balls", false},
		{"cut short", hash[:len(hash)-4], "seven quiet wall balls", false},
	} {
		if got := Matches(c.hash, c.phrase); got != c.want {
			t.Errorf("%s: %v", c.what, got)
		}
	}
	again, err := Hash("seven quiet wall balls")
	if err != nil || again == hash || strings.Contains(hash, "quiet") {
		t.Errorf("the same hash twice, or none at all: %v", err)
	}
	if _, err := Hash("short"); bullpen.CodeOf(err) != bullpen.Invalid {
		t.Errorf("a short one: %v", err)
	}
}
