package server

import (
	"net/http"
	"path"

	"github.com/klauspost/compress/gzhttp"
)

const (
	// worthPacking is how long an answer is that is packed, bytes: a shorter one goes out
	// in as many packets either way.
	worthPacking = 4 << 10
	// packing is gzip's level; higher ones take a phone's patience on our side of the line.
	packing = 5
	// jitter is the most that an answer's length is blurred by, bytes.
	jitter = 32
)

// packed packs long answers for whoever can unpack them: the film room of ten minutes is
// a megabyte of clock and traces, and from the fence the line is thin.
//
// How long a packed answer is tells what in it is alike. Who can put text of her own into
// an answer, have it asked for again and again and see its length on the line can so
// guess, letter by letter, a secret that stands in the same answer. Therefore only the
// instructor's reading answers are packed: no token, ticket or passphrase is ever in one
// of those (a slip's link is answered to the POST that makes it, a session is a cookie),
// no other site can have a browser ask for them (the cookie is strict, foreign origins are
// refused), and homework, where a student's words stand beside the instructor's, goes
// out as it is. What remains has its length blurred.
func packed(next http.Handler) http.Handler {
	wrap, err := gzhttp.NewWrapper(gzhttp.MinSize(worthPacking), gzhttp.CompressionLevel(packing), gzhttp.EnableZstd(false),
		gzhttp.ContentTypes([]string{"application/json", "text/csv"}), gzhttp.RandomJitter(jitter, 0, false))
	if err != nil {
		panic(err) // these settings are constants
	}
	packs := wrap(next)
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if mayPack(r) {
			packs.ServeHTTP(w, r)
		} else {
			next.ServeHTTP(w, r)
		}
	})
}

// mayPack reports whether what a request asks for may be packed. Films and pictures are
// packed already and go by ranges; events must not wait for each other.
func mayPack(r *http.Request) bool {
	if r.Method != http.MethodGet || whoMay(r.URL.Path) != instructor || r.Header.Get("Range") != "" {
		return false
	}
	if r.URL.Path == "/api/events" || under(r.URL.Path, "/api/homework") {
		return false
	}
	switch path.Ext(r.URL.Path) {
	case "", ".json", ".csv":
		return true
	}
	return false
}
