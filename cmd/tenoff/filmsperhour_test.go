//go:build unix

package main

import (
	"bytes"
	"context"
	"flag"
	"fmt"
	"math"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"
	"golang.org/x/sync/errgroup"

	"tenoff/internal/demo"
	"tenoff/internal/server/wire"
	"tenoff/internal/store"
)

var (
	perHour = flag.Int("perhour", 0, "so many films are read by one machine, and as many by four")
	rounds  = flag.Int("rounds", 3, "so many times")
	ways    = flag.String("ways", "", "only in the ways whose names match this")
)

// mill is an academy whose films are read by as many work nodes as are asked for.
type mill struct {
	*academy
	rows *store.Store
	web  *machine
	path string // of the film that is sent over and over, each time with another end
	film []byte
	sent int
}

// send sends so many films, each another one, to bullpens of their own.
func (m *mill) send(films int) {
	m.t.Helper()
	for range films {
		m.sent++
		var pen wire.Bullpen
		if err := m.web.call(http.MethodPost, "/api/bullpens", map[string]any{"pitcherLabel": fmt.Sprint("Kit ", m.sent)}, &pen); err != nil {
			m.t.Fatal(err)
		}
		mine := append(bytes.Clone(m.film), box(fmt.Sprint("tail of film ", m.sent))...)
		var taken wire.UploadResult
		if err := m.web.send(http.MethodPut, "/api/bullpens/"+pen.ID+"/films?name=wren.mp4", "video/mp4", mine, &taken); err != nil {
			m.t.Fatal(err)
		}
	}
}

// empty waits until nothing waits or runs.
func (m *mill) empty() {
	m.t.Helper()
	for {
		queues, err := m.rows.Queues(m.t.Context())
		if err != nil {
			m.t.Fatal(err)
		}
		if len(queues) == 0 {
			return
		}
		time.Sleep(500 * time.Millisecond) // seldom: its questions count among the transactions
	}
}

// milled is what so many films took.
type milled struct {
	took      time.Duration
	processor time.Duration // of the work nodes and of all programs that they ran, from their start to their end
	committed int           // transactions of the database, all nodes', those that read as well
}

// read has nodes read films: that wait for them when they begin, or one after the other, so
// that no two are read at once.
func (m *mill) read(nodes, films int, inTurn bool) milled {
	m.t.Helper()
	if !inTurn {
		m.send(films)
	}
	before := m.committed() // which waits itself
	began := time.Now()
	var at []*machine
	for range nodes {
		at = append(at, m.work())
	}
	if inTurn {
		for range films {
			m.send(1)
			m.empty()
		}
	}
	m.empty()
	took := time.Since(began)
	processor := m.end(at)
	return milled{took, processor, m.committed() - before}
}

// committed is how many transactions the database has ended, but those of backends that have
// not told yet (PostgreSQL 15 documentation, "28.2.2. Viewing Statistics": they do within a
// second, and when they end).
func (m *mill) committed() (n int) {
	m.t.Helper()
	time.Sleep(time.Second)
	c, err := pgx.Connect(m.t.Context(), m.address)
	if err != nil {
		m.t.Fatal(err)
	}
	defer c.Close(context.WithoutCancel(m.t.Context()))
	if err := c.QueryRow(m.t.Context(), `SELECT xact_commit FROM pg_stat_database WHERE datname = current_database()`).Scan(&n); err != nil {
		m.t.Fatal(err)
	}
	return n
}

// standing is how long nodes stand there with nothing to do.
const standing = 10 * time.Second

// idle has nodes stand there with nothing to do.
func (m *mill) idle(nodes int, long time.Duration) milled {
	m.t.Helper()
	before := m.committed()
	var at []*machine
	for range nodes {
		at = append(at, m.work())
	}
	time.Sleep(long)
	processor := m.end(at)
	return milled{long, processor, m.committed() - before}
}

// end has nodes stop and returns the processor that they took, each with all that it waited
// for (wait4(2): the resource usage is of the child and of its children that were waited for).
func (m *mill) end(nodes []*machine) (processor time.Duration) {
	m.t.Helper()
	for _, n := range nodes {
		n.signal(syscall.SIGTERM)
	}
	for _, n := range nodes {
		if err := n.cmd.Wait(); err != nil {
			m.t.Errorf("%v\n%s", err, n.log())
		}
		processor += n.cmd.ProcessState.UserTime() + n.cmd.ProcessState.SystemTime()
	}
	return processor
}

// bare has ffmpeg decode and code the same film so many times, some of them at once: what the
// machine itself makes of more of the same at once.
func (m *mill) bare(atOnce, films int) milled {
	m.t.Helper()
	began := time.Now()
	var all errgroup.Group
	all.SetLimit(atOnce)
	spent := make([]time.Duration, films)
	for i := range films {
		all.Go(func() error {
			cmd := exec.Command("ffmpeg", "-v", "error", "-i", m.path, "-c:v", "libx264", "-preset", "veryfast", "-f", "null", "-")
			said, err := cmd.CombinedOutput()
			if err != nil {
				return fmt.Errorf("%w: %s", err, said)
			}
			spent[i] = cmd.ProcessState.UserTime() + cmd.ProcessState.SystemTime()
			return nil
		})
	}
	if err := all.Wait(); err != nil {
		m.t.Fatal(err)
	}
	out := milled{took: time.Since(began)}
	for _, s := range spent {
		out.processor += s
	}
	return out
}

// More machines read more films in an hour, where there are cores for them, and none of them
// takes more processor for a film: what they have to say to each other costs next to nothing.
// One and four take turns, round by round. Films that are read one after the other show what
// the machines themselves cost; those that are read at once, what it costs as well that they
// share cores and their caches, of which ffmpeg alone has its part. The figures are for people;
// on a machine with other work they say little.
func TestFilmsPerHour(t *testing.T) {
	if *perHour == 0 {
		t.Skip("-perhour says of how many films")
	}
	m := &mill{academy: newAcademy(t), path: filepath.Join(t.TempDir(), "wren.mp4")}
	// As large and as long as the start of a node is nothing beside it.
	long := small()
	long.Width, long.Height, long.Reps = 1280, 720, demo.Series(4, 2, demo.Same, 1)
	if _, err := demo.Write(t.Context(), long, m.path); err != nil {
		t.Fatal(err)
	}
	var err error
	if m.film, err = os.ReadFile(m.path); err != nil {
		t.Fatal(err)
	}
	if m.rows, err = store.OpenPostgres(t.Context(), m.address); err != nil {
		t.Fatal(err)
	}
	defer m.rows.Close()
	m.web = m.begin("UTC", "--zone", "UTC", "--role", string(roleWeb))
	m.read(1, 1, false) // what the first one finds cold
	figures := map[string][]float64{}
	for round := range *rounds {
		for _, way := range []struct {
			name string
			of   func(nodes int) milled
			each string
			many int
		}{
			{"one after the other", func(nodes int) milled { return m.read(nodes, *perHour, true) }, "film", *perHour},
			{"all at once", func(nodes int) milled { return m.read(nodes, *perHour, false) }, "film", *perHour},
			{"ffmpeg alone", func(atOnce int) milled { return m.bare(atOnce, *perHour) }, "film", *perHour},
			{"nothing to do", func(nodes int) milled { return m.idle(nodes, standing) }, "second", int(standing / time.Second)},
		} {
			if is, err := regexp.MatchString(*ways, way.name); err != nil || !is {
				continue
			}
			got := map[int]milled{}
			nodes := []int{1, 4}
			if round%2 == 1 {
				slices.Reverse(nodes)
			}
			for _, n := range nodes {
				got[n] = way.of(n)
				many := float64(way.many)
				t.Logf("round %d, %s, %d: %.1f s, %.0f %ss an hour, %.3f s of processor and %.1f transactions a %s", round, way.name, n, got[n].took.Seconds(),
					many/got[n].took.Hours(), way.each, got[n].processor.Seconds()/many, float64(got[n].committed)/many, way.each)
			}
			figures[way.name] = append(figures[way.name], got[4].processor.Seconds()/got[1].processor.Seconds())
		}
	}
	for name, ratios := range figures {
		mean, spread := meanAndSpread(ratios)
		t.Logf("%s: processor with four of what it is with one: %.3f (SD %.3f of %d rounds)", name, mean, spread, len(ratios))
	}
	load, err := os.ReadFile("/proc/loadavg")
	t.Logf("load: %s, %v", strings.TrimSpace(string(load)), err)
}

// meanAndSpread are the mean and the standard deviation of figures, 0 of a single one.
func meanAndSpread(figures []float64) (mean, spread float64) {
	for _, f := range figures {
		mean += f / float64(len(figures))
	}
	for _, f := range figures {
		spread += (f - mean) * (f - mean) / float64(max(1, len(figures)-1))
	}
	return mean, math.Sqrt(spread)
}
