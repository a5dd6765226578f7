package main

import (
	"context"
	"errors"
	"flag"
	"os"
	"path/filepath"

	"tenoff/internal/blob"
	"tenoff/internal/bullpen"
	"tenoff/internal/store"
)

// dataFlag defines --data, which defaults to the place the XDG Base Directory
// Specification gives to an application's data.
func dataFlag(flags *flag.FlagSet) *string {
	return flags.String("data", defaultData("tenoff"), "the data folder")
}

func defaultData(name string) string {
	if dir := os.Getenv("XDG_DATA_HOME"); filepath.IsAbs(dir) {
		return filepath.Join(dir, name)
	}
	home, err := os.UserHomeDir()
	if err != nil {
		return "" // whoever opens it asks for --data
	}
	return filepath.Join(home, ".local", "share", name)
}

// data is an open data folder.
type data struct {
	dir   string
	store *store.Store
	blobs *blob.Store
}

// whether a data folder may be made.
type whether bool

const (
	existing whether = false
	orNew    whether = true
)

// openData opens the data folder dir, making it if that is wanted.
func openData(ctx context.Context, dir string, make whether) (*data, error) {
	if dir == "" {
		return nil, usageError{sentence: "there is no home folder here; say where the data lies with --data"}
	}
	// ffmpeg is given whole paths, wherever it works.
	dir, err := filepath.Abs(dir)
	if err != nil {
		return nil, err
	}
	if _, err := os.Stat(filepath.Join(dir, store.Database)); err != nil && make == existing {
		return nil, bullpen.Errorf(bullpen.NotFound, "There is no tenoff data in %s.", dir)
	}
	st, err := store.Open(ctx, dir)
	if err != nil {
		return nil, err
	}
	blobs, err := blob.Open(filepath.Join(dir, blob.Folder))
	if err != nil {
		return nil, errors.Join(err, st.Close())
	}
	return &data{dir, st, blobs}, nil
}

// Close releases the folder.
func (d *data) Close() error { return errors.Join(d.store.Close(), d.blobs.Close()) }
