package server

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"fmt"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"tenoff/internal/backup"
	"tenoff/internal/blob"
	"tenoff/internal/bullpen"
	"tenoff/internal/homework"
	"tenoff/internal/intake"
	"tenoff/internal/store"
)

// Backups are taken while a student's films come in, an instructor's too, and clips
// are rendered. Each is whole when it is brought back: the doctor finds nothing, and
// every original is what was sent. Who could come in then can't any more.
func TestBackupWhileUploadsAndRendersRun(t *testing.T) {
	h := guarded(t)
	h.signIn(t, "Robin", phrase)
	h.handOut(t)
	h.slip(t, `{}`)
	film, err := os.ReadFile(drawn.path)
	if err != nil {
		t.Fatal(err)
	}
	var mu sync.Mutex
	sent := map[string]bool{sumOf(film): true}
	another := func(n int) []byte { // the same to look at, and another file
		mu.Lock()
		defer mu.Unlock()
		data := withFree(film, n)
		sent[sumOf(data)] = true
		return data
	}
	wasSent := func(sum string) bool {
		mu.Lock()
		defer mu.Unlock()
		return sent[sum]
	}
	h.upload(t, drawn.path, "first.mp4")
	h.until(t, "/api/films/$film", func(body string) bool { return strings.Contains(body, `"state":"ready"`) })
	h.keep(t, "rep", "rep.id", h.send(t, "POST", "/api/bullpens/$pen/reps", fmt.Sprintf(`{"filmId":"$film","release":%d}`, drawn.truth.Reps[0].Release.Frame)))

	ctx, stop := context.WithCancel(t.Context())
	var others sync.WaitGroup
	working := func(act func(i int)) {
		others.Go(func() {
			for i := 0; i < 12 && ctx.Err() == nil; i++ {
				act(i)
			}
		})
	}
	working(func(i int) { // a student
		data := another(2 * i)
		at := h.begin(t, "a.mp4", len(data)).header.Get("Location")
		h.goOn(t, at, 0, data[:len(data)/2])
		h.goOn(t, at, len(data)/2, data[len(data)/2:])
	})
	working(func(i int) { // an instructor
		h.ask(t, http.MethodPut, "/api/bullpens/$pen/films?name=b.mp4", bytes.NewReader(another(2*i+1)))
	})
	working(func(i int) { // and clips
		before := float64(5+i) / 10
		h.send(t, "POST", "/api/bullpens/$pen/clips", fmt.Sprintf(`{"options":{"before":%g,"after":0.2}}`, before))
		h.until(t, "/api/bullpens/$pen", func(body string) bool {
			return ctx.Err() != nil || strings.Contains(body, `"state":"ready"`) && strings.Contains(body, fmt.Sprintf(`"releaseSeconds":%g`, before))
		})
	})
	most := 0
	for range 3 {
		copied, back := filepath.Join(t.TempDir(), "copy"), t.TempDir()
		made, err := backup.Make(t.Context(), h.deps.Store, h.deps.Blobs, copied)
		if err != nil {
			t.Fatal(err)
		}
		restored, err := backup.Restore(t.Context(), copied, back)
		if err != nil || restored.Files != made.Files || restored.Closed != (store.Closed{Links: 1, Sessions: 1}) {
			t.Fatalf("restored %+v of %+v, %v", restored, made, err)
		}
		most = max(most, h.checkRestored(t, back, wasSent))
	}
	stop()
	others.Wait()
	if most < 2 {
		t.Errorf("no more than %d films in any backup", most)
	}
}

// checkRestored checks a data folder that was brought back, and counts its films.
func (h *house) checkRestored(t *testing.T, dir string, wasSent func(sum string) bool) int {
	t.Helper()
	st, err := store.OpenScratch(t.Context(), dir)
	if err != nil {
		t.Fatal(err)
	}
	defer st.Close()
	blobs, err := blob.Open(filepath.Join(dir, blob.Folder))
	if err != nil {
		t.Fatal(err)
	}
	defer blobs.Close()
	work, err := homework.New(filepath.Join(dir, homework.Folder), st, intake.New(st, blobs, intake.Options{Reserve: 1}), nil)
	if err != nil {
		t.Fatal(err)
	}
	if checks, err := Data(t.Context(), st, blobs, work); err != nil || !allWell(checks) {
		t.Errorf("the doctor says %+v, %v", checks, err)
	}
	films, err := st.Films(t.Context(), h.vars["pen"])
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range films {
		original, err := blobs.Open(t.Context(), f.Made.Original)
		if err != nil {
			t.Fatal(err)
		}
		got, err := io.ReadAll(original)
		original.Close()
		if sum := sumOf(got); err != nil || sum != f.SHA256 || !wasSent(sum) {
			t.Errorf("an original of %d bytes is not what was sent: %v", len(got), err)
		}
	}
	if _, _, err := st.OpenSlip(t.Context(), h.vars["token"]); bullpen.CodeOf(err) != bullpen.NotFound {
		t.Errorf("the slip opens something: %v", err)
	}
	_, token, _ := strings.Cut(h.vars["cookie"], "=")
	if _, in, err := st.Session(t.Context(), token); err != nil || in {
		t.Errorf("somebody is signed in, %v", err)
	}
	return len(films)
}

// withFree returns a film with a free box behind it (ISO 14496-12, 8.1.2).
func withFree(film []byte, n int) []byte {
	box := append(binary.BigEndian.AppendUint32(nil, 16), "free"...)
	return append(bytes.Clone(film), binary.BigEndian.AppendUint64(box, uint64(n))...)
}

func sumOf(b []byte) string {
	sum := sha256.Sum256(b)
	return hex.EncodeToString(sum[:])
}
