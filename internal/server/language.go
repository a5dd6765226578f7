package server

import (
	"cmp"
	"context"
	"net/http"
	"strings"

	"tenoff/internal/texts"
)

// languageHeader says in which language a page for students and parents is read.
const languageHeader = "Said-In"

type (
	languageKey struct{}
	browserKey  struct{}
)

// readIn notes in which language the answer is read, where the page says so; a student's or
// a parent's page can't before it was read once, and her browser says what it likes best.
func readIn(r *http.Request) *http.Request {
	if asked := r.Header.Get(languageHeader); asked != "" {
		return r.WithContext(context.WithValue(r.Context(), languageKey{}, asked))
	}
	if who := whoMay(r.URL.Path); who == slipHolder || who == shareHolder {
		first, _, _ := strings.Cut(r.Header.Get("Accept-Language"), ",")
		first, _, _ = strings.Cut(first, ";")
		return r.WithContext(context.WithValue(r.Context(), browserKey{}, strings.TrimSpace(first)))
	}
	return r
}

// languageFor is the language that an answer is read in: as the page says, else hers, else
// the browser's.
func languageFor(ctx context.Context, hers string) texts.Language {
	asked, _ := ctx.Value(languageKey{}).(string)
	browsers, _ := ctx.Value(browserKey{}).(string)
	return texts.LanguageOf(cmp.Or(asked, hers, browsers))
}
