package main

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"tenoff/internal/blob"
	"tenoff/internal/bullpen"
	"tenoff/internal/disk"
	"tenoff/internal/store"
)

// marked is where the films of an academy lie, and whose they are.
type marked interface {
	// String names the place, for people.
	String() string
	// Mark is what it is marked with, "" for nothing.
	Mark(ctx context.Context) (string, error)
	// search says how to look for the films that should lie here, and how to go on without
	// them: with a mark of that text.
	search(text string) string
	// SetMark marks one that is not marked yet; several machines may at once.
	SetMark(ctx context.Context, text string) error
}

// goesWith refuses a place that is not the one that a database's films lie in: a folder that
// is not mounted, or another's. Where there is no film yet a new one is marked.
func goesWith(ctx context.Context, at marked, st *store.Store, make whether) error {
	mark, err := at.Mark(ctx)
	switch {
	case err != nil:
		return err
	case mark == st.First():
		return nil
	case mark != "":
		return errOthers(at)
	case make == existing:
		return bullpen.Errorf(bullpen.NotFound, "There is no tenoff data in %s.", at)
	}
	films, err := st.NamesFiles(ctx)
	if err != nil {
		return err
	}
	if films {
		return bullpen.Errorf(bullpen.Unavailable, "The films of this database do not lie in %s: %s.", at, at.search(st.First()))
	}
	return at.SetMark(ctx, st.First())
}

// notOthers refuses a place that is marked for another database than the one that first names.
func notOthers(ctx context.Context, at marked, first string) error {
	mark, err := at.Mark(ctx)
	if err == nil && mark != "" && mark != first {
		err = errOthers(at)
	}
	return err
}

func errOthers(at marked) error {
	return bullpen.Errorf(bullpen.Unavailable, "There are the films of another database in %s; name the place that goes with this one.", at)
}

// claim marks a place for the films of an academy that is brought back, unless it is marked
// for it already: from a try that ended early, or since only its database was lost.
func claim(ctx context.Context, at marked, blobs *blob.Store, first string) error {
	mark, err := at.Mark(ctx)
	switch {
	case err != nil:
		return err
	case mark == first:
		return nil
	case mark != "":
		return errOthers(at)
	}
	files, err := blobs.List(ctx, "")
	if err != nil {
		return err
	}
	if len(files) > 0 {
		return bullpen.Errorf(bullpen.Conflict, "There is something in %s already, for instance %s; name an empty place.", at, files[0].Key)
	}
	return at.SetMark(ctx, first)
}

// markedBucket is a place in a bucket.
type markedBucket struct {
	*blob.Store
	at blob.Address
}

// String implements marked.
func (b markedBucket) String() string { return "the bucket " + b.at.String() }

func (b markedBucket) search(text string) string {
	return "check the bucket and the prefix in --files. To go on without them, store an object “" + b.at.Prefix + blob.MarkName + "” there with the text " + text
}

// markedFolder is a folder that all machines reach.
type markedFolder string

// String implements marked.
func (dir markedFolder) String() string { return "the data folder " + string(dir) }

func (markedFolder) search(text string) string {
	return "check its name, and that it is mounted on this machine. To go on without them, put a file “" + blob.MarkName + "” with the line " + text + " into it"
}

// Mark implements marked.
func (dir markedFolder) Mark(context.Context) (string, error) {
	mark, err := os.ReadFile(filepath.Join(string(dir), blob.MarkName))
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return "", &bullpen.Error{Code: bullpen.Unavailable, Message: "The data folder " + string(dir) + " can't be read; check that you may.", Err: err}
	}
	return strings.TrimSpace(string(mark)), nil
}

// SetMark implements marked. The folder is made if it is missing.
func (dir markedFolder) SetMark(ctx context.Context, text string) error {
	failed := func(err error) error {
		return &bullpen.Error{Code: bullpen.Unavailable, Message: "The data folder " + string(dir) + " can't be made; check that you may write there.", Err: err}
	}
	if err := os.MkdirAll(string(dir), 0o700); err != nil {
		return failed(err)
	}
	f, err := os.CreateTemp(string(dir), blob.MarkName+"-*")
	if err != nil {
		return failed(err)
	}
	defer os.Remove(f.Name()) // which is gone where it was renamed
	_, err = f.WriteString(text + "\n")
	if err = errors.Join(err, f.Sync(), f.Close()); err != nil {
		return failed(err)
	}
	mark := filepath.Join(string(dir), blob.MarkName)
	if err = os.Link(f.Name(), mark); err != nil && !errors.Is(err, fs.ErrExist) {
		err = writeNew(mark, text+"\n") // a file system without links
	}
	switch {
	case errors.Is(err, fs.ErrExist): // another program was faster
		return dir.marked(ctx, text)
	case err != nil:
		return failed(err)
	}
	return disk.Flush(string(dir))
}

// marked fails unless the mark that is there is that text.
func (dir markedFolder) marked(ctx context.Context, text string) error {
	mark, err := dir.Mark(ctx)
	switch {
	case err != nil:
		return err
	case mark == "":
		return bullpen.Errorf(bullpen.Unavailable, "The file “%s” in %s is empty: another tenoff just begins there, or was stopped as it did. Start again in a moment; if it is still empty then, remove it.", blob.MarkName, dir)
	case mark != text:
		return errOthers(dir)
	}
	return nil
}

// writeNew writes a file that is not there yet, of several programs in one only, and brings it
// to the disk.
func writeNew(name, text string) error {
	f, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return err
	}
	_, err = f.WriteString(text)
	if err = errors.Join(err, f.Sync(), f.Close()); err != nil {
		return errors.Join(err, os.Remove(name))
	}
	return nil
}
