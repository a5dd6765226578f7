// Package backup copies a data folder, also while a server works on it, brings a
// copy back, and finds where files and rows don't agree. A backup is laid out like a
// data folder: the database, and the files it names.
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
	Spoilt       int   // files made from films that are not what they were; the films are whole
	store.Closed       // by bringing it back
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

// Make copies the database of s and the files that it names into the folder dest,
// which must be empty or not there. Every file is read back and compared. It can
// run while others read and write: the database is copied first, and what lies
// under a key never changes; should files go meanwhile, both are brought up to
// date. The database gets its name last, so that what has one is whole. After an
// error nothing is left.
func Make(ctx context.Context, s *store.Store, blobs *blob.Store, dest string) (r Report, err error) {
	target, err := open(dest)
	if err != nil {
		return r, err
	}
	defer func() {
		err = said(errors.Join(err, target.close(err)), "The backup in "+dest+" could not be made")
	}()
	spoilt := map[string]bool{}
	for range rounds {
		if err := target.clearPart(); err != nil {
			return r, err
		}
		if err := s.CopyTo(ctx, target.part()); err != nil {
			return r, err
		}
		files, err := store.NamedIn(ctx, target.part())
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
			r = report(files)
			r.Spoilt = len(spoilt)
			return r, target.finish(ctx, files)
		}
		// Were these removed together with their rows, or are they lost?
		if lost, err := stillNamed(ctx, s, gone); err != nil || len(lost) > 0 {
			return r, errors.Join(err, missing(lost))
		}
	}
	return r, bullpen.Errorf(bullpen.Unavailable, "So much was removed during the backup that it did not come to an end; try again.")
}

// Restore copies a backup onto a data folder that is empty or not there. Every file
// is compared with what the database says of it and read back. The database comes
// last: with it the folder is whole. After an error nothing is left. What opened the
// data to somebody when the backup was taken opens nothing any more: it may have been
// taken back since. A backup of an older program is brought to the current schema.
func Restore(ctx context.Context, from, dataDir string) (r Report, err error) {
	defer func() { err = said(err, "The backup in "+from+" could not be brought back to "+dataDir) }()
	files, err := store.NamedIn(ctx, filepath.Join(from, store.Database))
	if err != nil {
		return r, err
	}
	source, err := existing(filepath.Join(from, blob.Folder))
	if err != nil {
		return r, err
	}
	defer source.Close()
	target, err := open(dataDir)
	if err != nil {
		return r, err
	}
	defer func() { err = errors.Join(err, target.close(err)) }()
	gone, spoilt, err := target.bring(ctx, source, files)
	if err != nil {
		return r, err
	}
	if len(gone) > 0 {
		return r, missing(gone)
	}
	if err := copyFile(filepath.Join(from, store.Database), target.part()); err != nil {
		return r, err
	}
	r = report(files)
	if r.Closed, err = store.CloseAllIn(ctx, target.part()); err != nil {
		return r, err
	}
	r.Spoilt = len(spoilt)
	if files, err = target.remake(ctx, files, spoilt); err != nil {
		return r, err
	}
	return r, target.finish(ctx, files)
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
	if err := store.ReadAgainIn(ctx, t.part(), keys, readFilm); err != nil {
		return nil, err
	}
	if err := store.MakeAgainIn(ctx, t.part(), keys, renderClip); err != nil {
		return nil, err
	}
	return store.NamedIn(ctx, t.part())
}

// said puts an error that has no sentence of its own into one: it is the disk's.
func said(err error, what string) error {
	var known *bullpen.Error
	if err == nil || errors.As(err, &known) || errors.Is(err, context.Canceled) {
		return err
	}
	why := "the disk gave an error"
	var reason syscall.Errno
	if errors.As(err, &reason) {
		why = "the disk says “" + reason.Error() + "”"
	}
	return &bullpen.Error{Code: bullpen.Unavailable, Message: what + ": " + why + ". Nothing was left behind; check both folders, then try again.", Err: err}
}

// existing opens a folder of files for reading; one without files may be missing.
func existing(dir string) (*blob.Store, error) {
	if _, err := os.Stat(dir); errors.Is(err, fs.ErrNotExist) {
		return nil, bullpen.Errorf(bullpen.NotFound, "There is no folder %s, so the backup is not whole.", dir)
	}
	return blob.Read(dir)
}

func report(files []store.File) Report {
	r := Report{Files: len(files)}
	for _, f := range files {
		r.Bytes += f.Bytes
	}
	return r
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
