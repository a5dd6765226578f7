package blob

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"
	"sync"
	"time"

	"tenoff/internal/bullpen"
	"tenoff/internal/disk"
)

// folder keeps files in a folder. Nothing outside of it can be reached through it, not even
// by a link that lies inside (os.Root).
type folder struct {
	dir  string
	root *os.Root
	// names is held while names come and go, so that an empty folder is not removed
	// while a file is on its way into it.
	names sync.Mutex
}

// arriving is where files are made before they get their key.
const arriving = "arriving"

// Open opens the store under dir, which is made if it is missing.
func Open(dir string) (*Store, error) {
	if err := os.MkdirAll(filepath.Join(dir, arriving), 0o700); err != nil {
		return nil, &bullpen.Error{Code: bullpen.Unavailable, Message: "The folder " + dir + " can't be made; check that you may write there.", Err: err}
	}
	return Read(dir)
}

// Read opens the store under dir as it is, for reading.
func Read(dir string) (*Store, error) {
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, &bullpen.Error{Code: bullpen.Unavailable, Message: "The folder " + dir + " can't be opened.", Err: err}
	}
	return &Store{&folder{dir: dir, root: root}}, nil
}

// Close implements engine.
func (s *folder) Close() error { return s.root.Close() }

func (s *folder) desk() (string, error) {
	dir, err := os.MkdirTemp(filepath.Join(s.dir, arriving), "d-*")
	return dir, full(err)
}

// adopt flushes a file to the disk, renames it, and flushes its name. What is on a desk of
// this disk is what lies under the key: sum is not looked at.
func (s *folder) adopt(_ context.Context, key, file, _ string) (Info, error) {
	from, err := onDesk(s.dir, file)
	if err != nil {
		return Info{}, err
	}
	size, err := s.flush(from)
	if err != nil {
		return Info{}, full(err)
	}
	if err := s.rename(from, key); err != nil {
		return Info{}, full(err)
	}
	return Info{Key: key, Size: size}, s.flushFolders(path.Dir(key))
}

// onDesk returns a file's name below dir, if it lies on one of the desks there.
func onDesk(dir, file string) (name string, err error) {
	name, err = filepath.Rel(dir, file)
	if err != nil || !strings.HasPrefix(filepath.ToSlash(name), arriving+"/") {
		return "", fmt.Errorf("adopting %s: not on a desk of this store", file)
	}
	return name, nil
}

// flush brings a file to the disk, readable by its owner only, and returns its
// size.
func (s *folder) flush(name string) (int64, error) {
	f, err := s.root.OpenFile(name, os.O_RDWR, 0)
	if err != nil {
		return 0, err
	}
	stat, err := f.Stat()
	if err == nil && !stat.Mode().IsRegular() {
		err = fmt.Errorf("%s is not a file", name)
	}
	if err := errors.Join(err, f.Chmod(0o600), f.Sync(), f.Close()); err != nil {
		return 0, err
	}
	return stat.Size(), nil
}

// rename gives a file its key, if that is free.
func (s *folder) rename(from, key string) error {
	return s.name(key, func() error { return s.root.Rename(from, key) })
}

// name does what gives a file its key, if that is free.
func (s *folder) name(key string, do func() error) error {
	s.names.Lock()
	defer s.names.Unlock()
	if err := s.root.MkdirAll(path.Dir(key), 0o700); err != nil {
		return err
	}
	if _, err := s.root.Lstat(key); err == nil {
		return taken(key)
	}
	return do()
}

func taken(key string) error {
	return bullpen.Errorf(bullpen.Conflict, "There is a file %q already.", key)
}

// copy gives the file a second name: it takes no room twice.
func (s *folder) copy(ctx context.Context, from, to string) (Info, error) {
	info, err := s.stat(ctx, from)
	if err != nil {
		return Info{}, err
	}
	if err := s.name(to, func() error { return s.root.Link(from, to) }); err != nil {
		return Info{}, full(missing(err))
	}
	return Info{Key: to, Size: info.Size}, s.flushFolders(path.Dir(to))
}

// flushFolders brings a folder and those above it to the disk, so that a new name
// survives a power cut.
func (s *folder) flushFolders(dir string) error {
	for {
		if err := disk.FlushIn(s.root, dir); err != nil {
			return err
		}
		if dir == "." {
			return nil
		}
		dir = path.Dir(dir)
	}
}

// onDisk is a File of a folder.
type onDisk struct {
	*os.File
	size int64
}

// Size implements File.
func (f onDisk) Size() int64 { return f.size }

func (s *folder) open(_ context.Context, key string) (File, error) {
	f, err := s.root.Open(key)
	if err != nil {
		return nil, missing(err)
	}
	stat, err := f.Stat()
	if err != nil {
		return nil, errors.Join(err, f.Close())
	}
	return onDisk{f, stat.Size()}, nil
}

func (s *folder) stat(_ context.Context, key string) (Info, error) {
	stat, err := s.root.Stat(key)
	if err == nil && !stat.Mode().IsRegular() {
		err = fs.ErrNotExist
	}
	if err != nil {
		return Info{}, missing(err)
	}
	return Info{Key: key, Size: stat.Size()}, nil
}

// Ready implements engine.
func (s *folder) Ready(context.Context) error {
	if _, err := s.root.Stat(arriving); err != nil {
		return &bullpen.Error{Code: bullpen.Unavailable, Message: "The folder " + s.dir + " can't be read; check the disk, or that it is mounted.", Err: err}
	}
	return nil
}

// Free implements engine.
func (s *folder) Free() (int64, error) { return disk.Free(s.dir) }

// local is where the file itself lies.
func (s *folder) local(_ context.Context, key string) (string, func(), error) {
	return filepath.Join(s.dir, filepath.FromSlash(key)), func() {}, nil
}

func (s *folder) list(_ context.Context, prefix string) ([]Info, error) {
	from := "."
	if prefix != "" {
		from = prefix
	}
	var out []Info
	err := fs.WalkDir(s.root.FS(), from, func(name string, d fs.DirEntry, err error) error {
		switch {
		case errors.Is(err, fs.ErrNotExist):
			return nil // it went while we looked
		case err != nil:
			return err
		case d.IsDir() && name == arriving:
			return fs.SkipDir
		case !d.Type().IsRegular() || check(name) != nil:
			return nil
		}
		stat, err := d.Info()
		if errors.Is(err, fs.ErrNotExist) {
			return nil
		}
		if err == nil {
			out = append(out, Info{Key: name, Size: stat.Size()})
		}
		return err
	})
	return out, err
}

func missing(err error) error {
	if errors.Is(err, fs.ErrNotExist) {
		return &bullpen.Error{Code: bullpen.NotFound, Message: "That file is not here.", Err: err}
	}
	return err
}

// delete removes a file and the folders that it leaves empty.
func (s *folder) delete(_ context.Context, key string) error {
	s.names.Lock()
	defer s.names.Unlock()
	if err := disk.RemoveIn(s.root, key); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	s.prune(path.Dir(key))
	return nil
}

// prune removes a folder and those above it as far as they are empty.
func (s *folder) prune(dir string) {
	for ; dir != "."; dir = path.Dir(dir) {
		if disk.RemoveIn(s.root, dir) != nil {
			return // the first that is not empty
		}
	}
}

// SweepOld implements engine.
func (s *folder) SweepOld(_ context.Context, before time.Time) error {
	left, err := fs.ReadDir(s.root.FS(), arriving)
	if err != nil {
		return err
	}
	var errs []error
	for _, e := range left {
		info, err := e.Info()
		switch {
		case errors.Is(err, fs.ErrNotExist):
		case err != nil:
			errs = append(errs, err)
		case info.ModTime().Before(before):
			errs = append(errs, disk.RemoveAllIn(s.root, path.Join(arriving, e.Name())))
		}
	}
	return errors.Join(errs...)
}

// Sweep implements engine.
func (s *folder) Sweep(context.Context) error {
	if err := disk.RemoveAllIn(s.root, arriving); err != nil {
		return err
	}
	return s.root.Mkdir(arriving, 0o700)
}
