package server

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"net/http"
	"os"
	"strings"
	"sync"
	"testing"
	"time"

	"tenoff/internal/bullpen"
	"tenoff/internal/homework"
	"tenoff/internal/server/wire"
	"tenoff/internal/store"
)

const twoSets = `{"title":"Wall and full","sets":[{"times":2,"lines":[{"drill":"Wrist snap","pitch":"fb","reps":2},{"drill":"","pitch":"ch","reps":1}]}]}`

// handedOut is a house with a homework of a pitcher called Wren, for whom a guardian
// said yes; $hw, $pen, $wren.
func handedOut(t *testing.T) *house {
	t.Helper()
	h := newHouse(t)
	h.handOut(t)
	return h
}

func (h *house) handOut(t *testing.T) {
	t.Helper()
	h.keep(t, "wren", "id", h.send(t, "POST", "/api/pitchers", `{"label":"Wren"}`))
	h.keep(t, "workout", "id", h.send(t, "POST", "/api/workouts", twoSets))
	h.send(t, "POST", "/api/pitchers/$wren/consents", `{"guardian":"her mother","given":"2026-05-01","covers":"homework films","for":["homework","results","examples"]}`)
	a := h.send(t, "POST", "/api/homework", `{"pitcherId":"$wren","workoutId":"$workout"}`)
	h.keep(t, "hw", "id", a)
	h.keep(t, "pen", "bullpenId", a)
}

// slip makes a slip and keeps its token as $token and its ID as $slip.
func (h *house) slip(t *testing.T, body string) {
	t.Helper()
	a := h.send(t, "POST", "/api/homework/$hw/slips", body)
	if a.status != http.StatusCreated {
		t.Fatalf("no slip: %d %s", a.status, a.body)
	}
	h.keep(t, "link", "link", a)
	h.keep(t, "slip", "slip.id", a)
	_, h.vars["token"], _ = strings.Cut(h.vars["link"], "#")
}

func TestHomework(t *testing.T) {
	const get, post, put, patch, del = http.MethodGet, http.MethodPost, http.MethodPut, http.MethodPatch, http.MethodDelete
	h := newHouse(t)
	h.run(t, []exchange{
		{"a starter list", get, "/api/drills", "", 200, `"name":"Wrist snap"`, map[string]string{"first": "drills.0.id"}},
		{"a drill of one's own", post, "/api/drills", `{"name":"Towel","howTo":"Snap a towel."}`, 201, `"version":1`, map[string]string{"towel": "id"}},
		{"the same name", post, "/api/drills", `{"name":"towel"}`, 409, "", nil},
		{"an example that is none", patch, "/api/drills/$towel", `{"version":1,"clipId":"nosuch"}`, 422, "", nil},
		{"another how-to", patch, "/api/drills/$towel", `{"version":1,"howTo":"Snap a wet towel."}`, 200, `"version":2`, nil},
		{"from an old window", patch, "/api/drills/$towel", `{"version":1,"howTo":"x"}`, 409, "", nil},
		{"without it", del, "/api/drills/$towel", "", 200, `"drills":[`, nil},
		{"it is gone", del, "/api/drills/$towel", "", 404, "", nil},

		{"a workout", post, "/api/workouts", twoSets, 201, `"reps":6`, map[string]string{"workout": "id"}},
		{"a workout of nothing", post, "/api/workouts", `{"title":"x","sets":[]}`, 422, "", nil},
		{"a workout without end", post, "/api/workouts", `{"title":"x","sets":[{"times":20,"lines":[{"drill":"","pitch":"fb","reps":300}]}]}`, 422, "the most is 300", nil},
		{"list them", get, "/api/workouts", "", 200, `"id":"$workout"
			"caution":"Numbers`, nil},
		{"one", get, "/api/workouts/$workout", "", 200, `"title":"Wall and full"`, nil},

		{"a pitcher", post, "/api/pitchers", `{"label":"Wren"}`, 201, "", map[string]string{"wren": "id"}},
		{"hand it out", post, "/api/homework", `{"pitcherId":"$wren","workoutId":"$workout","due":"2000-01-01"}`, 201, `"state":"overdue"
			"places":6
			"howTo":"Stand close to the net
			"consent":false`, map[string]string{"hw": "id", "pen": "bullpenId"}},
		{"to nobody", post, "/api/homework", `{"pitcherId":"nope","workoutId":"$workout"}`, 404, "", nil},
		{"what was handed out stays", put, "/api/workouts/$workout", `{"version":1,"title":"Other","sets":[{"times":1,"lines":[{"drill":"","pitch":"fb","reps":1}]}]}`, 200, `"version":2`, nil},
		{"as it was", get, "/api/homework/$hw", "", 200, `"title":"Wall and full"
			"reps":6`, nil},
		{"in the inbox", get, "/api/home", "", 200, `"inbox":[{"id":"$hw"`, nil},
		{"hers", get, "/api/homework?pitcher=$wren", "", 200, `"id":"$hw"`, nil},
		{"another day", patch, "/api/homework/$hw", `{"version":1,"due":"2999-01-01"}`, 200, `"state":"handed out"`, nil},
		{"no day", patch, "/api/homework/$hw", `{"version":2,"due":null}`, 200, `"version":3`, nil},
		{"a day that is none", patch, "/api/homework/$hw", `{"version":3,"due":"soon"}`, 422, "", nil},
		{"its bullpen stays hers", post, "/api/pitchers", `{"label":"Jay"}`, 201, "", map[string]string{"jay": "id"}},
		{"and not another's", patch, "/api/bullpens/$pen", `{"version":1,"pitcherId":"$jay"}`, 422, "stays with the pitcher", nil},

		{"no slip before a guardian said yes", post, "/api/homework/$hw/slips", `{}`, 422, "consent", nil},
		{"not in the time to come", post, "/api/pitchers/$wren/consents", `{"guardian":"mother","given":"2999-01-01","covers":"films","for":["homework","results","examples"]}`, 422, "", nil},
		{"she said yes", post, "/api/pitchers/$wren/consents", `{"guardian":"her mother","given":"2026-05-01","for":["homework"]}`, 201, `"standing":["homework"]`, map[string]string{"consent": "consents.0.id"}},
		{"and that opens no results", post, "/api/bullpens/$pen/shares", `{}`, 422, "consent to her results", nil},
		{"nor examples", get, "/api/pitchers/$wren/consents", "", 200, `"for":["homework"]`, nil},
		{"a yes is to something", post, "/api/pitchers/$wren/consents", `{"guardian":"mother","given":"2026-05-01","for":[]}`, 422, "", nil},
		{"it is written down, as it was asked", get, "/api/pitchers/$wren/consents", "", 200, `"guardian":"her mother"
			"asked":["Homework: her films come in by a private link, seen by her instructor alone; clips go back to her."]`, nil},
		{"a slip", post, "/api/homework/$hw/slips", `{"days":3}`, 201, `"reachable":false
			"qrSvg":"data:image/svg+xml,
			"qrPng":"data:image/png;base64,
			"state":"open"`, map[string]string{"link": "link", "slip": "slip.id"}},
		{"longer", post, "/api/slips/$slip/renew", `{"days":30}`, 200, `"state":"open"`, nil},
		{"settings", put, "/api/settings", `{"keepDays":30}`, 200, `"keepDays":30`, nil},
		{"as they are", get, "/api/settings", "", 200, `"keepDays":30`, nil},
		{"who is asking", get, "/api/session", "", 200, `"open":true
			"owner":true`, nil},
		{"signing in where nobody need", post, "/api/session", `{"name":"x","passphrase":"y"}`, 409, "", nil},
		{"signing out", del, "/api/session", "", 200, `"signedIn":true`, nil},
		{"no passphrase to change", put, "/api/passphrase", `{"old":"x","new":"long enough to be one"}`, 409, "", nil},
	})
	_, h.vars["token"], _ = strings.Cut(h.vars["link"], "#")
	if len(h.vars["token"]) != 26 { // 130 bits, five a letter
		t.Fatalf("a token of %d letters", len(h.vars["token"]))
	}
	h.run(t, []exchange{
		{"the slip's page", get, "/api/slip", "", 200, `"pitcher":"Wren"
			"title":"Wall and full"
			"language":"en"
			"films":[]`, nil},
		{"what she wrote", put, "/api/slip/words", `{"note":"windy","gun":"behind catcher","readings":[{"place":0,"value":50,"unit":"mph"},{"place":2,"value":41,"unit":"mph"}]}`, 200, `"note":"windy"
			{"place":2,"value":41,"unit":"mph"}`, nil},
		{"which her card tells", get, "/api/homework", "", 200, `"note":"windy"
			"sore":false
			"typed":2`, nil},
		{"a place that is none", put, "/api/slip/words", `{"note":"","readings":[{"place":6,"value":50,"unit":"mph"}]}`, 422, "", nil},
		{"the first rep is laid", post, "/api/bullpens/$pen/reps", `{}`, 201, `"drill":"Wrist snap","set":1,"number":1
			"value":50`, map[string]string{"r1": "rep.id"}},
		{"the second", post, "/api/bullpens/$pen/reps", `{}`, 201, `"drill":"Wrist snap","set":1,"number":2`, map[string]string{"r2": "rep.id"}},
		{"the third", post, "/api/bullpens/$pen/reps", `{}`, 201, `"pitch":"ch"
			"drill":"","set":1,"number":3
			"value":41`, map[string]string{"r3": "rep.id"}},
		{"where they lie", get, "/api/bullpens/$pen", "", 200, `"reps":[{"repId":"$r1","place":0,"shift":0},{"repId":"$r2","place":1,"shift":0},{"repId":"$r3","place":2,"shift":0}],"next":3`, nil},
		{"the second was left out", post, "/api/reps/$r2/shift", `{"by":1}`, 200, `{"repId":"$r2","place":2,"shift":1},{"repId":"$r3","place":3,"shift":0}],"next":4`, nil},
		{"what follows has moved", get, "/api/bullpens/$pen", "", 200, `"drill":"Wrist snap","set":2,"number":1`, nil},
		{"back", post, "/api/reps/$r2/shift", `{"by":-1}`, 200, `"next":3`, nil},
		{"her reading went with the place", get, "/api/bullpens/$pen", "", 200, `"number":2,"call":""`, nil},
		{"no such rep", post, "/api/reps/nope/shift", `{"by":1}`, 404, "", nil},
		{"it is being looked at", post, "/api/homework/$hw/review", "", 200, `"state":"in review"`, nil},
		{"nothing to send yet", post, "/api/homework/$hw/send", `{"version":3}`, 422, "", nil},
		{"a reply", put, "/api/homework/$hw/reply", `{"version":3,"words":"Keep the legs going.","nextWorkoutId":"$workout"}`, 200, `"words":"Keep the legs going."`, nil},
		{"with a clip there is not", put, "/api/homework/$hw/reply", `{"version":4,"words":"x","clipIds":["nope"]}`, 404, "", nil},
		{"not visible yet", get, "/api/slip", "", 200, `"note":"windy"`, nil},
	})
	if reps, err := h.deps.Store.Reps(t.Context(), h.vars["pen"]); err != nil || reps[1].Reading != nil || reps[2].Reading == nil {
		t.Errorf("after a shift there and back: %+v, %v", reps, err)
	}
	if a := h.ask(t, get, "/api/slip", nil); strings.Contains(a.body, "Keep the legs") {
		t.Error("a reply is visible before it was sent")
	}
	h.run(t, []exchange{
		{"sent", post, "/api/homework/$hw/send", `{"version":4}`, 200, `"state":"answered"
			"shareText":"Your homework`, nil},
		{"visible", get, "/api/slip", "", 200, `"words":"Keep the legs going."
			"next":{"title":"Other"
			"verdict":""
			"aims":[`, nil},
		{"the same words again", put, "/api/slip/words", `{"note":"windy ","gun":"behind catcher","readings":[{"place":0,"value":50,"unit":"mph"},{"place":2,"value":41,"unit":"mph"}]}`, 200, "", nil},
		{"change nothing", get, "/api/homework/$hw", "", 200, `"state":"answered"`, nil},
		{"she writes after the answer", put, "/api/slip/words", `{"note":"it hurts when I land","readings":[]}`, 200, `"note":"it hurts when I land"`, nil},
		{"which makes it new again", get, "/api/homework/$hw", "", 200, `"state":"new"
			"sore":true
			"caution":"Words about pain come first.`, map[string]string{"came": "cameAt"}},
		{"and stands on the first page in her words", get, "/api/home", "", 200, `"note":"it hurts when I land","sore":true`, nil},
		{"another note after it", put, "/api/slip/words", `{"note":"here is my second film","readings":[]}`, 200, "", nil},
		{"does not hide it", get, "/api/homework/$hw", "", 200, `"note":"here is my second film","earlier":"it hurts when I land","sore":true`, map[string]string{"came": "cameAt"}},
		{"an answer by somebody who has not seen it", put, "/api/homework/$hw/reply", `{"version":5,"words":"Well done.","noNext":true}`, 200, "", nil},
		{"leaves it new", post, "/api/homework/$hw/send", `{"version":6,"seen":1}`, 200, `"state":"new"`, nil},
		{"it was seen and needs no other answer", post, "/api/homework/$hw/seen", `{"seen":$came}`, 200, `"state":"answered"`, nil},
		{"no more words", put, "/api/slip/words", `{"note":"","readings":[]}`, 200, `"note":""`, nil},
		{"what a deletion would take", get, "/api/pitchers/$wren/removal", "", 200, `"homework":1,"slips":1,"uploads":0`, map[string]string{"confirm": "confirm"}},
		{"of the bullpen", get, "/api/bullpens/$pen/removal", "", 200, `"bullpens":1`, nil},
		{"withdrawn", post, "/api/consents/$consent/withdraw", "", 200, `"linksClosed":1
			"standing":[]`, nil},
		{"closes the slip", get, "/api/slip", "", 404, "opens nothing", nil},
		{"which stays closed", post, "/api/slips/$slip/renew", `{}`, 409, "", nil},
		{"revoked it is anyway", post, "/api/slips/$slip/revoke", "", 200, `"state":"revoked"`, nil},
		{"another rep", post, "/api/bullpens/$pen/reps", `{}`, 201, "", nil},
		{"uncounted", del, "/api/pitchers/$wren", "", 422, "1 homework, 1 slip.", nil},
		{"no longer what was counted", del, "/api/pitchers/$wren?confirm=$confirm", "", 409, "4 reps", nil},
		{"count again", get, "/api/pitchers/$wren/removal", "", 200, `"reps":4`, map[string]string{"confirm": "confirm"}},
		{"delete", del, "/api/pitchers/$wren?confirm=$confirm", "", 200, `"homework":1,"slips":1`, nil},
		{"the homework is gone", get, "/api/homework/$hw", "", 404, "", nil},
		{"one to start with", get, "/api/workouts", "", 200, `"starters":[{"key":"legs"`, nil},
		{"is handed out as it is", post, "/api/homework", `{"pitcherId":"$jay","starter":"legs"}`, 201, `"title":"Fast legs"
			"howTo":"Walk two steps`, nil},
		{"one that is none", post, "/api/homework", `{"pitcherId":"$jay","starter":"wings"}`, 422, "", nil},
		{"none at all", post, "/api/homework", `{"pitcherId":"$jay"}`, 404, "", nil},
		{"without the workout", del, "/api/workouts/$workout", "", 200, `"workouts":[]`, nil},
	})
}

// A run in a homework's bullpen is what its workout says, but for the pitches typed: to
// look at, in the questions and as it is saved.
func TestReadingsAlongAWorkout(t *testing.T) {
	h := newHouse(t)
	h.keep(t, "wren", "id", h.send(t, "POST", "/api/pitchers", `{"label":"Wren"}`))
	h.keep(t, "workout", "id", h.send(t, "POST", "/api/workouts", `{"title":"Full","sets":[{"times":2,"lines":[{"drill":"","pitch":"fb","reps":2},{"drill":"","pitch":"ch","reps":1}]}]}`))
	h.keep(t, "pen", "bullpenId", h.send(t, "POST", "/api/homework", `{"pitcherId":"$wren","workoutId":"$workout"}`))
	const run = `{"text":"55 54 47 56 54 55 fb","newReps":true`
	for _, more := range []string{`,"dryRun":true}`, `}`} {
		var answer wire.ReadingPairs
		if err := json.Unmarshal([]byte(h.send(t, "POST", "/api/bullpens/$pen/readings", run+more).body), &answer); err != nil {
			t.Fatal(err)
		}
		if len(answer.Pairs) != 6 {
			t.Fatalf("%+v", answer)
		}
		for i, want := range []bullpen.Pitch{"fb", "fb", "ch", "fb", "fb", "fb"} {
			if p := answer.Pairs[i]; p.Pitch == nil || *p.Pitch != want || p.Doubt != "" {
				t.Errorf("%s pair %d is %+v, want %s", more, i+1, p, want)
			}
		}
	}
	reps, err := h.deps.Store.Reps(t.Context(), h.vars["pen"])
	if err != nil || len(reps) != 6 {
		t.Fatalf("%+v, %v", reps, err)
	}
	for i, want := range []bullpen.Pitch{"fb", "fb", "ch", "fb", "fb", "fb"} {
		if r := reps[i]; r.Pitch != want || r.Set != 1+i/3 || r.Number != 1+i%3 {
			t.Errorf("saved: rep %d is %+v, want %s", i+1, r, want)
		}
	}
}

// tusAsk sends one request of the tus protocol.
func (h *house) tusAsk(t *testing.T, method, path string, body io.Reader, header ...string) answer {
	t.Helper()
	return h.ask(t, method, path, body, append([]string{"Tus-Resumable", "1.0.0"}, header...)...)
}

// begin begins an upload and returns its address.
func (h *house) begin(t *testing.T, name string, size int) answer {
	t.Helper()
	return h.tusAsk(t, "POST", "/api/slip/uploads", nil, "Upload-Length", fmt.Sprint(size),
		"Upload-Metadata", "filename "+base64.StdEncoding.EncodeToString([]byte(name)))
}

func (h *house) goOn(t *testing.T, at string, offset int, data []byte) answer {
	t.Helper()
	return h.tusAsk(t, "PATCH", at, bytes.NewReader(data), "Upload-Offset", fmt.Sprint(offset), "Content-Type", "application/offset+octet-stream")
}

// A film comes in three pieces, with a cut between, and is read like any other.
func TestUploadResumes(t *testing.T) {
	h := handedOut(t)
	h.slip(t, `{}`)
	data, err := os.ReadFile(drawn.path)
	if err != nil {
		t.Fatal(err)
	}
	a := h.begin(t, `../../etc/pass"wd`+"\r\nX: y.mp4", len(data))
	at := a.header.Get("Location")
	if a.status != http.StatusCreated || !strings.HasPrefix(at, homework.Base) {
		t.Fatalf("begun: %d %q %s", a.status, at, a.body)
	}
	third := len(data) / 3
	if a := h.goOn(t, at, 0, data[:third]); a.status != http.StatusNoContent {
		t.Fatalf("first third: %d %s", a.status, a.body)
	}
	// The connection breaks in the middle of the second: what arrived is kept.
	ctx, cancel := context.WithCancel(t.Context())
	broken, feed := io.Pipe()
	req, err := http.NewRequestWithContext(ctx, "PATCH", h.URL+at, broken)
	if err != nil {
		t.Fatal(err)
	}
	for k, v := range map[string]string{slipHeader: h.vars["token"], "Tus-Resumable": "1.0.0", "Upload-Offset": fmt.Sprint(third), "Content-Type": "application/offset+octet-stream"} {
		req.Header.Set(k, v)
	}
	var gone sync.WaitGroup
	gone.Go(func() {
		if res, err := h.Client().Do(req); err == nil {
			res.Body.Close()
		}
	})
	if _, err := feed.Write(data[third : third+100_000]); err != nil {
		t.Fatal(err)
	}
	cancel()
	feed.Close()
	gone.Wait()
	if a := h.ask(t, "GET", "/api/slip", nil); !strings.Contains(a.body, `"name":"pass\"wdX: y.mp4"`) {
		t.Errorf("on its way: %s", a.body)
	}
	var here int
	for range 100 { // the server may still be writing what arrived
		a = h.tusAsk(t, "HEAD", at, nil)
		if _, err := fmt.Sscan(a.header.Get("Upload-Offset"), &here); err == nil && here > third {
			break
		}
		time.Sleep(20 * time.Millisecond)
	}
	if here <= third || here > third+100_000 {
		t.Fatalf("after the break %d bytes are here", here)
	}
	if a := h.goOn(t, at, here+1, data[here+1:]); a.status != http.StatusConflict {
		t.Errorf("a wrong offset: %d", a.status)
	}
	if a := h.goOn(t, at, here, data[here:]); a.status != http.StatusNoContent {
		t.Fatalf("the rest: %d %s", a.status, a.body)
	}
	// A phone that missed the last answer asks once more.
	if a := h.tusAsk(t, "HEAD", at, nil); a.header.Get("Upload-Offset") != fmt.Sprint(len(data)) {
		t.Errorf("when all is here: %d %v", a.status, a.header)
	}
	if a := h.tusAsk(t, "DELETE", at, nil); a.status != http.StatusForbidden {
		t.Errorf("taken back after it was taken in: %d", a.status)
	}
	sum := sha256.Sum256(data)
	h.until(t, "/api/slip", func(body string) bool {
		return strings.Contains(body, `"sha256":"`+hex.EncodeToString(sum[:])+`"`) && strings.Contains(body, `"state":"ready"`) && strings.Contains(body, `"arriving":[]`)
	})
	if a := h.ask(t, "GET", "/api/home", nil); !strings.Contains(a.body, `"state":"new"`) {
		t.Errorf("the inbox: %s", a.body)
	}
	// The same film again is the same film.
	at = h.begin(t, "again.mp4", len(data)).header.Get("Location")
	if a := h.goOn(t, at, 0, data); a.status != http.StatusNoContent {
		t.Errorf("again: %d %s", a.status, a.body)
	}
	if films, err := h.deps.Store.Films(t.Context(), h.vars["pen"]); err != nil || len(films) != 1 {
		t.Errorf("%d films, %v", len(films), err)
	}
	if a := h.ask(t, "GET", "/api/doctor", nil); !strings.Contains(a.body, `"name":"uploads","ok":true`) || !strings.Contains(a.body, `"name":"stray files","ok":true`) {
		t.Errorf("the doctor: %s", a.body)
	}
}

// What a slip does not give, it refuses, and nothing is stored.
func TestUploadLimits(t *testing.T) {
	h := handedOut(t)
	h.slip(t, `{"maxBytes":2097152,"maxFiles":3}`)
	files := func() int {
		entries, err := os.ReadDir(h.uploads)
		if err != nil {
			t.Fatal(err)
		}
		return len(entries)
	}
	refused := func(what string, a answer, status int) {
		t.Helper()
		if a.status != status {
			t.Errorf("%s: %d %s, want %d", what, a.status, a.body, status)
		}
		if len(a.body) > 0 {
			checkProblem(t, a)
		}
	}
	refused("larger than all", h.begin(t, "a.mp4", 2097153), http.StatusRequestEntityTooLarge)
	refused("empty", h.begin(t, "a.mp4", 0), http.StatusRequestEntityTooLarge)
	refused("negative", h.begin(t, "a.mp4", -5), http.StatusBadRequest)
	refused("endless", h.tusAsk(t, "POST", "/api/slip/uploads", nil, "Upload-Length", "99999999999999999999"), http.StatusBadRequest)
	refused("of no length", h.tusAsk(t, "POST", "/api/slip/uploads", nil, "Upload-Defer-Length", "1"), http.StatusNotImplemented)
	refused("of another protocol", h.ask(t, "POST", "/api/slip/uploads", nil, "Upload-Length", "5"), http.StatusPreconditionFailed)
	if n := files(); n != 0 {
		t.Fatalf("%d files of uploads that were refused", n)
	}
	at := h.begin(t, "a.mp4", 1<<20).header.Get("Location")
	refused("more than is left", h.begin(t, "b.mp4", 1<<20+1), http.StatusRequestEntityTooLarge)
	// A length that lied: more comes than was said.
	long := make([]byte, 1<<20+1)
	a := h.goOn(t, at, 0, long)
	if a.status != http.StatusRequestEntityTooLarge {
		t.Errorf("a length that lied: %d", a.status)
	}
	chunked := h.tusAsk(t, "PATCH", at, io.MultiReader(bytes.NewReader(long)), "Upload-Offset", "0", "Content-Type", "application/offset+octet-stream")
	if chunked.status == http.StatusNoContent {
		// What was said is taken, and not a byte more.
		if a := h.tusAsk(t, "HEAD", at, nil); a.header.Get("Upload-Offset") != fmt.Sprint(1<<20) {
			t.Errorf("a length that lied without saying so: %v", a.header)
		}
	}
	refused("no offset", h.tusAsk(t, "PATCH", at, strings.NewReader("x"), "Content-Type", "application/offset+octet-stream"), http.StatusBadRequest)
	refused("not a piece of a film", h.tusAsk(t, "PATCH", at, strings.NewReader("x"), "Upload-Offset", "0"), http.StatusBadRequest)
	for range 5 {
		h.begin(t, "c.mp4", 10)
	}
	if used, err := h.deps.Homework.Arriving(t.Context(), h.vars["hw"]); err != nil || len(used) > 3 {
		t.Errorf("%d on their way of 3 that may be, %v", len(used), err)
	}
	refused("dropped what is not there", h.tusAsk(t, "DELETE", homework.Base+h.vars["hw"]+"-nosuchupload", nil), http.StatusNotFound)
}

// Many at once begin uploads that fit only in part, and send to one upload at once:
// the limits hold, and the film is whole.
func TestUploadsAtOnce(t *testing.T) {
	h := handedOut(t)
	h.slip(t, `{"maxBytes":5242880,"maxFiles":60}`)
	var all sync.WaitGroup
	for range 20 {
		all.Go(func() { h.begin(t, "a.mp4", 1<<20) })
	}
	all.Wait()
	arriving, err := h.deps.Homework.Arriving(t.Context(), h.vars["hw"])
	if err != nil || len(arriving) != 5 {
		t.Fatalf("%d uploads of which five fit, %v", len(arriving), err)
	}
	at := homework.Base + arriving[0].ID
	data := bytes.Repeat([]byte("0123456789abcdef"), 1<<16)
	spared := func(what string, a answer) { // others sending too is nobody's fault
		t.Helper()
		if a.status >= http.StatusInternalServerError {
			t.Errorf("%s: %d %v %s", what, a.status, a.header, a.body)
		}
	}
	for range 8 {
		all.Go(func() { spared("a piece", h.goOn(t, at, 0, data[:1<<19])) })
	}
	all.Wait()
	for here := -1; here < len(data); { // whoever was interrupted asks where it goes on
		a := h.tusAsk(t, "HEAD", at, nil)
		spared("asking where", a)
		if _, err := fmt.Sscan(a.header.Get("Upload-Offset"), &here); err != nil {
			t.Fatalf("%d %v", a.status, a.header)
		}
		if here < len(data) {
			spared("the rest", h.goOn(t, at, here, data[here:]))
		}
	}
	films, err := h.deps.Store.Films(t.Context(), h.vars["pen"])
	sum := sha256.Sum256(data)
	if err != nil || len(films) != 1 || films[0].SHA256 != hex.EncodeToString(sum[:]) {
		t.Errorf("films %+v, %v", films, err)
	}
}

// What was not ended when the program was killed is ended when it starts again, and
// what nobody wants any more goes.
func TestSweep(t *testing.T) {
	h := handedOut(t)
	h.slip(t, `{}`)
	at := h.begin(t, "a.mp4", 4).header.Get("Location")
	id := strings.TrimPrefix(at, homework.Base)
	if err := os.WriteFile(h.uploads+"/"+id, []byte("film"), 0o600); err != nil { // the answer to the last piece was never given
		t.Fatal(err)
	}
	old := time.Now().Add(-2 * time.Hour)
	if err := os.Chtimes(h.uploads+"/"+id, old, old); err != nil {
		t.Fatal(err)
	}
	if err := h.deps.Homework.Sweep(t.Context()); err != nil {
		t.Fatal(err)
	}
	films, err := h.deps.Store.Films(t.Context(), h.vars["pen"])
	if err != nil || len(films) != 1 || films[0].Name != "a.mp4" {
		t.Errorf("films %+v, %v", films, err)
	}
	stray := h.uploads + "/stray"
	if err := os.WriteFile(stray, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Chtimes(stray, old, old); err != nil {
		t.Fatal(err)
	}
	if a := h.ask(t, "GET", "/api/doctor", nil); !strings.Contains(a.body, "belong to no homework, for instance stray") {
		t.Errorf("the doctor sees no stray: %s", a.body)
	}
	h.begin(t, "b.mp4", 4)
	h.send(t, "POST", "/api/slips/$slip/revoke", "")
	if err := h.deps.Homework.Sweep(t.Context()); err != nil {
		t.Fatal(err)
	}
	entries, err := os.ReadDir(h.uploads)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		if !strings.HasPrefix(e.Name(), id) {
			t.Errorf("%s is left over", e.Name())
		}
	}
}

// A film that was on its way when its pitcher went to another instructor, past the refusal
// of such a move, comes to nobody: what her guardian had agreed to ended with the move, and
// her slips with it.
func TestFilmOfAPitcherWhoMoved(t *testing.T) {
	h := handedOut(t)
	h.slip(t, `{}`)
	ctx := t.Context()
	at := h.begin(t, "a.mp4", 4).header.Get("Location")
	path := h.uploads + "/" + strings.TrimPrefix(at, homework.Base)
	if err := os.WriteFile(path, []byte("film"), 0o600); err != nil {
		t.Fatal(err)
	}
	old := time.Now().Add(-2 * time.Hour)
	if err := os.Chtimes(path, old, old); err != nil {
		t.Fatal(err)
	}
	given, err := h.deps.Store.Homework(ctx, h.vars["hw"])
	if err != nil {
		t.Fatal(err)
	}
	if err := h.deps.Store.SetOwner(ctx, "Robin", "x"); err != nil {
		t.Fatal(err)
	}
	sam, err := h.deps.Store.AddAccount(ctx, "Sam", "x")
	if err != nil {
		t.Fatal(err)
	}
	if err := h.deps.Store.MovePitcher(ctx, given.PitcherID, 0, sam.ID, 0); err != nil {
		t.Fatal(err)
	}
	if err := h.deps.Homework.Sweep(ctx); err != nil {
		t.Fatal(err)
	}
	for _, academy := range []string{h.deps.Store.First(), sam.Academy} {
		films, err := h.deps.Store.Films(store.Within(ctx, academy), h.vars["pen"])
		if err != nil || len(films) != 0 {
			t.Errorf("films %+v, %v", films, err)
		}
	}
	if _, err := os.Stat(path); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("the upload is still there: %v", err)
	}
}

// A film whose last byte came before a crash is taken in when the program starts.
func TestWholeUploadsAreTakenInAtStart(t *testing.T) {
	h := handedOut(t)
	h.slip(t, `{}`)
	at := h.begin(t, "a.mp4", 4).header.Get("Location")
	if err := os.WriteFile(h.uploads+"/"+strings.TrimPrefix(at, homework.Base), []byte("film"), 0o600); err != nil { // just now, and nobody was told
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(t.Context())
	ended := make(chan error, 1)
	go func() { ended <- h.deps.Homework.Tend(ctx) }()
	came := func(body string) bool { return strings.Contains(body, `"name":"a.mp4"`) }
	for began := time.Now(); !came(h.ask(t, "GET", "/api/bullpens/$pen", nil).body); time.Sleep(10 * time.Millisecond) {
		if time.Since(began) > time.Minute {
			t.Error("it still waits to be taken in")
			break
		}
	}
	stop()
	if err := <-ended; err != nil {
		t.Error(err)
	}
}

// A film whose last byte came and whose phone was not told, as when the database was away for
// a moment, is a film once the phone hears that all of it is here.
func TestWholeUploadsAreTakenInWhenAsked(t *testing.T) {
	h := handedOut(t)
	h.slip(t, `{}`)
	at := h.begin(t, "a.mp4", 4).header.Get("Location")
	if err := os.WriteFile(h.uploads+"/"+strings.TrimPrefix(at, homework.Base), []byte("film"), 0o600); err != nil {
		t.Fatal(err)
	}
	if a := h.tusAsk(t, "HEAD", at, nil); a.status != http.StatusOK || a.header.Get("Upload-Offset") != "4" {
		t.Fatalf("how much is here: %d %v", a.status, a.header)
	}
	if films, err := h.deps.Store.Films(t.Context(), h.vars["pen"]); err != nil || len(films) != 1 || films[0].Name != "a.mp4" {
		t.Errorf("films %+v, %v", films, err)
	}
}

// Originals go when their time is over; what was made of them stays.
func TestOriginalsGo(t *testing.T) {
	h := handedOut(t)
	h.slip(t, `{}`)
	data, err := os.ReadFile(drawn.path)
	if err != nil {
		t.Fatal(err)
	}
	h.goOn(t, h.begin(t, "a.mp4", len(data)).header.Get("Location"), 0, data)
	h.until(t, "/api/slip", func(body string) bool { return strings.Contains(body, `"state":"ready"`) })
	h.keep(t, "film", "films.0.id", h.ask(t, "GET", "/api/slip", nil))
	h.send(t, "PUT", "/api/homework/$hw/reply", `{"version":1,"words":"Good."}`)
	h.send(t, "POST", "/api/homework/$hw/send", `{"version":2}`)
	f, err := h.deps.Store.Film(t.Context(), h.vars["film"])
	if err != nil {
		t.Fatal(err)
	}
	trim := func() {
		t.Helper()
		if err := h.deps.Homework.Trim(t.Context()); err != nil {
			t.Fatal(err)
		}
	}
	trim() // nobody said that originals go
	if _, err := h.deps.Blobs.Stat(t.Context(), f.Made.Original); err != nil {
		t.Fatal(err)
	}
	loose, err := h.deps.Store.TrimHomework(t.Context(), time.Now().Add(time.Hour).UnixMicro())
	if err != nil || len(loose) == 0 {
		t.Fatalf("%v, %v", loose, err)
	}
	h.deps.Intake.Discard(t.Context(), loose)
	if _, err := h.deps.Blobs.Stat(t.Context(), f.Made.Original); err == nil {
		t.Error("the original is still there")
	}
	if a := h.ask(t, "GET", "/api/films/$film/working.mp4", nil, "Range", "bytes=0-9"); a.status != http.StatusPartialContent {
		t.Errorf("the working copy: %d", a.status)
	}
	if a := h.ask(t, "GET", "/api/doctor", nil); !strings.Contains(a.body, `"name":"files","ok":true`) {
		t.Errorf("the doctor: %s", a.body)
	}
}
