package main

import (
	"archive/tar"
	"archive/zip"
	"bytes"
	"compress/gzip"
	"errors"
	"fmt"
	"io/fs"
	"path"
	"time"
)

// piece is one file of a package: its path there, with slashes, and what it holds.
type piece struct {
	name string
	mode fs.FileMode // its permissions
	body []byte
}

// tarGz packs pieces and the folders they lie in, all root's, dated when.
func tarGz(pieces []piece, when time.Time) ([]byte, error) {
	var out bytes.Buffer
	packed, err := gzip.NewWriterLevel(&out, gzip.BestCompression)
	if err != nil {
		return nil, err
	}
	w := tar.NewWriter(packed)
	add := func(h tar.Header, body []byte) error {
		h.Uname, h.Gname, h.ModTime, h.Format = "root", "root", when, tar.FormatGNU
		if err := w.WriteHeader(&h); err != nil {
			return err
		}
		_, err := w.Write(body)
		return err
	}
	made := map[string]bool{}
	var folder func(name string) error
	folder = func(name string) error {
		if made[name] {
			return nil
		}
		made[name] = true
		if name != "." {
			if err := folder(path.Dir(name)); err != nil {
				return err
			}
		}
		return add(tar.Header{Typeflag: tar.TypeDir, Name: dotted(name) + "/", Mode: 0o755}, nil)
	}
	for _, p := range pieces {
		if err := folder(path.Dir(p.name)); err != nil {
			return nil, err
		}
		h := tar.Header{Typeflag: tar.TypeReg, Name: dotted(p.name), Mode: int64(p.mode.Perm()), Size: int64(len(p.body))}
		if err := add(h, p.body); err != nil {
			return nil, err
		}
	}
	err = errors.Join(w.Close(), packed.Close())
	return out.Bytes(), err
}

// dotted is a name as dpkg's own packages have it: ./usr/bin.
func dotted(name string) string {
	if name == "." {
		return name
	}
	return "./" + name
}

// zipped packs pieces, dated when.
func zipped(pieces []piece, when time.Time) ([]byte, error) {
	var out bytes.Buffer
	w := zip.NewWriter(&out)
	for _, p := range pieces {
		h := &zip.FileHeader{Name: p.name, Method: zip.Deflate, Modified: when}
		h.SetMode(p.mode)
		f, err := w.CreateHeader(h)
		if err != nil {
			return nil, err
		}
		if _, err := f.Write(p.body); err != nil {
			return nil, err
		}
	}
	err := w.Close()
	return out.Bytes(), err
}

// ar packs pieces in the order given, in the common format of ar(5): what a .deb is.
func ar(pieces []piece, when time.Time) []byte {
	var out bytes.Buffer
	out.WriteString("!<arch>\n")
	for _, p := range pieces {
		fmt.Fprintf(&out, "%-16s%-12d%-6d%-6d%-8o%-10d`\n", p.name, when.Unix(), 0, 0, 0o100000|p.mode.Perm(), len(p.body))
		out.Write(p.body)
		if len(p.body)%2 == 1 {
			out.WriteByte('\n')
		}
	}
	return out.Bytes()
}
