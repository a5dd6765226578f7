package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
)

// part is somebody else's work inside a package of ours.
type part struct {
	name, version string
	files         []string // its licence and what else has to go with it
}

// notice is the name of a file, or of a folder of them, that goes with a copy.
var notice = regexp.MustCompile(`(?i)^(unlicense|licen[cs]es?|copying|copyright|notices?|patents|authors|third[-_ ]?party[-_ ](licen[cs]es|notices))([-_. ].*)?$`)

// notices returns the notices that lie in a folder itself.
func notices(dir string) ([]string, error) {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil, err
	}
	var files []string
	for _, e := range entries {
		path := filepath.Join(dir, e.Name())
		switch ext := filepath.Ext(path); {
		case !notice.MatchString(e.Name()) || ext == ".go" || ext == ".js":
		case e.IsDir():
			below, err := filepath.Glob(filepath.Join(path, "*"))
			if err != nil {
				return nil, err
			}
			files = append(files, below...)
		default:
			files = append(files, path)
		}
	}
	return files, nil
}

// goParts lists the modules that are linked into the program for a system, and Go's
// own library.
func goParts(ctx context.Context, system string) ([]part, error) {
	out, err := outputWith(ctx, forSystem(system), "go", "list", goTags, "-deps", "-json=Dir,Module", "./cmd/tenoff")
	if err != nil {
		return nil, err
	}
	said, err := output(ctx, "go", "env", "GOROOT", "GOVERSION")
	if err != nil {
		return nil, err
	}
	root, version, _ := strings.Cut(strings.TrimSpace(string(said)), "\n")
	own, err := notices(root)
	if err != nil {
		return nil, err
	}
	parts := map[string]*part{"": {"Go's standard library", version, own}}
	for list := json.NewDecoder(bytes.NewReader(out)); ; {
		var p struct {
			Dir    string
			Module *struct {
				Path, Version, Dir string
				Main               bool
			}
		}
		if err := list.Decode(&p); errors.Is(err, io.EOF) {
			break
		} else if err != nil {
			return nil, err
		}
		if p.Module == nil || p.Module.Main {
			continue
		}
		m := parts[p.Module.Path]
		if m == nil {
			m = &part{name: p.Module.Path, version: p.Module.Version}
			parts[m.name] = m
		}
		// Some packages of a module are another's work, with a licence of their own.
		for dir := p.Dir; strings.HasPrefix(dir, p.Module.Dir); dir = filepath.Dir(dir) {
			files, err := notices(dir)
			if err != nil {
				return nil, err
			}
			m.files = append(m.files, files...)
		}
	}
	return inOrder(parts), nil
}

// inOrder lists parts by their names, each of their files once.
func inOrder(parts map[string]*part) []part {
	var list []part
	for _, key := range slices.Sorted(maps.Keys(parts)) {
		p := *parts[key]
		slices.Sort(p.files)
		p.files = slices.Compact(p.files)
		list = append(list, p)
	}
	return list
}

// pageParts lists the packages that are bundled into the page.
func pageParts(ctx context.Context) ([]part, error) {
	if err := installPage(ctx); err != nil {
		return nil, err
	}
	out, err := output(ctx, "node", filepath.Join(pageDir, "build", "bundled.mjs"))
	if err != nil {
		return nil, err
	}
	var parts []part
	for _, folder := range strings.Fields(string(out)) {
		dir := filepath.Join(pageDir, filepath.FromSlash(folder))
		about, err := os.ReadFile(filepath.Join(dir, "package.json"))
		if err != nil {
			return nil, err
		}
		var is struct{ Name, Version string }
		if err := json.Unmarshal(about, &is); err != nil {
			return nil, fmt.Errorf("%s/package.json: %w", dir, err)
		}
		files, err := notices(dir)
		if err != nil {
			return nil, err
		}
		parts = append(parts, part{is.Name + " (page)", is.Version, files})
	}
	return parts, nil
}

// mingwParts is what Debian's compiler for Windows puts into a program.
func mingwParts() []part {
	return []part{{"the mingw-w64 runtime", "as in Debian", []string{"/usr/share/doc/mingw-w64-x86-64-dev/copyright"}}}
}

// licences is the text that goes with a package for a system: what is inside, and each
// part's licence in full. A part without one fails: it may not be handed on.
func licences(ctx context.Context, version, system string) ([]byte, error) {
	parts, err := goParts(ctx, system)
	if err != nil {
		return nil, err
	}
	page, err := pageParts(ctx)
	if err != nil {
		return nil, err
	}
	parts = append(parts, page...)
	switch system {
	case "windows":
		parts = append(parts, mingwParts()...)
	case "linux":
		found, err := jointsParts(ctx)
		if err != nil {
			return nil, err
		}
		parts = append(parts, found...)
	}
	var text bytes.Buffer
	fmt.Fprintf(&text, "tenoff %s for %s\n\nInside are tenoff's own code and the work of others listed here, each under its own licence,\nwhich follows in full. ffmpeg is not inside: tenoff starts the one that is installed.\n\n", version, system)
	for _, p := range parts {
		fmt.Fprintf(&text, "  %s %s\n", p.name, p.version)
	}
	rule := strings.Repeat("=", 80)
	for _, p := range parts {
		if len(p.files) == 0 {
			return nil, fmt.Errorf("%s %s has no licence that could go with it", p.name, p.version)
		}
		for _, file := range p.files {
			said, err := os.ReadFile(file)
			if err != nil {
				return nil, fmt.Errorf("the licence of %s: %w", p.name, err)
			}
			fmt.Fprintf(&text, "\n%s\n%s %s: %s\n%s\n\n%s\n", rule, p.name, p.version, filepath.Base(file), rule, bytes.TrimSpace(said))
		}
	}
	return text.Bytes(), nil
}
