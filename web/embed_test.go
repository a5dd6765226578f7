package web

import (
	"io/fs"
	"os"
	"regexp"
	"testing"
	"testing/fstest"
)

func TestTheShellIsAlwaysThere(t *testing.T) {
	page, err := fs.ReadFile(FS, "index.html")
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{`src="/assets/theme.js"`, `src="/assets/app.js"`, `href="/assets/app.css"`} {
		if !regexp.MustCompile(regexp.QuoteMeta(want)).Match(page) {
			t.Errorf("index.html lacks %s", want)
		}
	}
}

func TestBuiltWantsEveryAsset(t *testing.T) {
	whole := fstest.MapFS{
		"assets/app.js":    {Data: []byte("x")},
		"assets/app.css":   {Data: []byte("x")},
		"assets/slip.js":   {Data: []byte("x")},
		"assets/slip.css":  {Data: []byte("x")},
		"assets/share.js":  {Data: []byte("x")},
		"assets/share.css": {Data: []byte("x")},
		"assets/field.js":  {Data: []byte("x")},
		"assets/field.css": {Data: []byte("x")},

		"assets/field-worker.js": {Data: []byte("x")},
		"assets/theme.js":        {Data: []byte("x")},
		"assets/events.js":       {Data: []byte("x")},
	}
	if !builtIn(whole) {
		t.Error("a built page was taken for unbuilt")
	}
	delete(whole, "assets/app.css")
	if builtIn(whole) {
		t.Error("a page without its style sheet was taken for built")
	}
	whole["assets/app.css"] = &fstest.MapFile{}
	if builtIn(whole) {
		t.Error("a page with an empty style sheet was taken for built")
	}
}

func TestTheShellOfPrivateLinksIsAlwaysThere(t *testing.T) {
	page, err := fs.ReadFile(FS, "phone.html")
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{`src="/assets/theme.js"`, `src="/assets/PAGE.js"`, `href="/assets/PAGE.css"`, `content="no-referrer"`, `content="noindex, nofollow"`} {
		if !regexp.MustCompile(regexp.QuoteMeta(want)).Match(page) {
			t.Errorf("phone.html lacks %s", want)
		}
	}
}

// The lock file must not tie an installation to one registry.
func TestTheLockFileNamesNoRegistry(t *testing.T) {
	lock, err := os.ReadFile("package-lock.json")
	if err != nil {
		t.Fatal(err)
	}
	if at := regexp.MustCompile(`"resolved"|https?://[^"]*registry`).Find(lock); at != nil {
		t.Errorf("package-lock.json names a registry: %s", at)
	}
}
