package homework

import (
	"context"
	"errors"
	"fmt"
	"io"

	"github.com/tus/tusd/v2/pkg/handler"

	"tenoff/internal/bullpen"
)

// keeping is where uploads lie until they are films. An upload that was taken in leaves a
// mark in place of its bytes, so that a phone that missed the last answer hears that all of
// it is here.
type keeping interface {
	handler.DataStore
	handler.TerminaterDataStore
	// upload reads one upload; one that is not there is fs.ErrNotExist.
	upload(ctx context.Context, id string) (upload, error)
	// uploads lists the uploads of a homework, or all ("").
	uploads(ctx context.Context, homeworkID string) ([]upload, error)
	// take makes an upload that is whole a film of a bullpen, and marks it as taken in.
	take(ctx context.Context, u upload, bullpenID string) error
	// drop removes an upload.
	drop(ctx context.Context, id string) error
	// clear removes what is no whole upload and was left alone for long; known are those
	// that are.
	clear(ctx context.Context, known map[string]bool) error
	// strays lists what lies there for longer than a minute and is no upload, and what is
	// one: by name and by ID.
	strays(ctx context.Context) (none []string, ids map[string]string, err error)
	// room refuses a film of so many bytes for which there is no room.
	room(name string, bytes int64) error
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
