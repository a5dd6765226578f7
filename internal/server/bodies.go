package server

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"os"
	"reflect"
	"runtime"
	"time"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/adapters/humagin"
)

// How large a JSON body may be. What no route needs is not even read: a body is held
// in memory, and checking one takes many times as much.
const (
	usualBody = 64 << 10
	wordsBody = 32 << 10 // a student's note and 300 readings
	largeBody = 1 << 20  // pasted columns, drawings
)

// bytesPerValue is how many bytes a body has at least for each of its values, but for
// the first few: what is dearest to check has the most values to the byte.
const bytesPerValue = 8

// upTo sets how large an operation's body may be.
func upTo(bytes int64, o huma.Operation) huma.Operation {
	o.MaxBodyBytes = bytes
	return o
}

// bodyTime is how long a body that is no film may take to arrive.
const bodyTime = 30 * time.Second

// inTime gives up a body that does not arrive, on every route and for everybody, also
// where nobody reads it: the connection would be held until all of it is here. A
// handler of films sets a limit for each read instead.
func (s *Server) inTime(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.Body != nil && r.Body != http.NoBody {
			body := &timedBody{r.Body, http.NewResponseController(w)}
			body.limit(time.Now().Add(s.bodyTime))
			r.Body = body
		}
		next.ServeHTTP(w, r)
	})
}

// timedBody takes the time limit off its connection when all of it is here: one that
// passes while the request is being answered would look as if whoever asked had gone.
type timedBody struct {
	io.ReadCloser
	connection *http.ResponseController
}

func (b *timedBody) Read(p []byte) (int, error) {
	n, err := b.ReadCloser.Read(p)
	if err == io.EOF {
		b.limit(time.Time{})
	}
	return n, err
}

// limit sets until when the connection may be read; an error means that there is
// none, or none any more.
func (b *timedBody) limit(until time.Time) { _ = b.connection.SetReadDeadline(until) }

// takesBody reports whether an operation's input has a body.
func takesBody[In any]() bool {
	_, has := reflect.TypeFor[In]().FieldByName("Body")
	return has
}

type checkedKey struct{}

// whole reads a body of at most so many bytes before anything is made of it, and lets
// only a few be checked at once: until one is known to be good, what it costs is in
// the hands of whoever sent it.
func (s *Server) whole(most int64) func(huma.Context, func(huma.Context)) {
	return func(ctx huma.Context, next func(huma.Context)) {
		c, l := humagin.Unwrap(ctx), languageFor(ctx.Context(), "")
		body, err := io.ReadAll(io.LimitReader(c.Request.Body, most+1))
		switch {
		case errors.Is(err, os.ErrDeadlineExceeded):
			writeProblem(c.Writer, refusal(http.StatusRequestTimeout, l.Given("What was sent did not arrive in time; send it again.")))
			return
		case err != nil:
			writeProblem(c.Writer, refusal(http.StatusBadRequest, l.Given("What was sent did not arrive whole; send it again.")))
			return
		case int64(len(body)) > most || int64(values(body)) > most/bytesPerValue:
			writeProblem(c.Writer, refusal(http.StatusRequestEntityTooLarge,
				l.Given(fmt.Sprintf("This is too much at once: %d kB and %d values are the most here. Send it in parts.", most>>10, most/bytesPerValue))))
			return
		case holdsNUL(body):
			writeProblem(c.Writer, refusal(http.StatusUnprocessableEntity, l.Given("There is a character in this text that can't be stored; leave it out.")))
			return
		}
		c.Request.Body = io.NopCloser(bytes.NewReader(body))
		select {
		case s.checking <- struct{}{}:
		case <-c.Request.Context().Done():
			return // nobody waits for an answer
		}
		held := true
		checked := func() {
			if held {
				held = false
				<-s.checking
			}
		}
		defer checked()
		next(huma.WithContext(ctx, context.WithValue(ctx.Context(), checkedKey{}, checked)))
	}
}

// checked lets the next body be checked.
func checked(ctx context.Context) {
	if done, ok := ctx.Value(checkedKey{}).(func()); ok {
		done()
	}
}

// atOnce is how many bodies are checked at the same time.
func atOnce() int { return max(2, runtime.GOMAXPROCS(0)) }

// holdsNUL reports whether a text within a JSON text has the character zero, which no
// keyboard types: PostgreSQL stores it in no text, and what is kept as JSON would only fail
// when it is looked into (RFC 8259, section 7; PostgreSQL 15 documentation, 8.14).
func holdsNUL(text []byte) bool {
	for i := 0; i < len(text); i++ {
		if text[i] == '\\' {
			if bytes.HasPrefix(text[i+1:], []byte("u0000")) {
				return true
			}
			i++
		}
	}
	return false
}

// values counts the values of a JSON text, as far as it is one, without making any of
// them.
func values(text []byte) int {
	n, quoted := 1, false
	for i := 0; i < len(text); i++ {
		switch c := text[i]; {
		case quoted && c == '\\':
			i++
		case c == '"':
			quoted = !quoted
		case !quoted && (c == ',' || c == '[' || c == '{'):
			n++
		}
	}
	return n
}
