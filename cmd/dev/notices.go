package main

import (
	"archive/tar"
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"tenoff/internal/joints/parts"
)

// noticesDir keeps the licences that come from elsewhere than the packages' own sources.
const noticesDir = outDir + "/notices"

// insideRuntime are Debian 12's packages of what is inside ONNX Runtime's library, as the
// names in it say: their copyright files stand in for the list that the makers publish
// with the library, which the package on npm's registry has not. Dawn is not in Debian; its
// licence lies beside this file, as ONNX Runtime's own does.
var insideRuntime = []string{
	"libprotobuf32", "libabsl20220623", "libre2-9", "libflatbuffers2", "libeigen3-dev", "libcpuinfo0", "libonnx1",
	"nlohmann-json3-dev", "libmsgsl-dev", "libhowardhinnant-date-dev", "spirv-tools", "libvulkan-dev",
}

// inFull are the licences that Debian's copyright files only point to.
var inFull = []string{"/usr/share/common-licenses/Apache-2.0", "/usr/share/common-licenses/MPL-2.0"}

// jointsParts lists what finds joints.
func jointsParts(ctx context.Context) ([]part, error) {
	library, _, _ := parts.Library("linux", "amd64")
	runtime := part{name: "ONNX Runtime", version: library.Version, files: []string{"cmd/dev/notices/onnxruntime.txt", "cmd/dev/notices/dawn.txt"}}
	if err := debianNotices(ctx, insideRuntime); err != nil {
		return nil, err
	}
	for _, name := range insideRuntime {
		runtime.files = append(runtime.files, debianNotice(name))
	}
	runtime.files = append(runtime.files, inFull...)
	licence, err := modelNotice(ctx)
	if err != nil {
		return nil, err
	}
	return []part{runtime, {"MoveNet Thunder (pose model)", "4", []string{licence, inFull[0]}}}, nil
}

const modelNoticeName = "model-LICENSE.txt"

func keepNotice(name string, text []byte) error {
	return errors.Join(os.MkdirAll(noticesDir, 0o755), place(filepath.Join(noticesDir, name), text))
}

// modelNotice returns the path of the licence of the package that the model comes in. It
// came with the model; a model that was made before licences were kept has it fetched.
func modelNotice(ctx context.Context) (string, error) {
	path := filepath.Join(noticesDir, modelNoticeName)
	if have, err := os.ReadFile(path); err == nil && parts.ThunderLicence.Check(have) == nil {
		return path, nil
	}
	got, err := fetch(ctx, parts.ThunderLicence)
	if err != nil {
		return "", err
	}
	return path, keepNotice(modelNoticeName, got[0])
}

func debianNotice(name string) string { return filepath.Join(noticesDir, name+"-copyright.txt") }

// debianNotices takes the copyright files out of packages of Debian's, which are not
// installed for it.
func debianNotices(ctx context.Context, names []string) error {
	var missing []string
	for _, name := range names {
		if _, err := os.Stat(debianNotice(name)); err != nil {
			missing = append(missing, name)
		}
	}
	if len(missing) == 0 {
		return nil
	}
	if err := os.MkdirAll(noticesDir, 0o755); err != nil {
		return err
	}
	dir, err := os.MkdirTemp(noticesDir, "fetched-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	download := func() error {
		return runIn(ctx, dir, nil, "apt-get", append([]string{"download", "--quiet", "-o", "APT::Sandbox::User=root"}, missing...)...)
	}
	if err := download(); err != nil { // perhaps its lists are old, or there are none yet
		if err := errors.Join(run(ctx, "apt-get", "update"), download()); err != nil {
			return err
		}
	}
	for _, name := range missing {
		packs, err := filepath.Glob(filepath.Join(dir, name+"_*.deb"))
		if err != nil || len(packs) != 1 {
			return errors.Join(err, fmt.Errorf("apt-get brought %d packages called %s; releases are made on Debian 12", len(packs), name))
		}
		text, err := copyright(ctx, packs[0])
		if err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
		if err := place(debianNotice(name), text); err != nil {
			return err
		}
	}
	return nil
}

// copyright reads the copyright file out of a package of Debian's (Debian Policy 12.5).
func copyright(ctx context.Context, pack string) ([]byte, error) {
	files, err := output(ctx, "dpkg-deb", "--fsys-tarfile", pack)
	if err != nil {
		return nil, err
	}
	for list := tar.NewReader(bytes.NewReader(files)); ; {
		entry, err := list.Next()
		if err != nil {
			return nil, errors.Join(errors.New("it has no copyright file"), err)
		}
		if strings.HasPrefix(entry.Name, "./usr/share/doc/") && strings.HasSuffix(entry.Name, "/copyright") && entry.Typeflag == tar.TypeReg {
			return io.ReadAll(list)
		}
	}
}

// writeLicences writes what is inside the program for Linux, and each part's licence, to
// .build/LICENCES.txt: the container takes it from there.
func writeLicences(ctx context.Context, _ []string) error {
	text, err := licences(ctx, "as built here", "linux")
	if err != nil {
		return err
	}
	return place(outDir+"/LICENCES.txt", text)
}
