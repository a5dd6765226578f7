package server

import (
	"net/http"
	"testing"
)

// What is told of a bullpen is in the pitcher's language unless another one is asked for;
// the instructor's sheet stays as it is.
func TestToldInTheirLanguage(t *testing.T) {
	const get, post, patch = http.MethodGet, http.MethodPost, http.MethodPatch
	h := newHouse(t)
	h.run(t, []exchange{
		{"add a pitcher", post, "/api/pitchers", `{"label":"Wren"}`, 201, `"language":"en"`, map[string]string{"wren": "id"}},
		{"begin a bullpen", post, "/api/bullpens", `{"pitcherId":"$wren","day":"2026-05-02"}`, 201, "", map[string]string{"pen": "id"}},
		{"nothing to tell yet", get, "/api/bullpens/$pen/told", "", 200, `{"language":"en","others":[]}`, nil},
		{"readings", post, "/api/bullpens/$pen/readings", `{"text":"55 fb 45 ch 55 fb 46 ch 55 fb 45 ch 56 fb 45 ch 55 fb 46 ch","newReps":true}`, 200, "", nil},
		{"in English", get, "/api/bullpens/$pen/told", "", 200, `"headline":"5 of 5 about ten off."
			"next":"Aim for 45 mph (44 to 47)."
			"pitch":"ch"`, nil},
		{"in Spanish, asked for", get, "/api/bullpens/$pen/told?language=es", "", 200, `"headline":"5 de 5, unas diez menos."
			"language":"es"`, nil},
		{"she reads Spanish", patch, "/api/pitchers/$wren", `{"version":1,"language":"es"}`, 200, `"language":"es"`, nil},
		{"in hers", get, "/api/bullpens/$pen/told", "", 200, `"next":"Apunta a 45 mph (de 44 a 47)."`, nil},
		{"the sheet", get, "/api/bullpens/$pen", "", 200, `"headline":"5 of 5 about ten off.","foremost":1`, nil},
		{"a language there is not", patch, "/api/pitchers/$wren", `{"version":2,"language":"fr"}`, 422, "language", nil},
		{"one asked for that there is not", get, "/api/bullpens/$pen/told?language=fr", "", 422, "language", nil},
	})
}
