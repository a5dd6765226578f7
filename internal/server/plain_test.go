package server

import (
	"net/http"
	"strings"
	"testing"

	"github.com/danielgtaylor/huma/v2"
)

func TestValidationIsSaidPlainly(t *testing.T) {
	for _, c := range []struct {
		message, location string
		value             any
		want              string
	}{
		{"expected value to match at least one schema but matched none", "body.reading", map[string]any{"value": 540.0, "unit": "mph"}, "reading can't be 540 mph"},
		{"expected value to match at least one schema but matched none", "body.drill", "x", "drill can't be what was given"},
		{"expected number <= 250", "body.reading.value", 540.0, "value must be 250 or less"},
		{"expected length >= 1", "body.label", "", "label must not be empty"},
		{"expected length <= 80", "body.pitcherLabel", "", "pitcher label must have 80 characters or fewer"},
		{`expected value to be one of "mph, km/h"`, "body.readings[3].unit", "knots", `unit must be one of "mph, km/h"`},
		{"expected string to be RFC 3339 date", "query.from", "May", "from must be a day such as 2026-05-02"},
		{"expected required property version to be present", "body", nil, "what was sent needs version"},
		{"unexpected property", "body.shoe", nil, "shoe is not known here"},
	} {
		if got := plain(huma.ErrorDetail{Message: c.message, Location: c.location, Value: c.value}); got != c.want {
			t.Errorf("%s at %s is said as %q, want %q", c.message, c.location, got, c.want)
		}
	}
}

// An impossible number among many readings leaves every rep as it was, and is named.
func TestReadingsAreEnteredTogetherOrNotAtAll(t *testing.T) {
	const get, post, patch = http.MethodGet, http.MethodPost, http.MethodPatch
	h := newHouse(t)
	h.pen(t)
	h.run(t, []exchange{
		{"a rep", post, "/api/bullpens/$pen/reps", `{"reading":{"value":55,"unit":"mph","step":1,"gun":"behind catcher"}}`, 201, "", map[string]string{"rep": "rep.id"}},
		{"another", post, "/api/bullpens/$pen/reps", `{}`, 201, "", nil},
		{"a slip of the finger, looked at", post, "/api/bullpens/$pen/readings", `{"text":"50\n540","dryRun":true}`, 422, `Line 2: \"540\" is no reading`, nil},
		{"a slip of the finger, entered", post, "/api/bullpens/$pen/readings", `{"text":"50\n540"}`, 422, `Line 2: \"540\" is no reading`, nil},
		{"nothing moved", get, "/api/bullpens/$pen", "", 200, `"value":55`, nil},
		{"one reading that can't be", patch, "/api/reps/$rep", `{"version":1,"reading":{"value":540,"unit":"mph","step":1,"gun":"behind catcher"}}`, 422, "reading can't be 540 mph", nil},
	})
	if a := h.send(t, get, "/api/bullpens/$pen", ""); strings.Contains(a.body, `"value":50`) {
		t.Error("a reading before the impossible one was entered")
	}
}
