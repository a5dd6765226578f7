// Package demotest is what benchmarks over many generated bullpens share: what was
// measured of a film is kept, and figures stand beside what they have to reach.
package demotest

import (
	"crypto/sha256"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"tenoff/internal/demo"
)

// Kept returns what measure makes of a generated bullpen: out of the folder if it was kept
// there under the name before, of the same demo.Drawing, else measured now and kept. An empty
// folder keeps nothing. The name has to change with the method of measuring.
func Kept(folder, name string, o demo.Options, measure func() ([]byte, error)) ([]byte, error) {
	if folder == "" {
		return measure()
	}
	text, err := json.Marshal(o)
	if err != nil {
		return nil, err
	}
	path := filepath.Join(folder, fmt.Sprintf("%x.d%d.%s", sha256.Sum256(text), demo.Drawing, name))
	b, err := os.ReadFile(path)
	if !errors.Is(err, fs.ErrNotExist) {
		return b, err
	}
	if b, err = measure(); err != nil {
		return nil, err
	}
	part := path + ".part" // a run that is stopped leaves no half of it
	if err := os.WriteFile(part, b, 0o600); err != nil {
		return nil, err
	}
	return b, os.Rename(part, path)
}
