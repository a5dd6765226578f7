package throttle

import (
	"crypto/sha256"
	"crypto/tls"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"testing"
	"time"
)

// BenchmarkFilmsBesideAnswers sends eight films at once to a server that is asked for
// something all the time, over a plain and over an encrypted connection. It says how
// much of the films comes in (MB/s, all together) and how long an answer that takes 2 ms
// of work takes beside them.
func BenchmarkFilmsBesideAnswers(b *testing.B) {
	b.Run("plain", func(b *testing.B) { besideAnswers(b, false, false) })
	b.Run("TLS", func(b *testing.B) { besideAnswers(b, true, false) })
	b.Run("TLS, HTTP2", func(b *testing.B) { besideAnswers(b, true, true) })
}

func besideAnswers(b *testing.B, encrypted, http2 bool) {
	const films, each, work = 8, 1 << 20, 2 * time.Millisecond
	l, dir := New(), b.TempDir()
	s := httptest.NewUnstartedServer(http.HandlerFunc(func(_ http.ResponseWriter, r *http.Request) {
		f, err := os.Create(filepath.Join(dir, filepath.Base(r.URL.Path)))
		if err != nil {
			b.Error(err)
			return
		}
		defer f.Close()
		if n, err := l.Copy(r.Context(), io.MultiWriter(f, sha256.New()), r.Body); n != each || err != nil {
			b.Errorf("%d bytes came, %v", n, err)
		}
	}))
	s.EnableHTTP2 = http2
	if encrypted {
		s.StartTLS()
	} else {
		s.Start()
	}
	defer s.Close()

	stop, took := make(chan struct{}), []time.Duration{}
	var asked sync.WaitGroup
	for i := range 2 { // two who ask: there is always an answer under way
		asked.Go(func() {
			for {
				select {
				case <-stop:
					return
				default:
				}
				began := time.Now()
				done := l.Answering()
				for time.Since(began) < work {
					sha256.Sum256(make([]byte, 4<<10))
				}
				time.Sleep(work)
				done()
				if i == 0 {
					took = append(took, time.Since(began))
				}
			}
		})
	}
	for b.Loop() {
		var all sync.WaitGroup
		for i := range films {
			all.Go(func() {
				transport := &http.Transport{ForceAttemptHTTP2: http2, TLSClientConfig: &tls.Config{InsecureSkipVerify: true}} // #nosec: its own server
				defer transport.CloseIdleConnections()
				to := s.URL + "/" + string(rune('a'+i))
				request, err := http.NewRequestWithContext(b.Context(), http.MethodPut, to, io.LimitReader(nothing{}, each))
				if err != nil {
					b.Error(err)
					return
				}
				answer, err := (&http.Client{Transport: transport}).Do(request)
				if err != nil {
					b.Error(err)
					return
				}
				answer.Body.Close()
			})
		}
		all.Wait()
	}
	close(stop)
	asked.Wait()
	b.ReportMetric(films*each/1e6*float64(b.N)/b.Elapsed().Seconds(), "MB/s")
	slices.Sort(took)
	b.ReportMetric(float64(took[len(took)*95/100].Microseconds())/1e3, "answer-p95-ms")
}

// nothing is an endless film of nothing.
type nothing struct{}

func (nothing) Read(p []byte) (int, error) {
	clear(p)
	return len(p), nil
}
