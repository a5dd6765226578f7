package main

import (
	"context"
	"errors"
	"log/slog"
	"os"
	"path/filepath"

	"tenoff/internal/blob"
	"tenoff/internal/bullpen"
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
	dir, remove, err := scratch()
	if err != nil {
		return nil, err
	}
	d, err := p.inBucket(ctx, dir, make)
	if err != nil {
		return nil, errors.Join(err, remove())
	}
	d.after = remove
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
	st, err := p.openRows(ctx, make)
	if err != nil {
		return nil, err
	}
	blobs, err := blob.OpenBucket(ctx, at, filepath.Join(dir, blob.Folder), p.room<<30)
	if err != nil {
		return nil, errors.Join(err, st.Close())
	}
	d := &data{dir: dir, store: st, blobs: blobs, inBucket: true}
	if err := goesWith(ctx, markedBucket{d.blobs, at}, st, make); err != nil {
		return nil, errors.Join(err, d.Close())
	}
	return d, nil
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
