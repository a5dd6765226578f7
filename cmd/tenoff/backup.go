package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"tenoff/internal/blob"
	"tenoff/internal/bullpen"
	"tenoff/internal/store"
)

// backup copies a data folder, also while a server works on it. The database goes
// first: every file it names was stored before it was named, and what lies under a
// key never changes.
func backup(ctx context.Context, io streams, flags *flag.FlagSet, args []string) error {
	data := dataFlag(flags)
	rest, err := parse(flags, args, 1)
	if err != nil {
		return err
	}
	to := rest[0]
	if _, err := os.Stat(filepath.Join(*data, store.File)); err != nil {
		return bullpen.Errorf(bullpen.NotFound, "There is no tenoff data in %s.", *data)
	}
	if err := empty(to); err != nil {
		return err
	}
	st, err := store.Open(ctx, *data)
	if err != nil {
		return err
	}
	defer st.Close()
	if err := st.CopyTo(ctx, filepath.Join(to, store.File)); err != nil {
		return err
	}
	files, bytes, err := copyFiles(ctx, filepath.Join(*data, filesDir), filepath.Join(to, filesDir))
	if err != nil {
		return err
	}
	_, err = fmt.Fprintf(io.out, "the database and %d files (%d MB) are in %s\n", files, bytes>>20, to)
	return err
}

// restore brings a backup back onto an empty data folder.
func restore(ctx context.Context, io streams, flags *flag.FlagSet, args []string) error {
	data := dataFlag(flags)
	rest, err := parse(flags, args, 1)
	if err != nil {
		return err
	}
	from := rest[0]
	if _, err := os.Stat(filepath.Join(from, store.File)); err != nil {
		return bullpen.Errorf(bullpen.NotFound, "There is no backup in %s.", from)
	}
	if err := empty(*data); err != nil {
		return err
	}
	files, bytes, err := copyFiles(ctx, filepath.Join(from, filesDir), filepath.Join(*data, filesDir))
	if err != nil {
		return err
	}
	// The database comes last: with it the folder is whole.
	if err := copyFile(filepath.Join(from, store.File), filepath.Join(*data, store.File)); err != nil {
		return err
	}
	st, err := store.Open(ctx, *data)
	if err != nil {
		return err
	}
	if err := st.Close(); err != nil {
		return err
	}
	_, err = fmt.Fprintf(io.out, "the database and %d files (%d MB) are back in %s\n", files, bytes>>20, *data)
	return err
}

// empty makes dir, and refuses one that has something in it.
func empty(dir string) error {
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return &bullpen.Error{Code: bullpen.Unavailable, Message: "The folder " + dir + " can't be made; check that you may write there.", Err: err}
	}
	entries, err := os.ReadDir(dir)
	if err != nil {
		return err
	}
	for _, e := range entries {
		if e.Name() != lockName {
			return bullpen.Errorf(bullpen.Conflict, "%s is not empty; name an empty folder, or a new one.", dir)
		}
	}
	return nil
}

// copyFiles copies every stored file from one folder to another. One that is
// deleted meanwhile is passed over: its row goes too.
func copyFiles(ctx context.Context, from, to string) (files int, bytes int64, err error) {
	source, err := blob.Open(from)
	if err != nil {
		return 0, 0, err
	}
	defer source.Close()
	target, err := blob.Open(to)
	if err != nil {
		return 0, 0, err
	}
	defer target.Close()
	all, err := source.List("")
	if err != nil {
		return 0, 0, err
	}
	for _, info := range all {
		f, err := source.Open(info.Key)
		if bullpen.CodeOf(err) == bullpen.NotFound {
			continue
		}
		if err != nil {
			return files, bytes, err
		}
		put, err := target.Put(ctx, info.Key, f)
		if err := errors.Join(err, f.Close()); err != nil {
			return files, bytes, err
		}
		files++
		bytes += put.Size
	}
	return files, bytes, nil
}

// copyFile copies one file, whole or not at all.
func copyFile(from, to string) error {
	in, err := os.Open(from)
	if err != nil {
		return err
	}
	defer in.Close()
	part := to + ".part"
	out, err := os.OpenFile(part, os.O_WRONLY|os.O_CREATE|os.O_TRUNC, 0o600)
	if err != nil {
		return err
	}
	_, err = io.Copy(out, in)
	if err := errors.Join(err, out.Sync(), out.Close()); err != nil {
		return errors.Join(err, ignoreMissing(os.Remove(part)))
	}
	return os.Rename(part, to)
}

func ignoreMissing(err error) error {
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	return err
}
