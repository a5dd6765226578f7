package main

import (
	"archive/tar"
	"archive/zip"
	"bytes"
	"crypto/md5"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"
)

// dpkg reads back what we wrote by deb(5): its own tools are the judge.
func dpkg(t *testing.T, name string, args ...string) []byte {
	t.Helper()
	if _, err := exec.LookPath(name); err != nil {
		t.Skipf("%s, which reads Debian's packages, is not on this system", name)
	}
	out, err := exec.Command(name, args...).Output()
	if err != nil {
		t.Fatalf("%s %s: %v", name, strings.Join(args, " "), err)
	}
	return out
}

// aPackage makes a package around a small program that there is on every Linux.
func aPackage(t *testing.T) (path string, exe []byte) {
	t.Helper()
	exe, err := os.ReadFile("/bin/true")
	if errors.Is(err, os.ErrNotExist) {
		t.Skip("packages are for Linux, and made there")
	} else if err != nil {
		t.Fatal(err)
	}
	pack, err := deb(built{
		version: "v1.2.0-rc1", when: time.Unix(1_700_000_000, 0), exe: exe, readme: []byte("read me\n"), licences: []byte("licences\n"),
		joints: []piece{{"libonnxruntime.so.1", 0o644, []byte("library")}, {"movenet-thunder.onnx", 0o644, []byte("model")}},
	}, "amd64")
	if err != nil {
		t.Fatal(err)
	}
	path = filepath.Join(t.TempDir(), "tenoff.deb")
	if err := os.WriteFile(path, pack, 0o600); err != nil {
		t.Fatal(err)
	}
	return path, exe
}

// members reads a tar and returns what its files hold, having checked that everything
// in it is root's and that only its owner may write to it.
func members(t *testing.T, packed []byte) (modes map[string]int64, bodies map[string][]byte) {
	t.Helper()
	modes, bodies = map[string]int64{}, map[string][]byte{}
	for r := tar.NewReader(bytes.NewReader(packed)); ; {
		h, err := r.Next()
		if errors.Is(err, io.EOF) {
			return modes, bodies
		}
		if err != nil {
			t.Fatal(err)
		}
		if h.Uid != 0 || h.Gid != 0 || h.Mode&0o7022 != 0 || !strings.HasPrefix(h.Name, "./") {
			t.Errorf("%s is %d:%d's with mode %o", h.Name, h.Uid, h.Gid, h.Mode)
		}
		switch h.Typeflag {
		case tar.TypeDir:
			if h.Mode != 0o755 {
				t.Errorf("folder %s has mode %o", h.Name, h.Mode)
			}
		case tar.TypeReg:
			modes[h.Name] = h.Mode
			if bodies[h.Name], err = io.ReadAll(r); err != nil {
				t.Fatal(err)
			}
		default:
			t.Errorf("%s is of type %c", h.Name, h.Typeflag)
		}
	}
}

func TestDebianPackageHasItsFiles(t *testing.T) {
	path, exe := aPackage(t)
	modes, bodies := members(t, dpkg(t, "dpkg-deb", "--fsys-tarfile", path))
	want := map[string]int64{
		"./usr/bin/tenoff":                      0o755,
		"./usr/lib/systemd/user/tenoff.service": 0o644,
		"./usr/share/doc/tenoff/README.md":      0o644,
		"./usr/share/doc/tenoff/copyright":      0o644,
		// Where joints.FindKit looks for them beside /usr/bin/tenoff.
		"./usr/lib/tenoff/joints/libonnxruntime.so.1":  0o644,
		"./usr/lib/tenoff/joints/movenet-thunder.onnx": 0o644,
	}
	if fmt.Sprint(modes) != fmt.Sprint(want) {
		t.Errorf("files %v, want %v", modes, want)
	}
	if !bytes.Equal(bodies["./usr/bin/tenoff"], exe) {
		t.Error("the program is not the one that was put in")
	}
	scripts, about := members(t, dpkg(t, "dpkg-deb", "--ctrl-tarfile", path))
	for name, mode := range scripts {
		if script := strings.HasPrefix(filepath.Base(name), "p"); script != (mode == 0o755) {
			t.Errorf("%s has mode %o", name, mode)
		} else if !script {
			continue
		}
		check := exec.Command("sh", "-n")
		check.Stdin = bytes.NewReader(about[name])
		if out, err := check.CombinedOutput(); err != nil {
			t.Errorf("%s: %s", name, out)
		}
	}
	sums := strings.Count(string(about["./md5sums"]), "\n")
	for name, body := range bodies {
		line := fmt.Sprintf("%x  %s\n", md5.Sum(body), strings.TrimPrefix(name, "./"))
		if !strings.Contains(string(about["./md5sums"]), line) || sums != len(bodies) {
			t.Errorf("md5sums lacks %s", line)
		}
	}
}

func TestDebianPackageSaysWhatItNeeds(t *testing.T) {
	path, exe := aPackage(t)
	field := func(name string) string {
		return strings.TrimSpace(string(dpkg(t, "dpkg-deb", "--field", path, name)))
	}
	for name, want := range map[string]string{
		"Package": "tenoff", "Version": "1.2.0~rc1", "Architecture": "amd64", "Section": "video", "Priority": "optional",
	} {
		if got := field(name); got != want {
			t.Errorf("%s: %s, want %s", name, got, want)
		}
	}
	for _, name := range []string{"Maintainer", "Description"} {
		if field(name) == "" {
			t.Errorf("no %s", name)
		}
	}
	if size, err := strconv.Atoi(field("Installed-Size")); err != nil || size < len(exe)/1024 || size > len(exe)/1024+6 {
		t.Errorf("Installed-Size %d KB for %d bytes: %v", size, len(exe), err)
	}
	// binutils says of the same program what it wants of the C library.
	said, err := exec.Command("objdump", "-T", "/bin/true").Output()
	if err != nil {
		t.Fatal(err)
	}
	newest := ""
	for _, m := range regexp.MustCompile(`GLIBC_([0-9.]+)`).FindAllStringSubmatch(string(said), -1) {
		if newest == "" || exec.Command("dpkg", "--compare-versions", m[1], "gt", newest).Run() == nil {
			newest = m[1]
		}
	}
	if want := "libc6 (>= " + newest + "), ffmpeg (>= 7:5.1), libstdc++6, libgcc-s1"; field("Depends") != want {
		t.Errorf("Depends: %s, want %s", field("Depends"), want)
	}
}

func TestVersionsInDebiansOrder(t *testing.T) {
	order := []string{"unreleased", "v0.0.0-20261129010423-94278ec2f3e1", "v0.0.0-20261130010423-0ab1c2d3e4f5", "v1.2.0-rc1", "v1.2.0", "v1.2.1-0.20261201010203-94278ec2f3e1+dirty", "v1.2.1", "v1.10.0"}
	for i := range order[1:] {
		a, b := debianVersion(order[i]), debianVersion(order[i+1])
		dpkg(t, "dpkg", "--validate-version", a)
		dpkg(t, "dpkg", "--compare-versions", a, "lt", b)
	}
}

func TestACommitHasAVersionOfItsTime(t *testing.T) {
	version, when, err := commit(t.Context())
	if err != nil {
		t.Skipf("this is no clone of the repository: %v", err)
	}
	if untagged := strings.HasPrefix(version, "v0.0.0-"); untagged != strings.Contains(version, when.Format("20060102150405")) || when.Year() < 2020 {
		t.Errorf("%s of %v", version, when)
	}
	dpkg(t, "dpkg", "--validate-version", debianVersion(version))
}

// The service starts the program where the package has it, with a sub-command that
// there is, and for whoever switches it on.
func TestServiceStartsTheProgramOfThePackage(t *testing.T) {
	settings := map[string]string{}
	section := ""
	for line := range strings.Lines(string(service)) {
		switch line = strings.TrimSpace(line); {
		case line == "" || strings.HasPrefix(line, "#"):
		case strings.HasPrefix(line, "["):
			section = line
		default:
			key, value, ok := strings.Cut(line, "=")
			if !ok || section == "" {
				t.Errorf("%q is no setting", line)
			}
			settings[section+key] = value
		}
	}
	for key, want := range map[string]string{
		"[Service]ExecStart": "/usr/bin/tenoff serve", "[Service]UMask": "0077", "[Service]NoNewPrivileges": "yes",
		"[Service]RestartPreventExitStatus": "2 3", "[Install]WantedBy": "default.target",
	} {
		if settings[key] != want {
			t.Errorf("%s is %q, want %q", key, settings[key], want)
		}
	}
}

func TestArchiveForWindows(t *testing.T) {
	b := built{version: "v1.2.0", exe: []byte("MZ"), readme: []byte("read me"), licences: []byte("licences")}
	packed, err := zipped(b.pieces("tenoff.exe", piece{"start.cmd", 0o644, []byte(startCmd)}), time.Unix(1_700_000_000, 0))
	if err != nil {
		t.Fatal(err)
	}
	r, err := zip.NewReader(bytes.NewReader(packed), int64(len(packed)))
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, f := range r.File {
		names = append(names, f.Name)
	}
	want := []string{"tenoff-v1.2.0/tenoff.exe", "tenoff-v1.2.0/README.md", "tenoff-v1.2.0/LICENCES.txt", "tenoff-v1.2.0/start.cmd"}
	if !slices.Equal(names, want) {
		t.Errorf("%v, want %v", names, want)
	}
}

// Which files must go with a copy is what the licences ask for: Apache 2.0 (section 4d)
// for its NOTICE, the SIL Open Font Licence (2) and BSD and MIT for their own text.
func TestWhatIsInsideHasItsLicence(t *testing.T) {
	t.Chdir("../..")
	if _, err := exec.LookPath("apt-get"); err != nil {
		t.Skip("the licences of what is inside ONNX Runtime are Debian's copies: releases are made there")
	}
	if text, err := licences(t.Context(), "v1.2.0", "linux"); err != nil {
		t.Error(err)
	} else if words := "Redistribution and use in source and binary forms"; !bytes.Contains(text, []byte(words)) { // of BSD's
		t.Errorf("the notes have nobody's %q", words)
	}
	found, err := jointsParts(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range [][]string{
		{"Copyright (c) Microsoft Corporation", "protobuf", "Eigen", "Dawn & Tint", "Mozilla Public License"},
		{"Vladimir Mandic", "Apache License"},
	} {
		var text []byte
		for _, f := range found[i].files {
			said, err := os.ReadFile(f)
			if err != nil {
				t.Fatal(err)
			}
			text = append(text, said...)
		}
		for _, words := range want {
			if !bytes.Contains(text, []byte(words)) {
				t.Errorf("%s: nothing says %q", found[i].name, words)
			}
		}
	}
	page, err := pageParts(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, system := range []string{"linux", "windows"} {
		modules, err := goParts(t.Context(), system)
		if err != nil {
			t.Fatal(err)
		}
		names = names[:0]
		for _, p := range append(modules, page...) {
			names = append(names, p.name)
			for _, f := range p.files {
				names = append(names, p.name+": "+filepath.Base(f))
			}
			if len(p.files) == 0 || p.version == "" {
				t.Errorf("%s: %s %q has no licence", system, p.name, p.version)
			}
		}
		for _, want := range []string{
			"Go's standard library: LICENSE", "github.com/mattn/go-sqlite3: LICENSE", "github.com/gin-gonic/gin: LICENSE",
			"github.com/aws/aws-sdk-go: NOTICE.txt", "github.com/go-fonts/liberation: LICENSE-SIL", "github.com/go-fonts/dejavu: LICENSE-DejaVu",
			"preact (page): LICENSE", "tus-js-client (page): LICENSE", "url-parse (page): LICENSE",
		} {
			if !slices.Contains(names, want) {
				t.Errorf("%s: %s is not among what goes with the package", system, want)
			}
		}
		// Neither is in the program: one only tests, the other only builds.
		for _, p := range []string{"github.com/chromedp/chromedp", "honnef.co/go/tools", "esbuild (page)", "typescript (page)"} {
			if slices.Contains(names, p) {
				t.Errorf("%s: %s is not inside, but listed", system, p)
			}
		}
	}
}
