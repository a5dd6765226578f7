// Package s3test is an object storage in memory, for tests: as much of Amazon's S3 as
// tenoff asks of one (Amazon S3 API Reference, API version 2006-03-01), with the faults that
// a test wants. The same tests run over a real server where one is named.
package s3test

import (
	"cmp"
	"crypto/md5"
	"crypto/rand"
	"crypto/sha256"
	"encoding/base64"
	"encoding/binary"
	"encoding/hex"
	"encoding/xml"
	"fmt"
	"hash/crc32"
	"io"
	"maps"
	"net/http"
	"net/http/httptest"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"
)

// The bucket that a new server has, and who may use it.
const (
	Bucket = "films"
	Key    = "tester"
	Secret = "tested-by-tests-only"
)

// smallestPart is how small a part may be that is not the last, bytes (Amazon S3 User Guide,
// "Amazon S3 multipart upload limits").
const smallestPart = 5 << 20

type object struct {
	data    []byte
	tag     string
	about   http.Header // its metadata
	changed time.Time
}

type upload struct {
	key   string
	about http.Header
	begun time.Time
	parts map[int]object
}

// Server is one storage. Its methods may be used by several goroutines.
type Server struct {
	http *httptest.Server

	mu      sync.Mutex
	objects map[string]object
	uploads map[string]*upload
	fault   func(w http.ResponseWriter, r *http.Request) bool
	lost    func(r *http.Request) bool
	asked   []string
}

// New starts a server with one empty bucket.
func New() *Server {
	s := &Server{objects: map[string]object{}, uploads: map[string]*upload{}}
	s.http = httptest.NewServer(http.HandlerFunc(s.serve))
	return s
}

// NewSecure is New with a certificate that nobody trusts.
func NewSecure() *Server {
	s := &Server{objects: map[string]object{}, uploads: map[string]*upload{}}
	s.http = httptest.NewTLSServer(http.HandlerFunc(s.serve))
	return s
}

// Endpoint is where it is reached.
func (s *Server) Endpoint() string { return s.http.URL }

// Close ends it.
func (s *Server) Close() { s.http.Close() }

// Fault has every request go through f first, which answers it itself if it returns true;
// nil ends that.
func (s *Server) Fault(f func(w http.ResponseWriter, r *http.Request) bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.fault = f
}

// Lose has what was asked be done and the connection end without an answer where lost returns
// true; nil ends that.
func (s *Server) Lose(lost func(r *http.Request) bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.lost = lost
}

// Asked returns what was asked for since it was called last: methods, and paths with queries.
func (s *Server) Asked() []string {
	s.mu.Lock()
	defer s.mu.Unlock()
	out := s.asked
	s.asked = nil
	return out
}

// Left lists the keys of all objects, and those of uploads that came to no end.
func (s *Server) Left() (objects, uploads []string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	for _, u := range s.uploads {
		uploads = append(uploads, u.key)
	}
	slices.Sort(uploads)
	return slices.Sorted(maps.Keys(s.objects)), uploads
}

// Age has everything be so much older.
func (s *Server) Age(by time.Duration) {
	s.mu.Lock()
	defer s.mu.Unlock()
	for key, o := range s.objects {
		o.changed = o.changed.Add(-by)
		s.objects[key] = o
	}
	for _, u := range s.uploads {
		u.begun = u.begun.Add(-by)
		for n, p := range u.parts {
			p.changed = p.changed.Add(-by)
			u.parts[n] = p
		}
	}
}

func (s *Server) serve(w http.ResponseWriter, r *http.Request) {
	s.mu.Lock()
	fault, lost := s.fault, s.lost
	s.asked = append(s.asked, r.Method+" "+r.URL.RequestURI())
	s.mu.Unlock()
	if fault != nil && fault(w, r) {
		return
	}
	if lost != nil && lost(r) {
		w = httptest.NewRecorder()
		defer panic(http.ErrAbortHandler)
	}
	if !strings.Contains(r.Header.Get("Authorization"), "Credential="+Key+"/") {
		refuse(w, http.StatusForbidden, "AccessDenied")
		return
	}
	body, err := io.ReadAll(r.Body)
	if err != nil {
		return // the client went away
	}
	if !whole(r, body) {
		refuse(w, http.StatusBadRequest, "BadDigest")
		return
	}
	bucket, key, _ := strings.Cut(strings.TrimPrefix(r.URL.Path, "/"), "/")
	if bucket != Bucket {
		refuse(w, http.StatusNotFound, "NoSuchBucket")
		return
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	q := r.URL.Query()
	switch {
	case key == "" && r.Method == http.MethodGet && q.Has("uploads"):
		s.listUploads(w, q)
	case key == "" && r.Method == http.MethodGet && q.Has("versioning"):
		answer(w, struct {
			XMLName xml.Name `xml:"VersioningConfiguration"`
		}{})
	case key == "" && r.Method == http.MethodGet && q.Has("lifecycle"):
		refuse(w, http.StatusNotFound, "NoSuchLifecycleConfiguration")
	case key == "" && r.Method == http.MethodGet:
		s.list(w, q)
	case key == "" && r.Method == http.MethodPost && q.Has("delete"):
		s.deleteMany(w, body)
	case r.Method == http.MethodPost && q.Has("uploads"):
		id := strings.ToLower(rand.Text())
		s.uploads[id] = &upload{key: key, about: about(r), begun: time.Now(), parts: map[int]object{}}
		answer(w, struct {
			XMLName  xml.Name `xml:"InitiateMultipartUploadResult"`
			UploadId string
		}{UploadId: id})
	case q.Has("uploadId"):
		s.inParts(w, r, key, q, body)
	case r.Method == http.MethodPut:
		s.put(w, r, key, body)
	case r.Method == http.MethodGet, r.Method == http.MethodHead:
		s.get(w, r, key)
	case r.Method == http.MethodDelete:
		delete(s.objects, key)
		w.WriteHeader(http.StatusNoContent)
	default:
		refuse(w, http.StatusNotImplemented, "NotImplemented")
	}
}

// whole reports whether a body is what its sums say.
func whole(r *http.Request, body []byte) bool {
	if sum := r.Header.Get("X-Amz-Content-Sha256"); len(sum) == 64 {
		got := sha256.Sum256(body)
		if hex.EncodeToString(got[:]) != sum {
			return false
		}
	}
	if sum := r.Header.Get("X-Amz-Checksum-Crc32"); sum != "" && len(body) > 0 {
		return base64.StdEncoding.EncodeToString(binary.BigEndian.AppendUint32(nil, crc32.ChecksumIEEE(body))) == sum
	}
	return true
}

func refuse(w http.ResponseWriter, status int, code string) {
	w.Header().Set("Content-Type", "application/xml")
	w.WriteHeader(status)
	fmt.Fprintf(w, `<Error><Code>%s</Code><Message>%s</Message></Error>`, code, code)
}

func answer(w http.ResponseWriter, what any) {
	w.Header().Set("Content-Type", "application/xml")
	_ = xml.NewEncoder(w).Encode(what) // the client may be gone
}

func tagOf(data []byte) string {
	sum := md5.Sum(data)
	return `"` + hex.EncodeToString(sum[:]) + `"`
}

func (s *Server) put(w http.ResponseWriter, r *http.Request, key string, body []byte) {
	if from := r.Header.Get("X-Amz-Copy-Source"); from != "" {
		o, ok := s.source(from)
		if !ok {
			refuse(w, http.StatusNotFound, "NoSuchKey")
			return
		}
		o.changed = time.Now()
		s.objects[key] = o
		answer(w, struct {
			XMLName      xml.Name `xml:"CopyObjectResult"`
			ETag         string
			LastModified string
		}{ETag: o.tag, LastModified: stamp(o.changed)})
		return
	}
	if s.taken(r, key) {
		refuse(w, http.StatusPreconditionFailed, "PreconditionFailed")
		return
	}
	o := object{data: body, tag: tagOf(body), about: about(r), changed: time.Now()}
	s.objects[key] = o
	w.Header().Set("Etag", o.tag)
}

// about returns the metadata that a request gives an object.
func about(r *http.Request) http.Header {
	out := http.Header{}
	for name, values := range r.Header {
		if strings.HasPrefix(name, "X-Amz-Meta-") {
			out[name] = values
		}
	}
	return out
}

func (s *Server) taken(r *http.Request, key string) bool {
	_, there := s.objects[key]
	return there && r.Header.Get("If-None-Match") == "*"
}

func (s *Server) source(from string) (object, bool) {
	from, err := url.PathUnescape(from)
	if err != nil {
		return object{}, false
	}
	o, ok := s.objects[strings.TrimPrefix(strings.TrimPrefix(from, "/"), Bucket+"/")]
	return o, ok
}

func (s *Server) get(w http.ResponseWriter, r *http.Request, key string) {
	o, ok := s.objects[key]
	if !ok {
		refuse(w, http.StatusNotFound, "NoSuchKey")
		return
	}
	maps.Copy(w.Header(), o.about)
	w.Header().Set("Etag", o.tag)
	w.Header().Set("Last-Modified", o.changed.UTC().Format(http.TimeFormat))
	data, status := o.data, http.StatusOK
	if text, ok := strings.CutPrefix(r.Header.Get("Range"), "bytes="); ok {
		from, to, ok := span(text, len(data))
		if !ok {
			refuse(w, http.StatusRequestedRangeNotSatisfiable, "InvalidRange")
			return
		}
		w.Header().Set("Content-Range", fmt.Sprintf("bytes %d-%d/%d", from, to-1, len(data)))
		data, status = data[from:to], http.StatusPartialContent
	}
	w.Header().Set("Content-Length", strconv.Itoa(len(data)))
	w.WriteHeader(status)
	if r.Method == http.MethodGet {
		_, _ = w.Write(data) // the client may be gone
	}
}

// span reads "from-to", the last included, as from and without to.
func span(text string, size int) (from, to int, ok bool) {
	first, last, _ := strings.Cut(text, "-")
	from, err := strconv.Atoi(first)
	if err != nil || from >= size {
		return 0, 0, false
	}
	to = size
	if n, err := strconv.Atoi(last); err == nil {
		to = min(n+1, size)
	}
	return from, to, true
}

func stamp(t time.Time) string { return t.UTC().Format("2006-01-02T15:04:05.000Z") }

type entry struct {
	Key          string
	Size         int
	LastModified string
	ETag         string
}

func (s *Server) list(w http.ResponseWriter, q url.Values) {
	type result struct {
		XMLName               xml.Name `xml:"ListBucketResult"`
		KeyCount              int
		IsTruncated           bool
		NextContinuationToken string `xml:",omitempty"`
		Contents              []entry
	}
	most, err := strconv.Atoi(q.Get("max-keys"))
	if err != nil {
		most = 1000
	}
	var out result
	for _, key := range slices.Sorted(maps.Keys(s.objects)) {
		if !strings.HasPrefix(key, q.Get("prefix")) || key <= q.Get("continuation-token") || key <= q.Get("start-after") {
			continue
		}
		if out.KeyCount == most {
			out.IsTruncated, out.NextContinuationToken = true, out.Contents[most-1].Key
			break
		}
		o := s.objects[key]
		out.Contents = append(out.Contents, entry{key, len(o.data), stamp(o.changed), o.tag})
		out.KeyCount++
	}
	answer(w, out)
}

func (s *Server) deleteMany(w http.ResponseWriter, body []byte) {
	var in struct {
		Object []struct{ Key string }
	}
	if xml.Unmarshal(body, &in) != nil {
		refuse(w, http.StatusBadRequest, "MalformedXML")
		return
	}
	for _, o := range in.Object {
		delete(s.objects, o.Key)
	}
	answer(w, struct {
		XMLName xml.Name `xml:"DeleteResult"`
	}{})
}

func (s *Server) listUploads(w http.ResponseWriter, q url.Values) {
	type one struct{ Key, UploadId, Initiated string }
	out := struct {
		XMLName     xml.Name `xml:"ListMultipartUploadsResult"`
		IsTruncated bool
		Upload      []one
	}{}
	for id, u := range s.uploads {
		if strings.HasPrefix(u.key, q.Get("prefix")) {
			out.Upload = append(out.Upload, one{u.key, id, stamp(u.begun)})
		}
	}
	slices.SortFunc(out.Upload, func(a, b one) int { return cmp.Compare(a.Key, b.Key) })
	answer(w, out)
}

// inParts answers what is asked of an upload under way.
func (s *Server) inParts(w http.ResponseWriter, r *http.Request, key string, q url.Values, body []byte) {
	u, ok := s.uploads[q.Get("uploadId")]
	if !ok || u.key != key {
		refuse(w, http.StatusNotFound, "NoSuchUpload")
		return
	}
	n, _ := strconv.Atoi(q.Get("partNumber"))
	switch {
	case r.Method == http.MethodPut && r.Header.Get("X-Amz-Copy-Source") != "":
		from, ok := s.source(r.Header.Get("X-Amz-Copy-Source"))
		if !ok {
			refuse(w, http.StatusNotFound, "NoSuchKey")
			return
		}
		a, b, ok := span(strings.TrimPrefix(r.Header.Get("X-Amz-Copy-Source-Range"), "bytes="), len(from.data))
		if !ok {
			refuse(w, http.StatusBadRequest, "InvalidRange")
			return
		}
		u.parts[n] = object{data: from.data[a:b], tag: tagOf(from.data[a:b]), changed: time.Now()}
		answer(w, struct {
			XMLName xml.Name `xml:"CopyPartResult"`
			ETag    string
		}{ETag: u.parts[n].tag})
	case r.Method == http.MethodPut:
		u.parts[n] = object{data: body, tag: tagOf(body), changed: time.Now()}
		w.Header().Set("Etag", u.parts[n].tag)
	case r.Method == http.MethodDelete:
		delete(s.uploads, q.Get("uploadId"))
		w.WriteHeader(http.StatusNoContent)
	case r.Method == http.MethodGet:
		type part struct {
			PartNumber   int
			Size         int
			ETag         string
			LastModified string
		}
		out := struct {
			XMLName     xml.Name `xml:"ListPartsResult"`
			IsTruncated bool
			Part        []part
		}{}
		for _, n := range slices.Sorted(maps.Keys(u.parts)) {
			p := u.parts[n]
			out.Part = append(out.Part, part{n, len(p.data), p.tag, stamp(p.changed)})
		}
		answer(w, out)
	case r.Method == http.MethodPost:
		s.complete(w, r, key, q.Get("uploadId"), u, body)
	}
}

func (s *Server) complete(w http.ResponseWriter, r *http.Request, key, id string, u *upload, body []byte) {
	var in struct {
		Part []struct {
			PartNumber int
			ETag       string
		}
	}
	if xml.Unmarshal(body, &in) != nil || len(in.Part) == 0 {
		refuse(w, http.StatusBadRequest, "MalformedXML")
		return
	}
	if s.taken(r, key) {
		refuse(w, http.StatusPreconditionFailed, "PreconditionFailed")
		return
	}
	var data []byte
	for i, p := range in.Part {
		part, ok := u.parts[p.PartNumber]
		switch {
		case !ok || strings.Trim(part.tag, `"`) != strings.Trim(p.ETag, `"`) || i > 0 && p.PartNumber <= in.Part[i-1].PartNumber:
			refuse(w, http.StatusBadRequest, "InvalidPart")
			return
		case i < len(in.Part)-1 && len(part.data) < smallestPart:
			refuse(w, http.StatusBadRequest, "EntityTooSmall")
			return
		}
		data = append(data, part.data...)
	}
	s.objects[key] = object{data: data, tag: tagOf(data), about: u.about, changed: time.Now()}
	delete(s.uploads, id)
	answer(w, struct {
		XMLName xml.Name `xml:"CompleteMultipartUploadResult"`
		ETag    string
	}{ETag: s.objects[key].tag})
}
