package main

import (
	"context"
	"errors"
	"log/slog"
	"os"
	"path/filepath"

	"tenoff/internal/blob"
	"tenoff/internal/bullpen"
	"tenoff/internal/disk"
	"tenoff/internal/homework"
	"tenoff/internal/intake"
	"tenoff/internal/store"
)

// openBucket opens rows in a PostgreSQL and files in a bucket for a program that works on
// them: it is the only one that uses its folder on this machine, until it is closed.
func (p place) openBucket(ctx context.Context, make whether) (*data, error) {
	if _, err := os.Stat(filepath.Join(p.dir, store.Database)); err == nil {
		return nil, bullpen.Errorf(bullpen.Unavailable, "The data folder %s has a database of its own; name another one with --data for what is under way on this machine.", p.dir)
	}
	held, err := hold(p.dir)
	if err != nil {
		return nil, err
	}
	d, err := p.inBucket(ctx, p.dir, make)
	if err != nil {
		return nil, errors.Join(err, held.Close())
	}
	d.after = held.Close
	return d, nil
}

// visitBucket opens the same beside programs that work on them: with a folder that goes when
// it is closed.
func (p place) visitBucket(ctx context.Context, make whether) (*data, error) {
	dir, err := os.MkdirTemp("", "tenoff-")
	if err != nil {
		return nil, err
	}
	d, err := p.inBucket(ctx, dir, make)
	if err != nil {
		return nil, errors.Join(err, disk.RemoveAll(dir))
	}
	d.after = func() error { return disk.RemoveAll(dir) }
	return d, nil
}

func (p place) inBucket(ctx context.Context, dir string, make whether) (_ *data, err error) {
	at, err := blob.ParseAddress(p.files)
	if err != nil {
		return nil, err
	}
	if dir, err = filepath.Abs(dir); err != nil {
		return nil, err
	}
	st, err := store.OpenPostgres(ctx, p.rows)
	if err != nil {
		return nil, err
	}
	blobs, err := blob.OpenBucket(ctx, at, filepath.Join(dir, blob.Folder), p.room<<30)
	if err != nil {
		return nil, errors.Join(err, st.Close())
	}
	d := &data{dir: dir, store: st, blobs: blobs, inBucket: true}
	if err := d.bucketGoesWith(ctx, at, make); err != nil {
		return nil, errors.Join(err, d.Close())
	}
	return d, nil
}

// bucketGoesWith refuses a bucket that is not the one that the database's films lie in, see
// goesWith.
func (d *data) bucketGoesWith(ctx context.Context, at blob.Address, make whether) error {
	mark, err := d.blobs.Mark(ctx)
	switch {
	case err != nil:
		return err
	case mark == d.store.First():
		return nil
	case mark != "":
		return bullpen.Errorf(bullpen.Unavailable, "The bucket %s holds the films of another database; name the one that goes with this database, or another prefix.", at)
	case make == existing:
		return bullpen.Errorf(bullpen.NotFound, "There is no tenoff data in %s.", at)
	}
	films, err := d.store.NamesFiles(ctx)
	if err != nil {
		return err
	}
	if films {
		return bullpen.Errorf(bullpen.Unavailable, "The films of this database do not lie in %s: check the bucket and its prefix. To go on without them, put an object “%s” with the text %s under the prefix.", at, academyMark, d.store.First())
	}
	return d.blobs.SetMark(ctx, d.store.First())
}

// uploads opens the uploads under way: in the data folder, or beside the films in their
// bucket.
func (d *data) uploads(in *intake.Intake, log *slog.Logger) (*homework.Homework, error) {
	dir := filepath.Join(d.dir, homework.Folder)
	if d.inBucket {
		return homework.NewInBucket(dir, d.blobs, d.store, in, log)
	}
	return homework.New(dir, d.store, in, log)
}
