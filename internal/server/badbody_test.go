package server

import (
	"bytes"
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"io"
	"maps"
	"math/rand/v2"
	"net/http"
	"runtime"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/danielgtaylor/huma/v2"
	"github.com/gin-gonic/gin"
	"golang.org/x/sync/errgroup"
)

// torture makes the tests of hostile requests so many times as long.
var torture = flag.Int("torture", 1, "tests of hostile requests: so many times as many")

// largestRefusal is how many bytes an answer that refuses has at most.
const largestRefusal = 16 << 10

// spoken is one operation that takes a JSON body.
type spoken struct {
	id, method, path string
	body             *huma.Schema
}

// takers lists the document's operations that take a JSON body.
func takers(doc *huma.OpenAPI) []spoken {
	var out []spoken
	for _, path := range slices.Sorted(maps.Keys(doc.Paths)) {
		for method, o := range operations(doc.Paths[path]) {
			if o.RequestBody != nil && o.RequestBody.Content["application/json"] != nil {
				out = append(out, spoken{o.OperationID, method, path, o.RequestBody.Content["application/json"].Schema})
			}
		}
	}
	return out
}

// speaker makes bodies of what a document says of them.
type speaker struct{ schemas huma.Registry }

func (s speaker) plain(of *huma.Schema) *huma.Schema {
	for of.Ref != "" {
		of = s.schemas.SchemaFromRef(of.Ref)
	}
	if len(of.AnyOf) > 0 {
		return s.plain(of.AnyOf[0])
	}
	if len(of.OneOf) > 0 {
		return s.plain(of.OneOf[0])
	}
	return of
}

// usual is a body that the document allows; full makes it the longest one.
func (s speaker) usual(of *huma.Schema, full bool) any {
	of = s.plain(of)
	if len(of.Enum) > 0 {
		return of.Enum[len(of.Enum)-1]
	}
	switch of.Type {
	case huma.TypeObject:
		out := map[string]any{}
		for name, p := range of.Properties {
			out[name] = s.usual(p, full)
		}
		return out
	case huma.TypeArray:
		n := 1
		if full && of.MaxItems != nil {
			n = *of.MaxItems
		}
		out := make([]any, min(n, 400_000))
		for i := range out {
			out[i] = s.usual(of.Items, full && n < 400)
		}
		return out
	case huma.TypeString:
		if of.Format == "date" {
			return "2026-05-02"
		}
		n := 1
		if of.MinLength != nil {
			n = *of.MinLength
		}
		if full && of.MaxLength != nil {
			n = *of.MaxLength
		}
		return strings.Repeat("w", n)
	case huma.TypeInteger, huma.TypeNumber:
		if of.Minimum != nil {
			return *of.Minimum
		}
		return 1.0
	case huma.TypeBoolean:
		return true
	}
	return nil
}

func text(v any) string {
	out, err := json.Marshal(v)
	if err != nil {
		panic(err)
	}
	return string(out)
}

// keys is an object of so many bytes of keys that nobody knows.
func keys(bytes int) string {
	var b strings.Builder
	b.WriteByte('{')
	for i := 0; b.Len() < bytes; i++ {
		fmt.Fprintf(&b, `"k%d":0,`, i)
	}
	return b.String() + `"z":0}`
}

// hostile lists bodies that an operation must refuse without harm, by what is wrong
// with them, and others that only look as if.
func (s speaker) hostile(op spoken, random *rand.Rand) map[string]string {
	usual := s.usual(op.body, false)
	good := text(usual)
	out := map[string]string{
		"nothing": "", "null": "null", "a number": "1", "a text": `"x"`, "a list": "[]", "an empty object": "{}", "half of it": good[:len(good)/2],
		"more behind it": good + "}", "twice": good + good, "a mark before it": "\ufeff" + good, "no UTF-8": strings.ReplaceAll(good, "w", "\xff"),
		"a thousand keys": keys(13_000), "keys to 30 kB": keys(30_000), "keys to 900 kB": keys(900_000),
		"a long key": `{"` + strings.Repeat("long.", 5000) + `":1}`, "a long key, quoted": `{"` + strings.Repeat(`\u0001\"<`, 2500) + `":1}`,
		"a deep list": strings.Repeat("[", 5000), "a deep list that ends": strings.Repeat("[", 3000) + strings.Repeat("]", 3000),
		"a deep object":   strings.Repeat(`{"a":`, 3000) + "1" + strings.Repeat("}", 3000),
		"a list of lists": "[" + strings.Repeat("[],", 3000) + "[]]", "a list of objects": "[" + strings.Repeat("{},", 3000) + "{}]",
		"a long text": `"` + strings.Repeat("x", 30_000) + `"`, "2 MB": `{"note":"` + strings.Repeat("x", 2<<20) + `"}`,
		"the same key": `{` + strings.Repeat(`"version":1,`, 2000) + `"version":2}`,
	}
	object, ok := usual.(map[string]any)
	if !ok {
		return out
	}
	wrong := []any{
		nil, true, -1, 1e300, 0.5, "", "x", strings.Repeat("\u0000<&>", 3000), strings.Repeat("7", 30_000), []any{}, map[string]any{},
		slices.Repeat([]any{map[string]any{}}, 2000), slices.Repeat([]any{1}, 4000), slices.Repeat([]any{nil}, 300), []any{[]any{[]any{}}},
		map[string]any{strings.Repeat("key", 5000): map[string]any{}}, map[string]any{"value": strings.Repeat("9", 5000), "unit": strings.Repeat("mph", 5000)},
		json.RawMessage("1e999"), json.RawMessage("9007199254740993"), json.RawMessage("-9223372036854775809"), json.RawMessage(strings.Repeat("9", 400)),
	}
	for name := range object {
		for _, i := range random.Perm(len(wrong))[:min(7**torture, len(wrong))] {
			bad := maps.Clone(object)
			bad[name] = wrong[i]
			out[fmt.Sprintf("%s wrong in way %d", name, i)] = text(bad)
		}
	}
	for i := range 10 * *torture {
		b := []byte(good)
		for range 1 + random.IntN(4) {
			switch at := random.IntN(len(b)); random.IntN(3) {
			case 0:
				b[at] = byte(random.IntN(256))
			case 1:
				b = slices.Delete(b, at, min(at+1+random.IntN(5), len(b)))
			case 2:
				from := random.IntN(len(b))
				b = slices.Insert(b, at, b[from:min(from+1+random.IntN(20), len(b))]...)
			}
			if len(b) == 0 {
				b = []byte("{")
			}
		}
		out[fmt.Sprintf("spoilt %d", i)] = string(b)
	}
	return out
}

// there fills a path with things that there are, so that a body gets as far as it can.
func (h *house) there(path string) string {
	kind, _, _ := strings.Cut(strings.TrimPrefix(path, "/api/"), "/")
	id, known := h.vars[kinds[kind]]
	if !known {
		id = "nothing"
	}
	return strings.NewReplacer("{id}", id, "{key}", "12U", "{frame}", h.vars["frame"]).Replace(path)
}

// Every operation that takes a body is sent hundreds of bad ones: each is answered,
// within 16 KiB when it is refused, never by our fault, and with few sentences.
func TestBadBodies(t *testing.T) {
	h := answered(t)
	random := rand.New(rand.NewPCG(7, uint64(*torture)))
	speaks := speaker{h.server.Document().Components.Schemas}
	ops := takers(h.server.Document())
	if len(ops) < 35 {
		t.Fatalf("only %d operations take a body", len(ops))
	}
	sent, refused, largest, byWhich := 0, 0, 0, ""
	for _, op := range ops {
		bodies := speaks.hostile(op, random)
		for _, what := range slices.Sorted(maps.Keys(bodies)) {
			sent++
			a := h.ask(t, op.method, h.there(op.path), strings.NewReader(bodies[what]), "Content-Type", "application/json")
			if a.status < 400 {
				continue
			}
			refused++
			if len(a.body) > largest {
				largest, byWhich = len(a.body), op.id+", "+what
			}
			if a.status >= 500 || len(a.body) > largestRefusal {
				t.Errorf("%s, %s: %d and %d bytes, %.200s", op.id, what, a.status, len(a.body), a.body)
			}
			var p struct {
				Detail string
				Errors []map[string]any
			}
			if err := json.Unmarshal([]byte(a.body), &p); err != nil || p.Detail == "" || len(p.Errors) > mostComplaints {
				t.Errorf("%s, %s: %v, %d errors, %.200s", op.id, what, err, len(p.Errors), a.body)
			}
			for _, e := range p.Errors {
				if e["value"] != nil {
					t.Errorf("%s, %s repeats what was sent: %.200s", op.id, what, a.body)
				}
			}
		}
	}
	t.Logf("%d operations, %d bodies, %d refused; the largest refusal has %d bytes (%s)", len(ops), sent, refused, largest, byWhich)
}

// What a body that an operation must take is at most, by its schema, is let in.
func TestLongestGoodBodiesAreLetIn(t *testing.T) {
	h := newHouse(t)
	h.handOut(t)
	h.slip(t, `{}`)
	speaks := speaker{h.server.Document().Components.Schemas}
	for _, op := range takers(h.server.Document()) {
		body := text(speaks.usual(op.body, true))
		if len(body) > largeBody && op.id == "saveDrawing" {
			continue // 100 shapes of 2000 points each are more than a drawing has
		}
		a := h.ask(t, op.method, h.there(op.path), strings.NewReader(body), "Content-Type", "application/json")
		if a.status == http.StatusRequestEntityTooLarge {
			t.Errorf("%s does not take its longest body of %d bytes: %s", op.id, len(body), a.body)
		}
	}
}

// A thousand bad bodies at once from one student's link cost little more than they are
// long.
func TestManyBadBodiesAtOnce(t *testing.T) {
	h := handedOut(t)
	h.slip(t, `{}`)
	many := 60 * *torture
	body := keys(32_000)
	runtime.GC()
	var before runtime.MemStats
	runtime.ReadMemStats(&before)
	var peak atomic.Uint64
	ctx, stop := context.WithCancel(t.Context())
	var watch, work sync.WaitGroup
	watch.Go(func() {
		for ctx.Err() == nil {
			var m runtime.MemStats
			runtime.ReadMemStats(&m)
			peak.Store(max(peak.Load(), m.HeapAlloc))
			time.Sleep(5 * time.Millisecond)
		}
	})
	for range many {
		work.Go(func() {
			req, err := http.NewRequestWithContext(t.Context(), http.MethodPut, h.URL+"/api/slip/words", strings.NewReader(body))
			if err != nil {
				t.Error(err)
				return
			}
			req.Header.Set(slipHeader, h.vars["token"])
			req.Header.Set("Content-Type", "application/json")
			res, err := h.Client().Do(req)
			if err != nil {
				t.Error(err)
				return
			}
			defer res.Body.Close()
			got, err := io.ReadAll(res.Body)
			if err != nil || res.StatusCode/100 != 4 || len(got) > largestRefusal {
				t.Errorf("%d, %d bytes, %v", res.StatusCode, len(got), err)
			}
		})
	}
	work.Wait()
	stop()
	watch.Wait()
	var after runtime.MemStats
	runtime.ReadMemStats(&after)
	each := (after.TotalAlloc - before.TotalAlloc) / uint64(many)
	t.Logf("%d bodies of %d kB at once: %d kB made for each, heap at most %d MB", many, len(body)>>10, each>>10, peak.Load()>>20)
	if each > 8<<20 || peak.Load() > 256<<20 {
		t.Errorf("each bad body costs %d MB, all together %d MB", each>>20, peak.Load()>>20)
	}
}

// Values are counted as the JSON has them, and what holds others as one more.
func TestValues(t *testing.T) {
	for body, want := range map[string]int{
		``: 1, `1`: 1, `[]`: 2, `[1,2]`: 3, `{"a":[1,{"b":2}],"c":"x,[{"}`: 6, `"a\",[b"`: 1, `"\\",[`: 3, `{"a`: 2,
	} {
		if got := values([]byte(body)); got != want {
			t.Errorf("%s has %d values, want %d", body, got, want)
		}
	}
}

// half is a body of which only the first half arrives.
type half struct {
	bytes.Reader
	ctx context.Context
}

func (b *half) Read(p []byte) (int, error) {
	if n, _ := b.Reader.Read(p); n > 0 {
		return n, nil
	}
	<-b.ctx.Done()
	return 0, b.ctx.Err()
}

// A body that stops arriving holds no connection: on every route that is not an upload,
// for everybody, whether anybody reads it or not.
func TestHalfABodyIsGivenUp(t *testing.T) {
	h := guarded(t)
	h.signIn(t, "Robin", phrase)
	h.server.bodyTime = 50 * time.Millisecond
	cookies := map[string]string{"nobody": "", "the owner": h.vars["cookie"]}
	tried := 0
	var work errgroup.Group
	work.SetLimit(20)
	for _, r := range h.server.engine.Routes() {
		if r.Path == "/api/events" {
			continue // it never ends
		}
		for _, who := range slices.Sorted(maps.Keys(cookies)) {
			if cookies[who] != "" && strings.HasSuffix(r.Path, "/films") {
				continue // a film may stand still for longer
			}
			tried++
			work.Go(func() error {
				body := &half{ctx: t.Context()}
				body.Reset([]byte(`{"name":`))
				req, err := http.NewRequestWithContext(t.Context(), r.Method, h.URL+strings.ReplaceAll(r.Path, ":", ""), body)
				if err != nil {
					return err
				}
				req.ContentLength = 5000
				req.Header.Set("Cookie", cookies[who])
				req.Header.Set("Content-Type", "application/json")
				res, err := h.Client().Do(req)
				if err != nil {
					return nil // the connection was closed, which gives it up as well
				}
				if res.StatusCode >= 500 {
					t.Errorf("half a body for %s %s as %s: %d", r.Method, r.Path, who, res.StatusCode)
				}
				return res.Body.Close()
			})
		}
	}
	if err := work.Wait(); err != nil {
		t.Error(err)
	}
	t.Logf("%d halves of bodies", tried)
}

// A body that is taken in slowly, but in time, is an answer's whatever time that takes:
// the limit on the body does not cut it off.
func TestTheLimitOfABodyEndsWithIt(t *testing.T) {
	h := newHouse(t)
	h.server.bodyTime = 100 * time.Millisecond
	var gone atomic.Bool
	h.server.engine.POST("/slow", func(c *gin.Context) {
		_, _ = io.ReadAll(c.Request.Body)
		select {
		case <-c.Request.Context().Done():
			gone.Store(true)
		case <-time.After(300 * time.Millisecond):
		}
	})
	h.ask(t, http.MethodPost, "/slow", strings.NewReader("x"))
	if gone.Load() {
		t.Error("whoever waits for an answer was taken for gone")
	}
}

// A character that no keyboard types is refused at the door, as JSON writes it, wherever a
// body has it: on PostgreSQL what is kept as JSON would hold it and could not be looked into.
// An escaped backslash before the same letters is a text like any other.
func TestNoTextHoldsNUL(t *testing.T) {
	h := newHouse(t)
	for body, status := range map[string]int{
		`{"label":"Ki\u0000t"}`:  http.StatusUnprocessableEntity,
		`{"label":"Ki\\u0000t"}`: http.StatusCreated,
	} {
		a := h.send(t, http.MethodPost, "/api/pitchers", body)
		if a.status != status {
			t.Errorf("%s: %d, want %d: %s", body, a.status, status, a.body)
		}
		if status != http.StatusCreated && !strings.Contains(a.body, "There is a character in this text that can't be stored") {
			t.Errorf("said %s", a.body)
		}
	}
}
