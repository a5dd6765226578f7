package blob

import (
	"bytes"
	"context"
	"crypto/rand"
	"crypto/x509"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"regexp"
	"strings"
	"time"

	"github.com/aws/aws-sdk-go-v2/aws"
	awsmiddleware "github.com/aws/aws-sdk-go-v2/aws/middleware"
	"github.com/aws/aws-sdk-go-v2/service/s3"
	"github.com/aws/smithy-go"

	"tenoff/internal/bullpen"
)

// examining is how long a look at a storage may take.
const examining = 30 * time.Second

// Examine tries out whether a bucket does what is asked of it, with an object of its own that
// is gone afterwards, and says how far the storage's clock is ahead of this machine's, to a
// second. What it fails with says what to do, and no secret.
func Examine(ctx context.Context, at Address) (ahead time.Duration, err error) {
	client, err := Client(at)
	if err != nil {
		return 0, err
	}
	defer client.Options().HTTPClient.(*http.Client).CloseIdleConnections()
	ctx, cancel := context.WithTimeout(ctx, examining)
	defer cancel()
	began := time.Now()
	list, err := client.ListObjectsV2(ctx, &s3.ListObjectsV2Input{Bucket: aws.String(at.Bucket), Prefix: aws.String(at.Prefix), MaxKeys: aws.Int32(1)})
	if err != nil {
		return 0, fault(err, "list what is in the bucket", "s3:ListBucket")
	}
	if told, is := awsmiddleware.GetServerTime(list.ResultMetadata); is {
		ahead = told.Add(time.Second / 2).Sub(began.Add(time.Since(began) / 2)) // it tells whole seconds
	}
	p := probeOf(client, at)
	err = p.try(ctx)
	if gone := p.delete(ctx); err == nil {
		err = gone
	}
	return ahead, err
}

// probes is what the names of objects that Examine stores begin with, below the prefix;
// probeForm is all of such a name. Where there is no prefix others' objects may lie beside.
const probes = "probe-"

var probeForm = regexp.MustCompile(`^` + probes + `[a-z2-7]{26}$`) // rand.Text, in small letters

// sweepProbes removes what an Examine that was killed left behind before a time.
func (b *bucket) sweepProbes(ctx context.Context, before time.Time) error {
	prefix := b.address.Prefix + probes
	isProbe := func(key string) bool { return probeForm.MatchString(strings.TrimPrefix(key, b.address.Prefix)) }
	var errs []error
	pages := s3.NewListObjectsV2Paginator(b.client, &s3.ListObjectsV2Input{Bucket: b.name(), Prefix: &prefix})
	for pages.HasMorePages() {
		page, err := pages.NextPage(ctx)
		if err != nil {
			return errors.Join(append(errs, explain(err))...)
		}
		for _, o := range page.Contents {
			if !isProbe(*o.Key) || aws.ToInt64(o.Size) != int64(len(probed)) || !aws.ToTime(o.LastModified).Before(before) {
				continue
			}
			_, err := b.client.DeleteObject(ctx, &s3.DeleteObjectInput{Bucket: b.name(), Key: o.Key})
			if err != nil && !is(err, http.StatusNotFound) {
				errs = append(errs, explain(err))
			}
		}
	}
	return errors.Join(append(errs, b.abort(ctx, prefix, before, isProbe))...)
}

// probe is an object that shows what may be done.
type probe struct {
	client      *s3.Client
	bucket, key *string
}

func probeOf(client *s3.Client, at Address) probe {
	return probe{client, aws.String(at.Bucket), aws.String(at.Prefix + probes + strings.ToLower(rand.Text()))}
}

// probed is what lies in it.
var probed = []byte("tenoff tries out whether this bucket can be written to")

func (p probe) put(ctx context.Context) error {
	_, err := p.client.PutObject(ctx, &s3.PutObjectInput{Bucket: p.bucket, Key: p.key, Body: bytes.NewReader(probed), IfNoneMatch: aws.String("*")})
	return err
}

// try stores, reads a part, and sends in parts as films are.
func (p probe) try(ctx context.Context) error {
	if err := p.put(ctx); err != nil {
		return fault(err, "store files", "s3:PutObject")
	}
	const from, to = 7, 12 // the last included
	got, err := p.client.GetObject(ctx, &s3.GetObjectInput{Bucket: p.bucket, Key: p.key, Range: aws.String(fmt.Sprintf("bytes=%d-%d", from, to))})
	if err != nil {
		return fault(err, "read files", "s3:GetObject")
	}
	part, err := io.ReadAll(io.LimitReader(got.Body, int64(len(probed))))
	if err := errors.Join(err, got.Body.Close()); err != nil {
		return fault(err, "read files", "s3:GetObject")
	}
	if !bytes.Equal(part, probed[from:to+1]) {
		return bullpen.Errorf(bullpen.Unavailable, "The object storage does not give parts of files (HTTP ranges), which showing films needs; use another one.")
	}
	if err := p.put(ctx); !is(err, http.StatusPreconditionFailed) {
		if err != nil {
			return fault(err, "store files", "s3:PutObject")
		}
		return bullpen.Errorf(bullpen.Unavailable, "The object storage stored a file over another though it was told not to (If-None-Match), so that two machines could spoil each other's films; use another one, or a newer version.")
	}
	begun, err := p.client.CreateMultipartUpload(ctx, &s3.CreateMultipartUploadInput{Bucket: p.bucket, Key: p.key})
	if err != nil {
		return fault(err, "send films in parts", "s3:PutObject")
	}
	_, listed := p.client.ListMultipartUploads(ctx, &s3.ListMultipartUploadsInput{Bucket: p.bucket, Prefix: p.key})
	_, err = p.client.AbortMultipartUpload(ctx, &s3.AbortMultipartUploadInput{Bucket: p.bucket, Key: p.key, UploadId: begun.UploadId})
	if err != nil && !is(err, http.StatusNotFound) {
		return fault(err, "take back what was sent in part", "s3:AbortMultipartUpload")
	}
	if listed != nil {
		return fault(listed, "list what was sent in part", "s3:ListBucketMultipartUploads")
	}
	return nil
}

// delete takes the object away, also when the look was broken off.
func (p probe) delete(ctx context.Context) error {
	ctx, cancel := context.WithTimeout(context.WithoutCancel(ctx), 10*time.Second)
	defer cancel()
	if _, err := p.client.DeleteObject(ctx, &s3.DeleteObjectInput{Bucket: p.bucket, Key: p.key}); err != nil && !is(err, http.StatusNotFound) {
		return fault(err, "delete files", "s3:DeleteObject")
	}
	return nil
}

// fault says why a storage did not do what it was asked, and what to do about it. right is
// what a key needs for it (Service Authorization Reference, "Actions, resources, and condition
// keys for Amazon S3"); codes are those of the Amazon S3 API Reference, "Error responses".
func fault(err error, what, right string) error {
	sentence := ""
	var code smithy.APIError
	var name *net.DNSError
	var strange x509.UnknownAuthorityError
	var others x509.HostnameError
	switch {
	case errors.As(err, &code) && code.ErrorCode() == "RequestTimeTooSkewed":
		sentence = "The object storage's clock and this machine's are too far apart; have both set by the network (NTP)."
	case errors.As(err, &code) && code.ErrorCode() == "InvalidAccessKeyId":
		sentence = "The object storage does not know the key in " + keyVariable + "; correct it."
	case errors.As(err, &code) && code.ErrorCode() == "SignatureDoesNotMatch":
		sentence = "The secret does not go with the key in " + keyVariable + ", or the region in the address is another; correct it."
	case is(err, http.StatusForbidden), is(err, http.StatusUnauthorized):
		sentence = "The key in " + keyVariable + " may not " + what + "; give it the right " + right + "."
	case errors.As(err, &code) && (code.ErrorCode() == "NotImplemented" || is(err, http.StatusNotImplemented)):
		sentence = "The object storage can't " + what + "; use another one, or a newer version."
	case errors.As(err, &name):
		sentence = "The name of the object storage's endpoint is not known in this network; correct the address."
	case errors.As(err, &strange), errors.As(err, &others):
		sentence = "The object storage's certificate is not one that this machine trusts for that name; put its authority into the system's list, or correct the address."
	default:
		return explain(err)
	}
	return &bullpen.Error{Code: bullpen.Unavailable, Message: sentence, Err: err}
}
