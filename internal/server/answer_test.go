package server

import (
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"net/http"
	"os"
	"strings"
	"testing"

	"tenoff/internal/bullpen"
	"tenoff/internal/judged"
	"tenoff/internal/server/wire"
	"tenoff/internal/tempo"
	"tenoff/internal/texts"
)

// answered is a house with an answered homework: its film read, a rep of it drawn
// on, and a clip that goes with the reply. $rep, $clip.
func answered(t *testing.T) *house {
	t.Helper()
	h := newHouse(t)
	h.filmAndClip(t)
	return h
}

func (h *house) filmAndClip(t *testing.T) {
	t.Helper()
	h.handOut(t)
	h.slip(t, `{}`)
	data, err := os.ReadFile(drawn.path)
	if err != nil {
		t.Fatal(err)
	}
	h.goOn(t, h.begin(t, "a.mp4", len(data)).header.Get("Location"), 0, data)
	ready := h.until(t, "/api/slip", func(body string) bool { return strings.Contains(body, `"state":"ready"`) })
	h.keep(t, "film", "films.0.id", ready)
	frame := drawn.truth.Reps[0].Release.Frame
	h.vars["frame"] = fmt.Sprint(frame)
	h.keep(t, "rep", "rep.id", h.send(t, "POST", "/api/bullpens/$pen/reps", fmt.Sprintf(`{"filmId":"$film","release":%d}`, frame)))
	h.keep(t, "clip", "clips.0.id", h.send(t, "POST", "/api/bullpens/$pen/clips", `{"options":{"before":0.3,"after":0.2}}`))
	h.until(t, "/api/clips/$clip", func(body string) bool { return strings.Contains(body, `"state":"ready"`) })
}

// shown is what the slip's page says of reps, aims and drawings, without the tickets.
func (h *house) shown(t *testing.T) string {
	t.Helper()
	var page wire.SlipPage
	if err := json.Unmarshal([]byte(h.ask(t, "GET", "/api/slip", nil).body), &page); err != nil || page.Answer == nil {
		t.Fatalf("no answer: %v", err)
	}
	a := page.Answer
	for i := range a.Drawings {
		a.Drawings[i].Picture = ""
	}
	text, err := json.Marshal([]any{a.Reps, a.Aims, a.Drawings})
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// copyIsNoClip takes the copy that went with the answer for a clip on the shelf,
// wherever one is asked for.
func (h *house) copyIsNoClip(t *testing.T) {
	t.Helper()
	work, err := h.deps.Store.Homework(t.Context(), h.vars["hw"])
	if err != nil || work.Sent.Copies[h.vars["clip"]] == "" {
		t.Fatalf("no copy of the clip: %+v, %v", work.Sent, err)
	}
	h.vars["copy"] = work.Sent.Copies[h.vars["clip"]]
	tried := 0
	for _, r := range h.server.engine.Routes() {
		if !strings.HasPrefix(r.Path, "/api/clips/:id") {
			continue
		}
		tried++
		if a := h.ask(t, r.Method, strings.Replace(r.Path, ":id", h.vars["copy"], 1), nil); a.status != http.StatusNotFound {
			t.Errorf("a sent copy at %s %s: %d %.99s", r.Method, r.Path, a.status, a.body)
		}
	}
	if tried < 5 {
		t.Errorf("%d addresses of clips", tried)
	}
	h.run(t, []exchange{
		{"a sent copy as an example", http.MethodPost, "/api/drills", `{"name":"Copy","clipId":"$copy"}`, 422, "on the shelf", nil},
		{"a drill without one", http.MethodPost, "/api/drills", `{"name":"Bare"}`, 201, "", map[string]string{"bare": "id"}},
		{"given one later", http.MethodPatch, "/api/drills/$bare", `{"version":1,"clipId":"$copy"}`, 422, "on the shelf", nil},
		{"a sent copy in a reply", http.MethodPut, "/api/homework/$hw/reply", `{"version":7,"words":"x","clipIds":["$copy"]}`, 404, "", nil},
	})
	if a := h.ask(t, http.MethodGet, "$file", nil); a.status != http.StatusOK {
		t.Errorf("the sent copy after that: %d", a.status)
	}
}

// oldAnswer makes the answer one from before copies were kept: they are made once, as
// the same files, and stay what they are; clips that are gone are said to be.
func (h *house) oldAnswer(t *testing.T) {
	t.Helper()
	answer := func(change func(*bullpen.Reply)) (copies map[string]string, version int64) {
		t.Helper()
		work, err := h.deps.Store.Homework(t.Context(), h.vars["hw"])
		if err == nil && change != nil {
			change(&work.Sent)
			work, err = h.deps.Store.SaveHomework(t.Context(), work)
		}
		if err != nil {
			t.Fatal(err)
		}
		return work.Sent.Copies, work.Version
	}
	copied := func() {
		t.Helper()
		if err := h.deps.Shelf.CopyAnswers(t.Context()); err != nil {
			t.Fatal(err)
		}
	}
	answer(func(r *bullpen.Reply) { r.Copies = nil })
	copied()
	first, version := answer(nil)
	copied()
	again, still := answer(nil)
	if first[h.vars["clip"]] == "" || !maps.Equal(first, again) || version != still {
		t.Errorf("copies %v at version %d, then %v at %d", first, version, again, still)
	}
	shelf, _, err := h.deps.Shelf.File(t.Context(), h.vars["clip"])
	if err != nil {
		t.Fatal(err)
	}
	defer shelf.Close()
	work, err := h.deps.Store.Homework(t.Context(), h.vars["hw"])
	if err != nil {
		t.Fatal(err)
	}
	sent, _, err := h.deps.Shelf.SentFile(t.Context(), work, h.vars["clip"])
	if err != nil {
		t.Fatal(err)
	}
	defer sent.Close()
	type known interface{ Stat() (os.FileInfo, error) }
	a, errA := shelf.(known).Stat()
	b, errB := sent.(known).Stat()
	if err := errors.Join(errA, errB); err != nil || !os.SameFile(a, b) {
		t.Errorf("the copy takes room of its own (%v)", err)
	}
	h.run(t, []exchange{{"a whole answer", http.MethodGet, "/api/slip", "", 200, `"clips":[{`, nil}})
	if a := h.ask(t, http.MethodGet, "/api/slip", nil); strings.Contains(a.body, "no longer there") {
		t.Errorf("gone, though it is there: %s", a.body)
	}
	answer(func(r *bullpen.Reply) { r.Copies, r.ClipIDs = nil, []string{h.vars["clip"], "gone", "too"} })
	copied()
	h.run(t, []exchange{{"two are gone", http.MethodGet, "/api/slip", "", 200, `"clips":[{
		2 clips that came with this answer are no longer there`, nil}})
	answer(func(r *bullpen.Reply) { r.Copies, r.ClipIDs = nil, []string{"gone"} })
	copied()
	h.run(t, []exchange{{"all are gone", http.MethodGet, "/api/slip", "", 200, `"clips":[]
		A clip that came with this answer is no longer there`, nil}})
}

// What came back: a drawing on a frame, a clip, and nobody else's.
func TestAnswer(t *testing.T) {
	const get, post, put, patch = http.MethodGet, http.MethodPost, http.MethodPut, http.MethodPatch
	h := answered(t)
	angle := `{"version":%d,"shapes":[{"kind":"angle","colour":1,"points":[[0.5,0.2],[0.5,0.5],[0.7,0.5]]},{"kind":"note","colour":0,"points":[[0.1,0.1]],"text":"hip"}]}`
	at := "/api/reps/$rep/drawings/$frame"
	h.run(t, []exchange{
		{"draw on a frame", put, at, fmt.Sprintf(angle, 0), 200, `"version":1
			"degrees":90`, nil},
		{"from an old window", put, at, fmt.Sprintf(angle, 0), 409, "", nil},
		{"anew", put, at, fmt.Sprintf(angle, 1), 200, `"version":2`, nil},
		{"after the end of the film", put, "/api/reps/$rep/drawings/99999", fmt.Sprintf(angle, 0), 422, "", nil},
		{"out of the picture", put, at, `{"version":2,"shapes":[{"kind":"line","colour":0,"points":[[0,0],[2,2]]}]}`, 422, "", nil},
		{"a point of three", put, at, `{"version":2,"shapes":[{"kind":"line","colour":0,"points":[[0,0,0],[1,1]]}]}`, 422, "", nil},
		{"words for a note", post, "/api/captions", `{"text":"hip first"}`, 200, `{}`, nil},
		{"that no font has", post, "/api/captions", `{"text":"hip 🥎"}`, 200, `"missing":"🥎 can't be burned into a clip; the rest can."`, nil},
		{"look at them", get, "/api/reps/$rep/drawings", "", 200, `"text":"hip"`, nil},
		{"no such rep", get, "/api/reps/nope/drawings", "", 404, "", nil},

		{"somebody else", post, "/api/pitchers", `{"label":"Jay"}`, 201, "", map[string]string{"jay": "id"}},
		{"a homework of hers", post, "/api/homework", `{"pitcherId":"$jay","workoutId":"$workout"}`, 201, "", map[string]string{"jays": "id"}},
		{"her answer shows no one else", put, "/api/homework/$jays/reply", `{"version":1,"words":"x","clipIds":["$clip"]}`, 422, "another pitcher", nil},
		{"nor a drawing of anyone else", put, "/api/homework/$jays/reply", `{"version":1,"words":"x","drawings":[{"repId":"$rep","frame":1}]}`, 422, "another pitcher", nil},
		{"the reply", put, "/api/homework/$hw/reply", `{"version":1,"words":"Good.","clipIds":["$clip"],"drawings":[{"repId":"$rep","frame":$frame}]}`, 200, "", nil},
		{"sent", post, "/api/homework/$hw/send", `{"version":2}`, 200, "", nil},
		{"which says what is true", get, "/api/homework/$hw", "", 200, `"moved":false`, nil},
		{"what she sees", get, "/api/slip", "", 200, `"title":"Pitch 1, fastball"
			"degrees":90`, map[string]string{"file": "answer.clips.0.file", "captions": "answer.clips.0.captions", "picture": "answer.drawings.0.picture"}},
	})
	seen := h.shown(t)
	h.run(t, []exchange{
		{"her rep", get, "/api/bullpens/$pen", "", 200, "", map[string]string{"version": "reps.0.version"}},
		{"what is measured later", patch, "/api/reps/$rep", `{"version":$version,"pitch":"ch","reading":{"value":48,"unit":"mph","step":1,"gun":"behind catcher"}}`, 200, "", nil},
		{"which her answer does not say", get, "/api/homework/$hw", "", 200, `"moved":true`, nil},
		{"and drawn", put, at, `{"version":2,"shapes":[]}`, 200, "", nil},
	})
	if now := h.shown(t); now != seen || !strings.Contains(seen, `"verdict"`) {
		t.Errorf("she sees %s and saw %s", now, seen)
	}
	captions := h.ask(t, get, "$captions", nil).body
	h.run(t, []exchange{
		{"a reply whose clip says what is no longer so", post, "/api/homework/$hw/send", `{"version":3}`, 409, "make it again", nil},
		{"made again", post, "/api/bullpens/$pen/clips", `{"options":{"before":0.3,"after":0.2}}`, 202, "", nil},
	})
	h.until(t, "/api/clips/$clip", func(body string) bool { return strings.Contains(body, `"state":"ready"`) })
	if now := h.ask(t, get, "/api/clips/$clip/captions.vtt", nil).body; now == captions || h.ask(t, get, "$captions", nil).body != captions {
		t.Errorf("her clip's captions are %q now, on the shelf %q, and were %q", h.ask(t, get, "$captions", nil).body, now, captions)
	}
	var doctor wire.Doctor
	if err := json.Unmarshal([]byte(h.ask(t, get, "/api/doctor", nil).body), &doctor); err != nil || !doctor.OK {
		t.Errorf("the doctor says %+v, %v", doctor.Checks, err)
	}
	token := h.vars["token"]
	h.vars["token"] = "" // a film's address needs no header
	a := h.ask(t, get, "$file", nil, "Range", "bytes=0-99")
	if a.status != http.StatusPartialContent || a.header.Get("Content-Type") != "video/mp4" || a.header.Get("Referrer-Policy") != "no-referrer" {
		t.Errorf("the clip: %d %v", a.status, a.header)
	}
	if a := h.ask(t, get, "$captions", nil); a.status != http.StatusOK || !strings.HasPrefix(a.body, "WEBVTT") {
		t.Errorf("its captions: %d %.40q", a.status, a.body)
	}
	if a := h.ask(t, get, "$picture", nil); a.status != http.StatusOK || a.header.Get("Content-Type") != "image/jpeg" || !strings.HasPrefix(a.body, "\xff\xd8") {
		t.Errorf("the frame that was drawn on: %d %v", a.status, a.header)
	}
	refused := func(what, path string) {
		t.Helper()
		if a := h.ask(t, get, path, nil); a.status != http.StatusNotFound {
			t.Errorf("%s opens: %d", what, a.status)
		}
	}
	refused("a ticket for another clip", strings.Replace(h.vars["file"], h.vars["clip"], "other", 1))
	refused("a ticket with a letter more", h.vars["file"]+"0")
	refused("no ticket", "/api/slip/files/x")
	h.vars["token"] = token
	h.send(t, put, "/api/homework/$hw/reply", `{"version":3,"words":"Without the clip."}`)
	h.send(t, post, "/api/homework/$hw/send", `{"version":4}`)
	refused("a clip that was taken out of the answer", "$file")
	if now := h.shown(t); !strings.Contains(now, `"value":48`) || strings.Contains(now, `"degrees"`) {
		t.Errorf("sent again she sees %s", now)
	}
	if now := h.ask(t, get, "/api/homework/$hw", nil).body; !strings.Contains(now, `"moved":false`) {
		t.Errorf("sent again it is still another: %s", now)
	}
	h.send(t, put, "/api/homework/$hw/reply", `{"version":5,"words":"With it.","clipIds":["$clip"]}`)
	h.send(t, post, "/api/homework/$hw/send", `{"version":6}`)
	if a := h.ask(t, get, "$file", nil); a.status != http.StatusOK {
		t.Errorf("back in the answer: %d", a.status)
	}
	h.copyIsNoClip(t)
	h.oldAnswer(t)
	h.send(t, post, "/api/slips/$slip/revoke", "")
	refused("a clip of a slip that was revoked", "$file")

	// A drill's example is a clip whose pitcher's guardian said yes.
	h.run(t, []exchange{
		{"an example", post, "/api/drills", `{"name":"Show","clipId":"$clip"}`, 201, `"clipId":"$clip"`, nil},
		{"who said yes", get, "/api/pitchers/$wren/consents", "", 200, "", map[string]string{"consent": "consents.0.id"}},
		{"changed their mind", post, "/api/consents/$consent/withdraw", "", 200, "", nil},
		{"the example is none any more", get, "/api/drills", "", 200, `"name":"Show","howTo":""}`, nil},
	})
}

// An answer tells her of the body that slowed, and then not that she can throw it faster: what
// to do next is said there as on a shared result.
func TestAimBesideASlowedBody(t *testing.T) {
	sum := bullpen.Summary{Pitch: bullpen.ChangeUp, PitchName: "change-up", Judged: 8, InBand: 1, Verdict: bullpen.TooSoft, ComeBackOn: &bullpen.Range{Lo: 3, Hi: 6}, ComeBackOnSaid: "5 mph (3 to 6)"}
	for verdict, backOn := range map[tempo.Verdict]bool{tempo.SlowedBody: false, tempo.SlowedArm: false, tempo.SameBody: true, tempo.CantTell: true} {
		b := judged.Bullpen{
			Facts: judged.Facts{Pitcher: bullpen.Pitcher{BaselinePitch: bullpen.Fastball}},
			Sheet: bullpen.Sheet{Summaries: []bullpen.Summary{sum}},
			Body:  tempo.Assessment{Checks: []tempo.Check{{Pitch: bullpen.ChangeUp, Verdict: verdict, Slowed: []int{10}, SlowedArms: []int{10}}}},
		}
		kept := aimToShow(b, sum)
		if (kept.ComeBackOn != nil) != backOn || (kept.BackOnSaid != "") != backOn {
			t.Errorf("%s: %v, %q can come back on", verdict, kept.ComeBackOn, kept.BackOnSaid)
		}
		if said := b.Told(texts.English).Next; strings.Contains(said, "come back on") != backOn {
			t.Errorf("%s: a shared result says %q", verdict, said)
		}
	}
}
