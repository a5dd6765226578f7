package server

import (
	"context"
	"database/sql"
	"fmt"
	"io"
	"maps"
	"net/http"
	"net/http/httptest"
	"net/netip"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"tenoff/internal/bullpen"
	"tenoff/internal/homework"
	"tenoff/internal/intake"
	"tenoff/internal/store"
)

// route is one route: who may call it, and a call that, if it were allowed, would
// reach or change what is the owner's.
type route struct {
	who   who
	query string
	body  string
	// own: a call by another instructor is about her own things and goes through; it
	// must show nothing of anybody else's. Else it names a thing of the owner's.
	own bool
}

// table has every route there is.
var table = map[string]route{
	"GET /api/health":                  {who: anybody},
	"GET /api/session":                 {who: anybody},
	"POST /api/session":                {who: anybody, body: `{"name":"nobody","passphrase":"x"}`},
	"DELETE /api/session":              {who: anybody},
	"GET /api/openapi.json":            {who: instructor, own: true},
	"GET /api/events":                  {who: instructor, own: true},
	"GET /api/doctor":                  {who: instructor, own: true},
	"GET /api/home":                    {who: instructor, own: true},
	"GET /api/pitch-types":             {who: instructor, own: true},
	"GET /api/levels":                  {who: instructor, own: true},
	"PATCH /api/levels/:key":           {who: instructor, own: true, body: `{"version":0,"distanceFeet":39}`},
	"GET /api/eye":                     {who: instructor, own: true},
	"PUT /api/eye":                     {who: instructor, body: `{"marks":[{"repId":"$rep","frame":$frame}]}`},
	"DELETE /api/eye":                  {who: instructor, own: true},
	"GET /api/settings":                {who: instructor, own: true},
	"PUT /api/settings":                {who: instructor, own: true, body: `{"keepDays":3}`},
	"PUT /api/passphrase":              {who: instructor, own: true, body: `{"old":"not this one","new":"some long passphrase"}`},
	"GET /api/jobs":                    {who: instructor, own: true},
	"POST /api/captions":               {who: instructor, own: true, body: `{"text":"x"}`},
	"POST /api/bands":                  {who: instructor, body: `{"pitcherId":"$wren","band":{"unit":"mph","lo":8,"hi":12,"limit":15}}`},
	"GET /api/pitchers":                {who: instructor, own: true},
	"POST /api/pitchers":               {who: instructor, own: true, body: `{"label":"Kit"}`},
	"GET /api/bullpens":                {who: instructor, own: true},
	"POST /api/bullpens":               {who: instructor, body: `{"pitcherId":"$wren"}`},
	"GET /api/reps":                    {who: instructor, own: true},
	"GET /api/pairs":                   {who: instructor, query: "?off=$rep"},
	"POST /api/pairs":                  {who: instructor, body: `{"offRepId":"$rep"}`},
	"GET /api/drills":                  {who: instructor, own: true},
	"POST /api/drills":                 {who: instructor, body: `{"name":"Mine","clipId":"$clip"}`},
	"GET /api/workouts":                {who: instructor, own: true},
	"POST /api/workouts":               {who: instructor, own: true, body: twoSets},
	"GET /api/homework":                {who: instructor, own: true, query: "?pitcher=$wren"},
	"POST /api/homework":               {who: instructor, body: `{"pitcherId":"$wren","workoutId":"$workout"}`},
	"GET /api/academy":                 {who: owner},
	"GET /api/instructors":             {who: instructor, own: true},
	"GET /api/accounts":                {who: owner},
	"POST /api/accounts":               {who: owner, body: `{"name":"New","passphrase":"some long passphrase"}`},
	"DELETE /api/accounts/:id":         {who: owner},
	"PUT /api/accounts/:id/passphrase": {who: owner, body: `{"passphrase":"some long passphrase"}`},

	"GET /api/pitchers/:id":                  {who: instructor},
	"POST /api/pitchers/:id/move":            {who: instructor, body: `{"to":"$robin"}`},
	"DELETE /api/moves/:id":                  {who: instructor},
	"PATCH /api/pitchers/:id":                {who: instructor, body: `{"version":1,"label":"Taken"}`},
	"DELETE /api/pitchers/:id":               {who: instructor},
	"GET /api/pitchers/:id/removal":          {who: instructor},
	"GET /api/pitchers/:id/reps.csv":         {who: instructor},
	"GET /api/pitchers/:id/reps.json":        {who: instructor},
	"GET /api/pitchers/:id/trust":            {who: instructor},
	"PUT /api/pitchers/:id/trust":            {who: instructor, body: `{"version":1,"pitch":"ch","lines":[{"kind":"in the band","need":4,"of":5}]}`},
	"GET /api/pitchers/:id/consents":         {who: instructor},
	"POST /api/pitchers/:id/consents":        {who: instructor, body: `{"guardian":"x","given":"2026-01-01","covers":"x","for":["homework","results","examples"]}`},
	"POST /api/consents/:id/withdraw":        {who: instructor},
	"GET /api/bullpens/:id":                  {who: instructor},
	"PATCH /api/bullpens/:id":                {who: instructor, body: `{"version":1,"note":"x"}`},
	"DELETE /api/bullpens/:id":               {who: instructor},
	"GET /api/bullpens/:id/removal":          {who: instructor},
	"GET /api/bullpens/:id/told":             {who: instructor},
	"GET /api/bullpens/:id/remark":           {who: instructor},
	"GET /api/bullpens/:id/moves":            {who: instructor},
	"GET /api/bullpens/:id/tells":            {who: instructor},
	"GET /api/pitchers/:id/moves":            {who: instructor},
	"GET /api/bullpens/:id/delivery":         {who: instructor},
	"GET /api/bullpens/:id/delivery.jpg":     {who: instructor},
	"POST /api/bullpens/:id/clips":           {who: instructor, body: `{}`},
	"GET /api/bullpens/:id/clips.zip":        {who: instructor},
	"PUT /api/bullpens/:id/films":            {who: instructor, query: "?name=a.mp4", body: "no film"},
	"POST /api/bullpens/:id/readings":        {who: instructor, body: `{"text":"55 fb"}`},
	"POST /api/bullpens/:id/readings/doubt":  {who: instructor, body: `{"reading":{"value":47,"unit":"mph","step":1,"gun":"behind catcher"}}`},
	"POST /api/bullpens/:id/reps":            {who: instructor, body: `{}`},
	"GET /api/bullpens/:id/reps.csv":         {who: instructor},
	"GET /api/bullpens/:id/reps.json":        {who: instructor},
	"POST /api/bullpens/:id/instants/accept": {who: instructor, body: `{}`},
	"POST /api/bullpens/:id/instants/find":   {who: instructor},
	"GET /api/films/:id":                     {who: instructor},
	"PATCH /api/films/:id":                   {who: instructor, body: `{"version":1,"view":"side"}`},
	"DELETE /api/films/:id":                  {who: instructor},
	"GET /api/films/:id/clock":               {who: instructor},
	"GET /api/films/:id/traces":              {who: instructor},
	"GET /api/films/:id/joints":              {who: instructor},
	"GET /api/films/:id/working.mp4":         {who: instructor},
	"GET /api/films/:id/opened.mp4":          {who: instructor},
	"GET /api/films/:id/finished":            {who: instructor},
	"GET /api/films/:id/finished/:copy":      {who: instructor},
	"GET /api/films/:id/strip/:picture":      {who: instructor},
	"POST /api/films/:id/find":               {who: instructor},
	"PATCH /api/reps/:id":                    {who: instructor, body: `{"version":1,"note":"x"}`},
	"DELETE /api/reps/:id":                   {who: instructor},
	"POST /api/reps/:id/restore":             {who: instructor},
	"POST /api/reps/:id/shift":               {who: instructor, body: `{"by":1}`},
	"GET /api/reps/:id/drawings":             {who: instructor},
	"GET /api/reps/:id/still.jpg":            {who: instructor},
	"PUT /api/reps/:id/drawings/:frame":      {who: instructor, body: `{"version":0,"shapes":[{"kind":"line","colour":0,"points":[[0,0],[1,1]]}]}`},
	"POST /api/proposals/:id/confirm":        {who: instructor, body: `{"filmId":"$film","release":$frame}`},
	"POST /api/proposals/:id/throw-out":      {who: instructor},
	"POST /api/proposals/:id/take-back":      {who: instructor},
	"GET /api/clips/:id":                     {who: instructor},
	"DELETE /api/clips/:id":                  {who: instructor},
	"GET /api/clips/:id/file.mp4":            {who: instructor},
	"GET /api/clips/:id/captions.vtt":        {who: instructor},
	"GET /api/clips/:id/captions.srt":        {who: instructor},
	"POST /api/jobs/:id/cancel":              {who: instructor},
	"POST /api/jobs/:id/retry":               {who: instructor},
	"PATCH /api/drills/:id":                  {who: instructor, body: `{"version":1,"howTo":"x"}`},
	"DELETE /api/drills/:id":                 {who: instructor},
	"GET /api/workouts/:id":                  {who: instructor},
	"PUT /api/workouts/:id":                  {who: instructor, body: `{"version":1,` + twoSets[1:]},
	"DELETE /api/workouts/:id":               {who: instructor},
	"GET /api/homework/:id":                  {who: instructor},
	"PATCH /api/homework/:id":                {who: instructor, body: `{"version":1,"due":null}`},
	"POST /api/homework/:id/review":          {who: instructor},
	"POST /api/homework/:id/seen":            {who: instructor},
	"PUT /api/homework/:id/reply":            {who: instructor, body: `{"version":1,"words":"x"}`},
	"POST /api/homework/:id/send":            {who: instructor, body: `{"version":1}`},
	"POST /api/homework/:id/slips":           {who: instructor, body: `{}`},
	"POST /api/slips/:id/renew":              {who: instructor, body: `{}`},
	"POST /api/slips/:id/revoke":             {who: instructor},
	"GET /api/bullpens/:id/shares":           {who: instructor},
	"POST /api/bullpens/:id/shares":          {who: instructor, body: `{"clipIds":["$clip"]}`},
	"POST /api/shares/:id/renew":             {who: instructor, body: `{}`},
	"POST /api/shares/:id/revoke":            {who: instructor},

	"GET /api/field":                     {who: fieldHolder, own: true},
	"PUT /api/field/entries":             {who: fieldHolder, own: true, body: `{"entries":[{"id":"aaaaaaaaaaaaaaaa","pitcherId":"$wren","day":"2026-05-01","at":1,"revision":1,"pitch":"fb"}]}`},
	"GET /api/field-links":               {who: instructor, own: true},
	"POST /api/field-links":              {who: instructor, body: `{"bullpenId":"$pen"}`},
	"POST /api/field-links/:id/revoke":   {who: instructor},
	"GET /api/bullpens/:id/field":        {who: instructor},
	"POST /api/bullpens/:id/field/join":  {who: instructor, body: `{"revision":1,"way":0,"entries":["aaaaaaaaaaaaaaaa"]}`},
	"POST /api/bullpens/:id/field/undo":  {who: instructor},
	"POST /api/bullpens/:id/field/aside": {who: instructor, body: `{"entries":["aaaaaaaaaaaaaaaa"]}`},

	"GET /api/slip":                    {who: slipHolder},
	"PUT /api/slip/words":              {who: slipHolder, body: `{"note":"x"}`},
	"POST /api/slip/uploads":           {who: slipHolder},
	"HEAD /api/slip/uploads/:upload":   {who: slipHolder},
	"PATCH /api/slip/uploads/:upload":  {who: slipHolder, body: "x"},
	"DELETE /api/slip/uploads/:upload": {who: slipHolder},
	"GET /api/slip/files/:ticket":      {who: ticketHolder},
	"GET /api/share":                   {who: shareHolder},
	"GET /api/share/files/:ticket":     {who: ticketHolder},
}

// kinds says which variable stands for :id under a path.
var kinds = map[string]string{
	"pitchers": "wren", "bullpens": "pen", "films": "film", "reps": "rep", "clips": "clip", "jobs": "job", "proposals": "proposal",
	"homework": "hw", "slips": "slip", "shares": "share", "drills": "drill", "workouts": "workout", "consents": "consent", "accounts": "robin",
	"field-links": "fieldLink", "moves": "move",
}

// TestRouteTable calls every route as nobody, as the student of another homework,
// with a slip that was revoked, has expired or never was, as another instructor, and with
// a session that is over, whose account is gone or that never was.
// All are refused in words that are the same whether the thing exists, and nothing
// changes.
func TestRouteTable(t *testing.T) {
	h := school(t)
	for _, r := range h.server.engine.Routes() {
		if _, known := table[r.Method+" "+r.Path]; !known {
			t.Errorf("who may call %s %s?", r.Method, r.Path)
		}
	}
	if n := len(h.server.engine.Routes()); n != len(table) {
		t.Errorf("%d routes, %d in the table", n, len(table))
	}
	callers := []struct {
		name                        string
		cookie, token, field, share string // the tokens of a session, a slip, a field link, a link to a result
	}{
		{"nobody", "", "", "", ""},
		{"another student", "", h.vars["jaysToken"], "", h.vars["jaysShare"]},
		{"a revoked slip", "", h.vars["revokedToken"], "", h.vars["revokedShare"]},
		{"an expired slip", "", h.vars["expiredToken"], "", h.vars["expiredShare"]},
		{"no slip's token", "", "aaaaaaaaaaaaaaaaaaaaaaaaaa", "", "aaaaaaaaaaaaaaaaaaaaaaaaaa"},
		{"another kind's token", "", h.vars["jaysShare"], "", h.vars["jaysToken"]},
		{"another instructor", h.vars["samCookie"], "", "", ""},
		{"whoever was signed out", h.vars["outCookie"], "", "", ""},
		{"whose account is removed", h.vars["removedCookie"], "", "", ""},
		{"a session made up", "tenoff=aaaaaaaaaaaaaaaaaaaaaaaaaa", "", "", ""},
		{"another instructor's field link", "", "", h.vars["samField"], ""},
		{"a revoked field link", "", "", h.vars["revokedField"], ""},
		{"an expired field link", "", "", h.vars["expiredField"], ""},
		{"no field link's token", "", "", "aaaaaaaaaaaaaaaaaaaaaaaaaa", ""},
	}
	before := h.rows(t)
	refusals := 0
	for _, name := range slices.Sorted(maps.Keys(table)) {
		r := table[name]
		method, path, _ := strings.Cut(name, " ")
		if got := whoMay(strings.NewReplacer(":id", "x", ":key", "x").Replace(path)); got != r.who {
			t.Errorf("%s is for %s, not for %s", name, got, r.who)
		}
		if r.who == anybody {
			continue
		}
		for _, c := range callers {
			h.vars["cookie"], h.vars["token"], h.vars["field"], h.vars["shareToken"] = c.cookie, c.token, c.field, c.share
			signedIn := c.cookie != "" && c.cookie == h.vars["samCookie"]
			if r.who == fieldHolder && (signedIn || c.field != "" && c.field == h.vars["samField"]) {
				h.showsNothing(t, name, h.call(t, method, path, r, h.vars))
				continue
			}
			// Failed guesses of slips are counted by address; what is tried here is not
			// whether they are.
			h.server.guesses = newAttempts(time.Nanosecond, 1<<20)
			if r.who == instructor && signedIn && r.own {
				if name == "GET /api/events" {
					continue // it never ends
				}
				h.showsNothing(t, name, h.call(t, method, path, r, h.vars))
				continue
			}
			if (r.who == slipHolder || r.who == shareHolder) && c.name == "another student" && !strings.Contains(path, ":") {
				h.showsNothing(t, name, h.call(t, method, path, r, h.vars))
				continue
			}
			real := h.call(t, method, path, r, h.vars)
			fake := h.call(t, method, path, r, strangers(h.vars))
			refusals += 2
			if real.status < 400 || real.status >= 500 {
				t.Errorf("%s as %s: %d %s", name, c.name, real.status, real.body)
			}
			if real.status != fake.status || h.plain(real.body) != h.plain(fake.body) {
				t.Errorf("%s as %s tells what there is: %d %s, but for what there is not %d %s", name, c.name, real.status, real.body, fake.status, fake.body)
			}
			want := http.StatusUnauthorized
			switch {
			case r.who == owner && signedIn:
				want = http.StatusForbidden
			case r.who == slipHolder || r.who == shareHolder || r.who == ticketHolder || r.who == fieldHolder && c.field != "":
				want = http.StatusNotFound
			case signedIn:
				continue // 404, or what was asked makes no sense for things she doesn't have
			}
			if real.status != want {
				t.Errorf("%s as %s: %d, want %d", name, c.name, real.status, want)
			}
		}
	}
	for table, was := range before {
		if is := h.rows(t)[table]; is != was {
			t.Errorf("%s has changed:\n%s\n\nit was\n%s", table, is, was)
		}
	}
	t.Logf("%d routes, %d refusals", len(table), refusals)
	if refusals < 1500 {
		t.Errorf("only %d calls were refused", refusals)
	}
}

// school is a guarded house in which the owner has one of everything, another
// instructor has nothing, and there are slips of every kind.
func school(t *testing.T) *house {
	t.Helper()
	h := guarded(t)
	ctx := t.Context()
	h.signIn(t, "Robin", phrase)
	robin := h.vars["cookie"]
	h.keep(t, "sam", "accounts.1.id", h.send(t, "POST", "/api/accounts", `{"name":"Sam","passphrase":"`+phrase+`"}`))
	h.keep(t, "robin", "accounts.0.id", h.ask(t, "GET", "/api/accounts", nil))
	h.filmAndClip(t)
	h.keep(t, "drill", "id", h.send(t, "POST", "/api/drills", `{"name":"Robin's own"}`))
	h.keep(t, "consent", "consents.0.id", h.ask(t, "GET", "/api/pitchers/$wren/consents", nil))
	job, err := h.deps.Store.AddJob(ctx, store.NewJob{Kind: "nothing", Subject: "nothing"})
	if err != nil {
		t.Fatal(err)
	}
	h.vars["job"] = job.ID
	if err := h.deps.Store.Propose(ctx, h.vars["film"], []store.Proposal{{From: 1, To: 9, Release: 5, Confidence: 0.5, Reason: "motion only"}}, store.FilmFindings{}, 3); err != nil {
		t.Fatal(err)
	}
	proposals, err := h.deps.Store.Proposals(ctx, h.vars["pen"])
	if err != nil || len(proposals) == 0 {
		t.Fatal(err, "no proposal")
	}
	h.vars["proposal"] = proposals[0].ID
	h.send(t, "PUT", "/api/homework/$hw/reply", `{"version":1,"words":"Good.","clipIds":["$clip"]}`)
	h.send(t, "POST", "/api/homework/$hw/send", `{"version":2}`)
	h.vars["upload"] = strings.TrimPrefix(h.begin(t, "b.mp4", 100).header.Get("Location"), homework.Base)
	// Another student, and slips that are over.
	h.keep(t, "jay", "id", h.send(t, "POST", "/api/pitchers", `{"label":"Jay"}`))
	h.send(t, "POST", "/api/pitchers/$jay/consents", `{"guardian":"her father","given":"2026-05-01","covers":"films","for":["homework","results","examples"]}`)
	slip := func(name string, lasts time.Duration) bullpen.Slip {
		t.Helper()
		h.keep(t, "other", "id", h.send(t, "POST", "/api/homework", `{"pitcherId":"$jay","workoutId":"$workout"}`))
		p, token, err := h.deps.Store.AddSlip(ctx, bullpen.Slip{HomeworkID: h.vars["other"], MaxBytes: 1 << 20, MaxFiles: 9}, lasts)
		if err != nil {
			t.Fatal(err)
		}
		h.vars[name] = token
		return p
	}
	slip("jaysToken", time.Hour)
	slip("expiredToken", -time.Hour)
	revoked := slip("revokedToken", time.Hour)
	if _, err := h.deps.Store.RevokeSlip(ctx, revoked.ID); err != nil {
		t.Fatal(err)
	}
	fieldLink := func(in context.Context, name string, lasts time.Duration, penID string) bullpen.FieldLink {
		t.Helper()
		l, token, err := h.deps.Store.AddFieldLink(in, penID, lasts)
		if err != nil {
			t.Fatal(err)
		}
		h.vars[name] = token
		return l
	}
	fieldLink(ctx, "expiredField", -time.Hour, h.vars["pen"])
	h.vars["fieldLink"] = fieldLink(ctx, "revokedField", time.Hour, h.vars["pen"]).ID
	if err := h.deps.Store.RevokeFieldLink(ctx, h.vars["fieldLink"]); err != nil {
		t.Fatal(err)
	}
	sams, _, err := h.deps.Store.AccountNamed(ctx, "Sam")
	if err != nil {
		t.Fatal(err)
	}
	fieldLink(store.Within(ctx, sams.Academy), "samField", time.Hour, "")
	h.vars["ticket"] = h.deps.Homework.Sign(homework.Ticket{Link: revoked.ID, Kind: "clip", Of: h.vars["clip"]})
	h.share(t, "share", "hersShare", h.vars["pen"], time.Hour, h.vars["clip"])
	h.keep(t, "jaysPen", "id", h.send(t, "POST", "/api/bullpens", `{"pitcherId":"$jay"}`))
	h.share(t, "expiredId", "expiredShare", h.vars["jaysPen"], -time.Hour)
	h.share(t, "revokedId", "revokedShare", h.vars["jaysPen"], time.Hour)
	h.vars["shareTicket"] = h.deps.Homework.Sign(homework.Ticket{Link: h.vars["revokedId"], Kind: "clip", Of: h.vars["clip"]})
	h.share(t, "jaysId", "jaysShare", h.vars["jaysPen"], time.Hour) // which closes the one before
	h.vars["cookie"] = robin
	h.keep(t, "kit", "accounts.2.id", h.send(t, "POST", "/api/accounts", `{"name":"Tess","passphrase":"`+phrase+`"}`))
	h.signIn(t, "Tess", phrase)
	h.vars["removedCookie"], h.vars["cookie"] = h.vars["cookie"], robin
	if a := h.send(t, "DELETE", "/api/accounts/$kit", ""); a.status != http.StatusOK {
		t.Fatalf("%d %s", a.status, a.body)
	}
	h.keep(t, "gone", "id", h.send(t, "POST", "/api/pitchers", `{"label":"Ash"}`))
	h.keep(t, "tess", "accounts.2.id", h.send(t, "POST", "/api/accounts", `{"name":"Una","passphrase":"`+phrase+`"}`))
	h.keep(t, "move", "moves.0.id", h.send(t, "POST", "/api/pitchers/$gone/move", `{"to":"$tess"}`))
	h.signIn(t, "Sam", phrase)
	h.vars["outCookie"] = h.vars["cookie"]
	h.send(t, "DELETE", "/api/session", "")
	h.signIn(t, "Sam", phrase)
	h.vars["samCookie"], h.vars["cookie"] = h.vars["cookie"], robin
	return h
}

// share makes a link to a bullpen's result and keeps its ID and token.
func (h *house) share(t *testing.T, id, token, bullpenID string, lasts time.Duration, clips ...string) {
	t.Helper()
	p, text, err := h.deps.Store.AddShare(t.Context(), bullpen.ShareLink{BullpenID: bullpenID, ClipIDs: clips}, lasts)
	if err != nil {
		t.Fatal(err)
	}
	h.vars[id], h.vars[token] = p.ID, text
}

// call calls a route for the things in vars.
func (h *house) call(t *testing.T, method, path string, r route, vars map[string]string) answer {
	t.Helper()
	was := h.vars
	h.vars = vars
	defer func() { h.vars = was }()
	kind, _, _ := strings.Cut(strings.TrimPrefix(path, "/api/"), "/")
	path = strings.NewReplacer(":id", "$"+kinds[kind], ":key", "12U", ":picture", "0.jpg", ":frame", "$frame", ":upload", "$upload", ":ticket", map[bool]string{true: "$shareTicket", false: "$ticket"}[kind == "share"]).Replace(path)
	var body io.Reader
	header := []string{"Tus-Resumable", "1.0.0", "Upload-Offset", "0", "Upload-Length", "10"}
	if r.body != "" {
		body = strings.NewReader(h.fill(r.body))
	}
	switch {
	case strings.Contains(path, "/uploads"):
		header = append(header, "Content-Type", "application/offset+octet-stream")
	case r.body != "":
		header = append(header, "Content-Type", "application/json")
	}
	return h.ask(t, method, path+r.query, body, header...)
}

// strangers is vars with IDs of nothing.
func strangers(vars map[string]string) map[string]string {
	out := maps.Clone(vars)
	for _, name := range append(slices.Collect(maps.Values(kinds)), "ticket", "shareTicket") {
		out[name] = strings.Repeat("z", len(vars[name]))
	}
	out["upload"] = vars["hw"] + "-" + strings.Repeat("z", 26)
	return out
}

// plain leaves the IDs out of an answer, which may repeat what was asked for.
func (h *house) plain(body string) string {
	for _, vars := range []map[string]string{h.vars, strangers(h.vars)} {
		for _, name := range kinds {
			body = strings.ReplaceAll(body, vars[name], "ID")
		}
	}
	return body
}

// showsNothing checks an answer that is about the caller's own things.
func (h *house) showsNothing(t *testing.T, name string, a answer) {
	t.Helper()
	if a.status >= 500 {
		t.Errorf("%s: %d %s", name, a.status, a.body)
	}
	for _, of := range kinds {
		if name == "GET /api/instructors" && of == "robin" {
			continue // colleagues know each other
		}
		if strings.Contains(a.body, h.vars[of]) {
			t.Errorf("%s shows %s: %s", name, of, a.body)
		}
	}
	if strings.Contains(a.body, "Wren") {
		t.Errorf("%s shows a stranger: %s", name, a.body)
	}
}

// rows is everything that is the owner's, by table.
func (h *house) rows(t *testing.T) map[string]string {
	t.Helper()
	db, err := sql.Open("sqlite3", "file:"+filepath.Join(h.dir, store.Database)+"?mode=ro")
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	text := func(query string) string {
		t.Helper()
		rows, err := db.QueryContext(t.Context(), query)
		if err != nil {
			t.Fatal(query, err)
		}
		defer rows.Close()
		columns, err := rows.Columns()
		if err != nil {
			t.Fatal(err)
		}
		var out strings.Builder
		for rows.Next() {
			values := make([]any, len(columns))
			for i := range values {
				values[i] = new(any)
			}
			if err := rows.Scan(values...); err != nil {
				t.Fatal(err)
			}
			for i, v := range values {
				if columns[i] != "last_used" { // another student looked at her own page
					fmt.Fprintf(&out, "%s=%v ", columns[i], *v.(*any))
				}
			}
			out.WriteByte('\n')
		}
		return out.String()
	}
	out := map[string]string{}
	// Jay's note is hers to write; the rest of the owner's rows is nobody's else.
	for line := range strings.Lines(text(`SELECT name FROM sqlite_schema WHERE type = 'table'`)) {
		table := strings.TrimPrefix(strings.TrimSpace(line), "name=")
		switch table {
		case "academies", "sessions", "attempts", "sqlite_sequence", "sqlite_stat1":
			continue
		}
		where := ` WHERE academy_id = (SELECT id FROM academies ORDER BY created, id LIMIT 1)`
		if table == "homeworks" || table == "bullpens" {
			where += ` AND id IN ('` + h.vars["hw"] + `', '` + h.vars["pen"] + `')`
		}
		out[table] = text(`SELECT * FROM ` + table + where)
	}
	if len(out) < 15 {
		t.Fatalf("only %d tables", len(out))
	}
	return out
}

// Whoever tries tokens is told to wait; a right one opens from the same address.
func TestGuessingSlips(t *testing.T) {
	h := handedOut(t)
	h.slip(t, `{}`)
	token := h.vars["token"]
	last := 0
	for i := range 40 {
		h.vars["token"] = fmt.Sprintf("guess%021d", i)
		last = h.ask(t, "GET", "/api/slip", nil).status
	}
	h.vars["token"] = token
	if after := h.ask(t, "GET", "/api/slip", nil).status; last != http.StatusTooManyRequests || after != http.StatusOK {
		t.Errorf("the last guess: %d, and then: %d", last, after)
	}
}

// A proxy that is named is believed, any other is not; foreign names and origins are
// refused in every case.
func TestProxies(t *testing.T) {
	s := New(Deps{Version: "test", Intake: intake.New(nil, nil, intake.Options{}), Access: Access{
		Guarded: true, Hosts: []string{"films.example"}, Proxies: []netip.Addr{netip.MustParseAddr("10.0.0.2")},
	}})
	for _, c := range []struct {
		what, remote, host string
		header             map[string]string
		want               int
	}{
		{"its name", "10.0.0.2:5", "films.example", nil, 200},
		{"its name, through the proxy", "10.0.0.2:5", "10.0.0.9:7300", map[string]string{"X-Forwarded-Host": "films.example"}, 200},
		{"a name that anybody else forwards", "10.0.0.3:5", "10.0.0.9:7300", map[string]string{"X-Forwarded-Host": "films.example"}, 403},
		{"a foreign name through the proxy", "10.0.0.2:5", "films.example", map[string]string{"X-Forwarded-Host": "other.example"}, 403},
		{"a rebound name", "10.0.0.3:5", "other.example", nil, 403},
		{"its origin over TLS", "10.0.0.2:5", "films.example", map[string]string{"X-Forwarded-Proto": "https", "Origin": "https://films.example"}, 200},
		{"its origin without", "10.0.0.2:5", "films.example", map[string]string{"X-Forwarded-Proto": "https", "Origin": "http://films.example"}, 403},
		{"a foreign origin", "10.0.0.2:5", "films.example", map[string]string{"Origin": "https://other.example"}, 403},
		{"two names", "10.0.0.2:5", "films.example", map[string]string{"X-Forwarded-Host": "films.example, other.example"}, 403},
	} {
		r := httptest.NewRequest("GET", "/api/session", nil)
		r.RemoteAddr, r.Host = c.remote, c.host
		for k, v := range c.header {
			r.Header.Set(k, v)
		}
		w := httptest.NewRecorder()
		s.ServeHTTP(w, r)
		if w.Code != c.want {
			t.Errorf("%s: %d, want %d: %s", c.what, w.Code, c.want, w.Body)
		}
	}
	r := httptest.NewRequest("GET", "/", nil)
	r.RemoteAddr = "10.0.0.2:5"
	r.Header.Set("X-Forwarded-For", "6.6.6.6, 192.0.2.7")
	if got := s.remote(r); got != "192.0.2.7" {
		t.Errorf("behind the proxy stands %s", got)
	}
	r.RemoteAddr = "10.0.0.3:5"
	if got := s.remote(r); got != "10.0.0.3" {
		t.Errorf("without it %s", got)
	}
}

// Paths that are written otherwise are for nobody else.
func TestPathsAreNotBent(t *testing.T) {
	h := guarded(t)
	for _, path := range []string{
		"/api//pitchers", "/API/pitchers", "/api/slip/../pitchers", "/api/session/../pitchers", "/api/./pitchers", "/api/slip%2f..%2fpitchers",
		"/api/health/..%2fpitchers", "/api/slip/files/..%2f..%2fpitchers", "/s/../api/pitchers", "/assets/..%2f..%2fapi/pitchers", "/api/pitchers/", "//api/pitchers",
	} {
		a := h.ask(t, "GET", path, nil)
		if strings.Contains(a.body, `"pitchers"`) {
			t.Errorf("%s: %d %s", path, a.status, a.body)
		}
	}
	h.vars["token"] = "x"
	for _, value := range []string{strings.Repeat("x", 4000), "a b", "';--", "%00"} {
		if a := h.ask(t, "GET", "/api/slip", nil, slipHeader, value); a.status != http.StatusNotFound && a.status != http.StatusTooManyRequests {
			t.Errorf("a token %.20q: %d", value, a.status)
		}
	}
}
