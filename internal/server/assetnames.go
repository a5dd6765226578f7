package server

import (
	"io/fs"
	"path"
	"strings"
)

// assetNames gives the page's scripts and styles names that tell what is in them
// ("assets/app.0123456789ab.js"), so that a browser may keep each for good: another
// program's have other names. The plain names stay, for what has to find its own.
type assetNames struct {
	files map[string]string // by the telling name
	names *strings.Replacer // in the pages' shells
}

func namesOf(page fs.FS) assetNames {
	out := assetNames{files: map[string]string{}}
	var pairs []string
	for _, pattern := range []string{"assets/*.js", "assets/*.css", "assets/*.svg"} {
		found, err := fs.Glob(page, pattern)
		if err != nil {
			continue // only for a wrong pattern, and these are constants
		}
		for _, file := range found {
			content, err := fs.ReadFile(page, file)
			if err != nil {
				continue // it keeps its plain name
			}
			ext := path.Ext(file)
			telling := strings.TrimSuffix(file, ext) + "." + digest(content)[:12] + ext
			out.files[telling] = file
			pairs = append(pairs, `"/`+file+`"`, `"/`+telling+`"`)
		}
	}
	out.names = strings.NewReplacer(pairs...)
	return out
}

// file returns the file that is asked for, and whether it may be kept.
func (n assetNames) file(name string) (file string, kept bool) {
	if file, ok := n.files[name]; ok {
		return file, true
	}
	return name, false
}

// into puts the telling names into a page's shell.
func (n assetNames) into(shell []byte) []byte { return []byte(n.names.Replace(string(shell))) }
