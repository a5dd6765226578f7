package server

import (
	"cmp"
	"context"
	"net/http"

	"tenoff/internal/said"
)

// languageHeader says in which language a page for students and parents is read.
const languageHeader = "Said-In"

type languageKey struct{}

// readIn notes in which language the answer is read, where the page says so.
func readIn(r *http.Request) *http.Request {
	if asked := r.Header.Get(languageHeader); asked != "" {
		return r.WithContext(context.WithValue(r.Context(), languageKey{}, asked))
	}
	return r
}

// languageFor is the language that an answer is read in: as the page says, else hers.
func languageFor(ctx context.Context, hers string) said.Language {
	asked, _ := ctx.Value(languageKey{}).(string)
	return said.LanguageOf(cmp.Or(asked, hers))
}
