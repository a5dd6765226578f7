package server

import (
	"bytes"
	"errors"
	"flag"
	"fmt"
	"io"
	"math/rand/v2"
	"net/http"
	"os"
	"path/filepath"
	"runtime"
	"runtime/debug"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"

	"tenoff/internal/postgres/cluster"
	"tenoff/internal/store"
	"tenoff/internal/store/million"
)

// rounds is how often each route is asked for; the first time, of which nothing is
// known yet, counts too.
const rounds = 40

// onPostgres has the same rows measured over the other engine as well, side by side.
var onPostgres = flag.Bool("postgres", false, "measure over a PostgreSQL too, each route after it was over SQLite")

// BenchmarkMillion prints how long answers take over a real connection with a million
// reps stored: of each writing route and of the pages that read most. The memory is what
// the program holds after them.
func BenchmarkMillion(b *testing.B) {
	dir := b.TempDir()
	s, err := store.Open(b.Context(), dir)
	if err != nil {
		b.Fatal(err)
	}
	if err := s.Close(); err != nil {
		b.Fatal(err)
	}
	m := million.Fill(b, dir, store.Database)
	b.Logf("%d reps; load %s", m.Reps, load())
	ask := func(h *house, name string) *asker {
		x := &asker{b: b, house: h, random: rand.New(rand.NewPCG(1, 2)), m: m.Clone(), p95: map[string]float64{}}
		began := time.Now()
		x.tend()
		b.Logf("all verdicts stored in %.1f s in %s", time.Since(began).Seconds(), name)
		return x
	}
	x := ask(newHouseOver(b, dir, Access{}), "SQLite")
	askers := []*asker{x}
	if *onPostgres {
		askers = append(askers, ask(newHouseOn(b, filledServer(b, x.deps.Store), b.TempDir(), Access{}), "PostgreSQL"))
	}
	names := []string{"", "PostgreSQL: "}
	routes := make([][]measured, len(askers))
	for i, x := range askers {
		routes[i] = x.routes()
	}
	for k, route := range x.routes() {
		for i, x := range askers {
			x.tend()
			b.Run(names[i]+route.name, func(b *testing.B) {
				for b.Loop() {
					x.measure(b, routes[i][k])
				}
			})
		}
		if len(askers) > 1 {
			b.Logf("%-32s p95 %7.1f and %7.1f ms, %.1f times", route.name, x.p95[route.name], askers[1].p95[route.name], askers[1].p95[route.name]/x.p95[route.name])
		}
	}
	debug.FreeOSMemory()
	var mem runtime.MemStats
	runtime.ReadMemStats(&mem)
	b.Logf("held at the end: Go %.0f MB of %.0f MB; %s; load %s", float64(mem.HeapAlloc)/1e6, float64(mem.Sys)/1e6, resident(), load())
}

// filledServer is a PostgreSQL with the rows of another store.
func filledServer(b *testing.B, from *store.Store) *store.Store {
	b.Helper()
	ctx := b.Context()
	path := filepath.Join(b.TempDir(), store.Database)
	if err := from.CopyTo(ctx, path); err != nil {
		b.Fatal(err)
	}
	server, err := cluster.Start(ctx)
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() {
		if err := server.Close(); err != nil {
			b.Error(err)
		}
	})
	if err := server.Do(ctx, "postgres", `CREATE DATABASE million`); err != nil {
		b.Fatal(err)
	}
	began := time.Now()
	s, err := store.OpenPostgres(ctx, server.Address("million"))
	if err == nil {
		_, err = s.Fill(ctx, path)
		err = errors.Join(err, s.Close())
	}
	if err == nil { // whose first academy is now another
		s, err = store.OpenPostgres(ctx, server.Address("million"))
	}
	if err != nil {
		b.Fatal(err)
	}
	b.Logf("the rows are in PostgreSQL after %.1f s", time.Since(began).Seconds())
	return s
}

// measured is a route that is measured: ready prepares a request and is not timed.
type measured struct {
	name  string
	ready func() *http.Request
}

type asker struct {
	*house
	b      *testing.B
	random *rand.Rand
	m      million.Seeded
	turn   int
	p95    map[string]float64 // by route, ms
}

// tend stores what a program at work stores between two requests.
func (x *asker) tend() {
	for all := false; !all; {
		var err error
		if all, err = x.deps.Judged.KeepVerdicts(x.b.Context(), 200); err != nil {
			x.b.Fatal(err)
		}
	}
}

func (x *asker) measure(b *testing.B, r measured) {
	b.Helper()
	var took, first []float64
	size, busy := 0, 0.0
	for range rounds {
		req := r.ready()
		if req == nil {
			b.Skip("nothing to ask for")
		}
		before := cpu(b)
		from := time.Now()
		res, err := x.Client().Do(req)
		if err != nil {
			b.Fatal(err)
		}
		var one [1]byte
		n, _ := res.Body.Read(one[:])
		first = append(first, ms(time.Since(from)))
		rest, err := io.ReadAll(res.Body)
		res.Body.Close()
		took = append(took, ms(time.Since(from)))
		busy += cpu(b) - before
		if size = n + len(rest); err != nil || res.StatusCode >= 400 {
			b.Fatalf("%s %s answered %d: %s %v", req.Method, req.URL, res.StatusCode, rest, err)
		}
	}
	b.ReportMetric(took[0], "first-ms")
	b.ReportMetric(first[0], "first-byte-ms")
	slices.Sort(took)
	b.ReportMetric(took[len(took)/2], "p50-ms")
	x.p95[r.name] = took[len(took)*95/100]
	b.ReportMetric(x.p95[r.name], "p95-ms")
	b.ReportMetric(float64(size)/1000, "kB")
	b.ReportMetric(busy/float64(len(took)), "cpu-ms")
	b.ReportMetric(0, "ns/op")
}

// cpu is how long the process, the asking side with it, has been at work, milliseconds:
// what other programs at work disturb less than the clock on the wall.
func cpu(b *testing.B) float64 {
	b.Helper()
	var used syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &used); err != nil {
		b.Fatal(err)
	}
	return float64(used.Utime.Nano()+used.Stime.Nano()) / 1e6
}

func ms(d time.Duration) float64 { return float64(d.Microseconds()) / 1000 }

func (x *asker) routes() []measured {
	pen := func() string { return x.m.Bullpens[x.random.IntN(len(x.m.Bullpens))] }
	filmed := func() string { return x.m.Filmed[x.random.IntN(len(x.m.Filmed))] }
	rep := func() string { return x.m.SomeReps[x.random.IntN(len(x.m.SomeReps))] }
	who := func() string { return x.m.Pitchers[1+x.random.IntN(len(x.m.Pitchers)-1)] }
	always := func(id string) func() string { return func() string { return id } }
	version := func(path, field string) float64 {
		v, err := at(x.read(path), field)
		if err != nil {
			x.b.Fatal(err)
		}
		return v.(float64)
	}
	log := func(pen func() string) func() *http.Request {
		return x.write(http.MethodPost, func() (string, string) {
			return "/api/bullpens/" + pen() + "/reps", `{"pitch":"ch","reading":{"value":44,"unit":"mph","step":1,"gun":"behind catcher"}}`
		})
	}
	edit := func(body string) func() *http.Request {
		return x.write(http.MethodPatch, func() (string, string) {
			id := rep()
			r, err := x.deps.Store.Rep(x.b.Context(), id)
			if err != nil {
				x.b.Fatal(err)
			}
			return "/api/reps/" + id, fmt.Sprintf(`{"version":%d,%s}`, r.Version, body)
		})
	}
	gone := ""
	return []measured{
		{"write: log a rep", log(pen)},
		{"write: log a rep, filmed", log(filmed)},
		{"write: log a rep, 5000", log(always(x.m.Long))},
		{"write: change a reading", edit(`"reading":{"value":45,"unit":"mph","step":1,"gun":"behind catcher"}`)},
		{"write: change a note", edit(`"note":"hips first"`)},
		{"write: move a rep", edit(`"order":3`)},
		{"write: delete a rep", func() *http.Request {
			gone = rep()
			// One may be asked for again.
			if _, _, err := x.deps.Store.RestoreRep(x.b.Context(), gone); err != nil {
				x.b.Fatal(err)
			}
			return x.ask("DELETE", "/api/reps/"+gone, "")
		}},
		{"write: restore a rep", func() *http.Request {
			gone = rep()
			if _, err := x.deps.Store.RemoveRep(x.b.Context(), gone, 0); err != nil && !strings.Contains(err.Error(), "no such") {
				x.b.Fatal(err)
			}
			return x.ask("POST", "/api/reps/"+gone+"/restore", "")
		}},
		{"write: paste 20 readings", x.write(http.MethodPost, func() (string, string) {
			return "/api/bullpens/" + pen() + "/readings", `{"text":"` + strings.Repeat("55 fb 47 ch ", 10) + `"}`
		})},
		{"write: accept instants", x.write(http.MethodPost, func() (string, string) {
			return "/api/bullpens/" + filmed() + "/instants/accept", `{}`
		})},
		{"write: begin a bullpen", x.write(http.MethodPost, func() (string, string) {
			return "/api/bullpens", `{"pitcherId":"` + who() + `"}`
		})},
		{"write: change a bullpen", x.write(http.MethodPatch, func() (string, string) {
			id := pen()
			return "/api/bullpens/" + id, fmt.Sprintf(`{"version":%.0f,"note":"windy"}`, version("/api/bullpens/"+id, "bullpen.version"))
		})},
		{"write: a bullpen's day", x.write(http.MethodPatch, func() (string, string) {
			id := pen()
			x.turn++
			return "/api/bullpens/" + id, fmt.Sprintf(`{"version":%.0f,"day":"2025-06-%02d"}`, version("/api/bullpens/"+id, "bullpen.version"), 1+x.turn%28)
		})},
		{"write: add a pitcher", x.write(http.MethodPost, func() (string, string) { x.turn++; return "/api/pitchers", fmt.Sprintf(`{"label":"new %d"}`, x.turn) })},
		{"write: change a pitcher of 300", x.write(http.MethodPatch, func() (string, string) {
			p, err := x.deps.Store.Pitcher(x.b.Context(), x.m.Many)
			if err != nil {
				x.b.Fatal(err)
			}
			x.turn++
			return "/api/pitchers/" + p.ID, fmt.Sprintf(`{"version":%d,"gunToleranceMph":%.1f}`, p.Version, 1+float64(x.turn%2))
		})},
		{"write: change a level", x.level},
		{"write: settings", x.write(http.MethodPut, func() (string, string) { return "/api/settings", x.read("/api/settings") })},
		{"write: add a consent", x.write(http.MethodPost, func() (string, string) {
			return "/api/pitchers/" + who() + "/consents", `{"guardian":"her mother","given":"2025-05-05","covers":"film and clips","for":["homework","results","examples"]}`
		})},
		{"write: add a drill", x.write(http.MethodPost, func() (string, string) { x.turn++; return "/api/drills", fmt.Sprintf(`{"name":"drill %d"}`, x.turn) })},
		{"write: delete a bullpen", func() *http.Request {
			i := x.random.IntN(len(x.m.Bullpens))
			id := x.m.Bullpens[i]
			x.m.Bullpens, x.m.SomeReps = slices.Delete(x.m.Bullpens, i, i+1), slices.Delete(x.m.SomeReps, i, i+1)
			x.m.Filmed = slices.DeleteFunc(x.m.Filmed, func(f string) bool { return f == id })
			confirm, err := at(x.read("/api/bullpens/"+id+"/removal"), "confirm")
			if err != nil {
				x.b.Fatal(err)
			}
			return x.ask("DELETE", fmt.Sprintf("/api/bullpens/%s?confirm=%v", id, confirm), "")
		}},
		{"read: home", func() *http.Request { return x.ask("GET", "/api/home", "") }},
		{"read: sheet", func() *http.Request { return x.ask("GET", "/api/bullpens/"+pen(), "") }},
		{"read: sheet, filmed", func() *http.Request { return x.ask("GET", "/api/bullpens/"+filmed(), "") }},
		{"read: sheet of 5000", func() *http.Request { return x.ask("GET", "/api/bullpens/"+x.m.Long, "") }},
		{"read: pitcher", func() *http.Request { return x.ask("GET", "/api/pitchers/"+who(), "") }},
		{"read: pitcher of 300", func() *http.Request { return x.ask("GET", "/api/pitchers/"+x.m.Many, "") }},
		{"read: trust of 300", func() *http.Request { return x.ask("GET", "/api/pitchers/"+x.m.Many+"/trust", "") }},
		{"read: reps", func() *http.Request { return x.ask("GET", "/api/reps", "") }},
		{"read: reps, in the band", func() *http.Request { return x.ask("GET", "/api/reps?verdict=in%20the%20band", "") }},
		{"read: reps, too soft", func() *http.Request { return x.ask("GET", "/api/reps?verdict=too%20soft", "") }},
		{"read: reps, too soft drops", func() *http.Request { return x.ask("GET", "/api/reps?verdict=too%20soft&pitch=dr", "") }},
		{"read: reps, too soft of 300", func() *http.Request { return x.ask("GET", "/api/reps?verdict=too%20soft&pitcher="+x.m.Many, "") }},
		{"read: CSV of 300", func() *http.Request { return x.ask("GET", "/api/pitchers/"+x.m.Many+"/reps.csv", "") }},
	}
}

// level changes what all pitchers' numbers hang on, there and back.
func (x *asker) level() *http.Request {
	l, err := x.deps.Store.Level(x.b.Context(), "14U")
	if err != nil {
		x.b.Fatal(err)
	}
	x.turn++
	return x.ask(http.MethodPatch, "/api/levels/14U", fmt.Sprintf(`{"version":%d,"extensionFeet":%.1f}`, l.Version, 5+float64(x.turn%2)))
}

func (x *asker) write(method string, what func() (path, body string)) func() *http.Request {
	return func() *http.Request {
		path, body := what()
		return x.ask(method, path, body)
	}
}

func (x *asker) ask(method, path, body string) *http.Request {
	req, err := http.NewRequestWithContext(x.b.Context(), method, x.URL+path, bytes.NewReader([]byte(body)))
	if err != nil {
		x.b.Fatal(err)
	}
	if body != "" {
		req.Header.Set("Content-Type", "application/json")
	}
	return req
}

func (x *asker) read(path string) string {
	return x.house.ask(x.b, http.MethodGet, path, nil).body
}

// load is the machine's load, as it says it.
func load() string {
	text, err := os.ReadFile("/proc/loadavg")
	if err != nil {
		return "unknown"
	}
	return strings.Join(strings.Fields(string(text))[:3], " ")
}

// resident is what the process holds, and held at most, of memory.
func resident() string {
	text, err := os.ReadFile("/proc/self/status")
	if err != nil {
		return "unknown"
	}
	var said []string
	for line := range strings.Lines(string(text)) {
		if strings.HasPrefix(line, "VmRSS") || strings.HasPrefix(line, "VmHWM") {
			said = append(said, strings.Join(strings.Fields(line), " "))
		}
	}
	return strings.Join(said, ", ")
}
