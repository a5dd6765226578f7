package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"os"
	"path/filepath"

	"tenoff/internal/backup"
	"tenoff/internal/blob"
	"tenoff/internal/bullpen"
	"tenoff/internal/store"
)

// backUp copies a data folder or an academy, also while servers work on it.
func backUp(ctx context.Context, io streams, flags *flag.FlagSet, args []string) error {
	at := placeFlags(flags)
	rest, err := parse(flags, args, 1)
	if err != nil {
		return err
	}
	d, err := at.open(ctx, existing)
	if err != nil {
		return err
	}
	defer d.Close()
	done, err := backup.Make(ctx, d.store, d.blobs, rest[0])
	if err != nil {
		return err
	}
	if _, err = fmt.Fprintf(io.out, "the database and %d files (%d MB) are in %s\n", done.Files, done.Bytes>>20, rest[0]); err != nil || done.Spoilt == 0 {
		return err
	}
	_, err = fmt.Fprintf(io.out, "%s made from films are not what they were; the films themselves are whole\n", counted(done.Spoilt, "file"))
	return err
}

// restore brings a backup back onto a data folder that is empty or not there, or onto an
// academy in which nothing is kept yet.
func restore(ctx context.Context, io streams, flags *flag.FlagSet, args []string) error {
	at := placeFlags(flags)
	rest, err := parse(flags, args, 1)
	if err != nil {
		return err
	}
	if err := at.check(); err != nil {
		return err
	}
	bring := at.bringBack
	if at.rows != "" {
		bring = at.bringBackAcademy
	}
	done, err := bring(ctx, rest[0])
	if err != nil {
		return err
	}
	if _, err = fmt.Fprintf(io.out, "the database and %d files (%d MB) are back in %s\n", done.Files, done.Bytes>>20, at); err != nil {
		return err
	}
	if done.Spoilt > 0 {
		if _, err := fmt.Fprintf(io.out, "%s made from films are not what they were: the films are whole, and what was made from them is made again when tenoff runs; only a clip that went with an answer stays as it is\n", counted(done.Spoilt, "file")); err != nil {
			return err
		}
	}
	if done.Replaced > 0 {
		if _, err := fmt.Fprintf(io.out, "%s had a character that PostgreSQL does not keep; � stands there now\n", counted(done.Replaced, "text")); err != nil {
			return err
		}
	}
	_, err = fmt.Fprintf(io.out, "links that were open then, and are closed now: %d; instructors who were signed in, and have to sign in again: %d\n", done.Links, done.Sessions)
	return err
}

func (p place) bringBack(ctx context.Context, from string) (r backup.Report, err error) {
	held, err := hold(p.dir)
	if err != nil {
		return r, err
	}
	defer func() { err = errors.Join(err, held.Close()) }()
	return backup.Restore(ctx, from, p.dir)
}

func (p place) bringBackAcademy(ctx context.Context, from string) (r backup.Report, err error) {
	desk, remove, err := scratch()
	if err != nil {
		return r, err
	}
	defer func() { err = errors.Join(err, remove()) }()
	rows, err := store.OpenBlankPostgres(ctx, p.rows)
	if err != nil {
		return r, err
	}
	defer func() { err = errors.Join(err, rows.Close()) }()
	blobs, at, err := p.openFiles(ctx, desk)
	if err != nil {
		return r, err
	}
	defer func() { err = errors.Join(err, blobs.Close()) }()
	return backup.RestoreAcademy(ctx, from, backup.Academy{
		Rows: rows, Blobs: blobs, Desk: desk,
		Claim: func(ctx context.Context, first string) error { return claim(ctx, at, blobs, first) },
	})
}

// openFiles opens where an academy's files are to lie, whosever it is; desk is a folder of
// this machine's for what is under way.
func (p place) openFiles(ctx context.Context, desk string) (*blob.Store, marked, error) {
	if p.files != "" {
		address, err := blob.ParseAddress(p.files)
		if err != nil {
			return nil, nil, err
		}
		blobs, err := blob.OpenBucket(ctx, address, filepath.Join(desk, blob.Folder), 0)
		return blobs, markedBucket{blobs, address}, err
	}
	dir, err := p.sharedFolder()
	if err != nil {
		return nil, nil, err
	}
	blobs, err := blob.Open(filepath.Join(dir, blob.Folder))
	return blobs, markedFolder(dir), err
}

// sharedFolder is the folder that all of an academy's machines reach, which is nobody's own.
func (p place) sharedFolder() (string, error) {
	dir, err := filepath.Abs(p.dir)
	if err != nil {
		return "", err
	}
	if _, err := os.Stat(filepath.Join(dir, store.Database)); err == nil {
		return "", bullpen.Errorf(bullpen.Unavailable, "The data folder %s has a database of its own; name another folder for the films of an academy whose rows lie in PostgreSQL.", dir)
	}
	return dir, nil
}
