package blob

import (
	"fmt"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/aws/aws-sdk-go-v2/aws"
	"github.com/aws/aws-sdk-go-v2/service/s3"

	"tenoff/internal/blob/s3test"
	"tenoff/internal/bullpen"
)

// A storage that does what is asked of one is found well, and nothing stays in it; each fault
// is told apart, with what to do about it, and no sentence holds the secret. The codes are
// those of the Amazon S3 API Reference, "Error responses".
func TestExamine(t *testing.T) {
	refusing := func(code string, status int, which func(*http.Request) bool) func(http.ResponseWriter, *http.Request) bool {
		return func(w http.ResponseWriter, r *http.Request) bool {
			if !which(r) {
				return false
			}
			w.WriteHeader(status)
			fmt.Fprintf(w, `<Error><Code>%s</Code></Error>`, code)
			return true
		}
	}
	any := func(*http.Request) bool { return true }
	of := func(method, query string) func(*http.Request) bool {
		return func(r *http.Request) bool {
			return r.Method == method && (query == "" || strings.Contains(r.URL.RawQuery, query))
		}
	}
	for what, c := range map[string]struct {
		fault func(http.ResponseWriter, *http.Request) bool
		says  string // "" for well
		left  bool   // it can't be deleted
	}{
		"well":            {nil, "", false},
		"a clock":         {refusing("RequestTimeTooSkewed", 403, any), "clock", false},
		"a key":           {refusing("InvalidAccessKeyId", 403, any), "does not know the key in TENOFF_S3_KEY", false},
		"a secret":        {refusing("SignatureDoesNotMatch", 403, any), "The secret does not go with the key", false},
		"listing":         {refusing("AccessDenied", 403, of("GET", "list-type")), "s3:ListBucket.", false},
		"storing":         {refusing("AccessDenied", 403, of("PUT", "")), "s3:PutObject", false},
		"reading":         {refusing("AccessDenied", 403, of("GET", "x-id=GetObject")), "s3:GetObject", false},
		"deleting":        {refusing("AccessDenied", 403, of("DELETE", "x-id=DeleteObject")), "s3:DeleteObject", true},
		"parts, listed":   {refusing("AccessDenied", 403, of("GET", "uploads")), "s3:ListBucketMultipartUploads", false},
		"parts, unknown":  {refusing("NotImplemented", 501, of("POST", "uploads")), "can't send films in parts", false},
		"it answers not":  {refusing("SlowDown", 503, any), "does not answer", false},
		"whole files":     {func(_ http.ResponseWriter, r *http.Request) bool { r.Header.Del("Range"); return false }, "HTTP ranges", false},
		"over another":    {func(_ http.ResponseWriter, r *http.Request) bool { r.Header.Del("If-None-Match"); return false }, "If-None-Match", false},
		"no bucket there": {refusing("NoSuchBucket", 404, any), "no bucket of that name", false},
	} {
		t.Run(what, func(t *testing.T) {
			t.Setenv(keyVariable, s3test.Key)
			t.Setenv(secretVariable, s3test.Secret)
			s := s3test.New()
			defer s.Close()
			s.Fault(c.fault)
			ahead, err := Examine(t.Context(), Address{Bucket: s3test.Bucket, Prefix: "a/", Endpoint: s.Endpoint(), Region: "us-east-1"})
			said := bullpen.MessageOf(err)
			if (err == nil) != (c.says == "") || err != nil && !strings.Contains(said, c.says) || strings.Contains(said, s3test.Secret) {
				t.Errorf("said %q, %v", said, err)
			}
			if err == nil && ahead.Abs() > time.Minute {
				t.Errorf("its clock, which is this machine's, is %v ahead", ahead)
			}
			objects, uploads := s.Left()
			if len(uploads) > 0 || len(objects) > 0 != c.left {
				t.Errorf("left are %v and %v", objects, uploads)
			}
		})
	}

	t.Setenv(keyVariable, s3test.Key)
	t.Setenv(secretVariable, s3test.Secret)
	s := s3test.New()
	defer s.Close()
	s.Fault(func(w http.ResponseWriter, _ *http.Request) bool {
		w.Header().Set("Date", time.Now().Add(time.Hour).UTC().Format(http.TimeFormat))
		return false
	})
	at := Address{Bucket: s3test.Bucket, Endpoint: s.Endpoint(), Region: "us-east-1"}
	if ahead, err := Examine(t.Context(), at); err != nil || (ahead-time.Hour).Abs() > time.Minute {
		t.Errorf("a clock an hour ahead: %v, %v", ahead, err)
	}
	at.Endpoint = "http://storage.invalid" // RFC 6761, 6.4: never a name
	if _, err := Examine(t.Context(), at); !strings.Contains(bullpen.MessageOf(err), "not known in this network") {
		t.Errorf("a name that is none: %v", err)
	}
	secure := s3test.NewSecure()
	defer secure.Close()
	at.Endpoint = secure.Endpoint()
	if _, err := Examine(t.Context(), at); !strings.Contains(bullpen.MessageOf(err), "certificate is not one") {
		t.Errorf("a certificate of nobody: %v", err)
	}
}

// What an Examine that was killed left behind goes when it is a day old, and nothing else
// that has a name like it.
func TestProbesAreSwept(t *testing.T) {
	server, s := inMemory(t, Room)
	b := s.engine.(*bucket)
	ctx := t.Context()
	p := probeOf(b.client, b.address)
	if err := p.put(ctx); err != nil {
		t.Fatal(err)
	}
	if _, err := b.client.CreateMultipartUpload(ctx, &s3.CreateMultipartUploadInput{Bucket: p.bucket, Key: p.key}); err != nil {
		t.Fatal(err)
	}
	others := p
	others.key = aws.String(b.address.Prefix + probes + "of-something-else")
	if err := others.put(ctx); err != nil {
		t.Fatal(err)
	}
	day := func() time.Time { return time.Now().Add(-24 * time.Hour) }
	if err := s.SweepOld(ctx, day()); err != nil {
		t.Fatal(err)
	}
	if objects, uploads := server.Left(); len(objects) != 2 || len(uploads) != 1 {
		t.Errorf("of one that may be at work are left %v and %v", objects, uploads)
	}
	server.Age(25 * time.Hour)
	if err := s.SweepOld(ctx, day()); err != nil {
		t.Fatal(err)
	}
	if objects, uploads := server.Left(); len(objects) != 1 || objects[0] != *others.key || len(uploads) > 0 {
		t.Errorf("left are %v and %v", objects, uploads)
	}
}
