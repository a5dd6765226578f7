// Package backup copies a data folder, or an academy, also while servers work on it, brings
// a copy back to either, and finds where files and rows don't agree. A backup is laid out
// like a data folder, wherever it comes from: the database as one file (store.Database), the
// files it names in a folder (blob.Folder) under their keys, and nothing else.
package backup

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"syscall"

	"tenoff/internal/blob"
	"tenoff/internal/bullpen"
	"tenoff/internal/store"
)

// Report says what was copied.
type Report struct {
	Files        int
	Bytes        int64 // of the files, without the database
	There        int   // of the files, those that were there already, whole
	ThereBytes   int64
	Removed      int // files of an earlier backup that are named no more
	Spoilt       int // files made from films that are not what they were; the films are whole
	Replaced     int // texts with a character that could not be brought back, see store.Fill
	store.Closed     // by bringing it back
}

// The kinds of the jobs that make again what was made of films; see intake.Kind and
// shelf.Kind.
const (
	readFilm   = "read film"
	renderClip = "render clip"
)

// rounds is how often the database is copied anew because files that it names
// have been removed meanwhile. After the first, a round copies only the files that came
// since, so that one of them soon finds nothing removed.
const rounds = 50

// Make copies the database of s and the files that it names into the folder dest, which must
// be empty, not there, or an earlier backup of the same data: that is brought up to date, unless
// it has what was added after the older one that the data were brought back from. A
// file is copied unless it is there with the size and the SHA-256 that the database says, and
// every copy is read back and compared. It can run while others read and write, but for
// another Make in the same folder: the database is copied first, and what lies under a key
// never changes; should files go meanwhile, both are brought up to date. The database gets its
// name last, so that what has one is whole; what an earlier one named and this one does not
// goes after that. After an error nothing is left, or the earlier backup is as it was.
func Make(ctx context.Context, s *store.Store, blobs *blob.Store, dest string) (r Report, err error) {
	target, err := begin(ctx, dest, s.First())
	if err != nil {
		return r, err
	}
	defer func() {
		err = said(errors.Join(err, target.close(err)), "The backup in "+dest+" could not be made", target.left)
	}()
	spoilt := map[string]bool{}
	for range rounds {
		if err := target.take(ctx, s); err != nil {
			return r, err
		}
		files, err := store.NamedIn(ctx, target.part)
		if err != nil {
			return r, err
		}
		gone, bad, err := target.bring(ctx, blobs, files)
		if err != nil {
			return r, err
		}
		for _, f := range bad {
			spoilt[f.Key] = true
		}
		if len(gone) == 0 {
			r = target.report(files)
			r.Spoilt = len(spoilt)
			err = target.finish(ctx, files)
			r.Removed = target.removed
			return r, err
		}
		// Were these removed together with their rows, or are they lost?
		if lost, err := stillNamed(ctx, s, gone); err != nil || len(lost) > 0 {
			return r, errors.Join(err, missing(lost))
		}
	}
	return r, bullpen.Errorf(bullpen.Unavailable, "So much was removed during the backup that it did not come to an end; try again.")
}

// Restore copies a backup onto a data folder that is empty or not there. Every file
// is compared with what the database says of it and read back. The database gets its name
// last: with it the folder is whole. After an error nothing is left. What opened the
// data to somebody when the backup was taken opens nothing any more: it may have been
// taken back since. A backup of an older program is brought to the current schema.
func Restore(ctx context.Context, from, dataDir string) (r Report, err error) {
	defer func() {
		err = said(err, "The backup in "+from+" could not be brought back to "+dataDir, "Nothing was left behind")
	}()
	b, err := read(ctx, from)
	if err != nil {
		return r, err
	}
	defer b.Close()
	target, err := open(dataDir)
	if err != nil {
		return r, err
	}
	defer func() { err = errors.Join(err, target.close(err)) }()
	return target.bringBack(ctx, b)
}

// Academy is where a backup is brought back to that several machines work on.
type Academy struct {
	Rows *store.Store // a PostgreSQL
	Desk string       // an empty folder of this machine's, for the database on its way
	// Files opens the place of the files and says there that they are those of the academy with
	// that ID, as store.Store's First says it. It fails where others' are. What it returns is
	// closed when the backup is back.
	Files func(ctx context.Context, first string) (*blob.Store, error)
}

// RestoreAcademy is Restore onto an academy, in whose database nothing may be kept yet. The
// rows come last, all of them or none. After an error, or when it was stopped, the files
// that were brought stay, claimed for this academy alone: the next try compares them in
// place of sending them again. What else lies there is not touched.
func RestoreAcademy(ctx context.Context, from string, to Academy) (r Report, err error) {
	defer func() {
		err = said(err, "The backup in "+from+" could not be brought back", "No row was stored; the same call goes on where this one ended")
	}()
	if err := to.Rows.Blank(ctx); err != nil {
		return r, err
	}
	b, err := read(ctx, from)
	if err != nil {
		return r, err
	}
	defer b.Close()
	first, err := store.FirstIn(ctx, b.database())
	if err != nil {
		return r, err
	}
	blobs, err := to.Files(ctx, first)
	if err != nil {
		return r, err
	}
	defer func() { err = errors.Join(err, blobs.Close()) }()
	var replaced int
	target := &target{blobs: blobs, part: filepath.Join(to.Desk, store.Database), brought: map[string]bool{}, there: map[string]bool{}}
	target.settle = func(ctx context.Context) (err error) {
		replaced, err = to.Rows.Fill(ctx, target.part)
		return err
	}
	r, err = target.bringBack(ctx, b)
	r.Replaced = replaced
	return r, err
}

// backup is one that is read.
type backup struct {
	dir string
	*blob.Store
}

func (b backup) database() string { return filepath.Join(b.dir, store.Database) }

// read opens a backup, once it is known to be sound.
func read(ctx context.Context, dir string) (b backup, err error) {
	b.dir = dir
	if _, err = store.NamedIn(ctx, b.database()); err != nil {
		return b, err
	}
	b.Store, err = existing(filepath.Join(dir, blob.Folder))
	return b, err
}

// bringBack copies a backup to the target. Its database is copied first, and the copy says
// which files there have to be: the backup may be brought up to date meanwhile.
func (t *target) bringBack(ctx context.Context, b backup) (r Report, err error) {
	if err := copyFile(b.database(), t.part); err != nil {
		return r, err
	}
	files, err := store.NamedIn(ctx, t.part)
	if err != nil {
		return r, err
	}
	gone, spoilt, err := t.bring(ctx, b.Store, files)
	if err != nil {
		return r, err
	}
	if len(gone) > 0 {
		return r, missing(gone)
	}
	r = t.report(files)
	if r.Closed, err = store.CloseAllIn(ctx, t.part); err != nil {
		return r, err
	}
	r.Spoilt = len(spoilt)
	if files, err = t.remake(ctx, files, spoilt); err != nil {
		return r, err
	}
	return r, t.finish(ctx, files)
}

// remake has what was made of films and is not what it was made again, films by being
// read, clips on the shelf by being rendered, and returns the files that are named from
// then on. A clip that went with an answer stays as it is.
func (t *target) remake(ctx context.Context, files, spoilt []store.File) ([]store.File, error) {
	if len(spoilt) == 0 {
		return files, nil
	}
	keys := make([]string, len(spoilt))
	for i, f := range spoilt {
		keys[i] = f.Key
	}
	if err := store.ReadAgainIn(ctx, t.part, keys, readFilm); err != nil {
		return nil, err
	}
	if err := store.MakeAgainIn(ctx, t.part, keys, renderClip); err != nil {
		return nil, err
	}
	return store.NamedIn(ctx, t.part)
}

// said puts an error that has no sentence of its own into one: it is the disk's. left is what
// is there now.
func said(err error, what, left string) error {
	var known *bullpen.Error
	if err == nil || errors.As(err, &known) || errors.Is(err, context.Canceled) {
		return err
	}
	why := "the disk gave an error"
	var reason syscall.Errno
	if errors.As(err, &reason) {
		why = "the disk says “" + reason.Error() + "”"
	}
	return &bullpen.Error{Code: bullpen.Unavailable, Message: what + ": " + why + ". " + left + "; check the disks, then try again.", Err: err}
}

// existing opens a folder of files for reading; one without files may be missing.
func existing(dir string) (*blob.Store, error) {
	if _, err := os.Stat(dir); errors.Is(err, fs.ErrNotExist) {
		return nil, bullpen.Errorf(bullpen.NotFound, "There is no folder %s, so the backup is not whole.", dir)
	}
	return blob.Read(dir)
}

// stillNamed returns those of the files that the store names now.
func stillNamed(ctx context.Context, s *store.Store, files []store.File) ([]store.File, error) {
	now, err := s.NamedFiles(ctx)
	if err != nil {
		return nil, err
	}
	named := map[string]bool{}
	for _, f := range now {
		named[f.Key] = true
	}
	var still []store.File
	for _, f := range files {
		if named[f.Key] {
			still = append(still, f)
		}
	}
	return still, nil
}

// missing is the error of files that are not where they should be, nil for none.
func missing(files []store.File) error {
	if len(files) == 0 {
		return nil
	}
	more := ""
	if len(files) > 1 {
		more = fmt.Sprintf(" and %d more", len(files)-1)
	}
	return bullpen.Errorf(bullpen.Unavailable, "The file %s%s is missing; `tenoff doctor` lists what is not whole.", files[0].Key, more)
}
