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
	letGo, err := holdBackup(rest[0])
	if err != nil {
		return err
	}
	defer letGo()
	done, err := backup.Make(ctx, d.store, d.blobs, rest[0])
	if err != nil {
		return err
	}
	if _, err = fmt.Fprintf(io.out, "the database and %d files (%d MB) are in %s%s\n", done.Files, done.Bytes>>20, rest[0], wereThere(done)); err != nil {
		return err
	}
	if done.Removed > 0 {
		if _, err = fmt.Fprintf(io.out, "%s of the earlier backup there went: these data no longer have them\n", counted(done.Removed, "file")); err != nil {
			return err
		}
	}
	if done.Spoilt == 0 {
		return nil
	}
	_, err = fmt.Fprintf(io.out, "%s made from films are not what they were; the films themselves are whole\n", counted(done.Spoilt, "file"))
	return err
}

// wereThere says how many files did not have to be copied.
func wereThere(r backup.Report) string {
	if r.There == 0 {
		return ""
	}
	return fmt.Sprintf("; %d of them (%d MB) were there already", r.There, r.ThereBytes>>20)
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
	letGo, err := keepBackup(rest[0])
	if err != nil {
		return err
	}
	defer letGo()
	bring := at.bringBack
	if at.rows != "" {
		bring = at.bringBackAcademy
	}
	done, err := bring(ctx, rest[0])
	if err != nil {
		return err
	}
	if _, err = fmt.Fprintf(io.out, "the database and %d files (%d MB) are back in %s%s\n", done.Files, done.Bytes>>20, at, wereThere(done)); err != nil {
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
	return backup.RestoreAcademy(ctx, from, backup.Academy{
		Rows: rows, Desk: desk,
		Files: func(ctx context.Context, first string) (*blob.Store, error) { return p.claimFiles(ctx, desk, first) },
	})
}

// claimFiles opens where an academy's files are to lie and claims it for the academy that
// first names; desk is a folder of this machine's for what is under way. In a folder that is
// others' nothing is made.
func (p place) claimFiles(ctx context.Context, desk, first string) (blobs *blob.Store, err error) {
	var at marked
	if p.files != "" {
		address, err := blob.ParseAddress(p.files)
		if err != nil {
			return nil, err
		}
		if blobs, err = blob.OpenBucket(ctx, address, filepath.Join(desk, blob.Folder), 0); err != nil {
			return nil, err
		}
		at = markedBucket{blobs, address}
	} else {
		dir, err := p.sharedFolder()
		if err != nil {
			return nil, err
		}
		at = markedFolder(dir)
		if err := notOthers(ctx, at, first); err != nil {
			return nil, err
		}
		if blobs, err = blob.Open(filepath.Join(dir, blob.Folder)); err != nil {
			return nil, err
		}
	}
	if err := claim(ctx, at, blobs, first); err != nil {
		return nil, errors.Join(err, blobs.Close())
	}
	return blobs, nil
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
