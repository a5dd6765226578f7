package server

import (
	"net/http"
	"strings"
	"testing"
)

// exchange is one request and what must come back.
type exchange struct {
	name   string
	method string
	path   string
	body   string
	status int
	has    string            // parts of the body, one a line
	keep   map[string]string // variables to keep, by the field's path
}

func (h *house) run(t *testing.T, exchanges []exchange) {
	t.Helper()
	for _, x := range exchanges {
		t.Run(x.name, func(t *testing.T) {
			a := h.send(t, x.method, x.path, x.body)
			if a.status != x.status {
				t.Fatalf("%s %s answered %d, want %d: %s", x.method, h.fill(x.path), a.status, x.status, a.body)
			}
			for part := range strings.Lines(x.has) {
				if part = strings.TrimSpace(h.fill(part)); !strings.Contains(a.body, part) {
					t.Errorf("no %s in %s", part, a.body)
				}
			}
			if a.status >= 400 {
				checkProblem(t, a)
			} else if strings.HasPrefix(a.header.Get("Content-Type"), "application/json") && a.header.Get("Cache-Control") != "no-store" {
				t.Errorf("a JSON answer may be kept: %q", a.header.Get("Cache-Control"))
			}
			for name, pointer := range x.keep {
				h.keep(t, name, pointer, a)
			}
		})
	}
}

// checkProblem holds an answer against RFC 9457, and what we say of it: one
// sentence, and no insides.
func checkProblem(t *testing.T, a answer) {
	t.Helper()
	if got := a.header.Get("Content-Type"); got != "application/problem+json" {
		t.Errorf("an error of type %q", got)
	}
	status, err := at(a.body, "status")
	if err != nil || status != float64(a.status) {
		t.Errorf("the problem's status is %v, %v", status, err)
	}
	detail, err := at(a.body, "detail")
	if err != nil || !strings.HasSuffix(detail.(string), ".") {
		t.Errorf("the problem's detail is %q, %v", detail, err)
	}
	for _, inside := range []string{"goroutine", "schema", ".go:", "sqlite", "SQL", "/tmp/"} {
		if strings.Contains(a.body, inside) {
			t.Errorf("the problem shows insides: %s", a.body)
		}
	}
}

func TestPitchersAndBullpens(t *testing.T) {
	const (
		get, post, put, patch, del = http.MethodGet, http.MethodPost, http.MethodPut, http.MethodPatch, http.MethodDelete
		none                       = "nosuchthing"
	)
	h := newHouse(t)
	h.run(t, []exchange{
		{"home is empty", get, "/api/home", "", 200, `"bullpens":[]
			"pitchers":[]
			"films":[]`, nil},
		{"health", get, "/api/health", "", 200, `"ok":true
			"version":"test"`, nil},
		{"doctor", get, "/api/doctor", "", 200, `"name":"ffmpeg","ok":true
			"name":"database","ok":true
			"name":"stray files","ok":true`, nil},
		{"pitch types", get, "/api/pitch-types", "", 200, `"code":"ch","key":"c","name":"change-up","plural":"change-ups","band":{"unit":"mph","lo":8,"hi":12,"limit":15}`, nil},
		{"several of a pitch", get, "/api/pitch-types", "", 200, `"plural":"off-speed pitches"`, nil},
		{"levels", get, "/api/levels", "", 200, `"key":"12U","version":0,"name":"12 and under","distanceFeet":40`, nil},
		{"edit a level", patch, "/api/levels/12U", `{"version":0,"distanceFeet":38}`, 200, `"version":1
			"distanceFeet":38`, nil},
		{"edit it from an old window", patch, "/api/levels/12U", `{"version":0,"distanceFeet":40}`, 409, "", nil},
		{"edit a level there is not", patch, "/api/levels/9Z", `{"version":0}`, 404, "", nil},

		{"add a pitcher", post, "/api/pitchers", `{"label":"Wren","level":"12U"}`, 201, `"label":"Wren"
			"distanceFeet":38
			"version":1
			"gunTolerance":{"mph":1,"kmh":1.609344}`, map[string]string{"wren": "id"}},
		{"add one without a label", post, "/api/pitchers", `{"label":""}`, 422, `label`, nil},
		{"add one with an unknown field", post, "/api/pitchers", `{"label":"Jay","shoe":5}`, 422, `shoe`, nil},
		{"add one in no JSON", post, "/api/pitchers", `{"label":`, 400, "", nil},
		{"add one at a level there is not", post, "/api/pitchers", `{"label":"Jay","level":"9Z"}`, 404, "", nil},
		{"list them", get, "/api/pitchers", "", 200, `"id":"$wren"`, nil},
		{"change her settings", patch, "/api/pitchers/$wren", `{"version":1,"unit":"km/h","bands":{"ch":{"unit":"% of fastball","lo":85,"hi":78,"limit":72}}}`, 200, `"version":2
			"unit":"km/h"
			"% of fastball"`, nil},
		{"change them from an old window", patch, "/api/pitchers/$wren", `{"version":1,"label":"Kite"}`, 409, "", nil},
		{"a band that makes no sense", patch, "/api/pitchers/$wren", `{"version":2,"bands":{"ch":{"unit":"mph","lo":12,"hi":8,"limit":15}}}`, 422, "", nil},
		{"a band of no pitch", patch, "/api/pitchers/$wren", `{"version":2,"bands":{"zz":{"unit":"mph","lo":8,"hi":12,"limit":15}}}`, 422, "", nil},
		{"a typed baseline without its number", patch, "/api/pitchers/$wren", `{"version":2,"policy":"typed"}`, 422, "", nil},
		{"no such policy", patch, "/api/pitchers/$wren", `{"version":2,"policy":"best"}`, 422, "policy", nil},
		{"no such pitcher", get, "/api/pitchers/" + none, "", 404, "", nil},
		{"the same band in every unit", post, "/api/bands", `{"pitcherId":"$wren","band":{"unit":"mph","lo":8,"hi":12,"limit":15}}`, 200, `"unit":"km/h"
			"known":false`, nil},
		{"her trust rule", get, "/api/pitchers/$wren/trust", "", 200, `"trusted":false`, nil},
		{"set it", put, "/api/pitchers/$wren/trust", `{"version":2,"pitch":"ch","lines":[{"kind":"in the band","need":4,"of":5}]}`, 200, `"version":3
			4 of the last 5`, nil},

		{"begin a bullpen", post, "/api/bullpens", `{"pitcherId":"$wren","day":"2026-05-02","title":"Wall"}`, 201, `"day":"2026-05-02"
			"unit":"km/h"
			"gun":"behind catcher"
			"step":1`, map[string]string{"pen": "id"}},
		{"begin one with a new pitcher", post, "/api/bullpens", `{"pitcherLabel":"Jay"}`, 201, `"title":""`, map[string]string{"other": "id", "jay": "pitcherId"}},
		{"begin one with a new pitcher at a level there is not", post, "/api/bullpens", `{"pitcherLabel":"Jay","pitcherLevel":"9Z"}`, 404, "", nil},
		{"begin one of nobody", post, "/api/bullpens", `{}`, 422, "", nil},
		{"begin one of a stranger", post, "/api/bullpens", `{"pitcherId":"` + none + `"}`, 404, "", nil},
		{"begin one on no day", post, "/api/bullpens", `{"pitcherLabel":"Jay","day":"May"}`, 422, "day", nil},
		{"list hers", get, "/api/bullpens?pitcher=$wren", "", 200, `"id":"$pen"`, nil},
		{"a page that is none", get, "/api/bullpens?cursor=x", "", 422, "", nil},
		{"the bullpen", get, "/api/bullpens/$pen", "", 200, `"reps":[]
			"summaries":[]
			"clips":[]`, nil},
		{"no such bullpen", get, "/api/bullpens/" + none, "", 404, "", nil},
		{"change it", patch, "/api/bullpens/$pen", `{"version":1,"note":"windy"}`, 200, `"note":"windy"
			"version":2
			"title":"Wall"`, nil},
		{"change it from an old window", patch, "/api/bullpens/$pen", `{"version":1,"note":"calm"}`, 409, "", nil},
		{"her page", get, "/api/pitchers/$wren", "", 200, `{"today":"20
			"bullpens":[{"id":"$pen"
			"trends":[]
			"load":[]
			"caution":"Numbers are guidance`, nil},
		{"remove the other uncounted", del, "/api/bullpens/$other?version=1", "", 422, "takes away 1 bullpen.", nil},
		{"count it", get, "/api/bullpens/$other/removal", "", 200, `"bullpens":1`, map[string]string{"confirm": "confirm"}},
		{"remove the other", del, "/api/bullpens/$other?version=1&confirm=$confirm", "", 200, `"bullpens":1`, nil},
		{"it is gone", get, "/api/bullpens/$other", "", 404, "", nil},
		{"count hers", get, "/api/pitchers/$jay/removal", "", 200, `"bullpens":0`, map[string]string{"confirm": "confirm"}},
		{"remove its pitcher, having seen another version", del, "/api/pitchers/$jay?version=9&confirm=$confirm", "", 409, "", nil},
		{"remove its pitcher", del, "/api/pitchers/$jay?confirm=$confirm", "", 200, `"bullpens":0`, nil},
		{"her CSV", get, "/api/pitchers/$wren/reps.csv", "", 200, "day,bullpen,order", nil},
		{"her JSON", get, "/api/pitchers/$wren/reps.json", "", 200, `"label": "Wren"`, nil},
	})
}

func TestReps(t *testing.T) {
	const get, post, patch, del = http.MethodGet, http.MethodPost, http.MethodPatch, http.MethodDelete
	h := newHouse(t)
	h.pen(t)
	reading := func(v string) string {
		return `"reading":{"value":` + v + `,"unit":"mph","step":1,"gun":"behind catcher"}`
	}
	h.run(t, []exchange{
		{"log a fastball", post, "/api/bullpens/$pen/reps", `{` + reading("55") + `}`, 201, `"pitch":"fb"
			"order":1`, map[string]string{"fb": "rep.id"}},
		{"log a change-up", post, "/api/bullpens/$pen/reps", `{"pitch":"ch",` + reading("45") + `}`, 201, `"gap":{"mph":10,"kmh":16.09344,"percent":81.8
			"verdict":"in the band"`, map[string]string{"ch": "rep.id"}},
		{"the fastball was misread", patch, "/api/reps/$fb", `{"version":1,` + reading("60") + `}`, 200, `"version":2`, nil},
		{"what hung on it has moved", get, "/api/bullpens/$pen", "", 200, `"verdict":"too soft"
			"verdict":"too soft","onEdge":true,"edgeOf":"soft","soFar":true,"said":"too soft, on the edge of soft, so far"`, nil},
		{"edit it from an old window", patch, "/api/reps/$fb", `{"version":1,"note":"x"}`, 409, "another window", nil},
		{"take the reading away", patch, "/api/reps/$fb", `{"version":2,"reading":null}`, 200, `"version":3`, nil},
		{"no baseline, no verdict", get, "/api/bullpens/$pen", "", 200, `"verdict":""
			"pending":"`, nil},
		{"a mark without its film", post, "/api/bullpens/$pen/reps", `{"release":12}`, 422, "", nil},
		{"a mark on no film", post, "/api/bullpens/$pen/reps", `{"filmId":"nofilm","release":12}`, 422, "", nil},
		{"a release before the plant", post, "/api/bullpens/$pen/reps", `{"filmId":"nofilm","plant":12,"release":11}`, 422, "release is marked before the plant", nil},
		{"a pitch there is not", post, "/api/bullpens/$pen/reps", `{"pitch":"xx"}`, 422, "pitch", nil},
		{"a reading of no gun", post, "/api/bullpens/$pen/reps", `{"reading":{"value":50,"unit":"knots","step":1,"gun":"behind catcher"}}`, 422, "unit", nil},
		{"a rep of no bullpen", post, "/api/bullpens/nope/reps", `{}`, 404, "", nil},

		{"readings, to look at", post, "/api/bullpens/$pen/readings", `{"text":"55 fb 47 ch 46 ch","dryRun":true}`, 200, `"matched":2
			"over":1
			"saved":false
			"text":"46 ch"`, map[string]string{"seen": "revision"}},
		{"readings, entered", post, "/api/bullpens/$pen/readings", `{"text":"55 fb 47 ch","revision":$seen}`, 200, `"saved":true`, nil},
		{"readings, entered from an old window", post, "/api/bullpens/$pen/readings", `{"text":"55 fb 47 ch","revision":$seen}`, 409, "", nil},
		{"readings that are none", post, "/api/bullpens/$pen/readings", `{"text":"55 fb, hm ch"}`, 422, "", nil},
		{"they count", get, "/api/bullpens/$pen", "", 200, `"gap":{"mph":8,`, nil},

		{"more of them", post, "/api/bullpens/$pen/readings", `{"text":"55 fb 47 ch 46 ch 48 ch","newReps":true}`, 200, `"new":2`, map[string]string{"last": "logged.1", "before": "logged.0"}},
		{"a slip is named before it is saved", post, "/api/bullpens/$pen/readings", `{"text":"55 fb 47 ch 46 ch 84 ch","dryRun":true}`, 200, `Were the digits swapped, and it was 48 mph?`, nil},
		{"likewise of one that is left out of a run, beside what the others keep", post, "/api/bullpens/$pen/readings", `{"text":"84","shift":3,"dryRun":true}`, 200, `Were the digits swapped, and it was 48 mph?`, nil},
		{"and of one being typed", post, "/api/bullpens/$pen/readings/doubt", `{"repId":"$last",` + reading("84") + `}`, 200, `The 2 others like it read 46 to 47 mph. Were the digits swapped, and it was 48 mph?
			"meant":{"value":48,"unit":"mph"`, nil},
		{"or of a new one", post, "/api/bullpens/$pen/readings/doubt", `{"pitch":"ch",` + reading("74") + `}`, 200, `it was 47 mph?`, nil},
		{"which may be right", post, "/api/bullpens/$pen/readings/doubt", `{"pitch":"ch",` + reading("47") + `}`, 200, `"doubt":""`, nil},
		{"in no bullpen", post, "/api/bullpens/nope/readings/doubt", `{` + reading("47") + `}`, 404, "", nil},
		{"without the last", del, "/api/reps/$last", "", 200, "", nil},
		{"and the one before", del, "/api/reps/$before", "", 200, "", nil},

		{"readings left over make no reps", post, "/api/bullpens/$pen/readings", `{"text":"55 fb 47 ch 46 ch"}`, 200, `"behind":1
			"logged":[]`, map[string]string{"seen": "revision"}},
		{"unless asked for, to look at", post, "/api/bullpens/$pen/readings", `{"text":"55 fb 47 ch 46 ch - fb","newReps":true,"dryRun":true}`, 200, `"matched":2
			"over":0
			"new":2
			"logged":[]
			"new":true,"pitch":"ch"`, nil},
		{"nothing was logged", get, "/api/bullpens/$pen", "", 200, `"revision":$seen`, nil},
		{"log them", post, "/api/bullpens/$pen/readings", `{"text":"55 fb 47 ch 46 ch - fb","newReps":true,"key":"once","revision":$seen}`, 200, `"saved":true
			"new":2`, map[string]string{"third": "logged.0", "fourth": "logged.1"}},
		{"log them again, the answer was lost", post, "/api/bullpens/$pen/readings", `{"text":"55 fb 47 ch 46 ch - fb","newReps":true,"key":"once","revision":$seen}`, 200, `"saved":true
			"logged":["$third","$fourth"]`, nil},
		{"they are there once", get, "/api/bullpens/$pen", "", 200, `"id":"$third"
			"id":"$fourth"
			"order":4`, nil},
		{"under another name from an old window", post, "/api/bullpens/$pen/readings", `{"text":"55 fb 47 ch 46 ch - fb 50","newReps":true,"key":"twice","revision":$seen}`, 409, "", nil},
		{"take the third out", del, "/api/reps/$third", "", 200, "", nil},
		{"take the fourth out", del, "/api/reps/$fourth", "", 200, "", nil},
		{"two are left", post, "/api/bullpens/$pen/readings", `{"text":"","dryRun":true}`, 200, `"kept":2`, nil},

		{"delete the change-up", del, "/api/reps/$ch", "", 200, `"id":"$ch"`, nil},
		{"it is gone", patch, "/api/reps/$ch", `{"version":1}`, 404, "", nil},
		{"bring it back", post, "/api/reps/$ch/restore", "", 200, `"gap":{"mph":8,`, nil},
		{"reps by pitch", get, "/api/reps?pitch=ch", "", 200, `"id":"$ch"`, nil},
		{"reps by verdict", get, "/api/reps?verdict=in+the+band", "", 200, `"id":"$ch"`, nil},
		{"none is too soft", get, "/api/reps?verdict=too+soft", "", 200, `"reps":[]`, nil},
		{"none on that day", get, "/api/reps?to=1999-12-31", "", 200, `"reps":[]`, nil},
		{"the first of two", get, "/api/reps?limit=1", "", 200, `"next":"`, map[string]string{"next": "next"}},
		{"CSV", get, "/api/bullpens/$pen/reps.csv", "", 200, "change-up,47,mph", nil},
		{"JSON", get, "/api/bullpens/$pen/reps.json", "", 200, `"gapMph": 8`, nil},
		{"CSV of no bullpen", get, "/api/bullpens/nope/reps.csv", "", 404, "", nil},
		{"no clip of a rep that is not on film", post, "/api/bullpens/$pen/clips", `{"repIds":["$ch"]}`, 202, `"clips":[]
			not on film`, nil},
		{"no pair either", post, "/api/pairs", `{"offRepId":"$ch"}`, 422, "", nil},
		{"nothing to look at", get, "/api/pairs?off=$ch", "", 422, "", nil},
		{"no jobs", get, "/api/jobs", "", 200, `"jobs":[]`, nil},
		{"no such job", post, "/api/jobs/nope/cancel", "", 404, "", nil},
		{"no such job to retry", post, "/api/jobs/nope/retry", "", 404, "", nil},
	})
	second := h.ask(t, get, "/api/reps?limit=1&cursor="+strings.ReplaceAll(h.vars["next"], " ", "+"), nil)
	if id, err := at(second.body, "reps.0.rep.id"); err != nil || id != h.vars["fb"] {
		t.Errorf("the second page is %s", second.body)
	}
	if a := h.ask(t, post, "/api/pitchers", strings.NewReader(strings.Repeat("x", 2<<20)), "Content-Type", "application/json"); a.status != http.StatusRequestEntityTooLarge {
		t.Errorf("2 MiB of JSON answered %d", a.status)
	}
}

// Her extension is her own where somebody set it, and her level's, whatever that is, where
// nobody did.
func TestHerExtension(t *testing.T) {
	const get, post, patch = http.MethodGet, http.MethodPost, http.MethodPatch
	h := newHouse(t)
	h.run(t, []exchange{
		{"add a pitcher", post, "/api/pitchers", `{"label":"Wren"}`, 201, `"distanceFeet":43,"usualExtensionFeet":6`, map[string]string{"wren": "id"}},
		{"her level's is another", patch, "/api/levels/14U", `{"version":0,"extensionFeet":5}`, 200, "", nil},
		{"she follows it", patch, "/api/pitchers/$wren", `{"version":1,"hand":"left"}`, 200, `"distanceFeet":43,"usualExtensionFeet":5`, nil},
		{"her own", patch, "/api/pitchers/$wren", `{"version":2,"extensionFeet":4.2}`, 200, `"extensionFeet":4.2,"usualExtensionFeet":5`, nil},
		{"no such one", patch, "/api/pitchers/$wren", `{"version":3,"extensionFeet":13}`, 422, "0 to 12 ft", nil},
		{"it stays when she moves up", patch, "/api/pitchers/$wren", `{"version":3,"level":"HS"}`, 200, `"extensionFeet":4.2,"usualExtensionFeet":6`, nil},
		{"her level's again", patch, "/api/pitchers/$wren", `{"version":4,"extensionFeet":null}`, 200, `"distanceFeet":43,"usualExtensionFeet":6`, nil},
	})
}
