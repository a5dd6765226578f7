package disk

import (
	"os"
	"path/filepath"
	"testing"
)

// tree makes a folder with files and folders below dir, and returns a root over dir.
func tree(t *testing.T) (dir string, root *os.Root) {
	t.Helper()
	dir = temp(t)
	for _, name := range []string{"tree/a/b/c/film.mp4", "tree/a/clip.mp4", "tree/strip", "beside"} {
		path := filepath.Join(dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte("x"), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	root, err := os.OpenRoot(dir)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { root.Close() })
	return dir, root
}

// temp makes a folder, and removes it as this package does: the testing package's way
// may be one that the file system does not know.
func temp(t *testing.T) string {
	t.Helper()
	dir, err := os.MkdirTemp("", "tenoff-disk-")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := RemoveAll(dir); err != nil {
			t.Error(err)
		}
	})
	return dir
}

func TestRemove(t *testing.T) {
	for name, removeAll := range map[string]func(string, *os.Root) error{
		"by path":    func(dir string, _ *os.Root) error { return RemoveAll(filepath.Join(dir, "tree")) },
		"below root": func(_ string, root *os.Root) error { return RemoveAllIn(root, "tree") },
		"one by one": func(_ string, root *os.Root) error { return clear(root, "tree") },
	} {
		t.Run(name, func(t *testing.T) {
			dir, root := tree(t)
			if err := RemoveIn(root, "tree/a"); err == nil {
				t.Error("a folder that is not empty was removed")
			}
			if err := RemoveIn(root, "tree/strip"); err != nil {
				t.Error(err)
			}
			if err := RemoveIn(root, "tree/strip"); !os.IsNotExist(err) {
				t.Errorf("removing what is gone: %v", err)
			}
			for range 2 { // what is not there is removed
				if err := removeAll(dir, root); err != nil {
					t.Error(err)
				}
			}
			left, err := os.ReadDir(dir)
			if err != nil || len(left) != 1 || left[0].Name() != "beside" {
				t.Errorf("left %v, %v", left, err)
			}
		})
	}
}

// TestRemovesNoFurther has a link in the folder that leads out of it.
func TestRemovesNoFurther(t *testing.T) {
	dir, root := tree(t)
	outside := temp(t)
	secret := filepath.Join(outside, "secret")
	if err := os.WriteFile(secret, []byte("x"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(outside, filepath.Join(dir, "tree", "out")); err != nil {
		t.Log(err) // Windows lets few make links
	}
	if err := clear(root, "tree/../.."); err == nil {
		t.Error("what lies outside may be removed")
	}
	if err := clear(root, "tree"); err != nil {
		t.Log(err)
	}
	if _, err := os.Stat(secret); err != nil {
		t.Error(err)
	}
}

func TestFreeAndFlush(t *testing.T) {
	dir, root := tree(t)
	// No disk holds an exbibyte yet: that would be a guess.
	if free, err := Free(dir); err != nil || free <= 0 || free > 1<<60 {
		t.Errorf("%d bytes free, %v", free, err)
	}
	if _, err := Free(filepath.Join(dir, "nothing")); err == nil {
		t.Error("a folder that is not there has room")
	}
	if err := Flush(dir); err != nil {
		t.Error(err)
	}
	if err := FlushIn(root, "tree/a"); err != nil {
		t.Error(err)
	}
	if err := Flush(filepath.Join(dir, "nothing")); err == nil {
		t.Error("a folder that is not there was flushed")
	}
}
