package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"

	"tenoff/internal/blob"
	"tenoff/internal/bullpen"
	"tenoff/internal/homework"
	"tenoff/internal/store"
)

// dataFlag defines --data, which defaults to the place the XDG Base Directory
// Specification gives to an application's data, and on Windows to the local one.
func dataFlag(flags *flag.FlagSet) *string {
	return flags.String("data", defaultData("tenoff"), "the data folder")
}

func defaultData(name string) string {
	if dir := os.Getenv("XDG_DATA_HOME"); filepath.IsAbs(dir) {
		return filepath.Join(dir, name)
	}
	if dir := os.Getenv("LocalAppData"); runtime.GOOS == "windows" && filepath.IsAbs(dir) {
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

	inBucket bool         // the files are, and the uploads beside them
	after    func() error // the last that is done when it is closed, nil for nothing
}

// place is where data lies: all of it in a data folder, or the rows in a PostgreSQL and the
// files in a folder that all of an academy's machines reach, or in a bucket.
type place struct {
	dir   string
	rows  string // the database's address, "" for a file in the folder
	files string // the bucket's address, "" for the folder
	room  int64  // for copies of the bucket's files on this machine, GB
	flags *flag.FlagSet
}

func placeFlags(flags *flag.FlagSet) *place {
	p := &place{flags: flags}
	flags.StringVar(&p.dir, "data", defaultData("tenoff"), "the data folder")
	flags.StringVar(&p.rows, "store", "", "keep everything but the files in a PostgreSQL that several machines share: `postgres://USER@HOST/DATABASE`; its password comes from PGPASSWORD or the file that PGPASSFILE names, and --data is a folder that all of them reach, unless --files is said")
	flags.StringVar(&p.files, "files", "", "with --store: keep the films in a bucket of an S3-compatible storage: `s3://BUCKET/PREFIX?endpoint=https://HOST`; who may is said by TENOFF_S3_KEY, and its secret by TENOFF_S3_SECRET or in the file that TENOFF_S3_SECRET_FILE names; --data is then a folder of this machine's own, for what is under way")
	flags.Int64Var(&p.room, "copies", blob.Room>>30, "with --files: how much of this machine's disk copies of films may take, `GB`")
	return p
}

// String names the place, for people.
func (p place) String() string {
	switch {
	case p.rows == "":
		return p.dir
	case p.files != "":
		at, _ := blob.ParseAddress(p.files)
		return "PostgreSQL and " + at.String()
	}
	return "PostgreSQL and " + p.dir
}

// check refuses rows that several machines share without a folder that was said: the usual
// one is this machine's own.
func (p *place) check() error {
	said := map[string]bool{}
	p.flags.Visit(func(f *flag.Flag) { said[f.Name] = true })
	switch {
	case p.files == "" && said["copies"]:
		return usageError{sentence: "--copies goes with --files"}
	case p.files != "" && p.rows == "":
		return usageError{sentence: "--files goes with --store: films in a bucket go with rows in a PostgreSQL"}
	case p.files != "":
		if _, err := blob.ParseAddress(p.files); err != nil {
			return usageError{sentence: sentenceOf(err)}
		}
		if p.room < 1 {
			return usageError{sentence: "--copies is 1 GB or more"}
		}
		if !said["data"] {
			p.dir = defaultData("tenoff-node")
		}
		if p.dir == "" {
			return usageError{sentence: "there is no home folder here; say with --data where this machine may keep what is under way"}
		}
		return nil
	}
	if p.rows != "" && (!said["data"] || p.dir == "") {
		return usageError{sentence: "with --store say where the films lie with --data: a folder that all machines reach"}
	}
	return nil
}

// open opens a place, making its folder if that is wanted.
func (p place) open(ctx context.Context, make whether) (*data, error) {
	if err := p.check(); err != nil {
		return nil, err
	}
	switch {
	case p.rows == "":
		return openData(ctx, p.dir, make)
	case p.files != "":
		return p.visitBucket(ctx, make)
	}
	dir, err := p.sharedFolder()
	if err != nil {
		return nil, err
	}
	st, err := p.openRows(ctx, make)
	if err != nil {
		return nil, err
	}
	if err := goesWith(ctx, markedFolder(dir), st, make); err != nil {
		return nil, errors.Join(err, st.Close())
	}
	blobs, err := blob.Open(filepath.Join(dir, blob.Folder))
	if err != nil {
		return nil, errors.Join(err, st.Close())
	}
	return &data{dir: dir, store: st, blobs: blobs}, nil
}

// openRows opens a place's rows in a PostgreSQL: as they are, or brought up to date where
// they may be made.
func (p place) openRows(ctx context.Context, make whether) (*store.Store, error) {
	if make == existing {
		return store.VisitPostgres(ctx, p.rows)
	}
	return store.OpenPostgres(ctx, p.rows)
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
	if err := rowsFor(ctx, dir); err != nil {
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
	return &data{dir: dir, store: st, blobs: blobs}, nil
}

// rowsFor refuses a data folder that has films, clips or copies of a database and no
// database that could name them: a new one would know nothing of them.
func rowsFor(ctx context.Context, dir string) error {
	empty, err := store.Empty(ctx, dir)
	if err != nil || !empty {
		return err
	}
	files, err := leftIn(dir)
	if err != nil || files == 0 {
		return err
	}
	return bullpen.Errorf(bullpen.Unavailable, "The data folder %s has %s but no database that knows of them, so nothing was touched. Bring your latest backup back into a new folder with `tenoff restore`, or put this folder's own %s back; to begin anew, name another folder.",
		dir, counted(files, "file"), store.Database)
}

// leftIn counts the files in a data folder that came from somebody: films, clips,
// uploads under way, copies of the database.
func leftIn(dir string) (n int, err error) {
	copies, err := store.Copies(dir)
	if err != nil {
		return 0, err
	}
	n = len(copies)
	for _, folder := range []string{blob.Folder, homework.Folder} {
		err := filepath.WalkDir(filepath.Join(dir, folder), func(_ string, d fs.DirEntry, err error) error {
			if errors.Is(err, fs.ErrNotExist) {
				return nil
			}
			if err == nil && d.Type().IsRegular() {
				n++
			}
			return err
		})
		if err != nil {
			return n, err
		}
	}
	return n, nil
}

func counted(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// Close releases the folder.
func (d *data) Close() error {
	err := errors.Join(d.store.Close(), d.blobs.Close())
	if d.after != nil {
		err = errors.Join(err, d.after())
	}
	return err
}
