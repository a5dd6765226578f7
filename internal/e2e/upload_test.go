package e2e

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"tenoff/internal/server/wire"
)

// zeros is an endless film of nothing, sent without being held anywhere.
type zeros struct{}

func (zeros) Read(p []byte) (int, error) {
	clear(p)
	return len(p), nil
}

// uploadMiB is how much the memory test sends: enough that holding it would show.
// TENOFF_UPLOAD_MIB=2048 sends the full two gigabytes.
func uploadMiB(t *testing.T) int64 {
	t.Helper()
	text := os.Getenv("TENOFF_UPLOAD_MIB")
	if text == "" {
		return 384
	}
	n, err := strconv.ParseInt(text, 10, 64)
	if err != nil {
		t.Fatalf("TENOFF_UPLOAD_MIB: %v", err)
	}
	return n
}

// An upload is streamed to the disk: the server's memory stays where it was.
func TestUploadIsNotHeldInMemory(t *testing.T) {
	p := serve(t, t.TempDir())
	var pen wire.Bullpen
	p.must(t, http.MethodPost, "/api/bullpens", wire.NewBullpen{PitcherLabel: "Wren"}, &pen)
	before := p.peak(t)
	n := uploadMiB(t)
	var sent wire.UploadResult
	p.must(t, http.MethodPut, "/api/bullpens/"+pen.ID+"/films?name=long.mp4", io.LimitReader(zeros{}, n<<20), &sent)
	peak := p.peak(t)
	t.Logf("peak memory: %d MiB before, %d MiB with an upload of %d MiB", before>>20, peak>>20, n)
	if sent.Film.Bytes != n<<20 {
		t.Errorf("%d bytes arrived, %d were sent", sent.Film.Bytes, n<<20)
	}
	const most = 200 << 20
	if peak > most {
		t.Errorf("the server took %d MiB, at most %d are wanted", peak>>20, most>>20)
	}
}

// peak returns the most memory the program has had so far, bytes (VmHWM of
// proc_pid_status(5)).
func (p *program) peak(t *testing.T) int64 {
	t.Helper()
	status, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", p.cmd.Process.Pid))
	if err != nil {
		t.Skipf("this system doesn't tell a program's peak memory: %v", err)
	}
	for line := range strings.Lines(string(status)) {
		if kB, ok := strings.CutPrefix(line, "VmHWM:"); ok {
			n, err := strconv.ParseInt(strings.TrimSuffix(strings.TrimSpace(kB), " kB"), 10, 64)
			if err != nil {
				t.Fatal(err)
			}
			return n << 10
		}
	}
	t.Fatal("no VmHWM")
	return 0
}

// A program that is killed while a film arrives has nothing half made when it is
// started again.
func TestKillDuringUpload(t *testing.T) {
	data := t.TempDir()
	p := serve(t, data)
	var pen wire.Bullpen
	p.must(t, http.MethodPost, "/api/bullpens", wire.NewBullpen{PitcherLabel: "Wren"}, &pen)
	film, feed := io.Pipe()
	answered := make(chan error, 1)
	go func() {
		_, _, err := p.try(context.Background(), http.MethodPut, "/api/bullpens/"+pen.ID+"/films?name=cut.mp4", io.Reader(film))
		answered <- err
	}()
	if _, err := feed.Write(bytes.Repeat([]byte("film"), 4<<20)); err != nil {
		t.Fatal(err)
	}
	if n := arrived(t, data); n < 1<<20 {
		t.Fatalf("only %d bytes are on the disk: nothing is half made yet", n)
	}
	p.kill(t)
	feed.CloseWithError(io.ErrUnexpectedEOF)
	if err := <-answered; err == nil {
		t.Error("the upload was answered by a program that was killed")
	}

	p = serve(t, data)
	var sheet wire.Sheet
	p.must(t, http.MethodGet, "/api/bullpens/"+pen.ID, nil, &sheet)
	if len(sheet.Films) > 0 || len(sheet.Jobs) > 0 {
		t.Errorf("films %v, jobs %v after the kill", sheet.Films, sheet.Jobs)
	}
	if n := arrived(t, data); n != 0 {
		t.Errorf("%d bytes are left over", n)
	}
	var doctor wire.Doctor
	p.must(t, http.MethodGet, "/api/doctor", nil, &doctor)
	if !doctor.OK {
		t.Errorf("the doctor says %+v", doctor.Checks)
	}
}

// arrived counts the bytes of all stored files, finished or not.
func arrived(t *testing.T, data string) (n int64) {
	t.Helper()
	err := filepath.WalkDir(filepath.Join(data, "files"), func(_ string, d os.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		info, err := d.Info()
		if err == nil {
			n += info.Size()
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return n
}

// A mark that was answered survives a kill at any instant.
func TestKillLosesNoAcknowledgedMark(t *testing.T) {
	data := t.TempDir()
	p := serve(t, data)
	var pen wire.Bullpen
	p.must(t, http.MethodPost, "/api/bullpens", wire.NewBullpen{PitcherLabel: "Wren"}, &pen)
	for round := range 3 {
		var acknowledged []string
		marked := make(chan string)
		go func() {
			defer close(marked)
			for {
				status, text, err := p.try(context.Background(), http.MethodPost, "/api/bullpens/"+pen.ID+"/reps", wire.NewRep{})
				if err != nil || status != http.StatusCreated {
					return
				}
				marked <- string(text)
			}
		}()
		for len(acknowledged) < 10+7*round {
			acknowledged = append(acknowledged, <-marked)
		}
		p.kill(t)
		for text := range marked {
			acknowledged = append(acknowledged, text)
		}
		p = serve(t, data)
		var sheet wire.Sheet
		p.must(t, http.MethodGet, "/api/bullpens/"+pen.ID, nil, &sheet)
		for _, text := range acknowledged {
			if id := repID(t, text); !has(sheet.Reps, id) {
				t.Errorf("round %d: rep %s was acknowledged and is lost", round, id)
			}
		}
	}
}

func repID(t *testing.T, answer string) string {
	t.Helper()
	var change wire.RepChange
	if err := json.Unmarshal([]byte(answer), &change); err != nil {
		t.Fatal(err)
	}
	return change.Rep.ID
}

func has(reps []wire.Rep, id string) bool {
	for _, r := range reps {
		if r.ID == id {
			return true
		}
	}
	return false
}
