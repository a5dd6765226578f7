// Package homework brings a far student's films in: resumable uploads (tus 1.0)
// within the limits of her slip, kept apart until they are whole, then handed to
// intake like any other film. It makes the slips' QR codes and the tickets by which
// her page shows what came back, and lets go of originals when they are due.
package homework

import (
	"context"
	"crypto/rand"
	"encoding/base64"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"os"
	"path/filepath"
	"sync"
	"time"

	"github.com/tus/tusd/v2/pkg/filestore"
	"github.com/tus/tusd/v2/pkg/handler"
	"github.com/tus/tusd/v2/pkg/memorylocker"
	xslog "golang.org/x/exp/slog"

	"tenoff/internal/blob"
	"tenoff/internal/disk"
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
	kept   keeping
	store  *store.Store
	intake *intake.Intake
	log    *slog.Logger
	tus    http.Handler
	key    []byte // signs tickets
	now    func() time.Time

	// create is held from the look at the limits until the upload is there, so that two
	// beginning at once can't both have what is left.
	create   beginning
	locks    handler.Locker
	patience time.Duration // how long whoever sends is asked to let go

	ending sync.Map // the IDs of uploads that are being forgotten
}

// New returns the uploads in the folder dir. Where several programs work on the store they all
// reach it. Nothing is written: uploads are taken, and tickets signed, after Serve alone.
func New(dir string, s *store.Store, in *intake.Intake, log *slog.Logger) (*Homework, error) {
	h := &Homework{dir: dir, store: s, intake: in, log: log}
	h.kept = files{filestore.FileStore{Path: dir, DirModePerm: 0o700, FileModePerm: 0o600}, h}
	return h, h.begun()
}

// NewInBucket is New where the store's files lie in a bucket: the uploads lie beside them. What
// is under way on this machine takes room in the folder dir, which is this program's alone.
func NewInBucket(dir string, files *blob.Store, s *store.Store, in *intake.Intake, log *slog.Logger) (*Homework, error) {
	client, bucket, prefix, err := files.Objects()
	if err != nil {
		return nil, err
	}
	h := &Homework{dir: dir, store: s, intake: in, log: log}
	h.kept = objects{client: client, bucket: bucket, prefix: prefix + Folder + "/", files: files, h: h}
	return h, h.begun()
}

// Serve makes everything ready for uploads and tickets, once, before the first of them comes:
// the folder, without what a program that ended without warning left half made in it, and the
// key of tickets.
func (h *Homework) Serve(ctx context.Context) error {
	if err := os.MkdirAll(h.dir, 0o700); err != nil {
		return fmt.Errorf("folder of uploads: %w", err)
	}
	if _, ok := h.kept.(objects); ok {
		if err := clearPieces(h.dir); err != nil {
			return fmt.Errorf("folder of uploads: %w", err)
		}
	}
	if h.store.Ours() {
		return nil
	}
	kept, err := h.store.SettingOnce(ctx, ticketKey, base64.StdEncoding.EncodeToString(h.key))
	if err != nil {
		return err
	}
	if h.key, err = base64.StdEncoding.DecodeString(kept); err != nil {
		return fmt.Errorf("setting %q: %w", ticketKey, err)
	}
	return nil
}

// clearPieces removes the pieces of films that tusd had in a folder, by the names that it gives
// them, and nothing else: the folder may have held uploads before there was a bucket.
func clearPieces(dir string) error {
	left, err := filepath.Glob(filepath.Join(dir, "tusd-s3-*"))
	errs := []error{err}
	for _, path := range left {
		errs = append(errs, disk.RemoveAll(path))
	}
	return errors.Join(errs...)
}

// ticketKey is the first academy's setting that holds what tickets are signed with where
// several programs have to read them.
const ticketKey = "ticket key"

// begun completes what New began.
func (h *Homework) begun() error {
	if h.log == nil {
		h.log = slog.New(slog.DiscardHandler)
	}
	h.now, h.key, h.locks, h.patience = time.Now, make([]byte, 32), memorylocker.New(), time.Second
	rand.Read(h.key) // never fails
	if !h.store.Ours() {
		h.locks, h.patience = turns{h}, patience
		h.create.others = turns{h}
	}
	composer := handler.NewStoreComposer()
	composer.UseCore(h.kept)
	composer.UseTerminater(h.kept)
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
		return fmt.Errorf("tus: %w", err)
	}
	h.tus = http.StripPrefix(Base, tus)
	return nil
}

const (
	// stall is how long an upload may stand still before the connection is given up.
	stall = 60 * time.Second
	// patience is how long a request waits for another one on the same upload to end.
	patience = 10 * time.Second
)
