package homework

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"net/http"
	"strings"
	"time"

	"github.com/aws/aws-sdk-go-v2/aws"
	"github.com/aws/aws-sdk-go-v2/service/s3"
	"github.com/aws/smithy-go"
	"github.com/tus/tusd/v2/pkg/handler"
	"github.com/tus/tusd/v2/pkg/s3store"

	"tenoff/internal/blob"
)

// objects keeps uploads as tusd's store for S3 does: as an object in the making, in parts,
// ID.part with what is no whole part yet, ID.info with the rest; ID.done in place of the
// bytes of one that was taken in. Every machine goes on with any of them.
type objects struct {
	client         *s3.Client
	bucket, prefix string
	files          *blob.Store
	h              *Homework
}

const (
	partExt = ".part"
	// pieces are what parts are made of as far as the connection gives them; a film of 80 GB
	// has 10,000 of them, the most there may be.
	pieces = 8 << 20
	// abandoned is for how long what is no whole upload stays.
	abandoned = 24 * time.Hour
)

// core is tusd's store for one upload. Its parts go up one after the other: of several at
// once the first might be missing when a machine dies, and what came after it would be
// taken for it.
func (o objects) core() s3store.S3Store {
	core := s3store.New(o.bucket, o.client)
	core.ObjectPrefix = strings.TrimSuffix(o.prefix, "/")
	core.PreferredPartSize, core.MaxBufferedParts = pieces, 1
	core.TemporaryDirectory = o.h.dir
	core.SetConcurrentPartUploads(1)
	return core
}

// base is the part of an ID that objects are named by.
func base(id string) string {
	id, _, _ = strings.Cut(id, "+")
	return id
}

func (o objects) key(name string) *string { return aws.String(o.prefix + name) }

// gone reports whether err says that something is not there.
func gone(err error) bool {
	var answer interface{ HTTPStatusCode() int }
	var code smithy.APIError
	return errors.As(err, &answer) && answer.HTTPStatusCode() == http.StatusNotFound ||
		errors.As(err, &code) && (code.ErrorCode() == "NoSuchUpload" || code.ErrorCode() == "NoSuchKey")
}

// NewUpload implements handler.DataStore. It is called with h.create held, see begin.
func (o objects) NewUpload(ctx context.Context, info handler.FileInfo) (handler.Upload, error) {
	defer o.h.create.Unlock()
	core := o.core()
	u, err := core.NewUpload(ctx, info)
	if err != nil {
		return nil, o.h.plain(ctx, o.answer(err))
	}
	return part{u, o}, nil
}

// answer keeps what tusd may say, and says the rest in words.
func (o objects) answer(err error) error {
	var known handler.Error
	if err == nil || errors.As(err, &known) {
		return err
	}
	return refuse(blob.Explain(err))
}

// GetUpload implements handler.DataStore.
func (o objects) GetUpload(ctx context.Context, id string) (handler.Upload, error) {
	if !named(id) {
		return nil, handler.ErrNotFound
	}
	u, err := o.upload(ctx, id)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, handler.ErrNotFound
	}
	if err != nil {
		return nil, o.answer(err)
	}
	if u.taken {
		return taken{u.info}, nil
	}
	core := o.core()
	up, err := core.GetUpload(ctx, id)
	if err != nil {
		return nil, o.answer(err)
	}
	return part{up, o}, nil
}

// AsTerminatableUpload implements handler.TerminaterDataStore.
func (o objects) AsTerminatableUpload(u handler.Upload) handler.TerminatableUpload {
	if t, ok := u.(taken); ok {
		return t
	}
	if p, ok := u.(part); ok {
		u = p.Upload
	}
	return o.core().AsTerminatableUpload(u)
}

// part is an upload that goes on.
type part struct {
	handler.Upload
	o objects
}

// GetInfo implements handler.Upload.
func (p part) GetInfo(ctx context.Context) (handler.FileInfo, error) {
	info, err := p.Upload.GetInfo(ctx)
	return info, p.o.answer(err)
}

// WriteChunk implements handler.Upload. What came before the connection was lost is kept.
func (p part) WriteChunk(ctx context.Context, offset int64, src io.Reader) (int64, error) {
	n, err := p.Upload.WriteChunk(ctx, offset, src)
	return n, p.o.answer(err)
}

// FinishUpload implements handler.Upload.
func (p part) FinishUpload(ctx context.Context) error {
	return p.o.answer(p.Upload.FinishUpload(ctx))
}

// get reads a small object.
func (o objects) get(ctx context.Context, name string) ([]byte, time.Time, error) {
	out, err := o.client.GetObject(ctx, &s3.GetObjectInput{Bucket: &o.bucket, Key: o.key(name)})
	if gone(err) {
		return nil, time.Time{}, fs.ErrNotExist
	}
	if err != nil {
		return nil, time.Time{}, blob.Explain(err)
	}
	defer out.Body.Close()
	data, err := io.ReadAll(io.LimitReader(out.Body, 1<<20))
	return data, aws.ToTime(out.LastModified), blob.Explain(err)
}

// head returns how large an object is and when it was changed.
func (o objects) head(ctx context.Context, name string) (int64, time.Time, error) {
	out, err := o.client.HeadObject(ctx, &s3.HeadObjectInput{Bucket: &o.bucket, Key: o.key(name)})
	if gone(err) {
		return 0, time.Time{}, fs.ErrNotExist
	}
	if err != nil {
		return 0, time.Time{}, blob.Explain(err)
	}
	return aws.ToInt64(out.ContentLength), aws.ToTime(out.LastModified), nil
}

// errUnseen says that an upload's parts were put together, and what they became is not there.
var errUnseen = fmt.Errorf("the parts of an upload were put together, and that is not there: %w", fs.ErrNotExist)

// seen asks until what was put together is there: a storage of many machines may not know of
// it on all of them yet, and whoever hears that it is not there sends all of it again.
func seen(ctx context.Context, ask func() error) error {
	left, ok := ctx.Value(waitsKey{}).(*[]time.Duration)
	if !ok {
		waits := unseen
		left = &waits
	}
	for {
		err := ask()
		if !errors.Is(err, errUnseen) || len(*left) == 0 {
			return err
		}
		wait := (*left)[0]
		*left = (*left)[1:]
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-time.After(wait):
		}
	}
}

// unseen are the waits between such askings: five seconds in all, which a phone waits for.
var unseen = []time.Duration{100 * time.Millisecond, 300 * time.Millisecond, time.Second, 3600 * time.Millisecond}

type waitsKey struct{}

// waiting has all askings of one errand share these waits, one after the other: a request
// looks for the same object at several places, and waits no longer for that.
func waiting(ctx context.Context, waits []time.Duration) context.Context {
	return context.WithValue(ctx, waitsKey{}, &waits)
}

func (o objects) upload(ctx context.Context, id string) (u upload, err error) {
	err = seen(ctx, func() (err error) {
		u, err = o.look(ctx, id)
		return err
	})
	return u, err
}

// look is upload, asked once.
func (o objects) look(ctx context.Context, id string) (upload, error) {
	u := upload{id: id}
	data, at, err := o.get(ctx, base(id)+infoExt)
	if err != nil {
		return u, err
	}
	if err := json.Unmarshal(data, &u.info); err != nil {
		return u, fmt.Errorf("upload %s: %w", id, err)
	}
	if id != base(id) && u.info.ID != id {
		return u, fs.ErrNotExist
	}
	u.id, u.changed = u.info.ID, at
	later := func(t time.Time) {
		if t.After(u.changed) {
			u.changed = t
		}
	}
	switch _, at, err := o.head(ctx, base(id)+doneExt); {
	case err == nil:
		u.taken, u.here, u.changed = true, u.info.Size, at
		return u, nil
	case !errors.Is(err, fs.ErrNotExist):
		return u, err
	}
	switch n, at, err := o.head(ctx, base(id)+partExt); {
	case err == nil:
		u.here += n
		later(at)
	case !errors.Is(err, fs.ErrNotExist):
		return u, err
	}
	_, multipart, _ := strings.Cut(u.info.ID, "+")
	pages := s3.NewListPartsPaginator(o.client, &s3.ListPartsInput{Bucket: &o.bucket, Key: o.key(base(id)), UploadId: &multipart})
	for pages.HasMorePages() {
		page, err := pages.NextPage(ctx)
		if gone(err) { // it is complete
			u.joined = true
			u.here, at, err = o.joined(ctx, id)
			later(at)
			return u, err
		}
		if err != nil {
			return u, blob.Explain(err)
		}
		for _, p := range page.Parts {
			u.here += aws.ToInt64(p.Size)
			later(aws.ToTime(p.LastModified))
		}
	}
	return u, nil
}

// joined returns how large what an upload's parts became is and when it was changed.
func (o objects) joined(ctx context.Context, id string) (int64, time.Time, error) {
	size, at, err := o.head(ctx, base(id))
	if errors.Is(err, fs.ErrNotExist) {
		err = errUnseen
	}
	return size, at, err
}

// names lists the objects whose names begin with prefix, and when they were changed.
func (o objects) names(ctx context.Context, prefix string) (map[string]time.Time, error) {
	out := map[string]time.Time{}
	pages := s3.NewListObjectsV2Paginator(o.client, &s3.ListObjectsV2Input{Bucket: &o.bucket, Prefix: o.key(prefix)})
	for pages.HasMorePages() {
		page, err := pages.NextPage(ctx)
		if err != nil {
			return nil, blob.Explain(err)
		}
		for _, c := range page.Contents {
			out[strings.TrimPrefix(aws.ToString(c.Key), o.prefix)] = aws.ToTime(c.LastModified)
		}
	}
	return out, nil
}

func (o objects) uploads(ctx context.Context, homeworkID string) ([]upload, error) {
	prefix := ""
	if homeworkID != "" {
		prefix = homeworkID + "-"
	}
	names, err := o.names(ctx, prefix)
	if err != nil {
		return nil, err
	}
	var out []upload
	for name := range names {
		id, ok := strings.CutSuffix(name, infoExt)
		if !ok || !named(id) {
			continue
		}
		u, err := o.look(ctx, id)
		var half *json.SyntaxError
		if errors.Is(err, fs.ErrNotExist) || errors.As(err, &half) {
			continue // it went while we looked
		}
		if err != nil {
			return nil, err
		}
		out = append(out, u)
	}
	return out, nil
}

// join has the storage make one object of an upload's parts, unless it did already, and
// returns how large that is.
func (o objects) join(ctx context.Context, id string) (size int64, err error) {
	if size, _, err = o.joined(ctx, id); !errors.Is(err, errUnseen) {
		return size, err
	}
	core := o.core()
	up, err := core.GetUpload(ctx, id)
	if err != nil {
		return 0, err
	}
	if err := up.FinishUpload(ctx); err != nil {
		return 0, blob.Explain(err)
	}
	err = seen(ctx, func() (err error) {
		size, _, err = o.joined(ctx, id)
		return err
	})
	return size, err
}

// take joins the parts, where a machine died before it did, and has the storage copy what they
// became to be a film's.
func (o objects) take(ctx context.Context, u upload, bullpenID string) error {
	size := u.here
	if !u.joined {
		var err error
		size, err = o.join(ctx, u.id)
		if errors.Is(err, errUnseen) { // the storage ended in the midst of it and says that it did not
			return errors.Join(errBroken, o.drop(ctx, u.id))
		}
		if err != nil {
			return err
		}
	}
	if size != u.info.Size { // two machines wrote at once: what there is, is not what was sent
		return errors.Join(errBroken, o.drop(ctx, u.id))
	}
	object := *o.key(base(u.id))
	again := func(do func() error) error {
		return seen(ctx, func() error {
			err := do()
			if gone(err) { // and it was there a moment ago
				err = fmt.Errorf("%w (%w)", errUnseen, err)
			}
			return err
		})
	}
	var sum string
	err := again(func() (err error) {
		sum, err = o.h.intake.SumObject(ctx, object, size)
		return err
	})
	if err != nil {
		return err
	}
	err = again(func() error {
		_, _, err := o.h.intake.TakeObject(ctx, bullpenID, u.name(), object, size, sum)
		return err
	})
	if err != nil {
		return err
	}
	if err := o.h.came(ctx, u); err != nil {
		return err
	}
	_, err = o.client.PutObject(ctx, &s3.PutObjectInput{Bucket: &o.bucket, Key: o.key(base(u.id) + doneExt), Body: bytes.NewReader(nil)})
	if err != nil {
		return blob.Explain(err)
	}
	return o.remove(ctx, base(u.id))
}

func (o objects) remove(ctx context.Context, name string) error {
	_, err := o.client.DeleteObject(ctx, &s3.DeleteObjectInput{Bucket: &o.bucket, Key: o.key(name)})
	if gone(err) {
		return nil
	}
	return blob.Explain(err)
}

func (o objects) drop(ctx context.Context, id string) error {
	var errs []error
	if _, multipart, ok := strings.Cut(id, "+"); ok {
		errs = append(errs, o.abort(ctx, *o.key(base(id)), multipart))
	}
	for _, ext := range []string{"", partExt, doneExt, infoExt} { // the info last: it names the others
		errs = append(errs, o.remove(ctx, base(id)+ext))
	}
	return errors.Join(errs...)
}

func (o objects) abort(ctx context.Context, key, multipart string) error {
	_, err := o.client.AbortMultipartUpload(ctx, &s3.AbortMultipartUploadInput{Bucket: &o.bucket, Key: &key, UploadId: &multipart})
	if gone(err) {
		return nil
	}
	return blob.Explain(err)
}

// clear removes objects, and parts of objects, that no whole upload names.
func (o objects) clear(ctx context.Context, known map[string]bool) error {
	bases := map[string]bool{}
	for id := range known {
		bases[base(id)] = true
	}
	names, err := o.names(ctx, "")
	if err != nil {
		return err
	}
	var errs []error
	before := o.h.now().Add(-abandoned)
	for name, changed := range names {
		if !bases[strings.TrimSuffix(idOf(name), partExt)] && changed.Before(before) {
			errs = append(errs, o.remove(ctx, name))
		}
	}
	in := &s3.ListMultipartUploadsInput{Bucket: &o.bucket, Prefix: &o.prefix}
	for {
		page, err := o.client.ListMultipartUploads(ctx, in)
		if err != nil {
			return errors.Join(append(errs, blob.Explain(err))...)
		}
		for _, u := range page.Uploads {
			if name := strings.TrimPrefix(aws.ToString(u.Key), o.prefix); !bases[name] && aws.ToTime(u.Initiated).Before(before) {
				errs = append(errs, o.abort(ctx, *u.Key, *u.UploadId))
			}
		}
		if !aws.ToBool(page.IsTruncated) {
			return errors.Join(errs...)
		}
		in.KeyMarker, in.UploadIdMarker = page.NextKeyMarker, page.NextUploadIdMarker
	}
}

func (o objects) strays(ctx context.Context) (none []string, ids map[string]string, err error) {
	names, err := o.names(ctx, "")
	if err != nil {
		return nil, nil, err
	}
	ids = map[string]string{}
	for name, changed := range names {
		id := strings.TrimSuffix(idOf(name), partExt)
		if _, ok := names[id+infoExt]; ok && named(id) {
			ids[name] = id
		} else if o.h.now().Sub(changed) > time.Minute {
			none = append(none, name)
		}
	}
	return none, ids, nil
}

// room looks at this machine's disk only for what is under way on it.
func (o objects) room(name string, bytes int64) error {
	if err := o.h.intake.CheckSize(name, bytes); err != nil {
		return err
	}
	return o.h.intake.CheckRoom(name, 2*pieces)
}
