// Package vitals is what those who run tenoff watch: whether a program lives, whether it is
// ready to be sent requests, and figures for Prometheus (its text exposition format, through
// its own client library). No figure names anybody: labels are kinds of job, routes without
// their IDs, and classes of answers.
package vitals

import (
	"context"
	"crypto/subtle"
	"fmt"
	"log/slog"
	"net/http"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/collectors"
	"github.com/prometheus/client_golang/prometheus/promhttp"

	"tenoff/internal/store"
)

// Files is where films lie.
type Files interface {
	// Ready fails when files can't be read and written now.
	Ready(ctx context.Context) error
	// Free returns how many bytes of room there are.
	Free() (int64, error)
}

// Vitals are one program's. Its methods may be used by several goroutines.
type Vitals struct {
	store   *store.Store
	files   Files
	leaving atomic.Bool
	found   found
	reg     *prometheus.Registry

	answers *prometheus.CounterVec
	took    *prometheus.HistogramVec
	jobs    *prometheus.CounterVec
	seconds *prometheus.CounterVec
	spent   *prometheus.CounterVec
	films   prometheus.Histogram
	reading []string
}

// New returns the vitals of a program on a store and where its files lie; reading are the
// kinds of job that count as reading a film. version is the program's.
func New(s *store.Store, files Files, reading []string, version string) *Vitals {
	v := &Vitals{store: s, files: files, reg: prometheus.NewRegistry(), reading: reading}
	v.found.keeps = keeps
	v.answers = prometheus.NewCounterVec(prometheus.CounterOpts{Name: "tenoff_answers_total", Help: "Answers by route and class of status."}, []string{"method", "route", "class"})
	v.took = prometheus.NewHistogramVec(prometheus.HistogramOpts{
		Name: "tenoff_answer_seconds", Help: "How long answers took, of films and event streams too.", Buckets: []float64{.005, .02, .05, .1, .25, .5, 1, 2.5, 10, 60},
	}, []string{"method", "route"})
	v.jobs = prometheus.NewCounterVec(prometheus.CounterOpts{Name: "tenoff_jobs_total", Help: "Attempts at jobs that came to an end, by kind and how they ended; queued is one that is tried again."}, []string{"kind", "state"})
	v.seconds = prometheus.NewCounterVec(prometheus.CounterOpts{Name: "tenoff_job_seconds_total", Help: "Seconds that attempts at jobs took."}, []string{"kind"})
	v.spent = prometheus.NewCounterVec(prometheus.CounterOpts{Name: "tenoff_job_processor_seconds_total", Help: "Seconds of processor that attempts at jobs took: of the programs they started, and their share of tenoff's own."}, []string{"kind"})
	v.films = prometheus.NewHistogram(prometheus.HistogramOpts{Name: "tenoff_film_processor_seconds", Help: "Seconds of processor that reading a film took.", Buckets: []float64{1, 3, 10, 30, 60, 120, 300, 900}})
	about := prometheus.NewGauge(prometheus.GaugeOpts{Name: "tenoff_info", Help: "1, with the program's version.", ConstLabels: prometheus.Labels{"version": version}})
	about.Set(1)
	v.reg.MustRegister(
		v.answers, v.took, v.jobs, v.seconds, v.spent, v.films, about, &looked{vitals: v},
		collectors.NewGoCollector(), collectors.NewProcessCollector(collectors.ProcessCollectorOpts{}),
	)
	return v
}

// Answered counts an answer. route is a pattern, never an address with IDs or names.
func (v *Vitals) Answered(method, route string, status int, took time.Duration) {
	if route == "" {
		route = "page" // what the router knows nothing of: strangers choose it, so it is no label
	}
	method = known(method)
	v.answers.WithLabelValues(method, route, fmt.Sprintf("%dxx", status/100)).Inc()
	v.took.WithLabelValues(method, route).Observe(took.Seconds())
}

// known keeps methods that anybody may invent from becoming labels.
func known(method string) string {
	switch method {
	case http.MethodGet, http.MethodHead, http.MethodPost, http.MethodPut, http.MethodPatch, http.MethodDelete, http.MethodOptions:
		return method
	}
	return "other"
}

// Ended counts an attempt at a job.
func (v *Vitals) Ended(kind string, state store.JobState, took, processor time.Duration) {
	v.jobs.WithLabelValues(kind, string(state)).Inc()
	v.seconds.WithLabelValues(kind).Add(took.Seconds())
	v.spent.WithLabelValues(kind).Add(max(0, processor.Seconds()))
	for _, k := range v.reading {
		if k == kind && state == store.JobDone {
			v.films.Observe(processor.Seconds())
		}
	}
}

// Leave has Ready fail from now on: the program is about to stop.
func (v *Vitals) Leave() { v.leaving.Store(true) }

// Leaving reports whether the program is about to stop.
func (v *Vitals) Leaving() bool { return v.leaving.Load() }

// asking is how long the database and the files may take to answer whether they are there.
const asking = 3 * time.Second

// keeps is for how long what was found is told to whoever asks: anybody may, and as often as
// they like.
const keeps = 2 * time.Second

// found is what was found when the database and the files were asked last. They are asked by
// one at a time; who comes meanwhile waits for what that one hears.
type found struct {
	mu      sync.Mutex
	keeps   time.Duration
	at      time.Time // zero: never
	problem string    // "" for none
	free    int64     // bytes of room, where free was told
	told    bool
	// Files that were asked and have not answered yet: a folder that is gone from the network
	// may never, and holds a thread until it does.
	asked chan filesFound
}

// filesFound is what files answered.
type filesFound struct {
	free      int64
	err, room error
}

// Ready says in a sentence why no request should be sent here now, "" when one may be.
func (v *Vitals) Ready() string {
	if v.Leaving() {
		return "This program is about to stop."
	}
	problem, _, _ := v.look()
	return problem
}

// look asks the database and the files, unless they were asked a moment ago. told says whether
// it is known how many bytes are free.
func (v *Vitals) look() (problem string, free int64, told bool) {
	f := &v.found
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.at.IsZero() || time.Since(f.at) >= f.keeps {
		ctx, cancel := context.WithTimeout(context.Background(), asking) // for all who wait
		defer cancel()
		f.problem, f.free, f.told = "", 0, false
		if err := v.store.Ping(ctx); err != nil {
			f.problem = "The database does not answer."
		} else if files, err := f.ask(ctx, v.files); err != nil {
			f.problem = "The files can't be reached."
		} else {
			f.free, f.told = files.free, files.room == nil
		}
		f.at = time.Now()
	}
	return f.problem, f.free, f.told
}

// ask asks the files, or waits on for those that were asked before and are silent.
func (f *found) ask(ctx context.Context, files Files) (filesFound, error) {
	if f.asked != nil {
		select {
		case <-f.asked: // that was a while ago
			f.asked = nil
		default:
		}
	}
	if f.asked == nil {
		asked := make(chan filesFound, 1)
		f.asked = asked
		go func() {
			var a filesFound
			if a.err = files.Ready(ctx); a.err == nil {
				a.free, a.room = files.Free()
			}
			asked <- a
		}()
	}
	select {
	case a := <-f.asked:
		f.asked = nil
		return a, a.err
	case <-ctx.Done():
		return filesFound{}, ctx.Err()
	}
}

// Probes answers /live and /ready, which tell nothing of anybody, and passes on everything
// else. /live says that the program answers at all: a supervisor that hears nothing starts it
// again. /ready says whether it can do its work now: a load balancer that hears 503 sends
// requests to others. A database that is away is no reason to start a program again.
func (v *Vitals) Probes(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		switch r.URL.Path {
		case "/live":
			answer(w, "")
		case "/ready":
			answer(w, v.Ready())
		default:
			next.ServeHTTP(w, r)
		}
	})
}

func answer(w http.ResponseWriter, problem string) {
	w.Header().Set("Content-Type", "text/plain; charset=utf-8")
	w.Header().Set("Cache-Control", "no-store")
	if problem != "" {
		w.WriteHeader(http.StatusServiceUnavailable)
		fmt.Fprintln(w, problem)
		return
	}
	fmt.Fprintln(w, "ok")
}

// Handler answers the probes and /metrics, and nothing else. token is what whoever asks for
// the figures has to send ("Authorization: Bearer ..."), "" where only this machine can ask.
func (v *Vitals) Handler(token string, log *slog.Logger) http.Handler {
	figures := promhttp.HandlerFor(v.reg, promhttp.HandlerOpts{ErrorHandling: promhttp.ContinueOnError, ErrorLog: slog.NewLogLogger(log.Handler(), slog.LevelWarn)})
	return v.Probes(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		given := strings.TrimPrefix(r.Header.Get("Authorization"), "Bearer ")
		switch {
		case r.URL.Path != "/metrics" || r.Method != http.MethodGet:
			http.NotFound(w, r)
		case token != "" && subtle.ConstantTimeCompare([]byte(given), []byte(token)) != 1:
			w.Header().Set("WWW-Authenticate", "Bearer")
			http.Error(w, "The figures ask for the token in TENOFF_WATCH_TOKEN.", http.StatusUnauthorized)
		default:
			figures.ServeHTTP(w, r)
		}
	}))
}

// looked is what is looked up when it is asked for.
type looked struct {
	vitals *Vitals
	once   sync.Mutex // who scrapes twice at once does not ask the database twice at once
}

var (
	waiting    = prometheus.NewDesc("tenoff_queue_jobs", "Jobs in the queue of all programs on the database, by kind and state.", []string{"kind", "state"}, nil)
	oldest     = prometheus.NewDesc("tenoff_queue_oldest_seconds", "Since when the oldest of them is in the queue.", []string{"kind", "state"}, nil)
	stored     = prometheus.NewDesc("tenoff_files_bytes", "Bytes of all films, clips and what was made of them, as the database knows them.", nil, nil)
	room       = prometheus.NewDesc("tenoff_files_free_bytes", "Room that is left on this machine's disk: where files lie, or, with a bucket, for what is under way.", nil, nil)
	open       = prometheus.NewDesc("tenoff_database_connections", "Connections to the database.", []string{"pool", "state"}, nil)
	waits      = prometheus.NewDesc("tenoff_database_waits_total", "How often somebody had to wait for a connection.", []string{"pool"}, nil)
	waited     = prometheus.NewDesc("tenoff_database_wait_seconds_total", "How long they waited.", []string{"pool"}, nil)
	ready      = prometheus.NewDesc("tenoff_ready", "1 when requests may be sent here, see /ready.", nil, nil)
	allFigures = []*prometheus.Desc{waiting, oldest, stored, room, open, waits, waited, ready}
)

func (l *looked) Describe(to chan<- *prometheus.Desc) {
	for _, d := range allFigures {
		to <- d
	}
}

// Collect leaves out what the database does not answer.
func (l *looked) Collect(to chan<- prometheus.Metric) {
	l.once.Lock()
	defer l.once.Unlock()
	ctx, cancel := context.WithTimeout(context.Background(), 2*asking)
	defer cancel()
	gauge := func(d *prometheus.Desc, value float64, labels ...string) {
		to <- prometheus.MustNewConstMetric(d, prometheus.GaugeValue, value, labels...)
	}
	s := l.vitals.store
	is := 0.0
	problem, free, told := l.vitals.look()
	if problem == "" && !l.vitals.Leaving() {
		is = 1
	}
	gauge(ready, is)
	for _, w := range s.Waits() {
		gauge(open, float64(w.Open), w.Pool, "open")
		gauge(open, float64(w.Used), w.Pool, "used")
		to <- prometheus.MustNewConstMetric(waits, prometheus.CounterValue, float64(w.Count), w.Pool)
		to <- prometheus.MustNewConstMetric(waited, prometheus.CounterValue, w.Took.Seconds(), w.Pool)
	}
	if is == 0 {
		return
	}
	if queues, err := s.Queues(ctx); err == nil {
		for _, q := range queues {
			gauge(waiting, float64(q.Jobs), q.Kind, string(q.State))
			gauge(oldest, q.Oldest.Seconds(), q.Kind, string(q.State))
		}
	}
	if bytes, err := s.Stored(ctx); err == nil {
		gauge(stored, float64(bytes))
	}
	if told {
		gauge(room, float64(free))
	}
}
