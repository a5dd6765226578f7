package homework

import (
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"
)

// Whoever has sent all of a piece, and is asked to let go before the answer, keeps no
// connection on which later requests are cancelled before they begin.
func TestLetGoSparesLaterRequests(t *testing.T) {
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.Method == http.MethodHead {
			time.Sleep(time.Millisecond) // a connection that was cut off a moment ago shows it now
			if err := r.Context().Err(); err != nil {
				w.WriteHeader(http.StatusInternalServerError)
			}
			return
		}
		turn := newTurn(w, r.Body)
		if _, err := io.Copy(io.Discard, turn); err != nil {
			t.Errorf("the body: %v", err)
		}
		turn.letGo()
		<-r.Context().Done() // net/http has seen the deadline
		(&relative{ResponseWriter: w, turn: turn}).WriteHeader(http.StatusNoContent)
		turn.letGo() // too late, and harmless
	}))
	defer server.Close()
	for range 3 {
		req, err := http.NewRequest(http.MethodPatch, server.URL, strings.NewReader("a piece"))
		if err != nil {
			t.Fatal(err)
		}
		res, err := server.Client().Do(req)
		if err != nil {
			t.Fatal(err)
		}
		res.Body.Close()
		res, err = server.Client().Head(server.URL)
		if err != nil {
			t.Fatal(err)
		}
		res.Body.Close()
		if res.StatusCode != http.StatusOK {
			t.Errorf("the next request was cancelled: %d", res.StatusCode)
		}
	}
}
