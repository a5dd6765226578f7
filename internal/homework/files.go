package homework

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"

	"github.com/tus/tusd/v2/pkg/filestore"
	"github.com/tus/tusd/v2/pkg/handler"

	"tenoff/internal/bullpen"
)

// files keeps uploads as tusd's store of files does: ID with the bytes, ID.info with
// the rest. An upload that was taken in leaves ID.done in place of its bytes, so
// that a phone that missed the last answer hears that all of it is here.
type files struct {
	filestore.FileStore
	h *Homework
}

func (h *Homework) files() files {
	return files{filestore.FileStore{Path: h.dir, DirModePerm: 0o700, FileModePerm: 0o600}, h}
}

// NewUpload implements handler.DataStore. It is called with h.create held, see begin.
func (f files) NewUpload(ctx context.Context, info handler.FileInfo) (handler.Upload, error) {
	defer f.h.create.Unlock()
	u, err := f.FileStore.NewUpload(ctx, info)
	if err != nil {
		return nil, f.h.plain(ctx, err)
	}
	return open{u, f.h, info.ID}, nil
}

// GetUpload implements handler.DataStore.
func (f files) GetUpload(ctx context.Context, id string) (handler.Upload, error) {
	if !named(id) {
		return nil, handler.ErrNotFound
	}
	if _, err := os.Stat(f.h.path(id + doneExt)); err == nil {
		u, err := f.h.upload(id)
		if err != nil {
			return nil, f.h.plain(ctx, err)
		}
		return taken{u.info}, nil
	}
	u, err := f.FileStore.GetUpload(ctx, id)
	if err != nil {
		return nil, f.h.plain(ctx, err)
	}
	return open{u, f.h, id}, nil
}

// AsTerminatableUpload implements handler.TerminaterDataStore.
func (f files) AsTerminatableUpload(u handler.Upload) handler.TerminatableUpload {
	if t, ok := u.(taken); ok {
		return t
	}
	if o, ok := u.(open); ok {
		u = o.Upload
	}
	return f.FileStore.AsTerminatableUpload(u)
}

// open is an upload that goes on. It is written in larger pieces than tusd would, along
// the lane of films.
type open struct {
	handler.Upload
	h  *Homework
	id string
}

// WriteChunk implements handler.Upload. What came before an error is kept.
func (o open) WriteChunk(ctx context.Context, _ int64, src io.Reader) (n int64, err error) {
	f, err := os.OpenFile(o.h.path(o.id), os.O_WRONLY|os.O_APPEND, 0)
	if errors.Is(err, fs.ErrNotExist) {
		return 0, handler.ErrNotFound // forgotten a moment ago
	}
	if err != nil {
		return 0, o.h.plain(ctx, err)
	}
	n, err = o.h.intake.Throttle().Copy(ctx, f, src)
	return n, errors.Join(err, f.Close())
}

// plain keeps what tusd may tell the student, and hides the rest, which names paths,
// in the log.
func (h *Homework) plain(ctx context.Context, err error) error {
	var known handler.Error
	if err == nil || errors.As(err, &known) {
		return err
	}
	h.log.ErrorContext(ctx, "an upload can't go on", "err", err)
	return refuse(&bullpen.Error{Code: bullpen.Internal, Message: bullpen.MessageOf(nil), Err: err})
}

// taken is an upload that was taken in: all of it is here, and nothing can be added
// or taken back.
type taken struct{ info handler.FileInfo }

// GetInfo implements handler.Upload.
func (t taken) GetInfo(context.Context) (handler.FileInfo, error) {
	t.info.Offset = t.info.Size
	return t.info, nil
}

var errTaken = errors.New("the upload was taken in")

// WriteChunk implements handler.Upload; the handler does not call it for what is whole.
func (taken) WriteChunk(context.Context, int64, io.Reader) (int64, error) { return 0, errTaken }

// GetReader implements handler.Upload; downloads are switched off.
func (taken) GetReader(context.Context) (io.ReadCloser, error) { return nil, errTaken }

// FinishUpload implements handler.Upload.
func (taken) FinishUpload(context.Context) error { return nil }

// Terminate implements handler.TerminatableUpload: the film is the instructor's now.
func (taken) Terminate(context.Context) error {
	return refuse(bullpen.Errorf(bullpen.Conflict, "This film has arrived already; ask your instructor to delete it."))
}

// refuse is an error in tusd's form that carries our sentence.
func refuse(err error) error { return refuseAs(statusOf(err), err) }

func refuseAs(status int, err error) error {
	e := handler.NewError(string(bullpen.CodeOf(err)), bullpen.MessageOf(err), status)
	e.HTTPResponse.Header = handler.HTTPHeader{sentenceHeader: bullpen.MessageOf(err)}
	e.HTTPResponse.Body = ""
	return fmt.Errorf("%w (%w)", e, err)
}
