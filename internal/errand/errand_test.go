package errand

import (
	"bytes"
	"context"
	"log/slog"
	"strings"
	"testing"
)

func TestLog(t *testing.T) {
	var said bytes.Buffer
	log := slog.New(Log(slog.NewTextHandler(&said, nil))).With("kind", "read")
	log.InfoContext(With(t.Context(), "abc"), "one")
	log.InfoContext(With(t.Context(), ""), "two")
	log.InfoContext(context.Background(), "three")
	lines := strings.Split(strings.TrimSpace(said.String()), "\n")
	if len(lines) != 3 || !strings.HasSuffix(lines[0], "msg=one kind=read errand=abc") || strings.Contains(lines[1]+lines[2], "errand") {
		t.Errorf("said %s", &said)
	}
}

func TestNew(t *testing.T) {
	a, b := New(), New()
	if a == b || len(a) != 13 || Of(With(t.Context(), a)) != a {
		t.Errorf("%q and %q", a, b)
	}
}
