// Package web holds the pages, the instructor's, the student's, that of a shared result
// and the field's: their committed shells and, once built, their assets. The last three
// share one shell.
package web

import (
	"embed"
	"io/fs"
)

//go:embed all:public
var public embed.FS

// FS is the pages' root: index.html, phone.html, and assets/ once they were built.
var FS = sub(public, "public")

// Built reports whether the page's assets were built before this binary was.
// An unbuilt page still compiles; it only has nothing to show.
func Built() bool { return builtIn(FS) }

func builtIn(page fs.FS) bool {
	for _, name := range []string{"assets/app.js", "assets/app.css", "assets/slip.js", "assets/slip.css", "assets/share.js", "assets/share.css", "assets/field.js", "assets/field.css", "assets/field-worker.js", "assets/theme.js", "assets/events.js"} {
		if info, err := fs.Stat(page, name); err != nil || info.Size() == 0 {
			return false
		}
	}
	return true
}

// sub can't fail for a constant, valid path; should it ever, the root itself
// is served, in which Built finds nothing.
func sub(root fs.FS, dir string) fs.FS {
	if below, err := fs.Sub(root, dir); err == nil {
		return below
	}
	return root
}
