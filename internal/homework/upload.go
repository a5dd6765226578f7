package homework

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"time"

	"github.com/tus/tusd/v2/pkg/handler"

	"tenoff/internal/bullpen"
)

// The files of an upload, by its ID: the bytes have none of these endings.
const (
	infoExt = ".info"
	doneExt = ".done"
)

// An upload's ID names its homework, so that the disk alone says whose it is.
var idForm = regexp.MustCompile(`^([a-z0-9]{8,64})-([a-z0-9]{8,64})$`)

func named(id string) bool { return idForm.MatchString(id) }

// Of returns the homework that an upload belongs to, "" for no upload's ID.
func Of(id string) string {
	if m := idForm.FindStringSubmatch(id); m != nil {
		return m[1]
	}
	return ""
}

// upload is one upload as the disk has it.
type upload struct {
	id      string
	info    handler.FileInfo
	here    int64 // bytes that have arrived
	taken   bool  // it is a film already
	changed time.Time
}

func (u upload) whole() bool { return u.here == u.info.Size }

func (u upload) name() string { return u.info.MetaData["filename"] }

// upload reads one upload.
func (h *Homework) upload(id string) (upload, error) {
	u := upload{id: id}
	data, err := os.ReadFile(h.path(id + infoExt))
	if err != nil {
		return u, err
	}
	if err := json.Unmarshal(data, &u.info); err != nil {
		return u, fmt.Errorf("upload %s: %w", id, err)
	}
	stat, err := os.Stat(h.path(id + doneExt))
	if err == nil {
		u.taken, u.here, u.changed = true, u.info.Size, stat.ModTime()
		return u, nil
	}
	stat, err = os.Stat(h.path(id))
	if err != nil {
		return u, err
	}
	u.here, u.changed = stat.Size(), stat.ModTime()
	return u, nil
}

// uploads lists the uploads of a homework, or all ("").
func (h *Homework) uploads(homeworkID string) ([]upload, error) {
	prefix := "*"
	if homeworkID != "" {
		prefix = homeworkID + "-*"
	}
	infos, err := filepath.Glob(h.path(prefix + infoExt))
	if err != nil {
		return nil, err
	}
	var out []upload
	for _, path := range infos {
		id := strings.TrimSuffix(filepath.Base(path), infoExt)
		if !named(id) {
			continue
		}
		u, err := h.upload(id)
		var half *json.SyntaxError
		if errors.Is(err, fs.ErrNotExist) || errors.As(err, &half) {
			continue // it went while we looked, is just being made, or is not whole: see Sweep
		}
		if err != nil {
			return nil, err
		}
		out = append(out, u)
	}
	return out, nil
}

// Arriving is a film on its way.
type Arriving struct {
	ID, Name        string
	Bytes, Received int64 // of the whole film, and of what is here
}

// Arriving lists the films of a homework that are on their way.
func (h *Homework) Arriving(homeworkID string) ([]Arriving, error) {
	list, err := h.uploads(homeworkID)
	var out []Arriving
	for _, u := range list {
		if !u.taken {
			out = append(out, Arriving{ID: u.id, Name: u.name(), Bytes: u.info.Size, Received: u.here})
		}
	}
	return out, err
}

// Still does something while no upload can begin.
func (h *Homework) Still(do func() error) error {
	h.create.Lock()
	defer h.create.Unlock()
	return do()
}

// Used is how much of a slip's limits is used: films that have arrived, refused ones
// counted as files, and those on their way counted whole.
type Used struct {
	Bytes int64
	Files int
}

// Used returns how much of a homework's limits is used by films, which are its
// bullpen's, and by what is on its way.
func (h *Homework) Used(homeworkID string, films []bullpen.Film) (u Used, err error) {
	for _, f := range films {
		u.Files++
		if f.State != bullpen.FilmRefused {
			u.Bytes += f.Bytes
		}
	}
	arriving, err := h.Arriving(homeworkID)
	for _, a := range arriving {
		u.Files++
		u.Bytes += a.Bytes
	}
	return u, err
}

// drop removes an upload.
func (h *Homework) drop(id string) error {
	var errs []error
	for _, ext := range []string{"", doneExt, infoExt} { // the info last: it names the others
		if err := os.Remove(h.path(id + ext)); err != nil && !errors.Is(err, fs.ErrNotExist) {
			errs = append(errs, err)
		}
	}
	return errors.Join(errs...)
}
