// Package web holds the page: its committed shell and, once built, its assets.
package web

import (
	"embed"
	"io/fs"
)

//go:embed all:public
var public embed.FS

// FS is the page's root: index.html, and assets/ once the page was built.
var FS = sub(public, "public")

// Built reports whether the page's assets were built before this binary was.
// An unbuilt page still compiles; it only has nothing to show.
func Built() bool { return builtIn(FS) }

func builtIn(page fs.FS) bool {
	for _, name := range []string{"assets/app.js", "assets/app.css", "assets/theme.js"} {
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
