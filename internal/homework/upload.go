package homework

import (
	"context"
	"regexp"
	"time"

	"github.com/tus/tusd/v2/pkg/handler"

	"tenoff/internal/bullpen"
)

// The files of an upload, by its ID: the bytes have none of these endings.
const (
	infoExt = ".info"
	doneExt = ".done"
)

// An upload's ID names its homework, so that what lies there alone says whose it is. An
// object storage's own name for what comes in parts may follow.
var idForm = regexp.MustCompile(`^([a-z0-9]{8,64})-([a-z0-9]{8,64})(\+[A-Za-z0-9._~=-]{1,1000})?$`)

func named(id string) bool { return idForm.MatchString(id) }

// Of returns the homework that an upload belongs to, "" for no upload's ID.
func Of(id string) string {
	if m := idForm.FindStringSubmatch(id); m != nil {
		return m[1]
	}
	return ""
}

// upload is one upload as it lies there.
type upload struct {
	id      string
	info    handler.FileInfo
	here    int64 // bytes that have arrived
	taken   bool  // it is a film already
	joined  bool  // in a bucket: its parts were put together, and here is what they became
	changed time.Time
}

func (u upload) whole() bool { return u.here == u.info.Size }

func (u upload) name() string { return u.info.MetaData["filename"] }

// Arriving is a film on its way.
type Arriving struct {
	ID, Name        string
	Bytes, Received int64 // of the whole film, and of what is here
}

// Arriving lists the films of a homework that are on their way.
func (h *Homework) Arriving(ctx context.Context, homeworkID string) ([]Arriving, error) {
	list, err := h.kept.uploads(ctx, homeworkID)
	var out []Arriving
	for _, u := range list {
		if !u.taken {
			out = append(out, Arriving{ID: u.id, Name: u.name(), Bytes: u.info.Size, Received: u.here})
		}
	}
	return out, err
}

// Still does something while no upload can begin, on this machine or on another.
func (h *Homework) Still(ctx context.Context, do func() error) error {
	if err := h.create.Lock(ctx); err != nil {
		return err
	}
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
func (h *Homework) Used(ctx context.Context, homeworkID string, films []bullpen.Film) (u Used, err error) {
	for _, f := range films {
		u.Files++
		if f.State != bullpen.FilmRefused {
			u.Bytes += f.Bytes
		}
	}
	arriving, err := h.Arriving(ctx, homeworkID)
	for _, a := range arriving {
		u.Files++
		u.Bytes += a.Bytes
	}
	return u, err
}
