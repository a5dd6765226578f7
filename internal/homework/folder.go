package homework

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/tus/tusd/v2/pkg/filestore"
	"github.com/tus/tusd/v2/pkg/handler"
)

// files keeps uploads as tusd's store of files does: ID with the bytes, ID.info with
// the rest, ID.done in place of the bytes of one that was taken in.
type files struct {
	filestore.FileStore
	h *Homework
}

func (h *Homework) path(name string) string { return filepath.Join(h.dir, name) }

// NewUpload implements handler.DataStore. It is called with h.create held, see begin.
func (f files) NewUpload(ctx context.Context, info handler.FileInfo) (handler.Upload, error) {
	defer f.h.create.Unlock()
	u, err := f.FileStore.NewUpload(ctx, info)
	if err != nil {
		return nil, f.h.plain(ctx, err)
	}
	return open{u, f.h, info.ID}, nil
}

// GetUpload implements handler.DataStore.
func (f files) GetUpload(ctx context.Context, id string) (handler.Upload, error) {
	if !named(id) {
		return nil, handler.ErrNotFound
	}
	if _, err := os.Stat(f.h.path(id + doneExt)); err == nil {
		u, err := f.upload(ctx, id)
		if err != nil {
			return nil, f.h.plain(ctx, err)
		}
		return taken{u.info}, nil
	}
	u, err := f.FileStore.GetUpload(ctx, id)
	if err != nil {
		return nil, f.h.plain(ctx, err)
	}
	return open{u, f.h, id}, nil
}

// AsTerminatableUpload implements handler.TerminaterDataStore.
func (f files) AsTerminatableUpload(u handler.Upload) handler.TerminatableUpload {
	if t, ok := u.(taken); ok {
		return t
	}
	if o, ok := u.(open); ok {
		u = o.Upload
	}
	return f.FileStore.AsTerminatableUpload(u)
}

// open is an upload that goes on. It is written in larger pieces than tusd would, along
// the lane of films.
type open struct {
	handler.Upload
	h  *Homework
	id string
}

// WriteChunk implements handler.Upload. What came before an error is kept.
func (o open) WriteChunk(ctx context.Context, _ int64, src io.Reader) (n int64, err error) {
	f, err := os.OpenFile(o.h.path(o.id), os.O_WRONLY|os.O_APPEND, 0)
	if errors.Is(err, fs.ErrNotExist) {
		return 0, handler.ErrNotFound // forgotten a moment ago
	}
	if err != nil {
		return 0, o.h.plain(ctx, err)
	}
	n, err = o.h.intake.Throttle().Copy(ctx, f, src)
	return n, errors.Join(err, f.Close())
}

func (f files) take(ctx context.Context, u upload, bullpenID string) error {
	if _, _, err := f.h.intake.Take(ctx, bullpenID, u.name(), f.h.path(u.id)); err != nil {
		return err
	}
	if err := f.h.came(ctx, u); err != nil {
		return err
	}
	if err := os.WriteFile(f.h.path(u.id+doneExt), nil, 0o600); err != nil {
		return err
	}
	return os.Remove(f.h.path(u.id))
}

func (f files) room(name string, bytes int64) error { return f.h.intake.CheckRoom(name, bytes) }

func (f files) clear(_ context.Context, known map[string]bool) error {
	entries, err := os.ReadDir(f.h.dir)
	errs := []error{err}
	for _, e := range entries {
		info, err := e.Info()
		if known[idOf(e.Name())] || err != nil || f.h.now().Sub(info.ModTime()) < time.Hour {
			continue // whole, gone meanwhile, or just being made
		}
		if err := os.Remove(f.h.path(e.Name())); err != nil && !errors.Is(err, fs.ErrNotExist) {
			errs = append(errs, err)
		}
	}
	return errors.Join(errs...)
}

// idOf is the ID in the name of one of an upload's files.
func idOf(name string) string {
	return strings.TrimSuffix(strings.TrimSuffix(name, infoExt), doneExt)
}

func (f files) strays(ctx context.Context) (none []string, ids map[string]string, err error) {
	entries, err := os.ReadDir(f.h.dir)
	if err != nil && !errors.Is(err, fs.ErrNotExist) { // nobody has served there yet
		return nil, nil, err
	}
	ids = map[string]string{}
	for _, e := range entries {
		id := idOf(e.Name())
		_, err := f.upload(ctx, id)
		switch {
		case errors.Is(err, fs.ErrNotExist):
			if info, err := e.Info(); err == nil && f.h.now().Sub(info.ModTime()) > time.Minute {
				none = append(none, e.Name())
			}
		case err != nil || !named(id):
			none = append(none, e.Name())
		default:
			ids[e.Name()] = id
		}
	}
	return none, ids, nil
}

// upload reads one upload.
func (f files) upload(_ context.Context, id string) (upload, error) {
	u := upload{id: id}
	data, err := os.ReadFile(f.h.path(id + infoExt))
	if err != nil {
		return u, err
	}
	if err := json.Unmarshal(data, &u.info); err != nil {
		return u, fmt.Errorf("upload %s: %w", id, err)
	}
	stat, err := os.Stat(f.h.path(id + doneExt))
	if err == nil {
		u.taken, u.here, u.changed = true, u.info.Size, stat.ModTime()
		return u, nil
	}
	stat, err = os.Stat(f.h.path(id))
	if err != nil {
		return u, err
	}
	u.here, u.changed = stat.Size(), stat.ModTime()
	return u, nil
}

// uploads lists the uploads of a homework, or all ("").
func (f files) uploads(ctx context.Context, homeworkID string) ([]upload, error) {
	prefix := "*"
	if homeworkID != "" {
		prefix = homeworkID + "-*"
	}
	infos, err := filepath.Glob(f.h.path(prefix + infoExt))
	if err != nil {
		return nil, err
	}
	var out []upload
	for _, path := range infos {
		id := strings.TrimSuffix(filepath.Base(path), infoExt)
		if !named(id) {
			continue
		}
		u, err := f.upload(ctx, id)
		var half *json.SyntaxError
		if errors.Is(err, fs.ErrNotExist) || errors.As(err, &half) {
			continue // it went while we looked, is just being made, or is not whole: see Sweep
		}
		if err != nil {
			return nil, err
		}
		out = append(out, u)
	}
	return out, nil
}

func (f files) drop(_ context.Context, id string) error {
	var errs []error
	for _, ext := range []string{"", doneExt, infoExt} { // the info last: it names the others
		if err := os.Remove(f.h.path(id + ext)); err != nil && !errors.Is(err, fs.ErrNotExist) {
			errs = append(errs, err)
		}
	}
	return errors.Join(errs...)
}
