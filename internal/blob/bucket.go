package blob

import (
	"cmp"
	"context"
	"crypto/rand"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/aws/aws-sdk-go-v2/aws"
	"github.com/aws/aws-sdk-go-v2/aws/retry"
	"github.com/aws/aws-sdk-go-v2/credentials"
	"github.com/aws/aws-sdk-go-v2/service/s3"
	"github.com/aws/aws-sdk-go-v2/service/s3/types"
	"github.com/aws/smithy-go"

	"tenoff/internal/bullpen"
	"tenoff/internal/disk"
)

// What S3 takes (Amazon S3 User Guide, "Amazon S3 multipart upload limits"): parts of 5 MiB
// to 5 GiB, 10,000 of them at most, and copies of 5 GiB at once.
const (
	partSize = 16 << 20 // bytes; a film of 160 GB has 10,000 of them
	copySize = 1 << 30  // bytes of a copy that are made at once
)

// Room is how much of this machine's disk copies of files take by default, bytes.
const Room = 20 << 30

// bucket keeps files in an object storage. What is made, and copies for programs that need
// a path, lie in a folder of this machine.
type bucket struct {
	address Address
	client  *s3.Client
	dir     string
	cache   *cache
	part    int64
	once    int64 // bytes that are copied at once
}

// OpenBucket opens the store in a bucket, which has to be there. dir is a folder that only
// this program uses: what lies in it from before is removed. Copies for programs that need
// a path take room bytes of it, more only while more is in use.
func OpenBucket(ctx context.Context, at Address, dir string, room int64) (*Store, error) {
	b, err := newBucket(at, dir, room)
	if err != nil {
		return nil, err
	}
	if err := b.Ready(ctx); err != nil {
		return nil, err
	}
	if err := b.clear(); err != nil {
		return nil, &bullpen.Error{Code: bullpen.Unavailable, Message: "The folder " + dir + " can't be made; check that you may write there.", Err: err}
	}
	return &Store{b}, nil
}

func newBucket(at Address, dir string, room int64) (*bucket, error) {
	client, err := Client(at)
	if err != nil {
		return nil, err
	}
	b := &bucket{address: at, client: client, dir: dir, part: partSize, once: copySize}
	b.cache = newCache(filepath.Join(dir, "copies"), room, b.fetch)
	return b, nil
}

// Client returns what speaks with the storage at an address, as whoever the environment
// names. A request that gets no answer is tried three times, and given up within seconds:
// somebody waits, and a job tries again by itself.
func Client(at Address) (*s3.Client, error) {
	key, secret, err := secrets()
	if err != nil {
		return nil, err
	}
	transport := &http.Transport{
		Proxy:                 http.ProxyFromEnvironment,
		DialContext:           (&net.Dialer{Timeout: 3 * time.Second, KeepAlive: 15 * time.Second}).DialContext,
		TLSHandshakeTimeout:   5 * time.Second,
		ResponseHeaderTimeout: 20 * time.Second,
		MaxIdleConnsPerHost:   32,
		IdleConnTimeout:       60 * time.Second,
		ForceAttemptHTTP2:     true,
	}
	o := s3.Options{
		Region:       at.Region,
		Credentials:  credentials.NewStaticCredentialsProvider(key, secret, ""),
		HTTPClient:   &http.Client{Transport: transport},
		UsePathStyle: at.Endpoint != "",
		Retryer: retry.NewStandard(func(o *retry.StandardOptions) {
			o.MaxAttempts, o.MaxBackoff = 3, time.Second
			o.Retryables = append(o.Retryables, passes)
		}),
	}
	if at.Endpoint != "" {
		o.BaseEndpoint = aws.String(at.Endpoint)
	}
	return s3.New(o), nil
}

// passes names what a storage refuses in passing: one that keeps objects as files (versitygw
// 1.8) takes an emptied folder away while another object is put into it, and says this.
var passes = retry.RetryableErrorCode{Codes: map[string]struct{}{"ExistingObjectIsDirectory": {}}}

// below is where files lie below the prefix.
const below = Folder + "/"

func (b *bucket) object(key string) *string { return aws.String(b.address.Prefix + below + key) }

func (b *bucket) name() *string { return aws.String(b.address.Bucket) }

// clear makes the folder anew.
func (b *bucket) clear() error {
	return errors.Join(disk.RemoveAll(filepath.Join(b.dir, arriving)), os.MkdirAll(filepath.Join(b.dir, arriving), 0o700), b.cache.clear())
}

// Close implements engine.
func (b *bucket) Close() error {
	b.client.Options().HTTPClient.(*http.Client).CloseIdleConnections()
	return b.cache.clear()
}

// Free implements engine: of this machine's disk, for what is under way. Nobody tells a
// bucket's.
func (b *bucket) Free() (int64, error) { return disk.Free(b.dir) }

// Ready implements engine.
func (b *bucket) Ready(ctx context.Context) error {
	ctx, cancel := context.WithTimeout(ctx, 10*time.Second)
	defer cancel()
	_, err := b.client.ListObjectsV2(ctx, &s3.ListObjectsV2Input{Bucket: b.name(), Prefix: b.object(""), MaxKeys: aws.Int32(1)})
	return explain(err)
}

func (b *bucket) desk() (string, error) {
	dir, err := os.MkdirTemp(filepath.Join(b.dir, arriving), "d-*")
	return dir, full(err)
}

func (b *bucket) adopt(ctx context.Context, key, file, sum string) (Info, error) {
	if _, err := onDesk(b.dir, file); err != nil {
		return Info{}, err
	}
	f, err := os.Open(file)
	if err != nil {
		return Info{}, err
	}
	defer f.Close()
	stat, err := f.Stat()
	if err == nil && !stat.Mode().IsRegular() {
		err = fmt.Errorf("%s is not a file", file)
	}
	if err != nil {
		return Info{}, err
	}
	if err := b.free(ctx, key); err != nil {
		return Info{}, err
	}
	if err := b.send(ctx, key, f, stat.Size(), sum); err != nil {
		return Info{}, explain(err)
	}
	b.cache.seed(key, file, stat.Size())
	return Info{Key: key, Size: stat.Size()}, nil
}

// free refuses a key that is taken. Whoever comes second between this look and the end is
// refused by the storage.
func (b *bucket) free(ctx context.Context, key string) error {
	switch _, err := b.stat(ctx, key); {
	case err == nil:
		return taken(key)
	case bullpen.CodeOf(err) != bullpen.NotFound:
		return err
	}
	return nil
}

// errOther says that what was read to be sent is not what was promised.
var errOther = bullpen.Errorf(bullpen.Unavailable, "A file changed on this machine's disk while it was stored, so it was not kept. Check the disk, then try again.")

// send puts a file under a key, whole or not at all: in parts, which become a file only when
// all are there and what was read for them has the SHA-256 that was promised.
func (b *bucket) send(ctx context.Context, key string, f *os.File, size int64, sum string) (err error) {
	if size <= b.part {
		digest := sha256.New()
		if _, err := io.Copy(digest, io.NewSectionReader(f, 0, size)); err != nil {
			return err
		}
		if got := hex.EncodeToString(digest.Sum(nil)); sum != "" && got != sum {
			return errOther
		}
		by := rand.Text()
		_, err := b.client.PutObject(ctx, &s3.PutObjectInput{
			Bucket: b.name(), Key: b.object(key), Body: io.NewSectionReader(f, 0, size), ContentLength: aws.Int64(size),
			ChecksumAlgorithm: types.ChecksumAlgorithmCrc32, IfNoneMatch: aws.String("*"), Metadata: map[string]string{sentBy: by},
		})
		if err == nil {
			return nil
		}
		return b.settled(ctx, key, by, size, err)
	}
	return b.inParts(ctx, key, size, b.part, func(ctx context.Context, upload *string, n int32, from, to int64) (types.CompletedPart, error) {
		sent, err := b.client.UploadPart(ctx, &s3.UploadPartInput{
			Bucket: b.name(), Key: b.object(key), UploadId: upload, PartNumber: aws.Int32(n),
			Body: io.NewSectionReader(f, from, to-from), ContentLength: aws.Int64(to - from),
			ChecksumAlgorithm: types.ChecksumAlgorithmCrc32,
		})
		if err != nil {
			return types.CompletedPart{}, err
		}
		return types.CompletedPart{ETag: sent.ETag, PartNumber: aws.Int32(n), ChecksumCRC32: sent.ChecksumCRC32}, nil
	}, func() error {
		digest := sha256.New()
		if _, err := io.Copy(digest, io.NewSectionReader(f, 0, size)); err != nil {
			return err
		}
		if got := hex.EncodeToString(digest.Sum(nil)); sum != "" && got != sum {
			return errOther
		}
		return nil
	})
}

// inParts makes what lies under a key of parts of a size, one after the other, each by put,
// and only if agree does: else nothing stays.
func (b *bucket) inParts(ctx context.Context, key string, size, each int64, put func(ctx context.Context, upload *string, n int32, from, to int64) (types.CompletedPart, error), agree func() error) (err error) {
	by := rand.Text()
	created, err := b.client.CreateMultipartUpload(ctx, &s3.CreateMultipartUploadInput{
		Bucket: b.name(), Key: b.object(key), ChecksumAlgorithm: types.ChecksumAlgorithmCrc32, Metadata: map[string]string{sentBy: by},
	})
	if err != nil {
		return err
	}
	defer func() {
		if err == nil {
			return
		}
		ctx, cancel := context.WithTimeout(context.WithoutCancel(ctx), 10*time.Second)
		defer cancel()
		_, left := b.client.AbortMultipartUpload(ctx, &s3.AbortMultipartUploadInput{Bucket: b.name(), Key: b.object(key), UploadId: created.UploadId})
		if left != nil && !is(left, http.StatusNotFound) { // else it is swept a day later
			err = errors.Join(err, left)
		}
	}()
	var parts []types.CompletedPart
	for from := int64(0); from < size; from += each {
		p, err := put(ctx, created.UploadId, int32(len(parts)+1), from, min(from+each, size))
		if err != nil {
			return err
		}
		parts = append(parts, p)
	}
	if err := agree(); err != nil {
		return err
	}
	_, err = b.client.CompleteMultipartUpload(ctx, &s3.CompleteMultipartUploadInput{
		Bucket: b.name(), Key: b.object(key), UploadId: created.UploadId, IfNoneMatch: aws.String("*"),
		MultipartUpload: &types.CompletedMultipartUpload{Parts: parts},
	})
	return b.settled(ctx, key, by, size, err)
}

// sentBy is under what a file's metadata say which sending it came from.
const sentBy = "sent-by"

// settled says how the sending by of so many bytes to a key ended whose last request had the
// answer err. A request whose answer was lost is made again, and the second time it is
// refused because the first one did all of it: then what lies there is of this sending. Or it
// is told that all is well although the first one ended half way, with the storage itself
// (versitygw 1.8 says so of parts that it was putting together): then nothing lies there.
func (b *bucket) settled(ctx context.Context, key, by string, size int64, err error) error {
	if err != nil && !is(err, http.StatusPreconditionFailed) && !is(err, http.StatusConflict) && !is(err, http.StatusNotFound) {
		return err
	}
	var code smithy.APIError
	if errors.As(err, &code) && code.ErrorCode() == "NoSuchBucket" {
		return err
	}
	head, there := b.client.HeadObject(ctx, &s3.HeadObjectInput{Bucket: b.name(), Key: b.object(key)})
	switch {
	case there == nil && head.Metadata[sentBy] == by && aws.ToInt64(head.ContentLength) == size:
		return nil
	case there == nil:
		return taken(key)
	case !is(there, http.StatusNotFound):
		return there
	}
	// Nobody has the key: who was in the way is gone, or the parts are. Another time it goes.
	return &bullpen.Error{Code: bullpen.Unavailable, Message: "A file was not kept by the object storage; try again in a moment.", Err: err}
}

func (b *bucket) stat(ctx context.Context, key string) (Info, error) {
	head, err := b.client.HeadObject(ctx, &s3.HeadObjectInput{Bucket: b.name(), Key: b.object(key)})
	if err != nil {
		return Info{}, explain(err)
	}
	return Info{Key: key, Size: aws.ToInt64(head.ContentLength)}, nil
}

func (b *bucket) open(ctx context.Context, key string) (File, error) {
	info, err := b.stat(ctx, key)
	if err != nil {
		return nil, err
	}
	return &remote{ctx: ctx, of: b, object: *b.object(key), size: info.Size}, nil
}

// get asks for the bytes from and up to, but without, to.
func (b *bucket) get(ctx context.Context, object string, from, to int64) (io.ReadCloser, error) {
	in := &s3.GetObjectInput{Bucket: b.name(), Key: aws.String(object), Range: aws.String(fmt.Sprintf("bytes=%d-%d", from, to-1))}
	out, err := b.client.GetObject(ctx, in)
	if err != nil {
		return nil, err
	}
	if got := aws.ToInt64(out.ContentLength); got != to-from {
		return nil, errors.Join(fmt.Errorf("the object storage sent %d bytes of %d", got, to-from), out.Body.Close())
	}
	return out.Body, nil
}

// local is a copy on this machine's disk of what lies there now.
func (b *bucket) local(ctx context.Context, key string) (string, func(), error) {
	info, err := b.stat(ctx, key)
	if err != nil {
		if bullpen.CodeOf(err) == bullpen.NotFound {
			b.cache.drop(key)
		}
		return "", func() {}, err
	}
	return b.cache.get(ctx, info)
}

// fetch brings a file to path.
func (b *bucket) fetch(ctx context.Context, info Info, path string) error {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return full(err)
	}
	from := &remote{ctx: ctx, of: b, object: *b.object(info.Key), size: info.Size}
	defer from.Close()
	n, err := io.Copy(f, from)
	if err := errors.Join(err, f.Close()); err != nil {
		return full(err)
	}
	if n != info.Size {
		return explain(io.ErrUnexpectedEOF)
	}
	return nil
}

func (b *bucket) copy(ctx context.Context, from, to string) (Info, error) {
	info, err := b.stat(ctx, from)
	if err != nil {
		return Info{}, err
	}
	return b.take(ctx, *b.object(from), to, info.Size)
}

// take puts a copy of any object of the bucket under a key, server-side.
func (b *bucket) take(ctx context.Context, object, key string, size int64) (Info, error) {
	if err := b.free(ctx, key); err != nil {
		return Info{}, err
	}
	source := aws.String(url.PathEscape(b.address.Bucket + "/" + object))
	if size <= b.once {
		_, err := b.client.CopyObject(ctx, &s3.CopyObjectInput{Bucket: b.name(), Key: b.object(key), CopySource: source})
		return Info{Key: key, Size: size}, explain(err)
	}
	err := b.inParts(ctx, key, size, b.once, func(ctx context.Context, upload *string, n int32, from, to int64) (types.CompletedPart, error) {
		out, err := b.client.UploadPartCopy(ctx, &s3.UploadPartCopyInput{
			Bucket: b.name(), Key: b.object(key), CopySource: source, UploadId: upload, PartNumber: aws.Int32(n),
			CopySourceRange: aws.String(fmt.Sprintf("bytes=%d-%d", from, to-1)),
		})
		if err != nil {
			return types.CompletedPart{}, err
		}
		return types.CompletedPart{ETag: out.CopyPartResult.ETag, PartNumber: aws.Int32(n), ChecksumCRC32: out.CopyPartResult.ChecksumCRC32}, nil
	}, func() error { return nil })
	return Info{Key: key, Size: size}, explain(err)
}

func (b *bucket) list(ctx context.Context, prefix string) ([]Info, error) {
	if prefix != "" {
		prefix += "/"
	}
	var out []Info
	pages := s3.NewListObjectsV2Paginator(b.client, &s3.ListObjectsV2Input{Bucket: b.name(), Prefix: b.object(prefix)})
	for pages.HasMorePages() {
		page, err := pages.NextPage(ctx)
		if err != nil {
			return nil, explain(err)
		}
		for _, o := range page.Contents {
			key := strings.TrimPrefix(aws.ToString(o.Key), *b.object(""))
			if check(key) == nil {
				out = append(out, Info{Key: key, Size: aws.ToInt64(o.Size)})
			}
		}
	}
	slices.SortFunc(out, func(x, y Info) int { return cmp.Compare(x.Key, y.Key) })
	return out, nil
}

func (b *bucket) delete(ctx context.Context, key string) error {
	_, err := b.client.DeleteObject(ctx, &s3.DeleteObjectInput{Bucket: b.name(), Key: b.object(key)})
	b.cache.drop(key)
	if is(err, http.StatusNotFound) {
		return nil
	}
	return explain(err)
}

// Sweep implements engine.
func (b *bucket) Sweep(ctx context.Context) error {
	if err := b.clear(); err != nil {
		return err
	}
	return b.abort(ctx, *b.object(""), time.Now().Add(time.Minute), ours)
}

// SweepOld implements engine. The folder on this machine is this program's own.
func (b *bucket) SweepOld(ctx context.Context, before time.Time) error {
	return errors.Join(b.abort(ctx, *b.object(""), before, ours), b.sweepProbes(ctx, before))
}

// ours says of what lies where only we put anything whether it is.
func ours(string) bool { return true }

// abort removes parts of what was begun under a prefix before a time and came to no end, if
// its key is one of mine.
func (b *bucket) abort(ctx context.Context, prefix string, before time.Time, mine func(key string) bool) error {
	var errs []error
	in := &s3.ListMultipartUploadsInput{Bucket: b.name(), Prefix: &prefix}
	for {
		page, err := b.client.ListMultipartUploads(ctx, in)
		if err != nil {
			return errors.Join(append(errs, explain(err))...)
		}
		for _, u := range page.Uploads {
			if !mine(aws.ToString(u.Key)) || !aws.ToTime(u.Initiated).Before(before) {
				continue
			}
			_, err := b.client.AbortMultipartUpload(ctx, &s3.AbortMultipartUploadInput{Bucket: b.name(), Key: u.Key, UploadId: u.UploadId})
			if err != nil && !is(err, http.StatusNotFound) {
				errs = append(errs, explain(err))
			}
		}
		if !aws.ToBool(page.IsTruncated) {
			return errors.Join(errs...)
		}
		in.KeyMarker, in.UploadIdMarker = page.NextKeyMarker, page.NextUploadIdMarker
	}
}

// is reports whether err is an answer with that status.
func is(err error, status int) bool {
	var answer interface{ HTTPStatusCode() int }
	return errors.As(err, &answer) && answer.HTTPStatusCode() == status
}

// explain says an error of the storage in words. Whatever it is, it may be over in a moment:
// 503, and jobs try again.
func explain(err error) error {
	var known *bullpen.Error
	var code smithy.APIError
	switch {
	case err == nil, errors.As(err, &known), errors.Is(err, context.Canceled):
		return err
	case errors.As(err, &code) && code.ErrorCode() == "NoSuchBucket":
		return &bullpen.Error{Code: bullpen.Unavailable, Message: "The object storage has no bucket of that name; make it, or check the files' address.", Err: err}
	case is(err, http.StatusNotFound):
		return &bullpen.Error{Code: bullpen.NotFound, Message: "That file is not here.", Err: err}
	case is(err, http.StatusForbidden), is(err, http.StatusUnauthorized):
		return &bullpen.Error{Code: bullpen.Unavailable, Message: "The object storage lets this machine do nothing with the files; check its key, its secret, and its clock.", Err: err}
	}
	return &bullpen.Error{Code: bullpen.Unavailable, Message: "The storage of the films does not answer; try again in a moment.", Err: errors.Join(bullpen.ErrAway, err)}
}

// MarkName names what lies beside an academy's files and says whose they are: an object in a
// bucket, a file in a folder.
const MarkName = "academy"

// Mark returns what SetMark wrote beside the files in a bucket, "" for nothing.
func (s *Store) Mark(ctx context.Context) (string, error) {
	b, err := s.bucket()
	if err != nil {
		return "", err
	}
	out, err := b.client.GetObject(ctx, &s3.GetObjectInput{Bucket: b.name(), Key: aws.String(b.address.Prefix + MarkName)})
	if is(err, http.StatusNotFound) {
		return "", nil
	}
	if err != nil {
		return "", explain(err)
	}
	defer out.Body.Close()
	text, err := io.ReadAll(io.LimitReader(out.Body, 1000))
	return strings.TrimSpace(string(text)), explain(err)
}

// SetMark writes beside the files in a bucket whose they are. Where another program did so a
// moment ago it fails, unless that wrote the same.
func (s *Store) SetMark(ctx context.Context, text string) error {
	b, err := s.bucket()
	if err != nil {
		return err
	}
	_, err = b.client.PutObject(ctx, &s3.PutObjectInput{Bucket: b.name(), Key: aws.String(b.address.Prefix + MarkName), Body: strings.NewReader(text), IfNoneMatch: aws.String("*")})
	if is(err, http.StatusPreconditionFailed) {
		var there string
		if there, err = s.Mark(ctx); err == nil && there != text {
			err = bullpen.Errorf(bullpen.Conflict, "Another database's films were just begun in this bucket; name another prefix.")
		}
		return err
	}
	return explain(err)
}

// errFolder is the error of what only a bucket can do.
var errFolder = errors.New("the files lie in a folder, not in a bucket")

// InBucket reports whether the files lie in a bucket, not in a folder.
func (s *Store) InBucket() bool {
	_, err := s.bucket()
	return err == nil
}

func (s *Store) bucket() (*bucket, error) {
	b, ok := s.engine.(*bucket)
	if !ok {
		return nil, errFolder
	}
	return b, nil
}

// Objects returns what speaks with the storage that files lie in, the bucket, and what the
// names of all objects that are ours begin with: for what lies beside the files.
func (s *Store) Objects() (client *s3.Client, name, prefix string, err error) {
	b, err := s.bucket()
	if err != nil {
		return nil, "", "", err
	}
	return b.client, b.address.Bucket, b.address.Prefix, nil
}

// TakeObject puts a copy of an object of the bucket, of so many bytes, in under a key. It is
// made by the storage.
func (s *Store) TakeObject(ctx context.Context, object, key string, size int64) (Info, error) {
	b, err := s.bucket()
	if err != nil {
		return Info{}, err
	}
	if err := check(key); err != nil {
		return Info{}, err
	}
	return b.take(ctx, object, key, size)
}

// OpenObject opens an object of the bucket, of so many bytes, for reading.
func (s *Store) OpenObject(ctx context.Context, object string, size int64) (File, error) {
	b, err := s.bucket()
	if err != nil {
		return nil, err
	}
	return &remote{ctx: ctx, of: b, object: object, size: size}, nil
}

// Explain says an error of the storage in words, as Store's methods do.
func Explain(err error) error { return explain(err) }
