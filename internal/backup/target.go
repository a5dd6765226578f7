package backup

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
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
	there   map[string]bool                 // of those brought: whole before
	removed int                             // files of an earlier backup that are no longer named
	earlier bool                            // an earlier backup lies there
	left    string                          // what is there after a failure, as a sentence without its point
	settle  func(ctx context.Context) error // has the database take its place
	empty   func() error                    // lets go, after a failure, of what is there
}

// begin is open for a backup of the database whose first academy has that ID: where an
// earlier one lies, also one that broke off, it is gone on with.
func begin(ctx context.Context, dir, first string) (*target, error) {
	database, err := earlier(ctx, dir, first)
	if err != nil {
		return nil, err
	}
	switch database {
	case half:
		if err := clearBegun(ctx, dir); err != nil {
			return nil, err
		}
		fallthrough
	case "":
		return open(dir)
	}
	t, err := at(dir)
	if err != nil {
		return nil, err
	}
	t.earlier = true
	t.left = "What lay there is as it was, and the same call goes on where this one ended"
	t.empty = func() error {
		if database == part { // it says whose the files are
			return errors.Join(t.blobs.Close(), t.clearHalf())
		}
		return errors.Join(t.blobs.Close(), t.clearParts())
	}
	return t, nil
}

// Lock is the file that whoever makes a backup may lock its folder with; it is no part of it.
const Lock = "backing-up"

// A database is being copied under the name half, with SQLite's journal of that, and is part
// when it is copied.
const (
	part    = store.Database + ".part"
	half    = store.Database + ".copying"
	journal = half + "-journal"
)

// strays are what systems put into folders by themselves: Apple's, Microsoft's, and Linux's at
// the top of a disk.
var strays = map[string]bool{".DS_Store": true, "Thumbs.db": true, "desktop.ini": true, "lost+found": true}

// earlier returns the database of the backup in a folder, one of the database whose first
// academy has that ID, or the part of one that broke off, or half of one that did before it had
// a film; "" where no backup was begun. A data folder that somebody has worked on is none: more
// lies in it, at least the file that locked it.
func earlier(ctx context.Context, dir, first string) (database string, err error) {
	entries, err := os.ReadDir(dir)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return "", errUnread(dir, err)
	}
	is := map[string]bool{}
	other := ""
	for _, e := range entries {
		switch name := e.Name(); name {
		case blob.Folder, Lock, store.Database, part, half, journal:
			is[name] = true
		default:
			if !strays[name] {
				other = name
			}
		}
	}
	switch {
	case is[store.Database]:
		database = store.Database
	case is[part]:
		database = part
	case is[half], is[journal]:
		database = half
	}
	if database == "" {
		return "", nil
	}
	if other != "" {
		return "", errNotEmpty(dir, other)
	}
	if database == half {
		return half, nil
	}
	whose, err := store.FirstIn(ctx, filepath.Join(dir, database))
	switch {
	case ctx.Err() != nil:
		return "", ctx.Err()
	case err != nil:
		return "", &bullpen.Error{Code: bullpen.Unavailable, Message: "The earlier backup in " + dir + " can't be read: its " + database + " is damaged, or is not yours to read. Name another folder; what lies there is as it was.", Err: err}
	case whose != first:
		return "", bullpen.Errorf(bullpen.Conflict, "%s has a backup of other data; name another folder.", dir)
	}
	return database, nil
}

// clearBegun removes what there is of a backup that has no film yet.
func clearBegun(ctx context.Context, dir string) error {
	t, err := at(dir)
	if err != nil {
		return err
	}
	films, err := t.blobs.List(ctx, "")
	if err == nil && len(films) > 0 {
		err = errNotEmpty(dir, blob.Folder)
	}
	if err := errors.Join(err, t.blobs.Close()); err != nil {
		return err
	}
	return errors.Join(disk.RemoveAll(filepath.Join(dir, blob.Folder)), t.clearHalf())
}

func errNotEmpty(dir, name string) error {
	return bullpen.Errorf(bullpen.Conflict, "%s is not empty: %s is there. Name an empty folder, a new one, or for a backup that of an earlier one of the same data with nothing else in it.", dir, name)
}

func errUnread(dir string, err error) error {
	return &bullpen.Error{Code: bullpen.Unavailable, Message: "The folder " + dir + " can't be read.", Err: err}
}

// open makes dir a target; it must be empty or not there. A file that only locks it does not
// count, nor what systems put there.
func open(dir string) (*target, error) {
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return nil, &bullpen.Error{Code: bullpen.Unavailable, Message: "The folder " + dir + " can't be made; check that you may write there.", Err: err}
	}
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil, errUnread(dir, err)
	}
	for _, e := range entries {
		if strays[e.Name()] {
			continue
		}
		if info, err := e.Info(); err != nil || !info.Mode().IsRegular() || info.Size() > 0 {
			return nil, errNotEmpty(dir, e.Name())
		}
	}
	t, err := at(dir)
	if err != nil {
		return nil, err
	}
	t.left = "Nothing was left behind"
	t.empty = func() error {
		return errors.Join(t.blobs.Close(), t.clearParts(), disk.RemoveAll(filepath.Join(dir, blob.Folder)))
	}
	return t, nil
}

// at is a target in a folder, whatever lies there.
func at(dir string) (*target, error) {
	blobs, err := blob.Open(filepath.Join(dir, blob.Folder))
	if err != nil {
		return nil, err
	}
	t := &target{blobs: blobs, part: filepath.Join(dir, part), brought: map[string]bool{}, there: map[string]bool{}}
	t.settle = func(context.Context) error {
		if err := os.Rename(t.part, filepath.Join(dir, store.Database)); err != nil {
			return err
		}
		return disk.Flush(dir)
	}
	return t, nil
}

// clearParts removes databases that have not taken their place.
func (t *target) clearParts() error {
	return errors.Join(gone(os.Remove(t.part)), t.clearHalf())
}

func (t *target) clearHalf() error {
	dir := filepath.Dir(t.part)
	return errors.Join(gone(os.Remove(filepath.Join(dir, half))), gone(os.Remove(filepath.Join(dir, journal))))
}

// take copies the rows of s to the part: what has that name is whole, and says whose the files
// beside it are.
func (t *target) take(ctx context.Context, s *store.Store) error {
	if err := t.clearHalf(); err != nil {
		return err
	}
	copying := filepath.Join(filepath.Dir(t.part), half)
	if err := s.CopyTo(ctx, copying); err != nil {
		return err
	}
	database := filepath.Join(filepath.Dir(t.part), store.Database)
	if _, err := os.Stat(database); err == nil {
		follows, err := store.Follows(ctx, copying, database)
		if err != nil {
			return err
		}
		if !follows {
			return bullpen.Errorf(bullpen.Conflict, "The backup in %s has what was added after the older one that these data were brought back from; name another folder, and that one stays as it is.", filepath.Dir(t.part))
		}
	}
	return os.Rename(copying, t.part)
}

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
		there, whole, err := t.has(ctx, source, f)
		switch {
		case err != nil:
		case there:
			t.there[f.Key] = true
		default:
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

// has reports whether a file is there already, from an earlier backup or a try that broke off,
// and need not be copied. Where an older database does not say what its SHA-256 is, what was
// copied earlier stays, and is whole if the source's is the same: either may have rotted.
func (t *target) has(ctx context.Context, source *blob.Store, f store.File) (there, whole bool, err error) {
	info, err := t.blobs.Stat(ctx, f.Key)
	if bullpen.CodeOf(err) == bullpen.NotFound {
		return false, false, nil
	}
	if err != nil || info.Size != f.Bytes {
		return false, false, err
	}
	sum, err := t.blobs.Sum(ctx, f.Key)
	if err != nil || f.Sum != "" {
		return sum == f.Sum, sum == f.Sum, err
	}
	its, err := source.Sum(ctx, f.Key)
	return true, sum == its, err
}

// bringOne copies one file and reads the copy back. whole is false where the file was
// made from a film and is not what it was: no reason to lose the film.
func (t *target) bringOne(ctx context.Context, in io.Reader, f store.File) (whole bool, err error) {
	read := sha256.New()
	info, err := t.blobs.Replace(ctx, f.Key, io.TeeReader(in, read))
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
// database take its place. What an earlier backup's named goes after that: until then it is
// that backup's.
func (t *target) finish(ctx context.Context, files []store.File) error {
	named := map[string]bool{}
	for _, f := range files {
		named[f.Key] = true
	}
	drop := func(key string) error {
		if named[key] {
			return nil
		}
		return t.blobs.Delete(ctx, key)
	}
	if !t.earlier {
		for key := range t.brought {
			if err := drop(key); err != nil {
				return err
			}
		}
	}
	if err := t.blobs.Sweep(ctx); err != nil {
		return err
	}
	if err := t.settle(ctx); err != nil || !t.earlier {
		return err
	}
	all, err := t.blobs.List(ctx, "")
	left := 0
	for _, f := range all {
		if named[f.Key] {
			continue
		}
		if failed := t.blobs.Delete(ctx, f.Key); failed != nil {
			left, err = left+1, errors.Join(err, failed)
			continue
		}
		t.removed++
	}
	if err != nil {
		return &bullpen.Error{Code: bullpen.Unavailable, Message: fmt.Sprintf("The backup in %s is made, and whole. Not all that it no longer names could be removed there: %d files were, %d could not be; check that disk, then make the backup again.", filepath.Dir(t.part), t.removed, left), Err: err}
	}
	return nil
}

// report says what was copied, of files that the database names.
func (t *target) report(files []store.File) Report {
	r := Report{Files: len(files)}
	for _, f := range files {
		r.Bytes += f.Bytes
		if t.there[f.Key] {
			r.There++
			r.ThereBytes += f.Bytes
		}
	}
	return r
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
