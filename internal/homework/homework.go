// Package homework brings a far student's films in: resumable uploads (tus 1.0)
// within the limits of her slip, kept apart until they are whole, then handed to
// intake like any other film. It makes the slips' QR codes and the tickets by which
// her page shows what came back, and lets go of originals when they are due.
package homework

import (
	"crypto/rand"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"os"
	"path/filepath"
	"sync"
	"time"

	"github.com/tus/tusd/v2/pkg/handler"
	"github.com/tus/tusd/v2/pkg/memorylocker"
	xslog "golang.org/x/exp/slog"

	"tenoff/internal/intake"
	"tenoff/internal/store"
)

// Folder is what the folder of uploads under way is called inside a data folder.
const Folder = "uploads"

// Base is the path under which uploads are reached.
const Base = "/api/slip/uploads/"

// Homework holds the uploads under way. Its methods may be used by several
// goroutines.
type Homework struct {
	dir    string
	store  *store.Store
	intake *intake.Intake
	log    *slog.Logger
	tus    http.Handler
	key    []byte // signs tickets; a new one with every start
	now    func() time.Time

	// create is held from the look at the limits until the upload is on the disk, so
	// that two beginning at once can't both have what is left.
	create sync.Mutex
	locks  *memorylocker.MemoryLocker

	ending sync.Map // the IDs of uploads that are being forgotten
}

// New returns the uploads in the folder dir, which is made if it is missing.
func New(dir string, s *store.Store, in *intake.Intake, log *slog.Logger) (*Homework, error) {
	if log == nil {
		log = slog.New(slog.DiscardHandler)
	}
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return nil, fmt.Errorf("folder of uploads: %w", err)
	}
	h := &Homework{dir: dir, store: s, intake: in, log: log, now: time.Now, key: make([]byte, 32), locks: memorylocker.New()}
	rand.Read(h.key) // never fails
	composer := handler.NewStoreComposer()
	files := h.files()
	composer.UseCore(files)
	composer.UseTerminater(files)
	composer.UseLocker(politely{h.locks})
	tus, err := handler.NewHandler(handler.Config{
		StoreComposer: composer, BasePath: Base, DisableDownload: true, DisableConcatenation: true,
		Cors:                      &handler.CorsConfig{Disable: true},
		Logger:                    xslog.New(xslog.NewTextHandler(io.Discard, nil)), // requests are logged by the server, and without a token
		PreUploadCreateCallback:   h.begin,
		PreFinishResponseCallback: h.finish,
		NetworkTimeout:            stall,
		AcquireLockTimeout:        patience,
	})
	if err != nil {
		return nil, fmt.Errorf("tus: %w", err)
	}
	h.tus = http.StripPrefix(Base, tus)
	return h, nil
}

const (
	// stall is how long an upload may stand still before the connection is given up.
	stall = 60 * time.Second
	// patience is how long a request waits for another one on the same upload to end.
	patience = 10 * time.Second
)

func (h *Homework) path(name string) string { return filepath.Join(h.dir, name) }
