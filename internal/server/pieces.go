package server

import (
	"fmt"
	"net/http"
	"regexp"
	"strconv"
)

// pieceBytes is how much of a film is sent at most to whoever asks for all of it from some
// place on: a second or so of it. A browser that asks for more than it wants to keep has
// the rest wait on its connection, of which it opens six to a server for all its windows;
// six film rooms that stand still would leave none for anything else (a client may get
// less than it asked for and asks on: RFC 9110, 15.3.7).
const pieceBytes = 1 << 20

// openRange is a request for everything from a byte on (RFC 9110, 14.1.2).
var openRange = regexp.MustCompile(`^bytes=(\d{1,18})-$`)

// byPieces has a request for all of a film from some place on be one for a piece of it.
func byPieces(r *http.Request) {
	m := openRange.FindStringSubmatch(r.Header.Get("Range"))
	if m == nil {
		return
	}
	if from, err := strconv.ParseInt(m[1], 10, 64); err == nil {
		r.Header.Set("Range", fmt.Sprintf("bytes=%d-%d", from, from+pieceBytes-1))
	}
}
