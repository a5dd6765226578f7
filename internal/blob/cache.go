package blob

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"sync"
	"time"

	"tenoff/internal/disk"
)

// cache is copies of files on this machine's disk, for programs that need a path. Those that
// nobody uses go, the one used longest ago first, when there is no room for another, and an
// hour after their last use: what was deleted by another machine is not kept here for long.
type cache struct {
	dir   string
	room  int64 // bytes; more only while more is in use
	fetch func(ctx context.Context, info Info, path string) error

	mu    sync.Mutex
	kept  map[string]*kept // by key
	taken int64            // bytes
	named int              // how many copies have got a name
}

// kept is one copy.
type kept struct {
	path  string
	size  int64
	users int
	used  time.Time     // last
	here  chan struct{} // closed when it is here, or err says why it is not
	err   error
	gone  bool // from the list: it goes with its last user
	timer *time.Timer
}

// unused is for how long a copy stays that nobody uses.
const unused = time.Hour

func newCache(dir string, room int64, fetch func(context.Context, Info, string) error) *cache {
	return &cache{dir: dir, room: room, fetch: fetch, kept: map[string]*kept{}}
}

// clear removes all copies, also those that are used.
func (c *cache) clear() error {
	c.mu.Lock()
	defer c.mu.Unlock()
	for _, k := range c.kept {
		k.gone = true
		if k.timer != nil {
			k.timer.Stop()
		}
	}
	c.kept, c.taken = map[string]*kept{}, 0
	if err := disk.RemoveAll(c.dir); err != nil {
		return err
	}
	return os.MkdirAll(c.dir, 0o700)
}

// get returns the path of a file's copy, which stays until done is called. Several who want
// the same at once have it fetched once; it is fetched to its end though the first of them
// may give up.
func (c *cache) get(ctx context.Context, info Info) (path string, done func(), err error) {
	c.mu.Lock()
	k, ok := c.kept[info.Key]
	if !ok {
		k = c.add(info.Key, info.Size)
		k.users++ // whoever brings it
		go c.bring(context.WithoutCancel(ctx), info, k)
	}
	k.users++
	c.mu.Unlock()
	done = sync.OnceFunc(func() { c.done(info.Key, k) })
	select {
	case <-k.here:
		err = k.err
	case <-ctx.Done():
		err = ctx.Err()
	}
	if err != nil {
		done()
		return "", func() {}, err
	}
	return k.path, done, nil
}

// add lists a copy that is to come, and makes room for it.
func (c *cache) add(key string, size int64) *kept {
	c.makeRoom(size)
	c.named++
	k := &kept{path: filepath.Join(c.dir, fmt.Sprint(c.named)), size: size, used: time.Now(), here: make(chan struct{})}
	c.kept[key] = k
	c.taken += size
	return k
}

// bring fetches a copy, and uses it meanwhile.
func (c *cache) bring(ctx context.Context, info Info, k *kept) {
	k.err = c.fetch(ctx, info, k.path)
	if k.err != nil {
		c.mu.Lock()
		c.forget(info.Key, k)
		c.mu.Unlock()
	}
	close(k.here)
	c.done(info.Key, k)
}

// done says that one of those who use a copy does no more.
func (c *cache) done(key string, k *kept) {
	c.mu.Lock()
	defer c.mu.Unlock()
	k.users--
	k.used = time.Now()
	if k.users > 0 {
		return
	}
	if k.gone {
		_ = os.Remove(k.path) // the folder is emptied when the program starts
		return
	}
	c.wait(key, k)
	c.makeRoom(0)
}

// wait has a copy go when nobody has used it for an hour.
func (c *cache) wait(key string, k *kept) {
	if k.timer != nil {
		k.timer.Stop()
	}
	k.timer = time.AfterFunc(unused, func() {
		c.mu.Lock()
		defer c.mu.Unlock()
		if k.users == 0 && !k.gone {
			c.forget(key, k)
		}
	})
}

// makeRoom lets copies go that nobody uses until there is room for so many bytes, or none
// is left to go.
func (c *cache) makeRoom(size int64) {
	for c.taken+size > c.room {
		var oldest *kept
		var at string
		for key, k := range c.kept {
			if k.users == 0 && (oldest == nil || k.used.Before(oldest.used)) && isHere(k) {
				oldest, at = k, key
			}
		}
		if oldest == nil {
			return
		}
		c.forget(at, oldest)
	}
}

func isHere(k *kept) bool {
	select {
	case <-k.here:
		return true
	default:
		return false
	}
}

// forget takes a copy off the list; its file goes when nobody uses it.
func (c *cache) forget(key string, k *kept) {
	if k.gone {
		return
	}
	k.gone = true
	delete(c.kept, key)
	c.taken -= k.size
	if k.users == 0 {
		_ = os.Remove(k.path)
	}
}

// drop lets go of a file's copy: the file was deleted.
func (c *cache) drop(key string) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if k, ok := c.kept[key]; ok {
		c.forget(key, k)
	}
}

// seed takes a file that was just stored from its desk, if there is room without letting
// anything go: whoever stored it is likely to want it next.
func (c *cache) seed(key, file string, size int64) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if _, ok := c.kept[key]; ok || c.taken+size > c.room {
		return
	}
	k := c.add(key, size)
	if err := os.Rename(file, k.path); err != nil {
		c.forget(key, k)
		return
	}
	close(k.here)
	c.wait(key, k)
}
