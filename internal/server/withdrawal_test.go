package server

import (
	"fmt"
	"io"
	"net/http"
	"os"
	"path"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"
)

// A consent that is withdrawn while a film of hers arrives ends the upload: nothing of
// it stays, and nobody is told that something broke.
func TestWithdrawingWhileAFilmArrives(t *testing.T) {
	h := handedOut(t)
	h.slip(t, `{}`)
	h.keep(t, "consent", "consents.0.id", h.ask(t, http.MethodGet, "/api/pitchers/$wren/consents", nil))
	data, err := os.ReadFile(drawn.path)
	if err != nil {
		t.Fatal(err)
	}
	at := h.begin(t, "a.mp4", len(data)).header.Get("Location")
	body, feed := io.Pipe()
	var sent answer
	var phone sync.WaitGroup
	phone.Go(func() {
		req, err := http.NewRequestWithContext(t.Context(), http.MethodPatch, h.URL+at, body)
		if err != nil {
			t.Error(err)
			return
		}
		for k, v := range map[string]string{slipHeader: h.vars["token"], "Tus-Resumable": "1.0.0", "Upload-Offset": "0", "Content-Type": "application/offset+octet-stream"} {
			req.Header.Set(k, v)
		}
		res, err := h.Client().Do(req)
		if err != nil {
			return // cut off, which ends it as well
		}
		defer res.Body.Close()
		text, _ := io.ReadAll(res.Body)
		sent = answer{res.StatusCode, res.Header, string(text)}
	})
	if _, err := feed.Write(data[:len(data)/2]); err != nil {
		t.Fatal(err)
	}
	for !slices.ContainsFunc(h.arriving(t), func(i os.FileInfo) bool { return i.Size() > int64(len(data)/4) && path.Ext(i.Name()) == "" }) {
		time.Sleep(time.Millisecond) // until the test's own deadline
	}
	if a := h.send(t, http.MethodPost, "/api/consents/$consent/withdraw", ""); a.status != http.StatusOK || !strings.Contains(a.body, `"linksClosed":1`) {
		t.Errorf("withdrawn: %d %s", a.status, a.body)
	}
	_, _ = feed.Write(data[len(data)/2:]) // nobody may be there to read it
	feed.Close()
	phone.Wait()
	if sent.status != 0 && (sent.status != http.StatusNotFound || !strings.Contains(sent.body, "its link was closed")) {
		t.Errorf("her phone is told %d %s", sent.status, sent.body)
	}
	h.nothingArrives(t)
}

// However the two fall together, a consent is withdrawn and an upload refused.
func TestWithdrawingWhileFilmsBegin(t *testing.T) {
	h := handedOut(t)
	for i := range 5 * *torture {
		if i > 0 {
			h.send(t, "POST", "/api/pitchers/$wren/consents", `{"guardian":"her mother","given":"2026-05-01","covers":"homework films","for":["homework","results","examples"]}`)
		}
		h.slip(t, `{}`)
		h.keep(t, "consent", "consents.0.id", h.ask(t, http.MethodGet, "/api/pitchers/$wren/consents", nil))
		var phones sync.WaitGroup
		for n := range 4 {
			phones.Go(func() {
				for range 4 {
					a := h.begin(t, fmt.Sprintf("%d.mp4", n), 100)
					if a.status >= 500 {
						t.Errorf("begun: %d %s", a.status, a.body)
					}
					if at := a.header.Get("Location"); at != "" {
						if a := h.goOn(t, at, 0, make([]byte, 50)); a.status >= 500 {
							t.Errorf("gone on: %d %s", a.status, a.body)
						}
					}
				}
			})
		}
		for range 3 {
			if a := h.send(t, http.MethodPost, "/api/consents/$consent/withdraw", ""); a.status != http.StatusOK {
				t.Errorf("withdrawn: %d %s", a.status, a.body)
			}
		}
		phones.Wait()
		h.nothingArrives(t)
	}
}

// arriving lists what lies in the folder of uploads.
func (h *house) arriving(t *testing.T) (list []os.FileInfo) {
	t.Helper()
	entries, err := os.ReadDir(h.uploads)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		if info, err := e.Info(); err == nil {
			list = append(list, info)
		}
	}
	return list
}

// nothingArrives checks that nothing of an upload is in the folder.
func (h *house) nothingArrives(t *testing.T) {
	t.Helper()
	left, err := os.ReadDir(h.uploads)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range left {
		t.Errorf("%s is still there", e.Name())
	}
}
