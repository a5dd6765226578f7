package server

import (
	"context"
	"encoding/json"
	"errors"
	"net/http"

	"github.com/danielgtaylor/huma/v2"

	"tenoff/internal/bullpen"
)

// status maps what the caller can do about an error to HTTP.
func status(code bullpen.Code) int {
	switch code {
	case bullpen.Invalid:
		return http.StatusUnprocessableEntity
	case bullpen.NotFound:
		return http.StatusNotFound
	case bullpen.Conflict:
		return http.StatusConflict
	case bullpen.Refused:
		return http.StatusUnsupportedMediaType
	case bullpen.Unavailable:
		return http.StatusServiceUnavailable
	}
	return http.StatusInternalServerError
}

// problemOf is the one place where an error becomes an answer. What may not be
// read by a user, and every cause, goes to the log only.
func (s *Server) problemOf(ctx context.Context, err error) *huma.ErrorModel {
	var done *huma.ErrorModel
	if errors.As(err, &done) {
		return done
	}
	if bullpen.CodeOf(err) == bullpen.Internal && (errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded)) {
		err = &bullpen.Error{Code: bullpen.Unavailable, Message: givenUp, Err: err}
	}
	code := status(bullpen.CodeOf(err))
	if code >= http.StatusInternalServerError && ctx.Err() == nil {
		s.log.ErrorContext(ctx, "request failed", "status", code, "err", err)
	}
	return refusal(code, languageFor(ctx, "").Given(bullpen.MessageOf(err)))
}

// givenUp is said of what was stopped before it was done, by a machine that ends or stood
// still meanwhile: whoever asked may still be there, and nothing is broken.
const givenUp = "This was given up before it was done; send it again."

// longestSentence is how many letters an answer that refuses says at most.
const longestSentence = 1000

// refusal is a problem detail with one sentence.
func refusal(status int, sentence string) *huma.ErrorModel {
	return &huma.ErrorModel{Status: status, Title: http.StatusText(status), Detail: bullpen.Shortened(sentence, longestSentence)}
}

// retryAfter says in how many seconds it is worth asking again for what can't be had now
// (RFC 9110, 10.2.3).
const retryAfter = "5"

// later adds to a problem when it is worth asking again, if that may help.
func later(p *huma.ErrorModel) error {
	if p.Status != http.StatusServiceUnavailable {
		return p
	}
	return huma.ErrorWithHeaders(p, http.Header{"Retry-After": {retryAfter}})
}

// writeProblem sends p as the answer.
func writeProblem(w http.ResponseWriter, p *huma.ErrorModel) {
	if p.Status == http.StatusServiceUnavailable {
		w.Header().Set("Retry-After", retryAfter)
	}
	w.Header().Set("Content-Type", "application/problem+json")
	w.WriteHeader(p.Status)
	_ = json.NewEncoder(w).Encode(p) // the client may be gone; there is nobody else to tell
}
