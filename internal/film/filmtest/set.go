package filmtest

import (
	"context"
	"fmt"
	"runtime"
	"sync"
	"testing"

	"golang.org/x/sync/errgroup"
)

// Set is films that are made once for a test binary, in a folder of their own,
// when the first is asked for.
type Set struct {
	Recipes []Recipe
	dir     string
	once    sync.Once
	err     error
	paths   map[string]string
}

// NewSet returns a set whose films will lie in dir.
func NewSet(dir string, recipes ...Recipe) *Set { return &Set{Recipes: recipes, dir: dir} }

// Path returns the path of one of the films.
func (s *Set) Path(t testing.TB, name string) string {
	t.Helper()
	s.once.Do(func() { s.err = s.make() })
	if s.err != nil {
		t.Fatal(s.err)
	}
	path, ok := s.paths[name]
	if !ok {
		t.Fatalf("there is no film %s", name)
	}
	return path
}

func (s *Set) make() error {
	s.paths = map[string]string{}
	var mu sync.Mutex
	group, ctx := errgroup.WithContext(context.Background())
	group.SetLimit(runtime.NumCPU())
	for _, r := range s.Recipes {
		group.Go(func() error {
			path, err := r.Make(ctx, s.dir)
			mu.Lock()
			defer mu.Unlock()
			if _, twice := s.paths[r.Name]; twice {
				return fmt.Errorf("two films are called %s", r.Name)
			}
			s.paths[r.Name] = path
			return err
		})
	}
	return group.Wait()
}
