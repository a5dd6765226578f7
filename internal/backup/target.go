package backup

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"hash"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"tenoff/internal/blob"
	"tenoff/internal/bullpen"
	"tenoff/internal/disk"
	"tenoff/internal/store"
)

// target is where a copy is made: files, and a database that gets there last.
type target struct {
	blobs   *blob.Store
	part    string // where the database lies until everything is there
	brought map[string]bool
	settle  func(ctx context.Context) error // has the database take its place
	empty   func() error                    // lets go, after a failure, of what is there
}

// open makes dir a target; it must be empty or not there. A file that only locks
// it does not count.
func open(dir string) (*target, error) {
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return nil, &bullpen.Error{Code: bullpen.Unavailable, Message: "The folder " + dir + " can't be made; check that you may write there.", Err: err}
	}
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil, &bullpen.Error{Code: bullpen.Unavailable, Message: "The folder " + dir + " can't be read.", Err: err}
	}
	for _, e := range entries {
		if info, err := e.Info(); err != nil || !info.Mode().IsRegular() || info.Size() > 0 {
			return nil, bullpen.Errorf(bullpen.Conflict, "%s is not empty; name an empty folder, or a new one.", dir)
		}
	}
	blobs, err := blob.Open(filepath.Join(dir, blob.Folder))
	if err != nil {
		return nil, err
	}
	t := &target{blobs: blobs, part: filepath.Join(dir, store.Database+".part"), brought: map[string]bool{}}
	t.settle = func(context.Context) error {
		if err := os.Rename(t.part, filepath.Join(dir, store.Database)); err != nil {
			return err
		}
		return disk.Flush(dir)
	}
	t.empty = func() error {
		return errors.Join(blobs.Close(), t.clearPart(), disk.RemoveAll(filepath.Join(dir, blob.Folder)))
	}
	return t, nil
}

func (t *target) clearPart() error { return gone(os.Remove(t.part)) }

// bring copies the files that are not there yet and returns those that the source
// has not. A film that differs from what the database says is an error; what was made
// from one and differs is copied as it is and listed.
func (t *target) bring(ctx context.Context, source *blob.Store, files []store.File) (missing, spoilt []store.File, err error) {
	for _, f := range files {
		if t.brought[f.Key] {
			continue // in the round before
		}
		in, err := source.Open(ctx, f.Key) // first: what lies at the target goes only for something in its place
		if bullpen.CodeOf(err) == bullpen.NotFound {
			missing = append(missing, f)
			continue
		}
		if err != nil {
			return nil, nil, err
		}
		whole, err := t.has(ctx, f)
		if err == nil && !whole {
			whole, err = t.bringOne(ctx, in, f)
		}
		if err := errors.Join(err, in.Close()); err != nil {
			return nil, nil, err
		}
		t.brought[f.Key] = true
		if !whole {
			spoilt = append(spoilt, f)
		}
	}
	return missing, spoilt, nil
}

// has reports whether a file is there already, whole, from a try that broke off; one that is
// not what the database says goes.
func (t *target) has(ctx context.Context, f store.File) (bool, error) {
	info, err := t.blobs.Stat(ctx, f.Key)
	if bullpen.CodeOf(err) == bullpen.NotFound {
		return false, nil
	}
	if err != nil {
		return false, err
	}
	if f.Sum != "" && info.Size == f.Bytes {
		if sum, err := t.blobs.Sum(ctx, f.Key); err != nil || sum == f.Sum {
			return err == nil, err
		}
	}
	return false, t.blobs.Delete(ctx, f.Key)
}

// bringOne copies one file and reads the copy back. whole is false where the file was
// made from a film and is not what it was: no reason to lose the film.
func (t *target) bringOne(ctx context.Context, in io.Reader, f store.File) (whole bool, err error) {
	read := sha256.New()
	info, err := t.blobs.Put(ctx, f.Key, io.TeeReader(in, read))
	if err != nil {
		return false, err
	}
	if err := t.compare(ctx, f.Key, read); err != nil {
		return false, err
	}
	whole = info.Size == f.Bytes && (f.Sum == "" || hex.EncodeToString(read.Sum(nil)) == f.Sum)
	if !whole && f.Original() {
		return false, bullpen.Errorf(bullpen.Unavailable, "The file %s is damaged: it is not what was stored. Remove its film or clip, or bring an older backup back.", f.Key)
	}
	return whole, nil
}

// compare reads a copy back.
func (t *target) compare(ctx context.Context, key string, want hash.Hash) error {
	copied, err := t.blobs.Open(ctx, key)
	if err != nil {
		return err
	}
	defer copied.Close()
	got := sha256.New()
	if _, err := io.Copy(got, copied); err != nil {
		return err
	}
	if !bytes.Equal(got.Sum(nil), want.Sum(nil)) {
		return bullpen.Errorf(bullpen.Unavailable, "The copy of %s reads back otherwise than it was written; that disk can't be trusted.", key)
	}
	return nil
}

// finish removes what an earlier round brought and the database names no more, and has the
// database take its place.
func (t *target) finish(ctx context.Context, files []store.File) error {
	named := map[string]bool{}
	for _, f := range files {
		named[f.Key] = true
	}
	for key := range t.brought {
		if !named[key] {
			if err := t.blobs.Delete(ctx, key); err != nil {
				return err
			}
		}
	}
	if err := t.blobs.Sweep(ctx); err != nil {
		return err
	}
	return t.settle(ctx)
}

// close lets go of the place and, after a failure, empties it.
func (t *target) close(failure error) error {
	if failure != nil {
		return t.empty()
	}
	return t.blobs.Close()
}

// copyFile copies one file to a new one and flushes it.
func copyFile(from, to string) error {
	in, err := os.Open(from)
	if err != nil {
		return err
	}
	defer in.Close()
	out, err := os.OpenFile(to, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return err
	}
	_, err = io.Copy(out, in)
	return errors.Join(err, out.Sync(), out.Close())
}

func gone(err error) error {
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	return err
}
